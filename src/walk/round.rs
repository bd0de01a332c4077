//! One performance of a checklist on one machine.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::agreed::{Agreed, Notified};
use super::fuel::FuelLeft;
use super::look::Look;
use super::plan::Join;
use crate::boat::Hours;
use crate::checklist::Grade;
use crate::text::safe_line;

/// A walk, as far as it has come.
#[derive(Clone, Debug, PartialEq)]
pub struct Walk {
    /// Id of the record that began it.
    pub id: String,
    /// Id of the checklist.
    pub checklist: String,
    /// Content hash of the checklist and catalogue that were asked, under `texts/`.
    pub asked: Option<String>,
    /// Id of the machine walked.
    pub machine: String,
    /// When it began.
    pub at: DateTime<FixedOffset>,
    /// Who walked, as recorded; none where nobody was named.
    pub by: Option<String>,
    /// The meter as read for this walk; unknown stays unknown.
    pub hours: Option<Hours>,
    /// Id of the record that says what the meter showed.
    pub hours_by: Option<String>,
    /// Walked first and typed afterwards: its times say nothing about pace.
    pub entered_after: bool,
    /// Earlier grades are out of sight until the look is made.
    pub blind: bool,
    /// They were brought into sight while the walk went on.
    pub unblinded: bool,
    /// What was agreed beforehand; none where nobody was asked.
    pub agreed: Option<Agreed>,
    /// What its document says before its findings.
    pub front: super::FrontMatter,
    /// Why the engine was started in it over a stop, as told; none where nobody said.
    pub started_anyway: Option<String>,
    /// When it was started in it, as told afterwards, beside what its looks tell.
    pub started_at: Vec<DateTime<FixedOffset>>,
    /// Who was told of what is unsafe, by time.
    pub told: Vec<Notified>,
    /// Rows of the checklist that were not due.
    pub left_out: Vec<LeftOut>,
    /// Items that joined, with the reason.
    pub joins: Vec<Join>,
    /// Joints a service disturbed before it, by item id; empty where that is not known.
    pub disturbed: Vec<String>,
    /// When the time of a phase began: phase id and time, the last one said of it. Only of phases
    /// whose time was noted.
    pub begun: Vec<PhaseBegun>,
    /// Walked by a guest: it can raise a stop, and lifts none and confirms no repair.
    pub guest: bool,
    /// What fuel a guest left, the last word of each tank.
    pub fuel: Vec<FuelLeft>,
    /// Every look, in the order made.
    pub looks: Vec<TimedLook>,
    /// When it was finished.
    pub finished: Option<DateTime<FixedOffset>>,
    /// Place of the record that began it in the order of the log.
    pub place: usize,
    /// Place of the record that finished it.
    pub finished_place: Option<usize>,
    /// The record that began it is not on file: its machine and checklist are not known from it.
    pub is_stub: bool,
}

impl TimedLook {
    /// True where it can make an item stand better than it did, confirm a repair, answer for what is
    /// owed and teach: it is as it was written, and no guest's.
    pub fn lifts(&self) -> bool {
        self.verified && !self.look.guest
    }

    /// Its time and its place in the log, by which it is ordered.
    pub fn when(&self) -> When {
        When {
            at: self.at,
            place: self.place,
        }
    }
}

/// A moment in the order of the record: the time that counts, and the place in the log, which
/// decides where two records speak of one time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct When {
    /// The time that counts.
    pub at: DateTime<FixedOffset>,
    /// Place in the order of the log.
    pub place: usize,
}

/// When the time of a phase began.
#[derive(Clone, Debug, PartialEq)]
pub struct PhaseBegun {
    /// Id of the phase.
    pub phase: String,
    /// When, as it counts beside the looks.
    pub at: DateTime<FixedOffset>,
    /// When by the clock that noted it, for counting down by that clock.
    pub by_clock: DateTime<FixedOffset>,
}

impl When {
    /// A time by itself, after all on record of that time.
    pub fn last_at(at: DateTime<FixedOffset>) -> When {
        When {
            at,
            place: usize::MAX,
        }
    }

    /// Whether what has this moment had happened and was on record at another.
    pub fn is_known_at(self, cut: When) -> bool {
        self.at <= cut.at && self.place <= cut.place
    }
}

/// A look and when it was made.
#[derive(Clone, Debug, PartialEq)]
pub struct TimedLook {
    /// Id of its record, which an undo names.
    pub id: Arc<str>,
    /// When, as it counts.
    pub at: DateTime<FixedOffset>,
    /// Place of its record in the order of the log.
    pub place: usize,
    /// Its record is as it was written. One that is not counts only where it is worse.
    pub verified: bool,
    /// What was seen; shared with its record, since years of looks are many.
    pub look: Arc<Look>,
}

/// A row not asked, by position in the checklist.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LeftOut {
    /// Index of the phase.
    pub phase: usize,
    /// Index of the row in it.
    pub row: usize,
}

impl Walk {
    /// Takes down what fuel was left in a tank, instead of what was said of it before.
    pub fn put_fuel(&mut self, left: FuelLeft) {
        self.fuel.retain(|known| known.tank != left.tank);
        self.fuel.push(left);
    }

    /// That a guest walked and what that means, in a sentence; none where the owner did.
    pub fn of_a_guest(&self) -> Option<String> {
        let who = self.by.as_ref().map(|by| format!(", {}", safe_line(by)));
        self.guest.then(|| {
            format!(
                "Walked by a guest{}: what was seen lifts nothing and confirms no repair.",
                who.unwrap_or_default()
            )
        })
    }

    /// The walk as it stood at a time, cut there: unfinished unless it was finished by then.
    pub fn as_of(&self, at: DateTime<FixedOffset>) -> Walk {
        let mut walk = self.known_at(When::last_at(at));
        walk.told.retain(|told| told.at <= at);
        walk.started_at.retain(|started| *started <= at);
        walk
    }

    /// The walk as it was known at a place in the order of the log.
    pub fn known_at(&self, cut: When) -> Walk {
        let mut walk = self.clone();
        walk.looks.retain(|look| look.when().is_known_at(cut));
        let end = walk.ended().filter(|end| end.is_known_at(cut));
        (walk.finished, walk.finished_place) = end.map(|end| (end.at, end.place)).unzip();
        walk
    }

    /// When it began, in the order of the record.
    pub fn when(&self) -> When {
        When {
            at: self.at,
            place: self.place,
        }
    }

    /// When it was finished, in the order of the record.
    pub fn ended(&self) -> Option<When> {
        let (at, place) = self.finished.zip(self.finished_place)?;
        Some(When { at, place })
    }

    /// The last look at an item in a phase of this walk.
    pub fn look_in(&self, phase: &str, item: &str) -> Option<&TimedLook> {
        let here = |t: &&TimedLook| t.look.item == item && t.look.phase.as_deref() == Some(phase);
        self.looks.iter().rev().find(here)
    }

    /// When the time of a phase began, where it was noted.
    pub fn begun(&self, phase: &str) -> Option<DateTime<FixedOffset>> {
        self.noted(phase).map(|begun| begun.at)
    }

    /// The same by the clock that noted it.
    pub fn begun_by_clock(&self, phase: &str) -> Option<DateTime<FixedOffset>> {
        self.noted(phase).map(|begun| begun.by_clock)
    }

    fn noted(&self, phase: &str) -> Option<&PhaseBegun> {
        self.begun.iter().find(|begun| begun.phase == phase)
    }

    /// Notes when the time of a phase began; what was said of it before no longer counts.
    pub fn begin_phase(&mut self, begun: PhaseBegun) {
        self.begun.retain(|known| known.phase != begun.phase);
        self.begun.push(begun);
    }

    /// The last look at an item in a phase at one engine speed, or at none told.
    pub fn look_at_speed<'a>(
        &'a self,
        phase: &'a str,
        item: &'a str,
        rpm: Option<u32>,
    ) -> Option<&'a TimedLook> {
        self.looks_in(phase, item)
            .rev()
            .find(|t| t.look.at_rpm == rpm)
    }

    /// Looks at an item in a phase, in the order made.
    pub fn looks_in<'a>(
        &'a self,
        phase: &'a str,
        item: &'a str,
    ) -> impl DoubleEndedIterator<Item = &'a TimedLook> {
        self.looks_at(item)
            .filter(move |t| t.look.phase.as_deref() == Some(phase))
    }

    /// True where every look was made before earlier grades were in sight.
    pub fn was_blind(&self) -> bool {
        self.blind && !self.unblinded
    }

    /// Who was told first of an item.
    pub fn told_of(&self, item: &str) -> Option<&Notified> {
        self.told.iter().find(|t| t.items.iter().any(|i| i == item))
    }

    /// Looks at an item, in the order made.
    pub fn looks_at<'a>(&'a self, item: &'a str) -> impl DoubleEndedIterator<Item = &'a TimedLook> {
        self.looks.iter().filter(move |t| t.look.item == item)
    }

    /// True if the item was graded at least once.
    pub fn saw(&self, item: &str) -> bool {
        self.looks_at(item).any(|t| t.look.grade().is_some())
    }

    /// What the walk says of an item: the worst grade since the item was last put right in it,
    /// with the look that gave it. `restarts` are moments of repairs of the item; a stated reason
    /// for a better grade and a top-up restart too, since what follows them is a new state.
    pub fn counted<'a>(
        &'a self,
        item: &'a str,
        restarts: &[When],
    ) -> Option<(Grade, &'a TimedLook)> {
        counted(self.looks_at(item), restarts)
    }
}

/// As [`Walk::counted`], of looks at one item in the order made.
pub fn counted<'a>(
    looks: impl Iterator<Item = &'a TimedLook>,
    restarts: &[When],
) -> Option<(Grade, &'a TimedLook)> {
    let mut counted: Option<(Grade, &TimedLook)> = None;
    let mut before: Option<&TimedLook> = None;
    for timed in looks {
        let Some(grade) = timed.look.grade() else {
            continue;
        };
        let repaired =
            before.is_some_and(|b| restarts.iter().any(|r| *r > b.when() && *r < timed.when()));
        let topped_up = before.is_some_and(|b| b.look.added.is_some());
        let restart = repaired || topped_up || timed.look.better.is_some();
        if restart || counted.is_none_or(|(worst, _)| grade >= worst) {
            counted = Some((grade, timed));
        }
        before = Some(timed);
    }
    counted
}
