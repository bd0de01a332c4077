//! The falls of levels: each as it is reckoned from readings, once for the readings it is of, and in
//! words.

use std::cell::RefCell;
use std::collections::HashMap;

use super::dips::{HIGH_MARK, LOW_MARK};
use super::subject::Subject;
use crate::assess::chance::FallAhead;
use crate::assess::crossing::Crossing;
use crate::assess::projection::{Dip, Fall};
use crate::assess::scatter::Scatter;
use crate::checklist::Item;
use crate::text::{digits, figure};

/// What one reading of a level is taken to be wrong by, and from what that is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadingError {
    /// A standard deviation, per cent of the span between the marks.
    pub of_one: f64,
    /// How the readings scatter, where they taught it.
    pub learned: Option<Scatter>,
}

impl ReadingError {
    /// What the readings taught, in words.
    pub fn words(&self) -> Option<String> {
        let Scatter { deviation, n, .. } = self.learned?;
        let used = match self.of_one {
            used if (used - deviation).abs() < 0.5 => String::new(),
            used => format!(", taken as {used:.0} %"),
        };
        Some(format!(
            "your dips scatter by about {deviation:.0} %, from {n} of them{used}"
        ))
    }
}

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
    /// What one reading is taken to be wrong by.
    pub error: ReadingError,
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

    /// The same, with what to add for the hours ahead, when to read it again, and what to carry for
    /// the plan.
    pub fn sentence(&self, day: f64, plan: f64) -> String {
        let mut said = self.when();
        let Some(meets) = self.meets else {
            return said;
        };
        let wanted = self.wants(day).min(self.room());
        if wanted > 0.0 {
            said.push_str(&format!("; add {} for the day ahead", self.amount(wanted)));
        }
        if meets.about > 0.0 && meets.about <= plan {
            said.push_str(&format!("; read it again in {} h", two(halfway(meets))));
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

    /// What is said where a look is planned in so many hours, before it meets its low mark.
    pub(super) fn carry_and_dip(&self, planned: f64, plan: f64) -> String {
        let carried = self.wants(plan);
        format!(
            "carry and dip: with {} aboard, and read again in {} h as planned; {}",
            self.amount(carried),
            two(planned),
            self.when()
        )
    }
}

/// When a level that falls is to be read again: before it can be at its mark, at the latest halfway
/// there (judgement).
fn halfway(meets: Crossing) -> f64 {
    let early = meets.not_before.filter(|early| *early > 0.0);
    early.map_or(meets.about / 2.0, |early| early.min(meets.about / 2.0))
}

/// The falls a condition has reckoned, by what was read: asked again and again while it stands, and
/// walk after walk while nobody reads the level anew.
#[derive(Clone, Debug, Default)]
pub(super) struct Falls(RefCell<HashMap<Subject, Reckoned>>);

#[derive(Clone, Debug)]
struct Reckoned {
    dips: Vec<Dip>,
    error: Option<ReadingError>,
    fall: Option<Fall>,
}

impl Falls {
    /// What one reading errs by and the fall that counts, of an item whose readings these are.
    pub(super) fn of(
        &self,
        subject: &Subject,
        item: &Item,
        dips: Vec<Dip>,
    ) -> (Option<ReadingError>, Option<Fall>) {
        let mut known = self.0.borrow_mut();
        if let Some(known) = known.get(subject).filter(|known| known.dips == dips) {
            return (known.error, known.fall);
        }
        let error = reading_error(item, &dips);
        let fall = error.and_then(|error| Fall::of(&dips, error.of_one).filter(Fall::counts));
        known.insert(subject.clone(), Reckoned { dips, error, fall });
        (error, fall)
    }
}

/// As its readings taught, else as the catalogue takes it.
fn reading_error(item: &Item, dips: &[Dip]) -> Option<ReadingError> {
    let reading = item.reading.as_ref().filter(|_| item.is_between_marks())?;
    let learned = Scatter::of(dips);
    Some(ReadingError {
        of_one: learned.map_or(reading.error(), |s| s.error(reading.error())),
        learned,
    })
}

/// What is read off a stick and reckoned ahead has two digits that mean something.
fn two(value: f64) -> String {
    digits(value, 2)
}
