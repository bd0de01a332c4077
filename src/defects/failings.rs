//! How often each item was found failing or worse, in how many looks and how long a time: of one boat, to
//! be added up over several.
//!
//! A finding is one, however often it is seen again before it is put right. One that was withdrawn or
//! misjudged was none. A guest's look, and one whose line was changed outside, can be a finding and ends
//! none.

use chrono::{DateTime, FixedOffset};

use super::condition::{Condition, looks_at};
use super::events::{Event, events};
use super::history::{Done, History};
use super::subject::Subject;
use super::usage::days;
use crate::checklist::Grade;
use crate::walk::{Better, TimedLook};

/// Days of a year, on the average.
const YEAR: f64 = 365.25;

/// How one item fared.
#[derive(Clone, Debug, PartialEq)]
pub struct Failings {
    /// The item, and whose it is.
    pub subject: Subject,
    /// Times it was graded.
    pub looks: u32,
    /// Times it was found failing or failed.
    pub findings: u32,
    /// Years since it was first graded.
    pub years: f64,
}

#[derive(Default)]
struct Count {
    looks: u32,
    findings: u32,
    /// It was found failing, and nothing has ended that.
    stands: bool,
    first: Option<DateTime<FixedOffset>>,
}

impl Count {
    fn take(&mut self, at: DateTime<FixedOffset>, event: &Event<'_>) {
        match event {
            Event::Look(_, timed) => self.look(at, timed),
            Event::Done(Done::Repaired | Done::Fitted | Done::Renewed | Done::Patched)
            | Event::Patched(_)
            | Event::Removed => self.stands = false,
            Event::Withdrawal(_) => self.was_none(),
            Event::Done(Done::Restarted)
            | Event::Remembered
            | Event::Deferral(_)
            | Event::Override(_)
            | Event::Opened(_)
            | Event::Closed(_)
            | Event::ToldBack(..)
            | Event::GivenOn => {}
        }
    }

    fn look(&mut self, at: DateTime<FixedOffset>, timed: &TimedLook) {
        let Some(grade) = timed.look.grade() else {
            return;
        };
        self.looks += 1;
        self.first.get_or_insert(at);
        if grade >= Grade::Failing {
            self.findings += u32::from(!self.stands);
            self.stands = true;
        } else if timed.lifts() {
            if timed.look.better == Some(Better::Misjudged) {
                self.was_none();
            }
            self.stands = false;
        }
    }

    /// What stands was no finding.
    fn was_none(&mut self) {
        self.findings -= u32::from(self.stands && self.findings > 0);
        self.stands = false;
    }
}

impl Condition {
    /// How each item fared that was ever graded.
    pub fn failings(&self, history: &History) -> Vec<Failings> {
        let looks = self.looks(history);
        let of = |subject: &Subject| {
            let origin = self.origin(subject, &looks, history);
            if looks_at(&looks, subject).is_empty() {
                return None;
            }
            let mut count = Count::default();
            for (when, event) in &events(subject, &origin, history) {
                count.take(when.at, event);
            }
            Some(Failings {
                subject: subject.clone(),
                looks: count.looks,
                findings: count.findings,
                years: (days(count.first?, self.now) / YEAR).max(0.0),
            })
        };
        self.lives.keys().filter_map(of).collect()
    }
}
