//! One item watched through its looks, for what they teach, see [`super::taught`].

use chrono::{DateTime, FixedOffset};

use super::events::Event;
use super::history::Done;
use super::usage::{Usage, days};
use crate::assess::exposure::Exposure;
use crate::assess::learning::Taught;
use crate::checklist::Grade;
use crate::walk::{Better, TimedLook};

/// Looks less than this many wear hours apart count as one: a meter shows tenths, and a move in no
/// time says that one of the looks was wrong (judgement).
pub const LEAST_WEAR: f64 = 0.1;

/// What looks taught, and how much of it no meter bounds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Lesson {
    /// What its looks add to what is learned: moves and wear hours by rung.
    pub(super) taught: Taught,
    /// Running hours among the time that no meter readings bound.
    pub(super) approximate: f64,
}

impl Lesson {
    fn and(mut self, other: &Lesson) -> Lesson {
        self.taught.add(&other.taught);
        self.approximate += other.approximate;
        self
    }
}

/// One item on its way through its looks. What was taken in can be taken back, see
/// [`Watch::back_to`].
pub(super) struct Watch {
    standing: f64,
    /// Every point there was; one that is changed is written anew.
    points: Vec<Point>,
    state: State,
}

/// All of a watch but its points.
#[derive(Clone, Copy, Default)]
struct State {
    /// The last point since it was begun anew.
    last: Option<usize>,
    topped_up: bool,
    /// It lives by a temporary repair.
    patched: bool,
    /// The last look said that it was as last time.
    as_last_time: bool,
    /// From before it was begun anew.
    settled: Lesson,
}

/// Where a watch stood.
pub(super) struct Mark(usize, State);

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
    /// The point before it since it was begun anew.
    follows: Option<usize>,
    /// What the points up to this one taught since then.
    lesson: Lesson,
}

impl Watch {
    /// Of an item of which a day at rest wears as much as `standing` running hours.
    pub(super) fn new(standing: f64) -> Watch {
        Watch {
            standing,
            points: Vec::new(),
            state: State::default(),
        }
    }

    /// Takes in what happened next.
    pub(super) fn take(&mut self, at: DateTime<FixedOffset>, event: &Event<'_>, usage: &Usage) {
        match event {
            Event::Look(_, timed) if !timed.lifts() => {}
            Event::Look(walk, timed) => self.look(Point::of(at, Some(*walk), usage), timed),
            // What lives by a temporary repair teaches nothing until a lasting one.
            Event::Patched(_) => {
                self.settle();
                self.state.patched = true;
            }
            Event::Done(Done::Repaired | Done::Fitted | Done::Renewed) => {
                self.state.patched = false;
                self.begin_at(Point::of(at, None, usage));
            }
            Event::Withdrawal(_) => self.drop_worse_than(Grade::Sound),
            Event::Removed => self.settle(),
            Event::Deferral(_)
            | Event::Override(_)
            | Event::Opened(_)
            | Event::Closed(_)
            | Event::ToldBack(..)
            | Event::GivenOn
            | Event::Remembered
            | Event::Done(Done::Restarted | Done::Patched) => {}
        }
    }

    /// What was taught up to now.
    pub(super) fn lesson(&self) -> Lesson {
        let last = self.last().map(|last| last.lesson).unwrap_or_default();
        self.state.settled.and(&last)
    }

    /// Where it stands, to come back to.
    pub(super) fn mark(&self) -> Mark {
        Mark(self.points.len(), self.state)
    }

    /// Takes back what was taken in since.
    pub(super) fn back_to(&mut self, mark: Mark) {
        let Mark(points, state) = mark;
        self.points.truncate(points);
        self.state = state;
    }

    fn last(&self) -> Option<&Point> {
        self.points.get(self.state.last?)
    }

    fn look(&mut self, point: Point, timed: &TimedLook) {
        let Some(grade) = timed.look.grade() else {
            return;
        };
        let point = Point { grade, ..point };
        if self.state.patched {
            return;
        }
        let added = timed.look.added.is_some();
        let topped_up = std::mem::replace(&mut self.state.topped_up, added);
        let again = std::mem::replace(&mut self.state.as_last_time, timed.look.as_last_time);
        match timed.look.better {
            Some(Better::Misjudged) => self.drop_worse_than(grade),
            Some(_) => return self.begin_at(point),
            None if topped_up => return self.begin_at(point),
            None => {}
        }
        let Some(last) = self.last().copied() else {
            return self.put(point, None);
        };
        // What is as last time many times over was read in its words once: it counts once.
        if again && timed.look.as_last_time && grade == last.grade {
            return;
        }
        let same_walk = last.walk == point.walk;
        if same_walk || last.at == point.at {
            let grade = last.grade.max(grade);
            self.put(Point { grade, ..last }, last.follows);
        } else if grade < last.grade || point.hours < last.hours {
            self.begin_at(point);
        } else if wear(&last, &point, self.standing) < LEAST_WEAR {
            self.put(Point { grade, ..last }, last.follows);
        } else {
            self.put(point, self.state.last);
        }
    }

    fn put(&mut self, mut point: Point, follows: Option<usize>) {
        point.follows = follows;
        point.lesson = match follows.and_then(|i| self.points.get(i)) {
            Some(before) => before.lesson.and(&self.between(before, &point)),
            None => Lesson::default(),
        };
        self.state.last = Some(self.points.len());
        self.points.push(point);
    }

    /// What two points in a row teach.
    fn between(&self, a: &Point, b: &Point) -> Lesson {
        let mut lesson = Lesson::default();
        let wear = wear(a, b, self.standing);
        lesson.taught.add_looks(a.grade, b.grade, wear);
        if !(a.bounded && b.bounded) && a.grade != Grade::Failed {
            lesson.approximate = b.hours - a.hours;
        }
        lesson
    }

    fn begin_at(&mut self, point: Point) {
        self.settle();
        self.put(point, None);
    }

    fn drop_worse_than(&mut self, grade: Grade) {
        while let Some(last) = self.last().filter(|last| last.grade > grade) {
            self.state.last = last.follows;
        }
    }

    /// Counts the looks since the last beginning, which nothing can drop any more.
    fn settle(&mut self) {
        self.state.settled = self.lesson();
        self.state.last = None;
    }
}

impl Point {
    /// As good as new, by running hours.
    fn of(at: DateTime<FixedOffset>, walk: Option<usize>, usage: &Usage) -> Point {
        Point {
            at,
            grade: Grade::Sound,
            walk,
            hours: usage.at(at).hours,
            bounded: usage.bounds(at),
            follows: None,
            lesson: Lesson::default(),
        }
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
