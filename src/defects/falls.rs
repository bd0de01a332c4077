//! The falls of levels as they are reckoned from readings, once for the readings they are of.

use std::cell::RefCell;
use std::collections::HashMap;

use super::subject::Subject;
use crate::assess::projection::{Dip, Fall};
use crate::assess::scatter::Scatter;
use crate::checklist::Item;

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
