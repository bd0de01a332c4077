//! The chance that an item brings trouble over a passage, and what mending it gains.

/// No chance of trouble counts as larger, so that mending what is sure to fail gains much and not
/// everything at once.
const NEARLY_SURE: f64 = 1.0 - 1e-9;

/// One effect that counts as trouble.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Follows<E> {
    /// Which effect; of the same effect at several rungs the largest chance that applies counts.
    pub effect: E,
    /// The rung from which it can follow, 0 for sound to 4 for failed.
    pub from: usize,
    /// Chance that it follows then, 0 to 1.
    pub beta: f64,
}

/// Chance that any of some effects follows, 0 to 1: `reach` is the chance of standing at each rung
/// or a worse one when the passage ends, sound first. Different effects are independent of each other
/// once the rung is given.
pub fn chance<E: PartialEq>(reach: [f64; 5], effects: &[Follows<E>]) -> f64 {
    let mut trouble = 0.0;
    for rung in 0..5 {
        let beyond = reach.get(rung + 1).copied().unwrap_or(0.0);
        let share = (reach[rung] - beyond).max(0.0);
        trouble += share * follows_at(rung, effects);
    }
    trouble.clamp(0.0, 1.0)
}

/// Chance that any effect follows of an item that stands on a rung.
fn follows_at<E: PartialEq>(rung: usize, effects: &[Follows<E>]) -> f64 {
    let applies = |e: &&Follows<E>| e.from <= rung;
    let mut none = 1.0;
    for (at, effect) in effects.iter().enumerate().filter(|(_, e)| e.from <= rung) {
        let same = |e: &&Follows<E>| e.effect == effect.effect;
        if effects[..at].iter().filter(applies).any(|e| same(&e)) {
            continue;
        }
        let betas = effects.iter().filter(applies).filter(same).map(|e| e.beta);
        none *= 1.0 - betas.fold(0.0, f64::max);
    }
    1.0 - none
}

/// What mending gains: the logarithm of the factor by which the chance of no trouble at all grows,
/// from the chance that the item brings trouble as it is and once mended. 0 or more.
pub fn gain(trouble: f64, mended: f64) -> f64 {
    (quiet(mended) - quiet(trouble)).max(0.0)
}

/// Logarithm of the chance that an item brings no trouble.
pub fn quiet(trouble: f64) -> f64 {
    (-trouble.clamp(0.0, NEARLY_SURE)).ln_1p()
}

/// Chance of any trouble from the sum of those logarithms.
pub fn any(quiet: f64) -> f64 {
    -quiet.exp_m1()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn follows(effect: u8, from: usize, beta: f64) -> Follows<u8> {
        Follows { effect, from, beta }
    }

    #[test]
    fn effects_of_a_failure_multiply_what_does_not_follow() {
        let effects = [follows(0, 4, 0.5), follows(1, 4, 0.2)];
        let found = chance([1.0, 0.3, 0.3, 0.3, 0.3], &effects);
        assert!((found - 0.3 * (1.0 - 0.5 * 0.8)).abs() < 1e-15);
    }

    #[test]
    fn the_same_effect_at_two_rungs_is_one_effect() {
        let effects = [follows(0, 4, 0.5), follows(0, 2, 0.2)];
        let found = chance([1.0, 1.0, 0.6, 0.3, 0.1], &effects);
        assert!((found - (0.5 * 0.2 + 0.1 * 0.5)).abs() < 1e-15);
    }

    #[test]
    fn gains_add_up_to_the_chance_of_any_trouble() {
        let (all, mended): (f64, f64) = (quiet(0.3) + quiet(0.5), quiet(0.01) + quiet(0.5));
        assert!((any(all) - (1.0 - 0.7 * 0.5)).abs() < 1e-15);
        assert!((mended - all - gain(0.3, 0.01)).abs() < 1e-15);
        assert_eq!(gain(0.1, 0.2), 0.0);
        assert!(gain(1.0, 0.0).is_finite());
    }
}
