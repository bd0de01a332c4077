//! What can be mended under way with a spare: an effect becomes a long stop and a short one, and so many
//! miles of room are needed for it.

/// Drift of a boat without drive, knots, the least and the most (judgement).
pub const DRIFT: [f64; 2] = [0.5, 2.0];

/// An effect, by how long the stop lasts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stops {
    /// Chance that it follows and lasts: what the effect always was.
    pub long: f64,
    /// Chance that it follows and is mended under way.
    pub short: f64,
}

/// How long fitting takes at sea, minutes: the engine cools first, and by night or in a seaway hands take
/// twice as long (judgement).
pub fn minutes_at_sea(fitting: u32, cooling: u32, hard: bool) -> u32 {
    let hands = if hard { 2 } else { 1 };
    fitting.saturating_mul(hands).saturating_add(cooling)
}

/// Miles to leeward that a boat without drive needs for so many minutes at a drift in knots.
pub fn room_needed(minutes: u32, drift: f64) -> f64 {
    f64::from(minutes) / 60.0 * drift
}

/// Splits an effect whose chance is `beta` by the chance that it is mended in time, both 0 to 1. What
/// happens at the moment of failing (fire, gas, flooding, injury, loss of control) is `never` split. Both
/// stops together are as likely as the effect was.
pub fn split(beta: f64, mended: f64, never: bool) -> Stops {
    let mended = if never { 0.0 } else { mended.clamp(0.0, 1.0) };
    Stops {
        long: beta * (1.0 - mended),
        short: beta * mended,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A spare of 45 minutes at a drift of one knot; arithmetic of this project.
    #[test]
    fn an_impeller_that_can_be_fitted_under_way() {
        assert!((room_needed(45, 1.0) - 0.75).abs() < 1e-12);
        let stops = split(0.157 * 0.5, 0.8, false);
        assert!((stops.long - 0.0157).abs() < 1e-12);
        assert!((0.157_f64 * 0.5 - 0.0785).abs() < 1e-12);
        assert!((stops.long + stops.short - 0.0785).abs() < 1e-12);
    }

    #[test]
    fn what_happens_at_once_is_never_shorter() {
        let stops = split(0.3, 1.0, true);
        assert_eq!((stops.long, stops.short), (0.3, 0.0));
        let stops = split(0.3, 7.0, false);
        assert_eq!((stops.long, stops.short), (0.0, 0.3));
    }

    #[test]
    fn cooling_counts_and_a_seaway_takes_twice_the_hands() {
        assert_eq!(minutes_at_sea(45, 30, false), 75);
        assert_eq!(minutes_at_sea(45, 30, true), 120);
        assert_eq!(minutes_at_sea(u32::MAX, u32::MAX, true), u32::MAX);
    }
}
