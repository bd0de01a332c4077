//! The readings of an item as series in time, one for each state of the engine where the state
//! matters.

use std::collections::HashMap;

use chrono::{DateTime, FixedOffset};

use super::admit::usual_of;
use super::condition::Condition;
use super::dips::{HIGH_MARK, filled_first};
use super::history::{Done, History, LooksBySubject};
use super::limits::Limits;
use super::subject::Subject;
use super::usage::days;
use crate::boat::{Hours, Measure, Unit};
use crate::checklist::{Grade, Item, Kind, PhaseState, Reading, Versus};
use crate::text::words;
use crate::walk::{Better, TimedLook, Walk, When};

words! {
    /// What made a series begin anew.
    RestartBy, "restart of a series" {
        /// A repair, recorded or told with a look.
        Repair = "repair",
        /// A part was fitted.
        Fitted = "fitted",
        /// A service that put in fresh stuff or a new part.
        Service = "service",
        /// Cleaned, told with a look.
        Cleaned = "cleaned",
        /// Adjusted, told with a look.
        Adjusted = "adjusted",
    }
}

impl From<Done> for RestartBy {
    fn from(done: Done) -> RestartBy {
        match done {
            Done::Repaired | Done::Patched => RestartBy::Repair,
            Done::Fitted => RestartBy::Fitted,
            Done::Renewed | Done::Restarted => RestartBy::Service,
        }
    }
}

/// A series began anew.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Restart {
    /// From when on readings count.
    pub at: DateTime<FixedOffset>,
    /// Total running hours then.
    pub hours: f64,
    /// What made the readings begin anew.
    pub by: RestartBy,
}

/// Something was topped up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Addition {
    /// When it was added.
    pub at: DateTime<FixedOffset>,
    /// Total running hours then.
    pub hours: f64,
    /// How much was added, litres.
    pub litres: f64,
    /// It was in there already when the level was read at the same look.
    pub read_after: bool,
    /// It belongs to the series in force, after the last restart.
    pub current: bool,
}

/// One reading of a series, as entered and as reckoned with.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// When it was read.
    pub at: DateTime<FixedOffset>,
    /// Total running hours of the machine, across replaced meters.
    pub hours: f64,
    /// True where no meter was read in that walk.
    pub hours_estimated: bool,
    /// The value in [`Series::unit`].
    pub value: f64,
    /// The value less all that was added since the series began; none for a level whose volume is
    /// not known, once something was added.
    pub levelled: Option<f64>,
    /// As it was entered.
    pub entered: Measure,
    /// The rung it proposed when it was taken.
    pub proposed: Option<Grade>,
    /// The rung the looker gave with it.
    pub grade: Grade,
    /// Added since the series began and before this reading, litres.
    pub added: f64,
    /// Id of the walk.
    pub walk: String,
    /// Id of the phase.
    pub phase: Option<String>,
    /// Engine speed while it was read, where that was told.
    pub speed: Option<u32>,
    /// It belongs to the series in force, after the last restart.
    pub current: bool,
}

/// The readings of one item on one machine, in one state of the engine where that matters.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// The item the readings are of, and whose.
    pub subject: Subject,
    /// In which state of the engine; none where readings of all states belong together.
    pub state: Option<PhaseState>,
    /// The unit of the catalogue, in which every value is.
    pub unit: Unit,
    /// By time, those before a restart included.
    pub points: Vec<Taken>,
    /// Where the readings begin anew, by time.
    pub restarts: Vec<Restart>,
    /// By time, those before a restart included, whatever the state of the engine.
    pub additions: Vec<Addition>,
    /// First and last look at the item since the last restart, with running hours.
    pub watched: Option<[(DateTime<FixedOffset>, f64); 2]>,
    /// Litres from the low mark to the high one, where that is known.
    pub between_marks: Option<f64>,
    /// What the readings are held against now.
    pub limits: Limits,
}

impl Series {
    /// The readings since the last restart.
    pub fn current(&self) -> impl DoubleEndedIterator<Item = &Taken> {
        self.points.iter().filter(|p| p.current)
    }

    /// What was added since the last restart.
    pub fn added(&self) -> impl DoubleEndedIterator<Item = &Addition> {
        self.additions.iter().filter(|a| a.current)
    }

    /// By how much so many litres raise the level; none where the litres between the marks are not
    /// known.
    pub fn raised_by(&self, litres: f64) -> Option<f64> {
        Some(HIGH_MARK * litres / self.between_marks?)
    }
}

/// An event of one item.
enum Event<'a> {
    Look(&'a Walk, &'a TimedLook),
    Restart(RestartBy),
}

impl Condition {
    /// The series of an item, the fullest first; none where it has no reading. Readings of
    /// different states of the engine are kept apart where the bands are by state, where they rest
    /// on the boat's usual, and for levels.
    pub fn series(&self, history: &History, subject: &Subject) -> Vec<Series> {
        self.series_among(events(history, subject, None), subject)
    }

    /// The series of many subjects, for which the record is gone through but once.
    pub fn series_of<'s>(
        &self,
        history: &History,
        subjects: impl IntoIterator<Item = &'s Subject>,
    ) -> Vec<Vec<Series>> {
        let looks = self.looks(history);
        let each = subjects.into_iter();
        let each = each.map(|s| self.series_among(events(history, s, Some(&looks)), s));
        each.collect()
    }

    fn series_among(&self, events: Vec<(When, Event<'_>)>, subject: &Subject) -> Vec<Series> {
        let Some((item, reading)) = self
            .item(subject)
            .and_then(|item| Some((item, item.reading.as_ref()?)))
        else {
            return Vec::new();
        };
        let apart = !reading.by_phase.is_empty()
            || reading.versus != Versus::Absolute
            || item.kind == Kind::Level;
        let mut fold = Fold::new(self, subject, item, reading.unit);
        for (when, event) in events {
            match event {
                Event::Restart(by) => fold.restart(when.at, by),
                Event::Look(walk, timed) => {
                    let phase = timed.look.phase.as_deref();
                    let state = phase.and_then(|p| self.state_in(walk, p));
                    fold.look(walk, timed, state, apart);
                }
            }
        }
        fold.finish()
    }

    /// Litres between the marks of a level: of the dipstick as the profile says, else as its item says.
    pub(super) fn between_marks(&self, subject: &Subject, item: &Item) -> Option<f64> {
        let marks = item.marks.as_ref()?;
        let machine = subject.machine.as_ref().filter(|_| marks.dipstick);
        let machine = machine.and_then(|id| self.boat.machines.iter().find(|m| m.id == *id));
        let volume = machine.and_then(|m| m.between_marks);
        volume
            .or(marks.between_marks)
            .map(|v| v.litres())
            .filter(|l| *l > 0.0)
    }
}

/// Looks at a subject and what begins its series anew, in the order of the record. Where the looks are
/// known by their subjects, no other is gone through.
fn events<'a>(
    history: &'a History,
    subject: &'a Subject,
    known: Option<&LooksBySubject<'a>>,
) -> Vec<(When, Event<'a>)> {
    let mut looks: Vec<(&Walk, &TimedLook)> = Vec::new();
    match known {
        Some(known) => {
            let own = known.get(&(subject.item.as_str(), subject.machine.as_deref()));
            let own = own.into_iter().flatten();
            looks.extend(own.filter_map(|(w, l)| {
                let walk = history.walks.get(*w)?;
                Some((walk, walk.looks.get(*l)?))
            }));
        }
        None => {
            let of_machine = |w: &&Walk| subject.machine.as_ref().is_none_or(|m| w.machine == *m);
            for walk in history.walks.iter().filter(of_machine) {
                looks.extend(walk.looks_at(&subject.item).map(|timed| (walk, timed)));
            }
        }
    }
    let looks = looks.into_iter().filter(|(_, timed)| timed.lifts());
    let looks = looks.map(|(walk, timed)| (timed.when(), Event::Look(walk, timed)));
    let mut events: Vec<(When, Event)> = looks.collect();
    let done = history.done(subject);
    events.extend(done.map(|(when, done)| (when, Event::Restart(done.into()))));
    events.sort_by_key(|(when, _)| *when);
    events
}

struct Fold<'a> {
    condition: &'a Condition,
    subject: &'a Subject,
    item: &'a Item,
    unit: Unit,
    between_marks: Option<f64>,
    series: Vec<(Option<PhaseState>, Vec<Taken>)>,
    restarts: Vec<Restart>,
    additions: Vec<Addition>,
    watched: Option<[(DateTime<FixedOffset>, f64); 2]>,
    /// Earlier sound readings since the last repair or service, ascending, by phase: what the usual value rests on.
    sound: HashMap<Option<String>, Vec<f64>>,
}

impl<'a> Fold<'a> {
    fn new(condition: &'a Condition, subject: &'a Subject, item: &'a Item, unit: Unit) -> Fold<'a> {
        Fold {
            condition,
            subject,
            item,
            unit,
            between_marks: condition.between_marks(subject, item),
            series: Vec::new(),
            restarts: Vec::new(),
            additions: Vec::new(),
            watched: None,
            sound: HashMap::new(),
        }
    }

    fn restart(&mut self, at: DateTime<FixedOffset>, by: RestartBy) {
        let hours = self.condition.usage(self.subject).at(at).hours;
        self.restarts.push(Restart { at, hours, by });
        self.watched = None;
        for addition in &mut self.additions {
            addition.current = false;
        }
        for point in self.series.iter_mut().flat_map(|(_, points)| points) {
            point.current = false;
        }
        if matches!(by, RestartBy::Repair | RestartBy::Service) {
            self.sound.clear();
        }
    }

    fn look(&mut self, walk: &Walk, timed: &TimedLook, state: Option<PhaseState>, apart: bool) {
        let look = &timed.look;
        match look.better {
            Some(Better::Repaired) => self.restart(timed.at, RestartBy::Repair),
            Some(Better::Cleaned) => self.restart(timed.at, RestartBy::Cleaned),
            Some(Better::Adjusted) => self.restart(timed.at, RestartBy::Adjusted),
            Some(Better::Misjudged) | None => {}
        }
        let (hours, hours_estimated) = self.hours(walk, timed);
        let first = self.watched.map_or((timed.at, hours), |w| w[0]);
        self.watched = Some([first, (timed.at, hours)]);
        let in_unit = look.reading.and_then(|r| r.value_in(self.unit));
        let filled = look.added.map(|added| Addition {
            at: timed.at,
            hours,
            litres: added.litres(),
            read_after: self.is_filled_first(added.litres(), in_unit, state, apart),
            current: true,
        });
        self.additions.extend(filled.filter(|f| f.read_after));
        if let Some(((entered, grade), value)) = look.reading.zip(look.grade()).and_then(|r| {
            let (item, unit) = (self.item, self.unit);
            let value = self.condition.value_in(item, &walk.machine, r.0, unit)?;
            Some((r, value))
        }) {
            let added = self.added();
            let sound = self.sound.entry(look.phase.clone()).or_default();
            let usual = || usual_of(sound);
            let proposed = self
                .condition
                .reading_proposal(self.item, &walk.machine, entered, state, usual)
                .map(|p| p.grade);
            if grade == Grade::Sound {
                let place = sound.partition_point(|earlier| *earlier <= value);
                sound.insert(place, value);
            }
            let levelled = if added == 0.0 {
                Some(value)
            } else {
                self.between_marks
                    .map(|litres| value - 100.0 * added / litres)
            };
            let taken = Taken {
                at: timed.at,
                hours,
                hours_estimated,
                value,
                levelled,
                entered,
                proposed,
                grade,
                added,
                walk: walk.id.clone(),
                phase: look.phase.clone(),
                speed: look.at_rpm,
                current: true,
            };
            let state = state.filter(|_| apart);
            match self.series.iter_mut().find(|(s, _)| *s == state) {
                Some((_, points)) => points.push(taken),
                None => self.series.push((state, vec![taken])),
            }
        }
        self.additions.extend(filled.filter(|f| !f.read_after));
    }

    /// Litres added since the last restart.
    fn added(&self) -> f64 {
        let current = self.additions.iter().filter(|a| a.current);
        current.map(|a| a.litres).sum()
    }

    /// True where what a look says was filled in was there already when it was read.
    fn is_filled_first(
        &self,
        litres: f64,
        value: Option<f64>,
        state: Option<PhaseState>,
        apart: bool,
    ) -> bool {
        let state = state.filter(|_| apart);
        let series = self.series.iter().find(|(s, _)| *s == state);
        let last = series.and_then(|(_, points)| points.iter().rfind(|p| p.current));
        let raise = |litres: f64| Some(HIGH_MARK * litres / self.between_marks?);
        let since = |last: &Taken| self.added() - last.added;
        let last = last.map(|last| last.value + raise(since(last)).unwrap_or(0.0));
        let error = self.item.reading.as_ref().map_or(0.0, Reading::error);
        value.is_some_and(|value| filled_first(last, value, raise(litres), error))
    }

    /// Running hours at a look: as read for its walk, else by the machine's use.
    fn hours(&self, walk: &Walk, timed: &TimedLook) -> (f64, bool) {
        let machine = self.subject.machine.as_deref();
        let own = machine.is_none_or(|m| m == walk.machine);
        let total = |read: Hours| self.condition.meters(machine).total(read, walk.at).get();
        match walk.hours.filter(|_| own && machine.is_some()) {
            Some(read) => (total(read), false),
            None => {
                let at = self.condition.usage(self.subject).at(timed.at);
                (at.hours, at.estimated)
            }
        }
    }

    fn finish(self) -> Vec<Series> {
        let condition = self.condition;
        let mut all: Vec<Series> = self
            .series
            .into_iter()
            .map(|(state, points)| {
                let last = points.last();
                let phase = last.and_then(|p| p.phase.clone());
                let usual = self.sound.get(&phase).and_then(|s| usual_of(s));
                let first = condition.boat.machines.first().map(|m| m.id.as_str());
                let machine = self.subject.machine.as_deref().or(first).unwrap_or("");
                Series {
                    subject: self.subject.clone(),
                    state,
                    unit: self.unit,
                    points,
                    restarts: self.restarts.clone(),
                    additions: self.additions.clone(),
                    watched: self.watched,
                    between_marks: self.between_marks,
                    limits: condition.limits(self.item, machine, state, usual),
                }
            })
            .collect();
        // Stable: of equally full ones the one begun first.
        all.sort_by_key(|s| std::cmp::Reverse(s.current().count()));
        all
    }
}

/// Days from the first reading in force to a time.
pub(super) fn days_in(series: &Series, at: DateTime<FixedOffset>) -> f64 {
    series.current().next().map_or(0.0, |p| days(p.at, at))
}
