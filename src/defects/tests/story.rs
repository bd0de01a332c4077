//! A small teller of histories: what happened, by day, to a boat with one engine or two.

use std::sync::Arc;

use chrono::{DateTime, Duration, FixedOffset};

use crate::assess::words::{Level, Severity, Verdict};
use crate::boat::{Boat, Hours, Measure, MeterChange, Unit, Waters};
use crate::checklist::{Forbids, Grade, Leak, Library, Scope, UnknownAge};
use crate::defects::acts::{
    Closed, Deferral, Fitted, HoldsUntil, Opened, Override, Recheck, Removed, Repair, Withdrawal,
};
use crate::defects::condition::Condition;
use crate::defects::judged::{Judged, judge};
use crate::defects::list::{DefectList, Row, Scenario};
use crate::defects::work::Service;
use crate::defects::{Defect, History, Life, State, WhenLast};
use crate::logbook::fold::fold;
use crate::logbook::placed::Written;
use crate::logbook::record::{LookMade, Record, Undo, WalkFinished, WalkStarted};
use crate::walk::{Better, Look};

/// Noon of a day, counted from 1 May 2026, with its fraction.
pub fn day(n: f64) -> DateTime<FixedOffset> {
    let first = DateTime::parse_from_rfc3339("2026-05-01T12:00:00Z").expect("a time");
    first + Duration::milliseconds((n * 86_400_000.0) as i64)
}

/// A look at an item with a grade.
pub fn look(item: &str, grade: Grade) -> Look {
    Look::graded(item, None, grade)
}

pub trait Told {
    fn better(self, why: Better) -> Look;
    fn leak(self, leak: Leak) -> Look;
    fn percent(self, value: f64) -> Look;
    fn read(self, value: f64, unit: Unit) -> Look;
    fn added(self, volume: &str) -> Look;
    fn during(self, phase: &str) -> Look;
}

impl Told for Look {
    fn better(mut self, why: Better) -> Look {
        self.better = Some(why);
        self
    }
    fn leak(mut self, leak: Leak) -> Look {
        self.leak = Some(leak);
        self
    }
    fn percent(self, value: f64) -> Look {
        self.read(value, Unit::Percent)
    }
    fn read(mut self, value: f64, unit: Unit) -> Look {
        self.reading = Some(Measure::new(value, unit).expect("a measure"));
        self
    }
    fn added(mut self, volume: &str) -> Look {
        self.added = Some(volume.parse().expect("a volume"));
        self
    }
    fn during(mut self, phase: &str) -> Look {
        self.phase = Some(phase.to_owned());
        self
    }
}

/// What happened so far.
#[derive(Clone)]
pub struct Story {
    pub boat: Boat,
    pub written: Vec<Written>,
}

impl Story {
    /// A boat with one engine, `main`, inshore, 15 h a month.
    pub fn new() -> Story {
        Story::with(&["main"])
    }

    /// A boat with these engines.
    pub fn with(machines: &[&str]) -> Story {
        let machines: Vec<_> = machines
            .iter()
            .map(|id| serde_json::json!({"id": id, "name": id}))
            .collect();
        let boat = serde_json::json!({"type": "boat", "name": "Grey Plover", "waters": "inshore",
            "units": "metric", "usual_hours_per_month": 15, "machines": machines});
        Story {
            boat: serde_json::from_value(boat).expect("a boat"),
            written: Vec::new(),
        }
    }

    /// Everything that is due while nobody knows its age, told as done on the first day.
    pub fn of_known_age(mut self) -> Story {
        let tasks = Library::built_in().tasks().iter();
        let due = tasks.filter(|t| t.unknown_age == UnknownAge::Due && !t.every.is_never());
        for task in due {
            let machines = self.boat.machines.iter().map(|m| Some(m.id.clone()));
            let of: Vec<_> = match task.scope {
                Scope::Machine => machines.collect(),
                Scope::Boat => vec![None],
            };
            for machine in of {
                let told = WhenLast {
                    task: Some(task.id.clone()),
                    machine,
                    last: Some(day(0.0)),
                    ..WhenLast::default()
                };
                self = self.write(0.0, Record::from(told));
            }
        }
        self
    }

    pub fn waters(mut self, waters: Waters) -> Story {
        self.boat.waters = waters;
        self
    }

    /// Writes a record on a day.
    pub fn write(mut self, on: f64, record: Record) -> Story {
        let id = format!("r{}", self.written.len());
        let at = day(on);
        self.written.push(Written::new(id, at, record));
        self
    }

    /// All of it written on one day, after it happened.
    pub fn typed_up(mut self, on: f64) -> Story {
        self.written.iter_mut().for_each(|w| w.at = day(on));
        self
    }

    /// A finished daily walk of the first engine.
    pub fn daily(self, on: f64, looks: impl IntoIterator<Item = Look>) -> Story {
        let machine = self.boat.machines[0].id.clone();
        self.walk("daily", &machine, on, None, looks)
    }

    /// A finished walk: a look a second, then the end.
    pub fn walk(
        self,
        checklist: &str,
        machine: &str,
        on: f64,
        hours: Option<f64>,
        looks: impl IntoIterator<Item = Look>,
    ) -> Story {
        let walk = format!("{checklist}-{on}");
        let story = self.begin(&walk, checklist, machine, on, hours);
        let mut story = story.go_on(&walk, on, looks);
        let last = story.written.last().map_or(day(on), |w| w.at);
        let finished = WalkFinished {
            walk,
            at: last,
            pace: None,
            said: None,
        };
        story = story.write(on, Record::from(finished));
        story
    }

    pub fn begin(
        self,
        walk: &str,
        checklist: &str,
        machine: &str,
        on: f64,
        hours: Option<f64>,
    ) -> Story {
        let started = WalkStarted {
            walk: walk.to_owned(),
            checklist: checklist.to_owned(),
            asked: None,
            machine: machine.to_owned(),
            at: day(on),
            by: None,
            hours: hours.map(|h| Hours::new(h).expect("hours")),
            entered_after: false,
            blind: false,
            left_out: Vec::new(),
            joins: Vec::new(),
            disturbed: Vec::new(),
            guest: false,
        };
        self.write(on, Record::from(started))
    }

    pub fn go_on(mut self, walk: &str, on: f64, looks: impl IntoIterator<Item = Look>) -> Story {
        for (n, look) in looks.into_iter().enumerate() {
            let at = day(on) + Duration::seconds(n as i64 + 1);
            let made = LookMade {
                walk: walk.into(),
                at,
                look: look.into(),
            };
            self = self.write(on, Record::Look(made));
            if let Some(last) = self.written.last_mut() {
                last.at = at;
            }
        }
        self
    }

    fn machine_of(&self, item: &str) -> Option<String> {
        use crate::checklist::Scope;
        let item = Library::built_in().catalogue.item(item).expect("an item");
        (item.scope == Scope::Machine).then(|| self.boat.machines[0].id.clone())
    }

    pub fn repair(self, on: f64, item: &str) -> Story {
        self.put_right(on, item, None)
    }

    /// A temporary repair.
    pub fn patch(self, on: f64, item: &str, until: &str) -> Story {
        let until = until.parse().expect("an hour, a date or words");
        self.put_right(on, item, Some(until))
    }

    fn put_right(self, on: f64, item: &str, temporary: Option<HoldsUntil>) -> Story {
        let repair = Repair {
            item: item.to_owned(),
            machine: self.machine_of(item),
            at: Some(day(on)),
            hours: None,
            done: "mended".into(),
            by: None,
            temporary,
            cause: None,
            minutes: None,
        };
        self.write(on, Record::from(repair))
    }

    pub fn defer(self, on: f64, item: &str, until: &str) -> Story {
        let deferral = Deferral {
            item: item.to_owned(),
            machine: self.machine_of(item),
            at: Some(day(on)),
            why: "no part aboard".into(),
            until: until.parse().expect("an hour or a date"),
        };
        self.write(on, Record::from(deferral))
    }

    pub fn set(
        self,
        on: f64,
        item: &str,
        severity: Option<Severity>,
        level: Option<Level>,
    ) -> Story {
        let set = Override {
            item: item.to_owned(),
            machine: self.machine_of(item),
            at: Some(day(on)),
            severity,
            level,
            why: "seen closer".into(),
        };
        self.write(on, Record::from(set))
    }

    pub fn withdraw(self, on: f64, item: &str) -> Story {
        let withdrawal = Withdrawal {
            item: item.to_owned(),
            machine: self.machine_of(item),
            at: Some(day(on)),
            why: "it was salt from the hose".into(),
        };
        self.write(on, Record::from(withdrawal))
    }

    pub fn fitted(self, on: f64, item: &str) -> Story {
        let fitted = Fitted {
            item: item.to_owned(),
            machine: self.machine_of(item),
            at: Some(day(on)),
            hours: None,
        };
        self.write(on, Record::from(fitted))
    }

    /// A service of the first engine that renewed these items and began anew the readings of those.
    pub fn service(self, on: f64, renewed: &[&str], restarted: &[&str]) -> Story {
        let ids = |items: &[&str]| items.iter().map(|i| i.to_string()).collect();
        let service = Service {
            task: "own-work".into(),
            machine: Some(self.boat.machines[0].id.clone()),
            at: Some(day(on)),
            hours: None,
            out: None,
            filled: None,
            parts: Vec::new(),
            turn: None,
            cost: None,
            minutes: None,
            note: None,
            by: None,
            disturbed: Vec::new(),
            renewed: ids(renewed),
            restarted: ids(restarted),
            owed: Vec::new(),
            open: Vec::new(),
            photos: Vec::new(),
        };
        self.write(on, Record::Service(Box::new(service)))
    }

    pub fn opened(self, on: f64, item: &str, what: &str) -> Story {
        let opened = Opened {
            item: item.to_owned(),
            machine: self.machine_of(item),
            at: Some(day(on)),
            what: what.to_owned(),
            why: None,
            forbids: None,
        };
        self.write(on, Record::from(opened))
    }

    /// The same, saying what it forbids.
    pub fn forbidding(self, on: f64, item: &str, what: &str, forbids: Forbids) -> Story {
        let opened = Opened {
            item: item.to_owned(),
            machine: self.machine_of(item),
            at: Some(day(on)),
            what: what.to_owned(),
            why: None,
            forbids: Some(forbids),
        };
        self.write(on, Record::from(opened))
    }

    /// What a record left open is put back as somebody told, and not seen.
    pub fn told_back(self, on: f64, of: &str, by: &str) -> Story {
        let closed = Closed {
            of: of.to_owned(),
            at: Some(day(on)),
            told: Some(by.to_owned()),
        };
        self.write(on, Record::from(closed))
    }

    /// Puts back what a record left open.
    pub fn closed(self, on: f64, of: &str) -> Story {
        let closed = Closed {
            of: of.to_owned(),
            at: Some(day(on)),
            told: None,
        };
        self.write(on, Record::from(closed))
    }

    pub fn removed(self, on: f64, item: &str) -> Story {
        let removed = Removed {
            item: item.to_owned(),
            machine: self.machine_of(item),
            at: Some(day(on)),
            why: None,
        };
        self.write(on, Record::from(removed))
    }

    pub fn recheck(self, on: f64, item: &str, due_day: Option<f64>, due_h: Option<f64>) -> Story {
        let recheck = Recheck {
            item: item.to_owned(),
            machine: self.machine_of(item),
            at: Some(day(on)),
            due_at: due_day.map(day),
            due_hours: due_h.map(|h| Hours::new(h).expect("hours")),
            from: None,
            why: "nip the clip".into(),
        };
        self.write(on, Record::from(recheck))
    }

    pub fn new_meter(self, on: f64, old: f64, new: f64) -> Story {
        let change = MeterChange {
            machine: self.boat.machines[0].id.clone(),
            at: day(on),
            old: Hours::new(old).expect("hours"),
            from: None,
            new: Hours::new(new).expect("hours"),
        };
        self.write(on, Record::from(change))
    }

    /// Takes the last record back.
    pub fn undo(self, on: f64) -> Story {
        let of = self.written.last().expect("a record").id.to_string();
        self.write(on, Record::from(Undo::of(of)))
    }

    pub fn history(&self) -> History {
        fold(&self.written)
    }

    pub fn on(&self, n: f64) -> Condition {
        self.by(Library::built_in().clone(), n)
    }

    /// As another library has it.
    pub fn by(&self, library: Library, n: f64) -> Condition {
        Condition::of(&self.boat, Arc::new(library), &self.history(), day(n))
    }

    pub fn life(&self, item: &str) -> Life {
        let machine = &self.boat.machines[0].id;
        self.on(0.0).life(item, machine).expect("a life").clone()
    }

    /// The last defect of an item.
    pub fn defect(&self, item: &str) -> Defect {
        self.life(item).defects.last().expect("a defect").clone()
    }

    /// Where the last defect of an item stands on a day.
    pub fn state(&self, n: f64, item: &str) -> State {
        let condition = self.on(n);
        let subject = condition.subject(item, &self.boat.machines[0].id);
        let defect = condition.lives[&subject].defects.last().expect("a defect");
        condition.state(&subject, defect)
    }

    /// The list over the usual plan on a day.
    pub fn list(&self, n: f64) -> DefectList {
        let condition = self.on(n);
        let (exposure, waters) = condition.usual_plan();
        condition.list(Scenario::new(exposure, waters), false)
    }

    /// The row of an item on a day.
    pub fn row(&self, n: f64, item: &str) -> Option<Row> {
        self.list(n).rows.into_iter().find(|r| r.item == item)
    }

    /// The judgement on the last walk, as of a day.
    pub fn judged(&self, n: f64) -> Judged {
        let history = self.history();
        let walk = history.walks.last().expect("a walk").id.clone();
        self.judged_walk(n, &walk)
    }

    pub fn judged_walk(&self, n: f64, walk: &str) -> Judged {
        let (history, condition) = (self.history(), self.on(n));
        let walk = history.walk(walk).expect("the walk");
        judge(&self.boat, &condition.library, &history, &condition, walk)
    }

    pub fn verdict(&self, n: f64) -> Option<Verdict> {
        self.judged(n).now
    }
}

/// Every item the daily check must have seen, sound.
pub fn must_see() -> Vec<Look> {
    let daily = Library::built_in().checklist("daily").expect("built in");
    let mut items: Vec<&String> = Vec::new();
    for phase in &daily.phases {
        items.extend(
            phase
                .rows
                .iter()
                .filter(|r| r.must_see)
                .flat_map(|r| &r.items),
        );
    }
    items.iter().map(|i| look(i, Grade::Sound)).collect()
}

/// Every must-see item sound, and these instead or besides.
pub fn all_but(looks: impl IntoIterator<Item = Look>) -> Vec<Look> {
    let looks: Vec<Look> = looks.into_iter().collect();
    let mut all = must_see();
    all.retain(|sound| looks.iter().all(|l| l.item != sound.item));
    all.extend(looks);
    all
}
