//! What looks at a boat teach about how long her things stay on each rung.
//!
//! The rate at which a kind leaves a rung has a gamma prior of shape 2 and rate 2 m, with m the
//! dwell of judgement, so that its mean is 1/m. Moves seen and time watched bring it up to date
//! (NIST/SEMATECH e-Handbook of Statistical Methods, 8.2.5 and 8.4.6).

use super::dwell::Dwell;
use super::gamma;
use crate::checklist::Grade;

/// Shape of the prior: the judgement weighs as much as two moves seen in 2 m wear hours
/// (judgement).
pub const PRIOR_SHAPE: f64 = 2.0;

/// Moves seen and wear hours watched, by rung left: sound, early, worn, failing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Taught {
    /// Moves down from each rung.
    pub moves: [u32; 4],
    /// Wear hours spent on each rung.
    pub time: [f64; 4],
}

impl Taught {
    /// Adds what two looks in a row teach: `from`, then `to` after some wear hours. Every boundary
    /// crossed is one full move; the time is split evenly over the rungs from the one left to the
    /// one arrived at, failed included (its share is on no rung that could still be left). An item
    /// that stayed spent all of it on its rung. A better grade, and looks without wear between
    /// them, teach nothing.
    pub fn add_looks(&mut self, from: Grade, to: Grade, wear: f64) {
        if to < from || !(wear.is_finite() && wear > 0.0) {
            return;
        }
        let share = wear / (to.rung() - from.rung() + 1) as f64;
        for rung in from.rung()..=to.rung().min(3) {
            self.time[rung] += share;
        }
        for moves in &mut self.moves[from.rung()..to.rung()] {
            *moves += 1;
        }
    }

    /// Adds what other looks taught.
    pub fn add(&mut self, other: &Taught) {
        for rung in 0..4 {
            self.moves[rung] += other.moves[rung];
            self.time[rung] += other.time[rung];
        }
    }

    /// True where nothing was taught.
    pub fn is_nothing(&self) -> bool {
        *self == Taught::default()
    }

    /// The rate of leaving a rung (0 to 3) for a kind of this judgement.
    pub fn rate(&self, rung: usize, judgement: &Dwell) -> LeavingRate {
        LeavingRate::of(judgement.means()[rung], self.moves[rung], self.time[rung])
    }

    /// The rate of leaving a rung (0 to 3), from what is known of it without these looks.
    pub fn rate_after(&self, rung: usize, start: LeavingRate) -> LeavingRate {
        start.after(self.moves[rung], self.time[rung])
    }

    /// The dwells of a kind after what was taught: the standing wear stays judgement.
    pub fn dwell(&self, judgement: &Dwell) -> Dwell {
        self.dwell_after(judgement, judgement.means().map(LeavingRate::judgement))
    }

    /// The same from what is known of each rung without these looks.
    pub fn dwell_after(&self, judgement: &Dwell, start: [LeavingRate; 4]) -> Dwell {
        let mut learned = *judgement;
        for (rung, start) in start.into_iter().enumerate() {
            learned = learned.with_mean(rung, self.rate_after(rung, start).dwell());
        }
        learned
    }
}

/// What is known of the rate at which a kind leaves a rung: a gamma distribution.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeavingRate {
    /// Shape: that of the prior and the moves.
    pub shape: f64,
    /// Rate, wear hours: that of the prior and the time watched.
    pub time: f64,
}

impl LeavingRate {
    /// From the dwell of judgement (wear hours, above zero), moves and wear hours watched.
    pub fn of(judgement: f64, moves: u32, time: f64) -> LeavingRate {
        LeavingRate::judgement(judgement).after(moves, time)
    }

    /// By the dwell of judgement alone, wear hours, above zero.
    pub fn judgement(dwell: f64) -> LeavingRate {
        LeavingRate {
            shape: PRIOR_SHAPE,
            time: PRIOR_SHAPE * dwell,
        }
    }

    /// After moves and wear hours watched beside.
    #[must_use]
    pub fn after(&self, moves: u32, time: f64) -> LeavingRate {
        LeavingRate {
            shape: self.shape + f64::from(moves),
            time: self.time + time,
        }
    }

    /// The mean rate, per wear hour: (2 + n) / (2 m + T).
    pub fn mean(&self) -> f64 {
        self.shape / self.time
    }

    /// The dwell that counts, wear hours: the reciprocal of the mean rate. It is shorter, so more
    /// careful, than the median and the mean of the dwell itself (NIST/SEMATECH 8.4.6).
    pub fn dwell(&self) -> f64 {
        self.time / self.shape
    }

    /// The dwell above which the true one lies with chance `share`, wear hours.
    pub fn dwell_exceeded(&self, share: f64) -> f64 {
        self.time / gamma::quantile(self.shape, share)
    }

    /// The range in which the true dwell lies with nine chances in ten, wear hours.
    pub fn range(&self) -> [f64; 2] {
        [self.dwell_exceeded(0.95), self.dwell_exceeded(0.05)]
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn taught(looks: &[(Grade, Grade, f64)]) -> Taught {
        let mut taught = Taught::default();
        looks
            .iter()
            .for_each(|(from, to, wear)| taught.add_looks(*from, *to, *wear));
        taught
    }

    #[test]
    fn time_is_split_over_the_rungs_from_the_one_left_to_the_one_arrived_at() {
        use Grade::{Early, Failed, Failing, Sound, Worn};
        let stayed = taught(&[(Early, Early, 20.0)]);
        assert_eq!((stayed.moves, stayed.time), ([0; 4], [0.0, 20.0, 0.0, 0.0]));
        let one = taught(&[(Sound, Early, 20.0)]);
        assert_eq!(
            (one.moves, one.time),
            ([1, 0, 0, 0], [10.0, 10.0, 0.0, 0.0])
        );
        let all = taught(&[(Sound, Failed, 50.0)]);
        assert_eq!((all.moves, all.time), ([1; 4], [10.0; 4]));
        let last = taught(&[(Failing, Failed, 30.0), (Failed, Failed, 90.0)]);
        assert_eq!(
            (last.moves, last.time),
            ([0, 0, 0, 1], [0.0, 0.0, 0.0, 15.0])
        );
        let nothing = taught(&[(Worn, Early, 9.0), (Sound, Worn, 0.0), (Sound, Worn, -3.0)]);
        assert!(nothing.is_nothing());
    }

    #[test]
    fn nothing_taught_leaves_the_judgement() {
        let judgement = Dwell::new(0.5, [1500.0, 600.0, 250.0, 60.0]).expect("good figures");
        assert_eq!(Taught::default().dwell(&judgement), judgement);
    }

    proptest! {
        #[test]
        fn time_without_moves_never_shortens_and_moves_never_lengthen(
            mean in 1.0f64..1e4, moves in 0u32..500, time in 0.0f64..1e6, more in 0.0f64..1e5,
        ) {
            let rate = LeavingRate::of(mean, moves, time);
            prop_assert!(LeavingRate::of(mean, moves, time + more).dwell() >= rate.dwell());
            prop_assert!(LeavingRate::of(mean, moves + 1, time).dwell() <= rate.dwell());
            let [low, high] = rate.range();
            prop_assert!(low < rate.dwell() && rate.dwell() < high);
        }
    }
}
