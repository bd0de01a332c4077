//! A small teller of services, and what comes of them.

use std::sync::Arc;

use chrono::{DateTime, Duration, FixedOffset};

use super::{DueRow, ServiceSheet, What, due, service_of};
use crate::boat::{Boat, Hours, MeterChange};
use crate::checklist::{Grade, Library};
use crate::defects::admit::Fault;
use crate::defects::condition::Condition;
use crate::defects::{Fitted, History, Service, ServiceInterval, WhenLast};
use crate::logbook::fold::fold;
use crate::logbook::placed::Written;
use crate::logbook::record::{LookMade, Record, Undo, WalkFinished, WalkStarted};
use crate::walk::Look;

mod calendar;
mod due_list;
mod ics;
mod label;
mod life;
mod sheet;

/// A time of 2026 or another year, told as `2026-05-03` (08:00 in +02:00) or in full.
pub fn at(text: &str) -> DateTime<FixedOffset> {
    let full = match text.len() {
        10 => format!("{text}T08:00:00+02:00"),
        _ => text.to_owned(),
    };
    DateTime::parse_from_rfc3339(&full).expect("a time")
}

pub fn hours(h: f64) -> Hours {
    Hours::new(h).expect("hours")
}

/// The beginning of a walk of the main engine.
fn begun(walk: &str, checklist: &str, when: &str) -> WalkStarted {
    WalkStarted {
        walk: walk.to_owned(),
        checklist: checklist.to_owned(),
        asked: None,
        machine: "main".into(),
        at: at(when),
        by: None,
        hours: None,
        entered_after: false,
        blind: false,
        left_out: Vec::new(),
        joins: Vec::new(),
        disturbed: Vec::new(),
        guest: false,
    }
}

/// What happened so far.
#[derive(Clone)]
pub struct Story {
    pub boat: Boat,
    pub library: Arc<Library>,
    pub written: Vec<Written>,
}

impl Story {
    /// A boat with one engine, begun on 26 April 2026 at 1200 h, half an hour a day.
    pub fn new() -> Story {
        Story::with(
            serde_json::json!([{"id": "main", "name": "Main engine", "hours": 1200.0,
            "sump": "7 L", "gearbox": "1.2 L", "without": ["stuffing-box"]}]),
        )
    }

    pub fn with(machines: serde_json::Value) -> Story {
        let boat = serde_json::json!({"type": "boat", "name": "Grey Plover", "waters": "inshore",
            "units": "metric", "usual_hours_per_month": 15.21875, "machines": machines});
        let boat: Boat = serde_json::from_value(boat).expect("a boat");
        let mut story = Story {
            boat: boat.clone(),
            library: Arc::new(Library::built_in().clone()),
            written: Vec::new(),
        };
        story.tell("2026-04-26", Record::Profile(Box::new(boat.into())));
        story
    }

    pub fn tell(&mut self, day: &str, record: Record) -> String {
        let id = format!("r{}", self.written.len());
        // Of an earlier day it is told today.
        let line = self
            .written
            .last()
            .map_or(at(day), |last| last.at.max(at(day)));
        self.written.push(Written::new(id.clone(), line, record));
        id
    }

    pub fn history(&self) -> History {
        fold(&self.written)
    }

    pub fn condition(&self, day: &str) -> (Condition, History) {
        let history = self.history().as_of(at(day));
        let library = Arc::clone(&self.library);
        (
            Condition::of(&self.boat, library, &history, at(day)),
            history,
        )
    }

    /// A task done, through all checks.
    pub fn try_done(&mut self, day: &str, sheet: &ServiceSheet) -> Result<String, Vec<Fault>> {
        let (condition, history) = self.condition(day);
        let service = service_of(&condition, &history, sheet, at(day))?;
        Ok(self.tell(day, Record::Service(Box::new(service))))
    }

    pub fn done(&mut self, day: &str, task: &str, read: Option<f64>) -> String {
        let sheet = ServiceSheet {
            hours: read.map(hours),
            ..sheet(task)
        };
        self.try_done(day, &sheet).expect("taken")
    }

    pub fn service(&self, id: &str) -> Service {
        self.history().service(id).expect("there").rec.clone()
    }

    pub fn read_meter(&mut self, day: &str, h: f64) {
        let walk = format!("w{}", self.written.len());
        let started = WalkStarted {
            hours: Some(hours(h)),
            ..begun(&walk, "daily", day)
        };
        self.tell(day, Record::from(started));
    }

    /// One look in a walk of its own.
    pub fn look(&mut self, day: &str, look: Look) {
        let walk = format!("w{}", self.written.len());
        self.tell(day, Record::from(begun(&walk, "daily", day)));
        let made = LookMade {
            walk: walk.as_str().into(),
            at: at(day),
            look: look.into(),
        };
        self.tell(day, Record::Look(made));
        let finished = WalkFinished {
            walk,
            at: at(day),
            pace: None,
            said: None,
        };
        self.tell(day, Record::from(finished));
    }

    pub fn fitted(&mut self, day: &str, item: &str, machine: Option<&str>) {
        let fitted = Fitted {
            item: item.to_owned(),
            machine: machine.map(str::to_owned),
            at: Some(at(day)),
            hours: None,
        };
        self.tell(day, Record::from(fitted));
    }

    /// When a task was last done, as it is remembered; none: not known.
    pub fn remember(&mut self, day: &str, task: &str, last: Option<&str>) {
        let known = self.library.task(task).expect("a task");
        let told = WhenLast {
            task: Some(task.to_owned()),
            machine: Some("main".into()),
            at: Some(at(day)),
            last: last.map(at),
            renews: known.renews.clone(),
            ..WhenLast::default()
        };
        self.tell(day, Record::from(told));
    }

    pub fn set(&mut self, day: &str, task: &str, h: Option<u32>, m: Option<u32>) {
        let interval = ServiceInterval {
            task: task.to_owned(),
            machine: Some("main".into()),
            at: Some(at(day)),
            hours: h,
            months: m,
            source: Some("handbook, page 9".into()),
        };
        self.tell(day, Record::from(interval));
    }

    pub fn due(&self, day: &str) -> Vec<DueRow> {
        let (condition, history) = self.condition(day);
        due(&condition, &history)
    }

    /// The row of a task.
    pub fn task(&self, day: &str, task: &str) -> DueRow {
        let rows = self.due(day);
        let row = rows
            .into_iter()
            .find(|r| r.what == What::Task && r.id == task);
        row.expect("a row")
    }

    pub fn rechecks(&self, day: &str) -> Vec<DueRow> {
        let mut rows = self.due(day);
        rows.retain(|r| r.what == What::Recheck);
        rows
    }
}

pub fn sheet(task: &str) -> ServiceSheet {
    ServiceSheet {
        task: task.to_owned(),
        ..ServiceSheet::default()
    }
}

pub fn graded(item: &str, grade: Grade) -> Look {
    Look::graded(item, None, grade)
}

pub fn undo(of: &str) -> Record {
    Record::from(Undo::of(of.to_owned()))
}

pub fn new_meter(day: &str, old: f64, new: f64) -> Record {
    Record::from(MeterChange {
        machine: "main".into(),
        at: at(day),
        old: hours(old),
        from: None,
        new: hours(new),
    })
}

pub fn days_later(day: &str, days: i64) -> String {
    (at(day) + Duration::days(days)).to_rfc3339()
}
