//! The life of each item's defects: open, repaired, confirmed, withdrawn, open again.

use chrono::{DateTime, FixedOffset};

use super::acts::{Deferral, HoldsUntil, Override};
use super::dips::Course;
use super::events::{Beside, Event, Fold};
use super::history::Stamped;
use super::still_open::LeftOpen;
use super::usage::{Usage, days};
use crate::boat::Measure;
use crate::checklist::{Grade, Leak, WearMark};
use crate::text::words;
use crate::walk::{Better, TimedLook, When};

words! {
    /// Where a defect stands.
    State, "defect state" {
        /// Found and not put right.
        Open = "open",
        /// May wait, for a written reason.
        Deferred = "deferred",
        /// Put right, not yet looked at again.
        Repaired = "repaired",
        /// Put right and seen sound.
        Confirmed = "confirmed",
        /// Put right for a while and seen to hold; worn until a lasting repair.
        Temporary = "temporary",
        /// Was none, or is gone without a repair.
        Withdrawn = "withdrawn",
    }
}

impl State {
    /// True until it is put right for good or was none.
    pub fn is_living(self) -> bool {
        !matches!(self, State::Confirmed | State::Withdrawn)
    }
}

/// A new finding this many running hours or days after confirmation reopens the old defect
/// (judgement).
pub const REOPEN_HOURS: f64 = 100.0;
/// See [`REOPEN_HOURS`].
pub const REOPEN_DAYS: f64 = 90.0;

/// A concern that lives across walks.
#[derive(Clone, Debug, PartialEq)]
pub struct Defect {
    /// Where it stands, deferrals left aside (they depend on the day asked).
    pub state: State,
    /// When the finding was made that opened it.
    pub opened: DateTime<FixedOffset>,
    /// Looks at the item since it was opened.
    pub looks: u32,
    /// When the grade last became worse, if it did since it was opened.
    pub worse_since: Option<DateTime<FixedOffset>>,
    /// How often it came back after a repair.
    pub reopened: u32,
    /// When it was last put right; none where it never was.
    pub repaired_at: Option<DateTime<FixedOffset>>,
    /// The sound look after it.
    pub confirmed_at: Option<DateTime<FixedOffset>>,
    /// How it ended without a repair.
    pub withdrawn_why: Option<String>,
    /// The last deferral since it was opened.
    pub deferral: Option<Stamped<Deferral>>,
}

/// What is known of an item now.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ItemStatus {
    /// The rung; none where nobody ever graded it.
    pub grade: Option<Grade>,
    /// The worse rung that the reading of that look means today, see [`super::asked`].
    pub raised: Option<Grade>,
    /// When that rung was seen (or made, by a repair).
    pub since: Option<DateTime<FixedOffset>>,
    /// The look behind it.
    pub look: Option<TimedLook>,
    /// How much came out at that look and was not put right since.
    pub leak: Option<Leak>,
    /// The marks of wear seen at that look and not put right since.
    pub marks: Vec<WearMark>,
    /// Every graded look and repair in order, with the rung that counted after it.
    pub trail: Vec<RungChange>,
    /// Readings since the last repair, by time.
    pub readings: Vec<ReadingTaken>,
    /// How far a level stands above what it was before; none where it does not.
    pub rise: Option<Rise>,
    /// Dips and fillings of a level since something was last put right or begun anew.
    pub course: Course,
    /// The temporary repair it lives by, until a lasting one.
    pub patch: Option<Patch>,
    /// A repair was recorded and nobody has looked since.
    pub unconfirmed: bool,
    /// What is known of it was told by a former owner, and no look of the new one has been taken
    /// since, see [`super::given_on`].
    pub as_told: bool,
    /// Taken out for good.
    pub removed: bool,
    /// What is on record to close it and closes nothing, since a stop lifts only when the item is
    /// looked at again: "withdrawn (why)", "taken out of the boat".
    pub kept_stop: Option<String>,
    /// What was left open and is not put back.
    pub left_open: Vec<LeftOpen>,
    /// A rating set by hand, until it is lifted.
    pub overridden: Option<SetByHand>,
    /// When the part in service was fitted.
    pub fitted: Option<DateTime<FixedOffset>>,
    /// Graded looks ever made.
    pub looks: u32,
    /// Walks in a row in which it was as last time, up to the last look.
    pub as_last_time: u32,
}

/// A temporary repair.
#[derive(Clone, Debug, PartialEq)]
pub struct Patch {
    /// When it was made.
    pub at: DateTime<FixedOffset>,
    /// Until when it is to hold.
    pub until: HoldsUntil,
    /// What was seen before it and stops still, where no temporary repair lifts a stop.
    pub stop: Option<(Grade, Option<Leak>)>,
}

/// A rating set by hand, with what was known of the item then: it holds for that and for better.
#[derive(Clone, Debug, PartialEq)]
pub struct SetByHand {
    /// What was set.
    pub rec: Override,
    /// The rung it was set at; sound where nobody had looked.
    grade: Grade,
    leaks: bool,
    marks: Vec<WearMark>,
}

impl SetByHand {
    pub(super) fn at(rec: &Override, known: &ItemStatus) -> SetByHand {
        SetByHand {
            rec: rec.clone(),
            grade: known.grade.unwrap_or(Grade::Sound),
            leaks: known.leak.is_some(),
            marks: known.marks.clone(),
        }
    }

    /// Why it does not speak for what is known now, in words; none while it does.
    pub fn suspended(&self, known: &ItemStatus) -> Option<String> {
        let worse = known.grade.filter(|grade| *grade > self.grade);
        let worse =
            worse.map(|grade| format!("it was set at {} and {grade} was seen since", self.grade));
        let leaks = known.leak.is_some() && !self.leaks;
        let leaks = leaks.then(|| "what comes out was seen since it was set".to_owned());
        let mut marks = known.marks.iter();
        let mut mark = || marks.find(|mark| !self.marks.contains(mark));
        worse.or(leaks).or_else(|| {
            mark().map(|mark| format!("the wear mark {mark} was seen since it was set"))
        })
    }
}

/// How far a level stands above its lowest reading in the same engine state since something was last
/// put right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rise {
    /// By how much, less what was filled in where that is known; in the base unit of its reading.
    pub by: f64,
    /// What was filled in between.
    pub filled: Filled,
}

/// What is known of what was filled in between two readings of a level.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Filled {
    /// Nothing was.
    Nothing,
    /// It is known how far it raises the level.
    Known,
    /// It is not.
    Unknown,
}

/// A step on the ladder in time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RungChange {
    /// When it was seen, or put right.
    pub at: DateTime<FixedOffset>,
    /// The rung after it.
    pub grade: Grade,
    /// Made by a repair, not by a look.
    pub repair: bool,
    /// Typed for a next morning that had not come: it settles no look that was owed by then.
    pub too_soon: bool,
}

/// A value measured on the item.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadingTaken {
    /// When the look was made.
    pub at: DateTime<FixedOffset>,
    /// In which phase of its walk.
    pub phase: Option<String>,
    /// The value, as entered.
    pub measure: Measure,
    /// The grade given with it.
    pub grade: Grade,
}

/// An item's standing and its defects, oldest first.
#[derive(Clone, Debug, Default)]
pub struct Life {
    /// What is known now.
    pub status: ItemStatus,
    /// Oldest first; only the last can be open.
    pub defects: Vec<Defect>,
}

impl ItemStatus {
    /// Why a rating set by hand does not hold now, in words; none where it does, or nothing was set.
    pub fn set_suspended(&self) -> Option<String> {
        self.overridden.as_ref()?.suspended(self)
    }

    /// The rung its chance and its row go by: what is patched is worn at best.
    pub fn counted(&self) -> Option<Grade> {
        let judged = self.judged()?;
        Some(match self.patch {
            Some(_) => judged.max(Grade::Worn),
            None => judged,
        })
    }

    /// True where it is sound by a former owner's word alone.
    pub fn is_sound_as_told(&self) -> bool {
        self.as_told && self.judged() == Some(Grade::Sound)
    }

    /// The rung it is judged by.
    pub fn judged(&self) -> Option<Grade> {
        self.grade
            .map(|grade| self.raised.map_or(grade, |raised| raised.max(grade)))
    }
}

impl Life {
    /// When it was first looked at and graded.
    pub fn first_look(&self) -> Option<DateTime<FixedOffset>> {
        let mut looks = self.status.trail.iter().filter(|step| !step.repair);
        looks.next().map(|step| step.at)
    }

    /// Folds the life of one subject from what happened to it, see [`events`](super::events::events);
    /// `after` sees each event and what the life became by it.
    pub(super) fn fold(
        events: &[(When, Event<'_>)],
        beside: Beside<'_>,
        mut after: impl FnMut(When, &Event<'_>, &Life),
    ) -> Life {
        let mut life = Life::default();
        let mut fold = Fold::default();
        for (when, event) in events {
            fold.take(&mut life, (when.at, event), beside);
            after(*when, event, &life);
        }
        fold.settle(&mut life);
        life
    }

    /// The defect that is not over, if there is one.
    pub fn current(&self) -> Option<&Defect> {
        self.defects.last().filter(|d| d.state.is_living())
    }

    pub(super) fn open(&mut self) -> Option<&mut Defect> {
        self.defects.last_mut().filter(|d| d.state == State::Open)
    }

    /// Notes a graded look, whether it changes the rung or not.
    pub(super) fn seen(&mut self, at: DateTime<FixedOffset>, grade: Grade, too_soon: bool) {
        self.status.looks += 1;
        self.status.trail.push(RungChange {
            at,
            grade,
            repair: false,
            too_soon,
        });
        let living = |d: &&mut Defect| d.state.is_living();
        if let Some(defect) = self.defects.last_mut().filter(living) {
            defect.looks += 1;
        }
    }

    /// True where a look opens again what was confirmed, or not, by running hours that a later reading
    /// of the meter may shift.
    pub(super) fn goes_by_open_hours(
        &self,
        at: DateTime<FixedOffset>,
        timed: &TimedLook,
        usage: &Usage,
    ) -> bool {
        let last = self.defects.last();
        let confirmed = last.filter(|d| d.state == State::Confirmed && timed.look.is_finding());
        confirmed.is_some_and(|confirmed| {
            let since = confirmed.seen_well();
            let fixed = usage.is_fixed(since) && usage.is_fixed(at);
            !fixed && days(since, at) > REOPEN_DAYS
        })
    }

    pub(super) fn look(
        &mut self,
        at: DateTime<FixedOffset>,
        grade: Grade,
        timed: &TimedLook,
        usage: &Usage,
    ) {
        let before = self.status.grade.replace(grade);
        self.status.since = Some(at);
        let leak = timed.look.leak.filter(|l| *l != Leak::None);
        let marks = timed.look.wear.iter().map(|w| w.mark);
        if timed.lifts() {
            self.status.leak = leak;
            self.status.marks = marks.collect();
            self.status.unconfirmed = false;
            self.status.kept_stop = None;
            self.status.as_told = false;
        } else {
            // What makes it stand worse confirms no repair beside, and dries and mends nothing.
            self.status.leak = self.status.leak.max(leak);
            self.status.marks.extend(marks);
        }
        let finding = timed.look.is_finding();
        let Some(defect) = self.defects.last_mut() else {
            self.defects.extend(finding.then(|| Defect::new(at)));
            return;
        };
        let patched = self.status.patch.is_some();
        match (defect.state, finding) {
            (State::Temporary, true) => {
                defect.state = State::Open;
                defect.worse_since = Some(at);
            }
            (_, false) if patched => defect.state = State::Temporary,
            (State::Open | State::Deferred, true) => {
                if before.is_some_and(|b| grade > b) {
                    defect.worse_since = Some(at);
                }
            }
            (State::Open | State::Deferred, false) => {
                defect.state = State::Withdrawn;
                let why = timed.look.better.map_or("sound again", Better::as_str);
                defect.withdrawn_why = Some(why.to_owned());
            }
            (State::Repaired, false) => {
                defect.state = State::Confirmed;
                defect.confirmed_at = Some(at);
            }
            (State::Repaired, true) => defect.reopen(at),
            (State::Confirmed, true) => {
                let since = defect.seen_well();
                let soon = usage.between(since, at).hours <= REOPEN_HOURS
                    || days(since, at) <= REOPEN_DAYS;
                if soon {
                    defect.looks += 1;
                    defect.reopen(at);
                } else {
                    self.defects.push(Defect::new(at));
                }
            }
            (State::Withdrawn, true) => self.defects.push(Defect::new(at)),
            (State::Temporary | State::Confirmed | State::Withdrawn, false) => {}
        }
    }

    /// A temporary repair: like a lasting one, but that what it lives by is kept in mind; where it
    /// lifts no stop, what was seen stays.
    pub(super) fn patch(&mut self, patch: Patch) {
        if !self.defects.last().is_some_and(|d| d.state.is_living()) {
            self.defects.push(Defect::new(patch.at));
        }
        if patch.stop.is_none() {
            self.repair(patch.at);
        }
        self.status.patch = Some(patch);
    }

    pub(super) fn repair(&mut self, at: DateTime<FixedOffset>) {
        let rise = self.status.rise;
        let risen = rise.is_some_and(|r| r.filled != Filled::Unknown);
        let amiss = risen || self.status.leak.is_some();
        self.status.patch = None;
        let last = self.defects.last_mut();
        let open = last.filter(|d| matches!(d.state, State::Open | State::Temporary));
        let open = open.map(|defect| {
            defect.state = State::Repaired;
            defect.repaired_at = Some(at);
        });
        self.status.grade = Some(Grade::Sound);
        self.status.since = Some(at);
        self.status.rise = None;
        self.status.course = Course::default();
        self.status.leak = None;
        self.status.marks.clear();
        self.status.as_last_time = 0;
        self.status.kept_stop = None;
        self.status.readings.clear();
        self.status.trail.push(RungChange {
            at,
            grade: Grade::Sound,
            repair: true,
            too_soon: false,
        });
        self.status.unconfirmed |= open.is_some() || amiss;
    }

    /// The boat was given on: what lives by a temporary repair is to be looked at again, since nobody
    /// who answers for her now has seen it hold.
    pub(super) fn give_on(&mut self) {
        self.status.as_told = true;
        self.status.as_last_time = 0;
        self.status.unconfirmed |= self.status.patch.is_some();
    }

    pub(super) fn close(&mut self, why: &str) {
        if let Some(defect) = self.defects.last_mut().filter(|d| d.state.is_living()) {
            defect.state = State::Withdrawn;
            defect.withdrawn_why = Some(why.to_owned());
            self.status.grade = Some(Grade::Sound);
            self.status.leak = None;
            self.status.marks.clear();
            self.status.unconfirmed = false;
        }
    }
}

impl Defect {
    fn new(at: DateTime<FixedOffset>) -> Defect {
        Defect {
            state: State::Open,
            opened: at,
            looks: 1,
            worse_since: None,
            reopened: 0,
            repaired_at: None,
            confirmed_at: None,
            withdrawn_why: None,
            deferral: None,
        }
    }

    /// Since when it is known to be put right, once that is confirmed.
    fn seen_well(&self) -> DateTime<FixedOffset> {
        self.confirmed_at.unwrap_or(self.opened)
    }

    fn reopen(&mut self, at: DateTime<FixedOffset>) {
        self.state = State::Open;
        self.reopened += 1;
        self.worse_since = Some(at);
        self.deferral = None;
    }
}
