//! How long an item may wait: for its repair and for the next look.

use super::appraise::{Consequences, Rating};
use super::chance::{Decay, Known, LastLook, Reach};
use super::exposure::{Exposure, HORIZON_DAYS};
use super::level::EDGES;
use super::words::{Risk, Severity};
use crate::checklist::Grade;
use crate::text::words;

/// A look is due at the latest where the chance of failure passes this (judgement).
const LOOK_CHANCE: f64 = 1e-2;

/// Where a span ends is found to this share of its length from the look on.
const PRECISION: f64 = 1e-12;

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
    /// Running hours at the rate of use; `None` where the boat does not run and days alone limit
    /// it.
    pub hours: Option<f64>,
    /// Days at the rate of use; `None` where the boat does not run and the item does not age, so
    /// that no date can be given.
    pub days: Option<f64>,
    /// What ends it; for a look, what it is to come well before.
    pub threshold: Threshold,
    /// Where it ends, counted from the last look, so that the end stands still while time goes on;
    /// `None` where nobody looked yet and where nothing ends it within the horizon.
    pub whole: Option<Whole>,
}

/// From the last look to the end of a span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Whole {
    /// So many wear hours.
    Wear(f64),
    /// So many days from now.
    Days(f64),
}

impl WearSpan {
    /// True once it has come to its end.
    pub fn is_over(&self) -> bool {
        self.wear_hours <= 0.0 && self.days.is_none_or(|days| days <= 0.0)
    }
}

/// An item on its way: what is known of it, what is at stake, and how the boat is used.
#[derive(Clone, Debug)]
pub struct WearCourse<'a> {
    /// What is known of the item: its rung, and when it was seen.
    pub known: Known,
    /// What is at stake.
    pub consequences: Consequences<'a>,
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
    /// Half the wear from the last look to that point, at most that to a chance of one in a hundred.
    /// Counted from the look and not from now, it draws nearer and comes. Without a chain it is the
    /// rest of the item's interval, and `None` where it has none.
    pub look_again_within: Option<WearSpan>,
}

/// Where the rating calls for repair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Breach {
    /// The rung whose chance it hangs on.
    pub rung: Grade,
    /// The chance of that rung or a worse one from which on it does.
    pub chance: f64,
    /// The risk reached there.
    pub by: Threshold,
}

impl WearCourse<'_> {
    /// How long the item may wait. Every end is found from the last look, so that with no new look
    /// it stays where it is, whatever the day.
    pub fn waits(&self) -> Waits {
        if self.stopped {
            let now = Some(self.span(Threshold::Stop, Some(0.0)));
            return Waits {
                fix_within: now,
                look_again_within: now,
            };
        }
        let breaches = self.breaches();
        let Decay::Chain(_) = self.known.decay else {
            let mut ends = breaches.iter().filter_map(|b| self.nominal_until(*b));
            let first = ends.next();
            return Waits {
                fix_within: first.map(|first| ends.fold(first, sooner)),
                look_again_within: self.rest_of_interval(),
            };
        };
        let reached = self.first_reached(&breaches);
        let fix_within = breaches.first().map(|_| match reached {
            Some((wear, by)) => self.span(by.by, Some(wear)),
            None => self.span(Threshold::Horizon, None),
        });
        let half = reached.map(|(wear, by)| (wear / 2.0, by.by));
        let likely = self.wear_until(Grade::Failed, LOOK_CHANCE);
        let likely = likely.map(|w| (w, Threshold::Chance));
        let first = match (half, likely) {
            (Some(half), Some(likely)) if likely.0 < half.0 => Some(likely),
            (half, likely) => half.or(likely),
        };
        let look_again_within = Some(match first {
            Some((wear, by)) => self.span(by, Some(wear)),
            None => self.span(Threshold::Horizon, None),
        });
        Waits {
            fix_within,
            look_again_within,
        }
    }

    /// How long the item might wait if it had no life that ends.
    pub fn ageless_waits(&self) -> Waits {
        let known = Known {
            past_life: false,
            ..self.known
        };
        WearCourse {
            known,
            ..self.clone()
        }
        .waits()
    }

    /// True where the next look has come, at a hundredth of the price of [`WearCourse::waits`]: half the wear to a
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
        let twice = then.prognosis_after(2.0 * since).reach;
        let reached = |b: &Breach| twice.at(b.rung) >= b.chance;
        then.prognosis_after(since).chance >= LOOK_CHANCE || self.breaches().iter().any(reached)
    }

    /// The same item at the moment of its last look.
    fn when_looked_at(&self) -> WearCourse<'_> {
        let fresh = |look: LastLook| LastLook {
            elapsed: Exposure::NONE,
            ..look
        };
        let known = Known {
            last: self.known.last.map(fresh),
            ..self.known
        };
        WearCourse {
            known,
            ..self.clone()
        }
    }

    /// Where the rating calls for repair first; `None` where no chance does.
    pub fn first_breach(&self) -> Option<Breach> {
        let breaches = self.breaches();
        let reached = self.first_reached(&breaches).map(|(_, breach)| breach);
        reached.or(breaches.first().copied())
    }

    /// The smallest chances at which the rating calls for repair, one for the effects that follow
    /// from each rung. The rating changes only where some effect passes the edge of a level, so
    /// looking at those chances is enough.
    fn breaches(&self) -> Vec<Breach> {
        let mut rungs: Vec<Grade> = self.consequences.effects().map(|e| e.rung()).collect();
        rungs.sort_unstable();
        rungs.dedup();
        rungs
            .into_iter()
            .filter_map(|rung| self.breach_at(rung))
            .collect()
    }

    fn breach_at(&self, rung: Grade) -> Option<Breach> {
        let effects = self.consequences.effects().filter(|e| e.rung() == rung);
        let edges = effects.flat_map(|e| EDGES.iter().map(|(edge, _)| edge / e.beta));
        let mut chances: Vec<_> = edges.filter(|chance| *chance <= 1.0).collect();
        chances.push(0.0);
        chances.sort_by(f64::total_cmp);
        chances.into_iter().find_map(|chance| {
            // A hair above, so that edge / beta * beta cannot round to below the edge.
            let reach = Reach::of_rung(rung, chance * (1.0 + 1e-12));
            let by = breach(&self.consequences.rate(&reach))?;
            Some(Breach { rung, chance, by })
        })
    }

    /// The breach that comes first, and the wear from the last look until then.
    fn first_reached(&self, breaches: &[Breach]) -> Option<(f64, Breach)> {
        let reached = breaches.iter();
        let reached = reached.filter_map(|b| Some((self.wear_until(b.rung, b.chance)?, *b)));
        reached.min_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// Wear hours from the last look (from now where nobody looked) until the chance of a rung or a
    /// worse one reaches `chance`: zero where it had at once, `None` where it does not within the horizon or
    /// the item has no chain. The chance rises with the wear, first as a power of it (one for each
    /// rung still to go), so the bracket is narrowed along straight lines through the logarithms,
    /// and halved wherever that does not halve it.
    pub(super) fn wear_until(&self, to: Grade, chance: f64) -> Option<f64> {
        let Decay::Chain(dwell) = self.known.decay else {
            return None;
        };
        let fresh = self.when_looked_at().known;
        let failed = |wear: f64| fresh.prognosis_after(wear).reach.at(to);
        let mut below = Point {
            wear: 0.0,
            chance: failed(0.0),
        };
        if below.chance >= chance {
            return Some(0.0);
        }
        let rung = self.known.last.map_or(0, |look| look.grade.rung()).min(3);
        let horizon = self.known.wear_since_look() + self.wear_of_horizon();
        let mut ahead = dwell.means()[rung].min(horizon);
        let mut above = loop {
            let point = Point {
                wear: ahead,
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
        while above.wear - below.wear > PRECISION * above.wear {
            let width = above.wear - below.wear;
            let middle = below.wear + width / 2.0;
            let guess = if halve {
                None
            } else {
                between(below, above, chance, to.rung().saturating_sub(rung).max(1))
            };
            let inside = |wear: &f64| *wear > below.wear && *wear < above.wear;
            let wear = guess.filter(inside).unwrap_or(middle);
            if !inside(&wear) {
                break;
            }
            let point = Point {
                wear,
                chance: failed(wear),
            };
            if point.chance >= chance {
                above = point;
            } else {
                below = point;
            }
            halve = above.wear - below.wear > width / 2.0;
        }
        Some(below.wear)
    }

    /// Without a chain the rung decides, and the age of the look: past its risk at once, or from
    /// the day the look is old.
    /// A level that falls passes its mark in its own time.
    fn nominal_until(&self, breach: Breach) -> Option<WearSpan> {
        let reached = |known: &Known| known.nominal().at(breach.rung) >= breach.chance;
        if !reached(&self.known) {
            let passed = self.fall_until(breach.chance)?;
            return Some(self.span(breach.by, Some(passed)));
        }
        let at_once = reached(&self.when_looked_at().known);
        let whole = match self.known.look_every_days().filter(|_| !at_once) {
            Some(days) => Whole::Days(days),
            None => Whole::Wear(0.0),
        };
        Some(WearSpan {
            whole: self.known.last.map(|_| whole),
            ..self.span(breach.by, Some(0.0))
        })
    }

    /// Running hours from the last look until the chance that a falling level has passed its mark
    /// reaches `chance`; none where it does not within the horizon.
    fn fall_until(&self, chance: f64) -> Option<f64> {
        let fall = self.known.decay.fall()?;
        let since = self.known.wear_since_look();
        let reached = |hours: f64| fall.chance(hours - since) >= chance;
        let (mut below, mut above) = (0.0, since + self.wear_of_horizon());
        if reached(below) {
            return Some(0.0);
        }
        if !reached(above) {
            return None;
        }
        while above - below > PRECISION * above {
            let middle = below + (above - below) / 2.0;
            if middle <= below || middle >= above {
                break;
            }
            match reached(middle) {
                true => above = middle,
                false => below = middle,
            }
        }
        Some(above)
    }

    fn rest_of_interval(&self) -> Option<WearSpan> {
        let days = self.known.days_until_look_is_old()?.max(0.0);
        let hours = days * self.rate_of_use;
        Some(WearSpan {
            wear_hours: hours,
            hours: (hours > 0.0 || days == 0.0).then_some(hours),
            days: Some(days),
            threshold: Threshold::Interval,
            whole: self.known.look_every_days().map(Whole::Days),
        })
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

    /// What is left of a span that ends so many wear hours after the last look, or beyond the
    /// horizon.
    fn span(&self, threshold: Threshold, end: Option<f64>) -> WearSpan {
        let left = end.map(|end| (end - self.known.wear_since_look()).max(0.0));
        let wear_hours = left.unwrap_or_else(|| self.wear_of_horizon());
        let per_day = self.wear_per_day();
        // Where nothing ages in the berth, each running hour is one wear hour.
        let days = (per_day > 0.0).then(|| wear_hours / per_day);
        let hours = match days {
            None => Some(wear_hours),
            Some(0.0) => Some(0.0),
            Some(_) if self.rate_of_use <= 0.0 => None,
            Some(days) => Some(days * self.rate_of_use),
        };
        WearSpan {
            wear_hours,
            hours,
            days: if wear_hours == 0.0 { Some(0.0) } else { days },
            threshold,
            whole: self.known.last.and(end).map(Whole::Wear),
        }
    }
}

/// The span that began to end earlier: without a chain both are over, at the look or since it is old.
fn sooner(a: WearSpan, b: WearSpan) -> WearSpan {
    let at_once = |span: &WearSpan| matches!(span.whole, Some(Whole::Wear(_)));
    if at_once(&b) && !at_once(&a) { b } else { a }
}

/// A chance of a rung or a worse one after some wear since the look.
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
