//! How long an item may wait: for its repair and for the next look.

use super::appraise::{Rating, Stakes};
use super::chance::{Decay, Known, LastLook};
use super::exposure::{Exposure, HORIZON_DAYS};
use super::level::EDGES;
use super::words::{Risk, Severity};
use crate::text::words;

/// A look is due at the latest where the chance of failure passes this (judgement).
const LOOK_CHANCE: f64 = 1e-2;

/// Where a span ends is found to this share of its length.
const PRECISION: f64 = 1e-9;

words! {
    /// What ends a span.
    Threshold, "threshold" {
        /// A stop rule is in force: the span is zero.
        Stop = "stop",
        /// The risk becomes high.
        High = "high",
        /// The risk becomes serious.
        Serious = "serious",
        /// The chance of failure passes one in a hundred.
        Chance = "chance",
        /// The look becomes older than the item's own interval.
        Interval = "interval",
        /// Nothing within twenty years, which is as far as anything is followed.
        Horizon = "horizon",
    }
}

/// A span from now on, along the boat's use.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WearSpan {
    /// Wear hours of the item (running hours for an item without a chain).
    pub wear_hours: f64,
    /// Running hours at the rate of use.
    pub hours: f64,
    /// Days at the rate of use; `None` where the boat does not run and the item does not age, so
    /// that no date can be given.
    pub days: Option<f64>,
    /// What ends it; for a look, what it is to come well before.
    pub threshold: Threshold,
}

/// An item on its way: what is known of it, what is at stake, and how the boat is used.
#[derive(Clone, Copy, Debug)]
pub struct Course<'a> {
    /// What is known.
    pub known: Known,
    /// What is at stake.
    pub stakes: Stakes<'a>,
    /// A stop rule is in force.
    pub stopped: bool,
    /// Running hours per day.
    pub rate_of_use: f64,
}

/// How long an item may wait, for its repair and for the next look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Waits {
    /// Until the risk of the deciding effect becomes high (severity 1 and 2) or serious (severity
    /// 3). Zero under a stop or past that point; `None` where the point does not exist (severity 4,
    /// a level set by hand, no chain).
    pub fix_within: Option<WearSpan>,
    /// Half the wear to that point, at most that to a chance of one in a hundred. Without a chain it
    /// is the rest of the item's interval, and `None` where it has none.
    pub look_again_within: Option<WearSpan>,
}

impl Course<'_> {
    /// How long the item may wait.
    pub fn waits(&self) -> Waits {
        if self.stopped {
            let now = Some(self.span(0.0, Threshold::Stop));
            return Waits {
                fix_within: now,
                look_again_within: now,
            };
        }
        let breach = self.first_breach();
        let reached = breach.map(|(chance, threshold)| (self.wear_until(chance), threshold));
        let fix_within = match reached {
            None => None,
            Some((Some(wear), threshold)) => Some(self.span(wear, threshold)),
            Some((None, _)) => self.horizon(),
        };
        let half = reached.and_then(|(wear, threshold)| Some((wear? / 2.0, threshold)));
        Waits {
            fix_within,
            look_again_within: self.look_again(half),
        }
    }

    /// When the next look is due: the span that followed from the last look when it was made, less
    /// what has passed since, zero once it has come due. Counted from the look and not from now, it
    /// draws nearer and comes. `None` where nobody looked yet, and without a chain and an interval.
    pub fn next_look(&self) -> Option<WearSpan> {
        self.known.last?;
        if self.stopped {
            return Some(self.span(0.0, Threshold::Stop));
        }
        let whole = self.when_looked_at().waits().look_again_within?;
        if whole.threshold == Threshold::Interval {
            return self.rest_of_interval();
        }
        let rest = whole.wear_hours - self.known.wear_since_look();
        Some(self.span(rest.max(0.0), whole.threshold))
    }

    /// True where [`Course::next_look`] has come, at a hundredth of its price: half the wear to a
    /// threshold has passed where all of twice the wear since the look would reach it.
    pub fn look_is_due(&self) -> bool {
        if self.known.last.is_none() || self.stopped {
            return self.stopped;
        }
        if let Some(days) = self.known.days_until_look_is_old() {
            return days <= 0.0;
        }
        let Decay::Chain(_) = self.known.decay else {
            return false;
        };
        let since = self.known.wear_since_look();
        let then = self.when_looked_at().known;
        let reached = |chance| then.outlook_after(2.0 * since).chance >= chance;
        then.outlook_after(since).chance >= LOOK_CHANCE
            || self
                .first_breach()
                .is_some_and(|(chance, _)| reached(chance))
    }

    /// The same item at the moment of its last look.
    fn when_looked_at(&self) -> Course<'_> {
        let fresh = |look: LastLook| LastLook {
            elapsed: Exposure::NONE,
            ..look
        };
        let known = Known {
            last: self.known.last.map(fresh),
            ..self.known
        };
        Course { known, ..*self }
    }

    fn look_again(&self, half: Option<(f64, Threshold)>) -> Option<WearSpan> {
        if let Decay::Rungs { .. } = self.known.decay {
            return self.rest_of_interval();
        }
        let likely = self.wear_until(LOOK_CHANCE);
        match (half, likely) {
            (Some((half, threshold)), Some(likely)) if half <= likely => {
                Some(self.span(half, threshold))
            }
            (_, Some(likely)) => Some(self.span(likely, Threshold::Chance)),
            (Some((half, threshold)), None) => Some(self.span(half, threshold)),
            (None, None) => self.horizon(),
        }
    }

    /// The smallest chance of failure at which the rating calls for repair, and the risk it reaches
    /// there; `None` where no chance does. The rating changes only
    /// where some effect passes the edge of a level, so looking at those chances is enough.
    pub fn first_breach(&self) -> Option<(f64, Threshold)> {
        let effects = self.stakes.effects().iter();
        let edges = effects.flat_map(|e| EDGES.iter().map(|(edge, _)| edge / e.beta));
        let mut chances: Vec<_> = edges.filter(|chance| *chance <= 1.0).collect();
        chances.push(0.0);
        chances.sort_by(f64::total_cmp);
        chances.into_iter().find_map(|chance| {
            // A hair above, so that edge / beta * beta cannot round to below the edge.
            let rating = self.stakes.rate(chance * (1.0 + 1e-12));
            Some((chance, breach(&rating)?))
        })
    }

    /// Wear hours from now until the chance of failure reaches `chance`: zero where it has, `None`
    /// where it does not within the horizon or the item has no chain. The chance rises with the
    /// wear since the look, first as a power of it (one for each rung still to go), so the bracket
    /// is narrowed along straight lines through the logarithms, and halved wherever that does not
    /// halve it.
    fn wear_until(&self, chance: f64) -> Option<f64> {
        let failed = |wear: f64| self.known.outlook_after(wear).chance;
        let behind = self.known.wear_since_look();
        let mut below = Point {
            wear: behind,
            chance: failed(0.0),
        };
        if below.chance >= chance {
            return Some(0.0);
        }
        let Decay::Chain(dwell) = self.known.decay else {
            return None;
        };
        let rung = self.known.last.map_or(0, |look| look.grade.rung()).min(3);
        let horizon = self.wear_of_horizon();
        let mut ahead = dwell.means()[rung].min(horizon);
        let mut above = loop {
            let point = Point {
                wear: behind + ahead,
                chance: failed(ahead),
            };
            if point.chance >= chance {
                break point;
            }
            if ahead >= horizon {
                return None;
            }
            below = point;
            ahead = (ahead * 4.0).min(horizon);
        };
        let mut halve = false;
        while above.wear - below.wear > PRECISION * (above.wear - behind) {
            let width = above.wear - below.wear;
            let middle = below.wear + width / 2.0;
            let guess = if halve {
                None
            } else {
                between(below, above, chance, 4 - rung)
            };
            let inside = |wear: &f64| *wear > below.wear && *wear < above.wear;
            let wear = guess.filter(inside).unwrap_or(middle);
            if !inside(&wear) {
                break;
            }
            let point = Point {
                wear,
                chance: failed(wear - behind),
            };
            if point.chance >= chance {
                above = point;
            } else {
                below = point;
            }
            halve = above.wear - below.wear > width / 2.0;
        }
        Some((below.wear - behind).max(0.0))
    }

    fn rest_of_interval(&self) -> Option<WearSpan> {
        let days = self.known.days_until_look_is_old()?.max(0.0);
        let hours = days * self.rate_of_use;
        Some(WearSpan {
            wear_hours: hours,
            hours,
            days: Some(days),
            threshold: Threshold::Interval,
        })
    }

    fn horizon(&self) -> Option<WearSpan> {
        let chained = matches!(self.known.decay, Decay::Chain(_));
        chained.then(|| self.span(self.wear_of_horizon(), Threshold::Horizon))
    }

    /// Wear hours that pass in a day of this boat's use.
    fn wear_per_day(&self) -> f64 {
        self.rate_of_use + self.known.decay.standing()
    }

    /// Wear hours of the horizon; of running without a break where the boat's use wears nothing.
    fn wear_of_horizon(&self) -> f64 {
        let per_day = self.wear_per_day();
        HORIZON_DAYS * if per_day > 0.0 { per_day } else { 24.0 }
    }

    fn span(&self, wear_hours: f64, threshold: Threshold) -> WearSpan {
        let per_day = self.wear_per_day();
        // Where nothing ages in the berth, each running hour is one wear hour.
        let days = (per_day > 0.0).then(|| wear_hours / per_day);
        let hours = days.map_or(wear_hours, |days| days * self.rate_of_use);
        WearSpan {
            wear_hours,
            hours,
            days: if wear_hours == 0.0 { Some(0.0) } else { days },
            threshold,
        }
    }
}

/// A chance of failure after some wear since the look.
#[derive(Clone, Copy)]
struct Point {
    wear: f64,
    chance: f64,
}

/// Where a straight line through the logarithms of two points meets a chance; where the lower one
/// has none, the power law of the rungs still to go through the upper one. Moved a little towards
/// the nearer end, so that the next point brackets it closely from the other side.
fn between(below: Point, above: Point, chance: f64, rungs: usize) -> Option<f64> {
    if below.wear <= 0.0 || below.chance <= 0.0 {
        let power = (chance / above.chance).powf(1.0 / rungs as f64);
        return Some(above.wear * power);
    }
    let share = (chance / below.chance).ln() / (above.chance / below.chance).ln();
    let width = (above.wear / below.wear).ln();
    let nudge = 1e-3 * width.min(1.0) * share.min(1.0 - share);
    let aside = if share < 0.5 { nudge } else { -nudge };
    let wear = below.wear * (share * width + aside).exp();
    wear.is_finite().then_some(wear)
}

/// What a rating has reached, where it calls for repair.
fn breach(rating: &Rating) -> Option<Threshold> {
    match (rating.severity, rating.risk) {
        (Severity::Catastrophic | Severity::Critical, Risk::High) => Some(Threshold::High),
        (Severity::Marginal, Risk::High | Risk::Serious) => Some(Threshold::Serious),
        _ => None,
    }
}
