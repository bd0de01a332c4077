//! A record on its way into a state: with its line, its moment and the state it is put into.

use std::collections::HashMap;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::course::Course;
use super::record::Record;
use crate::defects::{History, Stamped};
use crate::walk::{Walk, When};

/// A record with its id and the time it was written.
#[derive(Clone, Debug, PartialEq)]
pub struct Written {
    /// Id of its line; shared with the state.
    pub id: Arc<str>,
    /// When it was written; stands in where the record does not say when it happened.
    pub at: DateTime<FixedOffset>,
    /// What it says.
    pub record: Record,
    /// How far its line is to be trusted.
    pub trust: Trust,
}

/// How far a line is to be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Trust {
    /// It is as it was written. What was changed outside counts only where that makes an answer
    /// worse.
    pub sound: bool,
    /// The clock that wrote it can have been right.
    pub believed: bool,
    /// No other record with another content carries its id, so that an undo can name it.
    pub alone: bool,
}

impl Trust {
    /// A line as this program writes it.
    pub const FULL: Trust = Trust {
        sound: true,
        believed: true,
        alone: true,
    };
}

impl Written {
    /// A record as this program writes it.
    pub fn new(id: impl Into<Arc<str>>, at: DateTime<FixedOffset>, record: Record) -> Written {
        Written {
            id: id.into(),
            at,
            record,
            trust: Trust::FULL,
        }
    }
}

/// A record on its way into a state.
#[derive(Clone, Copy, Debug)]
pub struct Placed<'a> {
    pub(super) written: &'a Written,
    /// The moment at which it counts.
    pub when: When,
    course: Course,
}

impl<'a> Placed<'a> {
    /// The next record of a course, at its place.
    pub(super) fn next(written: &'a Written, course: &mut Course, place: usize) -> Placed<'a> {
        let when = course.next(written, place);
        Placed {
            written,
            when,
            course: *course,
        }
    }

    /// Its id.
    pub fn id(&self) -> &'a str {
        &self.written.id
    }

    /// It is as it was written.
    pub fn is_sound(&self) -> bool {
        self.written.trust.sound
    }

    /// The newest believed time up to it.
    pub(super) fn latest(&self) -> Option<DateTime<FixedOffset>> {
        self.course.latest()
    }

    /// The moment of another record in its place, as the one it replaces.
    pub(super) fn moment_of(&self, other: &Written) -> When {
        self.course.moment(other, self.when.place)
    }

    /// When something happened of which it tells beside its own time.
    pub fn beside(&self, own: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
        self.course.beside(self.written, own)
    }

    /// What it says, with its id and moment.
    pub fn stamped<T: Clone>(&self, rec: &T) -> Stamped<T> {
        Stamped {
            id: self.written.id.to_string(),
            at: self.when.at,
            place: self.when.place,
            rec: rec.clone(),
        }
    }

    /// Puts what it says among its like.
    pub(super) fn put<T: Clone>(&self, all: &mut Vec<Stamped<T>>, rec: &T) -> Applied {
        self.stamped(rec).put_among(all);
        Applied::Done
    }
}

/// A state that records are put into.
pub struct Folding<'a> {
    /// The records put in so far.
    pub history: &'a mut History,
    /// Where each walk is, while none is added.
    pub(super) walks: Option<&'a HashMap<&'a str, usize>>,
    /// Where the last one asked for is.
    last: usize,
}

impl<'a> Folding<'a> {
    /// A state of which no place is known.
    pub(super) fn of(history: &'a mut History) -> Folding<'a> {
        Folding {
            history,
            walks: None,
            last: 0,
        }
    }

    /// A walk whose beginning is on file.
    pub fn walk(&mut self, id: &str) -> Option<&mut Walk> {
        let walks = &mut self.history.walks;
        match self.walks {
            Some(known) => {
                // Nearly always that of the record before.
                if walks.get(self.last).is_none_or(|walk| walk.id != id) {
                    self.last = *known.get(id)?;
                }
                walks.get_mut(self.last)
            }
            None => walks.iter_mut().rev().find(|w| w.id == id && !w.is_stub),
        }
    }
}

/// What became of a record that was to be put into a state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Applied {
    /// It is in.
    Done,
    /// The beginning of its walk is not on file.
    NoWalk,
}
