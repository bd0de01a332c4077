//! The bell of a late round: sounded once for each round that becomes late while the program is open, where
//! the settings ask for it. Where they do not, nothing wakes.

use std::time::{Duration, Instant};

use chrono::{DateTime, FixedOffset};

use crate::defects::under_way::Passage;
use crate::logbook::book::Book;

/// When it sounds, and for which round it did.
#[derive(Default)]
pub struct LateBell {
    /// The round it waits for, and when that is late.
    waits: Option<(DateTime<FixedOffset>, Instant)>,
    /// The last round it sounded for.
    sounded: Option<DateTime<FixedOffset>>,
    /// It is to be heard and was not yet.
    due: bool,
}

impl LateBell {
    /// Reckons anew for which round it waits; none where it is `off`, no machine is under way, or it has
    /// sounded for that round.
    pub fn rest(&mut self, book: Option<&Book>, off: bool) {
        let next = book.filter(|_| !off).and_then(next_round);
        let next = next.filter(|(due, _)| Some(*due) != self.sounded);
        self.waits = match (self.waits, next) {
            // The same round stays at the same moment.
            (Some((due, at)), Some((next, _))) if due == next => Some((due, at)),
            // What is late already became so before: it is shown, and not heard.
            (_, next) => next
                .filter(|(_, ahead)| !ahead.is_zero())
                .map(|(due, ahead)| (due, Instant::now() + ahead)),
        };
    }

    /// When it is to be woken.
    pub fn wakes_at(&self) -> Option<Instant> {
        self.waits.map(|(_, at)| at)
    }

    /// The round that has become late by now; it sounds once for it.
    pub fn wake(&mut self, now: Instant) -> Option<DateTime<FixedOffset>> {
        let (due, _) = self.waits.take_if(|(_, at)| *at <= now)?;
        self.sounded = Some(due);
        self.due = true;
        Some(due)
    }

    /// True once for each time it is to be heard.
    pub fn is_heard(&mut self) -> bool {
        std::mem::take(&mut self.due)
    }
}

/// The round that is late first, and how long until then.
fn next_round(book: &Book) -> Option<(DateTime<FixedOffset>, Duration)> {
    let now = book.now();
    let machines = book.boat().machines.iter();
    let due = machines.filter_map(|m| Passage::running(book.history(), &m.id, now)?.next());
    let due = due.min()?;
    Some((due, (due - now).to_std().unwrap_or_default()))
}
