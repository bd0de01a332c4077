//! Chances over things of which exactly one holds, and what a look would tell of them: exact, by
//! enumeration. Knows nothing of engines.

/// Chances of things of which exactly one holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Belief {
    chances: Vec<f64>,
}

impl Belief {
    /// From weights, of which only the ratios count; at least one is above 0.
    pub fn of(weights: Vec<f64>) -> Belief {
        let mut belief = Belief { chances: weights };
        belief.saw(|_| 1.0);
        belief
    }

    /// After something was seen: its chance under each of the things, by Bayes' rule.
    pub fn saw(&mut self, chance: impl Fn(usize) -> f64) {
        let mut sum = 0.0;
        for (n, held) in self.chances.iter_mut().enumerate() {
            *held *= chance(n);
            sum += *held;
        }
        // What cannot have been seen teaches nothing.
        if sum > 0.0 {
            self.chances.iter_mut().for_each(|held| *held /= sum);
        }
    }

    /// One by one, in the order given; they sum to 1.
    pub fn chances(&self) -> &[f64] {
        &self.chances
    }

    /// The chance that one of those holds.
    pub fn of_those(&self, holds: impl Fn(usize) -> bool) -> f64 {
        let all = self.chances.iter().enumerate();
        all.filter(|(n, _)| holds(*n)).map(|(_, held)| held).sum()
    }
}

/// Entropy of weights that need not sum to 1, bits.
pub fn entropy(weights: impl Iterator<Item = f64>) -> f64 {
    let (mut sum, mut inside) = (0.0, 0.0);
    for weight in weights.filter(|weight| *weight > 0.0) {
        sum += weight;
        inside += weight * weight.log2();
    }
    if sum > 0.0 {
        (sum.log2() - inside / sum).max(0.0)
    } else {
        0.0
    }
}

/// What an answer tells of the group that holds, bits: `joint[group][answer]` are weights of both together.
pub fn gain(joint: &[Vec<f64>]) -> f64 {
    let answers = joint.iter().map(Vec::len).max().unwrap_or(0);
    let all: f64 = joint.iter().flatten().sum();
    if all <= 0.0 {
        return 0.0;
    }
    let before = entropy(joint.iter().map(|row| row.iter().sum()));
    let after = (0..answers).map(|answer| {
        let column = || {
            joint
                .iter()
                .map(|row| row.get(answer).copied().unwrap_or(0.0))
        };
        column().sum::<f64>() / all * entropy(column())
    });
    (before - after.sum::<f64>()).max(0.0)
}

/// In which order several things are tried where only trying is left: in falling chance for each second,
/// which takes the least time on average where just one is the cause and each costs its own
/// (Kalagnanam and Henrion 1990; Heckerman, Breese and Rommelse 1995). The places in `of`, pairs of
/// chance and seconds.
pub fn trying_order(of: &[(f64, f64)]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..of.len()).collect();
    let worth = |n: usize| of[n].0 / of[n].1;
    order.sort_by(|a, b| worth(*b).total_cmp(&worth(*a)));
    order
}
