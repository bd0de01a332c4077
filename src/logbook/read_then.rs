//! What the last verdict of a machine read just before and just after an entry, by the order of the
//! record. That is history and no answer: what was put right, taken back or came to light since is not
//! in it, so what it reads now stands beside it.

use chrono::{DateTime, FixedOffset};

use super::book::Book;
use super::fold::{apply, fold};
use crate::assess::words::Verdict;
use crate::defects::History;
use crate::defects::condition::Condition;
use crate::defects::differs::{Side, last_verdict};
use crate::defects::view::as_of_its_records;

/// A verdict that an entry changed when it was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadThen {
    /// Machine id.
    pub machine: String,
    /// What the last verdict read just before; none where there was no verdict.
    pub before: Option<Verdict>,
    /// What it read just after.
    pub after: Option<Verdict>,
    /// What it reads now, with all that is on record.
    pub now: Option<Verdict>,
}

/// The verdicts that read otherwise once the entry at a place of the log was written.
pub fn read_then(book: &Book, place: usize) -> Vec<ReadThen> {
    let written = book.written();
    let (Some(before), Some(w)) = (written.get(..place), written.get(place)) else {
        return Vec::new();
    };
    let mut then = fold(before);
    let mut with = then.clone();
    if !apply(&mut with, before, w) {
        with = fold(&written[..=place]);
    }
    // Of one time, so that the entry alone makes the difference.
    let at = with.latest.unwrap_or(w.at);
    then.doubts_known_of(book.history(), place.saturating_sub(1));
    with.doubts_known_of(book.history(), place);
    let (then, with) = (Known::of(book, then, at), Known::of(book, with, at));
    let machines = book.boat().machines.iter();
    let told = machines.filter_map(|machine| {
        let before = last_verdict(then.side(), &machine.id);
        let after = last_verdict(with.side(), &machine.id);
        (before != after).then(|| ReadThen {
            machine: machine.id.clone(),
            before,
            after,
            now: None,
        })
    });
    let mut told: Vec<ReadThen> = told.collect();
    if !told.is_empty() {
        let now = book.condition();
        let now = Side {
            history: book.history(),
            condition: &now,
        };
        for read in &mut told {
            read.now = last_verdict(now, &read.machine);
        }
    }
    told
}

/// What was known, and what followed from it.
struct Known {
    history: History,
    condition: Condition,
}

impl Known {
    fn of(book: &Book, mut history: History, at: DateTime<FixedOffset>) -> Known {
        let condition = as_of_its_records(book.boat(), book.library(), &mut history, at);
        Known { history, condition }
    }

    fn side(&self) -> Side<'_> {
        Side {
            history: &self.history,
            condition: &self.condition,
        }
    }
}

impl ReadThen {
    /// In two sentences without a full stop: just before, and just after with what it reads now; `of`
    /// names the machine where there are several.
    pub fn sentences(&self, of: Option<&str>) -> [String; 2] {
        let of = of.map_or_else(String::new, |name| format!(" of {name}"));
        let then = |verdict: Option<Verdict>| match verdict {
            Some(verdict) => format!("the last verdict{of} read: {}", verdict.spoken()),
            None => format!("there was no verdict{of}"),
        };
        let now = match self.now {
            Some(verdict) => format!("now it reads: {}", verdict.spoken()),
            None => "now there is none".to_owned(),
        };
        [
            format!("Just before this entry {}", then(self.before)),
            format!("Just after it {}; {now}", then(self.after)),
        ]
    }
}
