//! How a level between marks falls between its fillings, and when it meets its low mark.

use super::condition::Condition;
use super::dips::{Course, Dipped, Filling, HIGH_MARK, LOW_MARK, tells};
use super::life::Life;
use super::subject::Subject;
use crate::assess::chance::FallAhead;
use crate::assess::crossing::Crossing;
use crate::assess::projection::{Dip, Fall};
use crate::assess::trend::LEVEL;
use crate::checklist::{Item, PhaseState};
use crate::text::{digits, figure};

/// So many fillings within [`OFTEN_HOURS`] are said even where nothing projects them.
const OFTEN: usize = 3;
/// Coolant goes nowhere but out: so many within them are a concern by themselves.
const OFTEN_COOLANT: usize = 2;
/// Running hours.
const OFTEN_HOURS: f64 = 50.0;

/// A fall that counts, of one level now.
#[derive(Clone, Copy, Debug)]
pub struct Falling {
    /// The fall, and where it stands now.
    pub ahead: FallAhead,
    /// Change per running hour, 90 % between the two.
    pub interval: (f64, f64),
    /// When it meets the low mark, in running hours from now; none where it was filled by an amount
    /// that is not known and not read since.
    pub meets: Option<Crossing>,
    /// Litres between the marks, where they are known.
    pub between_marks: Option<f64>,
}

impl Falling {
    /// What to add so that it stays above its low mark over so many running hours even by the
    /// fastest fall, per cent of the span.
    pub fn wants(&self, hours: f64) -> f64 {
        let then = self.ahead.level() + self.interval.0 * hours;
        (LOW_MARK - then).max(0.0)
    }

    /// The same in litres, where they are known.
    pub fn wants_litres(&self, hours: f64) -> Option<f64> {
        Some(self.wants(hours) / HIGH_MARK * self.between_marks?)
    }

    /// The most that can be added without passing the high mark, per cent of the span.
    pub fn room(&self) -> f64 {
        (HIGH_MARK - self.ahead.level()).max(0.0)
    }

    /// A share of the span as it is filled: litres to the next tenth, or per cent.
    pub fn amount(&self, share: f64) -> String {
        match self.between_marks {
            Some(litres) => format!("{:.1} L", (share * litres / 10.0).ceil() / 10.0),
            None => format!("{share:.0} % of the span between the marks"),
        }
    }

    /// How fast it falls and when it meets its low mark, in words.
    pub fn when(&self) -> String {
        let falls = format!("falls about {} % an hour", two(-self.ahead.fall.per_hour));
        let Some(meets) = self.meets else {
            return format!("{falls}; read it again, it was filled since");
        };
        if meets.not_after == Some(0.0) {
            return format!("{falls}; by now it is at its low mark");
        }
        if meets.about == 0.0 {
            return format!("{falls}; by now it may be at its low mark");
        }
        let early = meets
            .not_before
            .filter(|early| *early > 0.0)
            .map(|early| format!(", not before {}", two(early)));
        format!(
            "{falls}; low mark in about {} h{}",
            two(meets.about),
            early.unwrap_or_default()
        )
    }

    /// The same, with what to add for the hours ahead and what to carry for the plan.
    pub fn sentence(&self, day: f64, plan: f64) -> String {
        let mut said = self.when();
        if self.meets.is_none() {
            return said;
        }
        let wanted = self.wants(day).min(self.room());
        if wanted > 0.0 {
            said.push_str(&format!("; add {} for the day ahead", self.amount(wanted)));
        }
        let carried = self.wants(plan);
        if carried > wanted {
            said.push_str(&format!(
                "; carry {} for {} h",
                self.amount(carried),
                figure(plan)
            ));
        }
        said
    }
}

impl Condition {
    /// How a level falls, where its readings show that it does. Coolant speaks only by looks at a
    /// cold engine; other levels by the state of the engine they were most read in.
    pub fn falling(&self, subject: &Subject, item: &Item, life: &Life) -> Option<Falling> {
        let reading = item.reading.as_ref().filter(|_| tells(item))?;
        let course = &life.status.course;
        let state = spoken_state(item, course);
        let between_marks = self.between_marks(subject, item);
        let all: f64 = course.fillings.iter().map(|f| f.litres).sum();
        let usage = self.usage(subject);
        let meters = self.meters(subject.machine.as_deref());
        let hours = |dip: &Dipped| match dip.meter {
            Some((read, walk)) => meters.total(read, walk).get(),
            None => usage.at(dip.at).hours,
        };
        let dip = |dip: &Dipped| {
            let x = hours(dip);
            let before = course.fillings.iter().take(dip.filled).map(|f| f.litres);
            let since = all - before.sum::<f64>();
            match between_marks {
                // As if filled since then already: one filling, joined by the amounts.
                Some(litres) => Dip {
                    x,
                    y: dip.value + HIGH_MARK * since / litres,
                    filling: 0,
                },
                None => Dip {
                    x,
                    y: dip.value,
                    filling: dip.filled,
                },
            }
        };
        let of_state = |d: &&Dipped| state(d.state);
        let dips: Vec<Dip> = course.dips.iter().filter(of_state).map(dip).collect();
        let fall = Fall::of(&dips, reading.error()).filter(Fall::counts)?;
        let last = dips.last().map_or(0.0, |d| d.x);
        let now = usage.at(self.now).hours.max(last);
        let is_read = between_marks.is_some()
            || dips
                .last()
                .is_some_and(|d| d.filling == course.fillings.len());
        Some(Falling {
            interval: fall.interval(LEVEL)?,
            meets: fall.meets(LOW_MARK, now, LEVEL).filter(|_| is_read),
            ahead: FallAhead {
                fall,
                now,
                limit: LOW_MARK,
                is_read,
            },
            between_marks,
        })
    }

    /// That a level meets its low mark inside the day ahead by the middle of its fall, in words.
    pub fn low_soon(&self, subject: &Subject, item: &Item, life: &Life) -> Option<String> {
        let falling = self.falling(subject, item, life)?;
        let day = self.day_ahead().hours;
        falling.meets.filter(|m| m.about <= day)?;
        Some(self.fall_in_words(&falling))
    }

    /// What is to be said of a falling level, over the day ahead and the usual plan.
    pub fn fall_in_words(&self, falling: &Falling) -> String {
        let (plan, _) = self.usual_plan();
        falling.sentence(self.day_ahead().hours, plan.hours)
    }

    /// What is worth watching of a level, in words: that it falls towards its low mark within the
    /// usual plan, or that it was filled often.
    pub(super) fn level_watch(
        &self,
        subject: &Subject,
        item: &Item,
        life: &Life,
    ) -> Option<String> {
        let (plan, _) = self.usual_plan();
        let falling = self.falling(subject, item, life);
        let soon = falling.filter(|f| f.meets.is_some_and(|m| m.about <= plan.hours));
        let often = || {
            let n = self.filled_lately(subject, life);
            (n >= OFTEN).then(|| format!("filled {n} times within {OFTEN_HOURS} h: watch it"))
        };
        soon.map(|f| self.fall_in_words(&f)).or_else(often)
    }

    /// True where a level was found below its low mark and filled, and nobody read it since; not where
    /// what was filled is known to be too little.
    pub fn is_filled(&self, subject: &Subject, item: &Item, life: &Life) -> bool {
        let course = &life.status.course;
        let Some(found) = course.filled_on().filter(|found| *found < LOW_MARK) else {
            return false;
        };
        let read = course.dips.last().map_or(0, |d| d.filled);
        let litres: f64 = course.fillings.iter().skip(read).map(|f| f.litres).sum();
        let marks = self.between_marks(subject, item);
        marks.is_none_or(|marks| found + HIGH_MARK * litres / marks >= LOW_MARK)
    }

    /// That coolant was filled more than once within fifty hours, in words: it goes somewhere.
    pub(super) fn coolant_lost(&self, subject: &Subject, life: &Life) -> Option<String> {
        if subject.item != COOLANT_LEVEL {
            return None;
        }
        let n = self.filled_lately(subject, life);
        (n >= OFTEN_COOLANT)
            .then(|| format!("filled {n} times within {OFTEN_HOURS} h: find where it goes"))
    }

    /// Fillings within the fifty running hours before it was last seen: of itself no day makes them
    /// fewer.
    fn filled_lately(&self, subject: &Subject, life: &Life) -> usize {
        let Course { dips, fillings } = &life.status.course;
        let seen = dips
            .iter()
            .map(|d| d.at)
            .chain(fillings.iter().map(|f| f.at));
        let Some(seen) = seen.max() else { return 0 };
        let usage = self.usage(subject);
        let lately = |f: &&Filling| usage.between(f.at, seen).hours <= OFTEN_HOURS;
        fillings.iter().filter(lately).count()
    }
}

/// The level of the coolant, which expands with the warmth.
const COOLANT_LEVEL: &str = "coolant-level";

/// What is read off a stick and reckoned ahead has two digits that mean something.
fn two(value: f64) -> String {
    digits(value, 2)
}

/// Which states of the engine a level is followed in.
fn spoken_state(item: &Item, course: &Course) -> impl Fn(Option<PhaseState>) -> bool {
    let cold_only = item.id == COOLANT_LEVEL;
    let mut counts: Vec<(Option<PhaseState>, usize)> = Vec::new();
    for dip in &course.dips {
        match counts.iter_mut().find(|(state, _)| *state == dip.state) {
            Some((_, n)) => *n += 1,
            None => counts.push((dip.state, 1)),
        }
    }
    // Of equally full ones the one begun first.
    let most = counts.iter().rev().max_by_key(|(_, n)| *n).map(|c| c.0);
    move |state| match cold_only {
        true => matches!(state, Some(PhaseState::Cold | PhaseState::NextMorning)),
        false => Some(state) == most,
    }
}
