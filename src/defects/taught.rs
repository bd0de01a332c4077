//! What the looks on record teach about how fast each kind goes down its ladder.
//!
//! Each item is watched through its looks in the order of time, whatever the order they were
//! recorded in:
//!
//! - the looks of one walk, and looks between which next to nothing wears ([`LEAST_WEAR`]), count as
//!   one, with the worst grade of them; its time is that of the first
//! - a repair, a part fitted and a look made better by a repair begin anew; what lies between the
//!   look before and that moment teaches nothing
//! - a better grade begins anew at that grade, where it was cleaned, adjusted, topped up or where no
//!   reason is on record; where the earlier look was misjudged, the looks that saw it worse are
//!   dropped, as they are by a withdrawal
//! - running hours that go back begin anew: one of the two readings is wrong
//! - the grade seen counts, also past the item's life: the life speaks of what may come, not of what
//!   was seen
//! - a removed item is watched up to its removal; levels, readings and signs have no chain to teach

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::history::{Done, History, Stamped};
use super::life::{Event, Subject};
use super::usage::{Usage, days};
use crate::assess::dwell::{Dwell, Dwells};
use crate::assess::exposure::Exposure;
use crate::assess::learning::Taught;
use crate::checklist::{Grade, Kind};
use crate::text::words;
use crate::walk::{Better, TimedLook};

words! {
    /// What is to be done about learning from the looks.
    LearningState, "state of learning" {
        /// Every look counts, since the last reset.
        Running = "running",
        /// Only looks up to now count.
        Frozen = "frozen",
        /// Forgets the looks before now and goes on from here.
        Reset = "reset",
        /// The judgement alone counts.
        Off = "off",
    }
}

/// Learning is frozen, set going again, reset or switched off from a moment on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LearningSet {
    /// From now on.
    pub state: LearningState,
    /// When; the time of recording where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime<FixedOffset>>,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

/// Which looks count.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Running, frozen or off.
    pub state: LearningState,
    /// Looks before this are forgotten.
    pub from: Option<DateTime<FixedOffset>>,
    /// Looks after this do not count.
    pub until: Option<DateTime<FixedOffset>>,
}

impl Window {
    /// As the records set it, in the order of their times. Learning runs until something is said.
    pub fn of(set: &[Stamped<LearningSet>]) -> Window {
        let mut window = Window {
            state: LearningState::Running,
            from: None,
            until: None,
        };
        for record in set {
            window.state = record.rec.state;
            window.until = None;
            match record.rec.state {
                LearningState::Frozen => window.until = Some(record.at),
                LearningState::Reset => {
                    window.from = Some(record.at);
                    window.state = LearningState::Running;
                }
                LearningState::Running | LearningState::Off => {}
            }
        }
        window
    }
}

/// What the looks taught, by kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Learning {
    /// Which looks counted.
    pub window: Window,
    /// Kinds of which something was seen.
    pub kinds: BTreeMap<Kind, KindTaught>,
}

/// What the looks at all items of one kind taught.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct KindTaught {
    /// All items together.
    pub total: Taught,
    /// Running hours among the time that no meter readings bound: days at the rate of use.
    pub approximate: f64,
    /// Each item that taught something, in the order of the boat's items.
    pub items: Vec<(Subject, Taught)>,
}

impl Learning {
    /// Nothing learned yet, by the history's own setting.
    pub(super) fn begin(history: &History) -> Learning {
        Learning {
            window: Window::of(&history.learning),
            kinds: BTreeMap::new(),
        }
    }

    /// Takes in what one item taught by its events in time order.
    pub(super) fn watch(
        &mut self,
        subject: &Subject,
        kind: Kind,
        dwell: Dwell,
        events: &[(DateTime<FixedOffset>, Event<'_>)],
        usage: &Usage,
    ) {
        if self.window.state == LearningState::Off {
            return;
        }
        let mut watch = Watch {
            usage,
            standing: dwell.standing(),
            points: Vec::new(),
            topped_up: false,
            taught: Taught::default(),
            approximate: 0.0,
        };
        let early = |at| self.window.from.is_some_and(|from| at < from);
        let late = |at| self.window.until.is_some_and(|until| at > until);
        for (at, event) in events.iter().filter(|(at, _)| !early(*at) && !late(*at)) {
            watch.take(*at, event);
        }
        watch.settle();
        if watch.taught.is_nothing() {
            return;
        }
        let kind = self.kinds.entry(kind).or_default();
        kind.total.add(&watch.taught);
        kind.approximate += watch.approximate;
        kind.items.push((subject.clone(), watch.taught));
    }

    /// The dwells that count: the judgement, and where a kind was seen what it taught.
    pub fn dwells(&self, judgement: &Dwells) -> Dwells {
        let mut dwells = judgement.clone();
        for (kind, taught) in &self.kinds {
            if let Some(dwell) = judgement.of(*kind) {
                dwells = dwells.with(*kind, taught.total.dwell(&dwell));
            }
        }
        dwells
    }

    /// What a kind taught; nothing where it was not seen.
    pub fn of(&self, kind: Kind) -> Taught {
        self.kinds.get(&kind).map(|k| k.total).unwrap_or_default()
    }
}

/// Looks less than this many wear hours apart count as one: a meter shows tenths, and a move in no
/// time says that one of the looks was wrong (judgement).
pub const LEAST_WEAR: f64 = 0.1;

/// One item on its way through its looks.
struct Watch<'a> {
    usage: &'a Usage,
    standing: f64,
    /// Since it was last begun anew, in time order.
    points: Vec<Point>,
    topped_up: bool,
    taught: Taught,
    approximate: f64,
}

/// A rung at a time.
#[derive(Clone, Copy)]
struct Point {
    at: DateTime<FixedOffset>,
    grade: Grade,
    /// The walk, where a look says it.
    walk: Option<usize>,
    /// Running hours then, and whether meter readings bound them.
    hours: f64,
    bounded: bool,
}

impl Watch<'_> {
    fn take(&mut self, at: DateTime<FixedOffset>, event: &Event<'_>) {
        match event {
            Event::Look(walk, timed) => self.look(at, *walk, timed),
            Event::Done(Done::Repaired | Done::Fitted | Done::Renewed) => {
                self.begin_at(self.point(at, Grade::Sound, None))
            }
            Event::Withdrawal(_) => self.drop_worse_than(Grade::Sound),
            Event::Removed => self.settle(),
            Event::Deferral(_) | Event::Override(_) | Event::Done(Done::Restarted) => {}
        }
    }

    fn look(&mut self, at: DateTime<FixedOffset>, walk: usize, timed: &TimedLook) {
        let Some(grade) = timed.look.grade() else {
            return;
        };
        let topped_up = std::mem::replace(&mut self.topped_up, timed.look.added.is_some());
        let point = self.point(at, grade, Some(walk));
        match timed.look.better {
            Some(Better::Misjudged) => self.drop_worse_than(grade),
            Some(_) => return self.begin_at(point),
            None if topped_up => return self.begin_at(point),
            None => {}
        }
        let Some(last) = self.points.last_mut() else {
            return self.points.push(point);
        };
        let same_walk = last.walk == point.walk;
        if same_walk || last.at == at {
            last.grade = last.grade.max(grade);
        } else if grade < last.grade || point.hours < last.hours {
            self.begin_at(point);
        } else if wear(last, &point, self.standing) < LEAST_WEAR {
            last.grade = grade;
        } else {
            self.points.push(point);
        }
    }

    fn point(&self, at: DateTime<FixedOffset>, grade: Grade, walk: Option<usize>) -> Point {
        Point {
            at,
            grade,
            walk,
            hours: self.usage.at(at).hours,
            bounded: self.usage.bounds(at),
        }
    }

    fn begin_at(&mut self, point: Point) {
        self.settle();
        self.points.push(point);
    }

    fn drop_worse_than(&mut self, grade: Grade) {
        while self.points.last().is_some_and(|last| last.grade > grade) {
            self.points.pop();
        }
    }

    /// Counts the looks since the last beginning, which nothing can drop any more.
    fn settle(&mut self) {
        for pair in self.points.windows(2) {
            let [a, b] = pair else { continue };
            self.taught
                .add_looks(a.grade, b.grade, wear(a, b, self.standing));
            if !(a.bounded && b.bounded) && a.grade != Grade::Failed {
                self.approximate += b.hours - a.hours;
            }
        }
        self.points.clear();
    }
}

/// Wear hours between two points, as everywhere: running hours and standing wear.
fn wear(a: &Point, b: &Point, standing: f64) -> f64 {
    let between = Exposure {
        hours: (b.hours - a.hours).max(0.0),
        days: days(a.at, b.at),
    };
    between.wear(standing)
}
