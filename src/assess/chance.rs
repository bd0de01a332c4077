//! The chance that an item has failed, or fails before the next chance to put it right.

use super::chain::{self, Distribution};
use super::dwell::{Dwell, Dwells};
use super::exposure::Exposure;
use super::projection::Fall;
use crate::checklist::{Grade, Kind};

/// Shares over the rungs for an item never looked at (judgement).
pub const UNSEEN: Distribution = [0.80, 0.12, 0.05, 0.025, 0.005];

/// Chance by rung for items without a chain (judgement).
pub const NOMINAL: [f64; 5] = [1e-7, 1e-4, 3e-3, 3e-2, 1.0];

/// What the nominal chance is multiplied by when the look is old (judgement).
const OLD_LOOK: f64 = 10.0;

/// What is known of one item.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    /// The last look that graded it since its last repair; `None` where it was never looked at.
    pub last: Option<LastLook>,
    /// True where it has served longer than its life: then it counts as worn at best, since
    /// exponential dwells know no age.
    pub past_life: bool,
    /// How it goes down.
    pub decay: Decay,
}

/// The last look at an item.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LastLook {
    /// The rung the chance starts from, as last seen.
    pub grade: Grade,
    /// What it went through since.
    pub elapsed: Exposure,
}

/// How an item goes down its ladder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Decay {
    /// Down its ladder rung by rung, with these dwells.
    Chain(Dwell),
    /// Too suddenly for a chain: the rung alone gives a nominal chance.
    Rungs {
        /// Days after which a look is old.
        look_every_days: Option<f64>,
        /// How a level falls, where its readings show that it does.
        fall: Option<FallAhead>,
    },
}

/// A level that falls, from now on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FallAhead {
    /// How it falls.
    pub fall: Fall,
    /// Running hours in all, now.
    pub now: f64,
    /// Where it must not pass, in the unit of the level.
    pub limit: f64,
    /// It was read since it was last filled, or the amount filled is known.
    pub is_read: bool,
}

impl FallAhead {
    /// Where the line stands now, in the unit of the level.
    pub fn level(&self) -> f64 {
        self.fall.at(self.now)
    }

    /// Chance that it has passed its limit after so many more running hours; zero where nobody can
    /// tell how much is there.
    pub fn chance(&self, hours: f64) -> f64 {
        if self.is_read {
            self.fall.chance_below(self.limit, self.now + hours)
        } else {
            0.0
        }
    }
}

impl Decay {
    /// The same of a level that falls; a chain knows no levels.
    pub fn falling(self, ahead: Option<FallAhead>) -> Decay {
        match self {
            Decay::Rungs {
                look_every_days, ..
            } => Decay::Rungs {
                look_every_days,
                fall: ahead,
            },
            chain => chain,
        }
    }

    /// How its level falls.
    pub fn fall(&self) -> Option<&FallAhead> {
        match self {
            Decay::Rungs { fall, .. } => fall.as_ref(),
            Decay::Chain(_) => None,
        }
    }

    /// The decay of an item of a kind; the interval serves only kinds without a chain.
    pub fn of(kind: Kind, dwells: &Dwells, look_every_days: Option<u32>) -> Decay {
        let rungs = Decay::Rungs {
            look_every_days: look_every_days.map(f64::from),
            fall: None,
        };
        dwells.of(kind).map_or(rungs, Decay::Chain)
    }

    /// Wear hours that pass in a day of lying still.
    pub fn standing(&self) -> f64 {
        match self {
            Decay::Chain(dwell) => dwell.standing(),
            Decay::Rungs { .. } => 0.0,
        }
    }
}

/// Chance that an item stands at a rung or a worse one, rung by rung, sound (always 1) first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach([f64; 5]);

impl Reach {
    /// Of an item of which only its chance of failure is known: no rung between counts.
    pub const fn of_failure(chance: f64) -> Reach {
        Reach([1.0, chance, chance, chance, chance])
    }

    /// Of that rung alone, to ask what follows from it.
    pub(super) fn of_rung(rung: Grade, chance: f64) -> Reach {
        let mut reach = [0.0; 5];
        reach[rung.rung()] = chance;
        Reach(reach)
    }

    /// From the shares over the rungs, near certainty by the small side, which is the accurate one.
    fn of_shares(shares: &Distribution) -> Reach {
        Reach(std::array::from_fn(|rung| {
            let better: f64 = shares[..rung].iter().sum();
            let worse: f64 = shares[rung..].iter().sum();
            if worse > 0.5 && rung < 4 {
                1.0 - better
            } else {
                worse
            }
        }))
    }

    /// The same where a chance that takes no heed of rungs is larger.
    fn at_least(self, chance: f64) -> Reach {
        Reach(self.0.map(|known| known.max(chance)))
    }

    /// Chance of that rung or a worse one.
    pub const fn at(&self, rung: Grade) -> f64 {
        self.0[rung.rung()]
    }
}

/// What an exposure holds for an item.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prognosis {
    /// Chance of failure by the end of the exposure, 0 to 1, before any beta.
    pub chance: f64,
    /// Chance of each rung or a worse one by the end of the exposure, before any beta.
    pub reach: Reach,
    /// Shares over the rungs at the end of the exposure, where there is a chain.
    pub distribution: Option<Distribution>,
}

impl Known {
    /// The prognosis for an exposure ahead.
    pub fn prognosis(&self, ahead: Exposure) -> Prognosis {
        self.prognosis_after(ahead.wear(self.decay.standing()))
    }

    /// The prognosis after so many more wear hours.
    pub fn prognosis_after(&self, wear_ahead: f64) -> Prognosis {
        match self.decay {
            Decay::Chain(dwell) => {
                let wear = self.wear_since_look() + wear_ahead;
                let shares = chain::distribution_from(dwell.means(), &self.shares(), wear);
                Prognosis {
                    chance: shares[4],
                    reach: Reach::of_shares(&shares),
                    distribution: Some(shares),
                }
            }
            Decay::Rungs { fall, .. } => {
                let fall = fall.map_or(0.0, |f| f.chance(wear_ahead));
                let reach = self.nominal().at_least(fall);
                Prognosis {
                    chance: reach.at(Grade::Failed),
                    reach,
                    distribution: None,
                }
            }
        }
    }

    /// Wear since the last look; none where nobody looked.
    pub fn wear_since_look(&self) -> f64 {
        let elapsed = self.last.map_or(Exposure::NONE, |look| look.elapsed);
        elapsed.wear(self.decay.standing())
    }

    /// Shares over the rungs when last seen.
    fn shares(&self) -> Distribution {
        let mut shares = UNSEEN;
        if let Some(look) = self.last {
            shares = [0.0; 5];
            shares[look.grade.rung()] = 1.0;
        }
        if self.past_life {
            let [sound, early, worn, failing, failed] = shares;
            shares = [0.0, 0.0, sound + early + worn, failing, failed];
        }
        shares
    }

    /// Chances without a chain: by the number of rungs still to go, ten times that on an old look,
    /// never above 1.
    pub fn nominal(&self) -> Reach {
        let shares = self.shares();
        let factor = if self.look_is_old() { OLD_LOOK } else { 1.0 };
        let chance_of = |to: usize| {
            let each = shares.iter().enumerate();
            let each = each.map(|(rung, share)| share * NOMINAL[(rung + 4 - to).min(4)]);
            (each.sum::<f64>() * factor).min(1.0)
        };
        Reach(std::array::from_fn(|to| match to {
            0 => 1.0,
            to => chance_of(to),
        }))
    }

    /// True where an item without a chain was looked at longer ago than its own interval.
    pub fn look_is_old(&self) -> bool {
        self.days_until_look_is_old().is_some_and(|days| days < 0.0)
    }

    /// Days after which a look is old; `None` with a chain and without an interval.
    pub fn look_every_days(&self) -> Option<f64> {
        match self.decay {
            Decay::Chain(_) => None,
            Decay::Rungs {
                look_every_days, ..
            } => look_every_days,
        }
    }

    /// Days until the look is old, negative once it is; `None` with a chain, without an interval
    /// or without a look.
    pub fn days_until_look_is_old(&self) -> Option<f64> {
        let every = self.look_every_days()?;
        Some(every - self.last?.elapsed.days)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(grade: Grade, days: f64, decay: Decay) -> Known {
        let elapsed = Exposure { hours: days, days };
        Known {
            last: Some(LastLook { grade, elapsed }),
            past_life: false,
            decay,
        }
    }

    fn seal() -> Decay {
        Decay::of(Kind::Seal, &Dwells::judgement(), Some(7))
    }

    fn level() -> Decay {
        Decay::of(Kind::Level, &Dwells::judgement(), Some(7))
    }

    #[test]
    fn wear_since_the_look_counts_like_wear_ahead() {
        let fresh = seen(Grade::Worn, 0.0, seal()).prognosis(Exposure {
            hours: 30.0,
            days: 30.0,
        });
        let old = seen(Grade::Worn, 20.0, seal()).prognosis(Exposure {
            hours: 10.0,
            days: 10.0,
        });
        assert!((fresh.chance - old.chance).abs() < 1e-15);
    }

    #[test]
    fn what_has_failed_has_failed_with_or_without_a_chain() {
        for decay in [seal(), level()] {
            let known = seen(Grade::Failed, 3.0, decay);
            assert_eq!(known.prognosis(Exposure::NONE).chance, 1.0);
        }
    }

    #[test]
    fn an_old_look_multiplies_the_nominal_chance_by_ten_up_to_certainty() {
        let chance = |grade, days| seen(grade, days, level()).prognosis(Exposure::NONE).chance;
        assert_eq!(chance(Grade::Worn, 7.0), 3e-3);
        assert!((chance(Grade::Worn, 7.5) - 3e-2).abs() < 1e-15);
        assert_eq!(chance(Grade::Failed, 8.0), 1.0);
        let unlimited = Decay::of(Kind::Sign, &Dwells::judgement(), None);
        let known = seen(Grade::Early, 900.0, unlimited);
        assert_eq!(known.prognosis(Exposure::NONE).chance, 1e-4);
    }

    #[test]
    fn a_worse_rung_is_never_likelier_to_be_reached_and_what_was_seen_is() {
        let ahead = Exposure::from_days(20.0, 1.0);
        for decay in [seal(), level()] {
            for grade in Grade::ALL {
                let known = seen(*grade, 30.0, decay);
                let prognosis = known.prognosis(ahead);
                let reach = prognosis.reach;
                let each = Grade::ALL.iter().map(|rung| reach.at(*rung));
                let each: Vec<f64> = each.collect();
                assert!(each.windows(2).all(|w| w[0] >= w[1]), "{each:?}");
                assert_eq!(reach.at(Grade::Failed), prognosis.chance);
                assert!(
                    each[..=grade.rung()]
                        .iter()
                        .all(|c| (c - 1.0).abs() < 1e-12)
                );
            }
        }
    }

    #[test]
    fn past_its_life_an_item_is_worn_at_best() {
        let ahead = Exposure::from_days(20.0, 1.0);
        for decay in [seal(), level()] {
            for grade in Grade::ALL {
                let known = seen(*grade, 1.0, decay);
                let past = Known {
                    past_life: true,
                    ..known
                };
                let floor = seen((*grade).max(Grade::Worn), 1.0, decay);
                assert_eq!(past.prognosis(ahead), floor.prognosis(ahead));
            }
        }
    }

    #[test]
    fn the_unseen_is_a_mixture_over_the_rungs() {
        assert!((UNSEEN.iter().sum::<f64>() - 1.0).abs() < 1e-15);
        let ahead = Exposure::from_days(20.0, 1.0);
        for decay in [seal(), level()] {
            let unseen = Known {
                last: None,
                past_life: false,
                decay,
            };
            let parts = Grade::ALL.iter().map(|g| seen(*g, 0.0, decay));
            let mixed: f64 = parts
                .zip(UNSEEN)
                .map(|(known, share)| share * known.prognosis(ahead).chance)
                .sum();
            let chance = unseen.prognosis(ahead).chance;
            assert!((chance / mixed - 1.0).abs() < 1e-13, "{chance} {mixed}");
        }
    }
}
