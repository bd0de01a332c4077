//! How old what wears with time is: since when the work of a task counts, and what no verdict is
//! clear beside because nobody knows, or because it is long past.

use chrono::{DateTime, FixedOffset, Months};

use super::condition::Condition;
use super::history::{History, Stamped};
use super::life::Life;
use super::subject::Subject;
use super::when_last::WhenLast;
use super::work::{Service, ServiceInterval};
use crate::assess::due::Moment;
use crate::assess::verdict::{Aged, ages_in_words};
use crate::assess::words::Severity;
use crate::boat::Hours;
use crate::checklist::{Every, Scope, Task, UnknownAge};
use crate::walk::When;

/// Work past its interval so many times over speaks in a verdict, as an age nobody knows does
/// (judgement).
const LONG_PAST: u32 = 2;

/// From what an interval counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Basis<'a> {
    /// From the last time it was done.
    Done(&'a Stamped<Service>),
    /// Not done on record: from the day the part it renews was fitted.
    Fitted(DateTime<FixedOffset>),
    /// As people remember the last time, later than any on record.
    Told(&'a Stamped<WhenLast>, DateTime<FixedOffset>),
    /// Not done on record: from the first look at what it serves.
    Looked(DateTime<FixedOffset>),
    /// Nothing says since when, or people say that nobody knows.
    Unknown {
        /// It was asked, and nobody knows.
        asked: bool,
    },
}

impl History {
    /// When a task was done on a machine, the last time first, by what was known at a moment.
    pub fn task_done<'a>(
        &'a self,
        task: &'a str,
        machine: Option<&'a str>,
        cut: When,
    ) -> impl Iterator<Item = &'a Stamped<Service>> {
        let same =
            move |s: &&Stamped<Service>| s.rec.task == task && s.rec.machine.as_deref() == machine;
        let known = move |s: &&Stamped<Service>| s.when().is_known_at(cut);
        self.services.iter().rev().filter(same).filter(known)
    }

    /// How often a task is done on a machine as it was set, by what was known at a moment.
    pub fn interval_set(
        &self,
        task: &str,
        machine: Option<&str>,
        cut: When,
    ) -> Option<&ServiceInterval> {
        let mut set = self.intervals.iter().rev();
        let set = set.find(|i| {
            let same = i.rec.task == task && i.rec.machine.as_deref() == machine;
            same && i.when().is_known_at(cut)
        });
        set.map(|set| &set.rec)
            .filter(|set| (set.hours, set.months) != (None, None))
    }
}

impl ServiceInterval {
    /// How often the task is done, with its own bounds where nothing was set; a bound set to nothing
    /// bounds no more.
    pub fn every(&self, task: &Task) -> Every {
        let bound = |given: Option<u32>, own: Option<u32>| given.or(own).filter(|n| *n > 0);
        Every {
            hours: bound(self.hours, task.every.hours),
            months: bound(self.months, task.every.months),
        }
    }
}

impl Basis<'_> {
    /// From when it counts, and what the meter showed then where that was noted; none where nothing
    /// tells.
    pub fn from(&self) -> Option<(DateTime<FixedOffset>, Option<Hours>)> {
        match self {
            Basis::Done(service) => Some((service.at, service.rec.hours)),
            Basis::Told(told, at) => Some((*at, told.rec.hours)),
            Basis::Fitted(at) | Basis::Looked(at) => Some((*at, None)),
            Basis::Unknown { .. } => None,
        }
    }
}

impl Condition {
    /// From what a task counts on a machine, by what was known at a moment: what is on record or
    /// remembered, else the first look at what can be judged by looking.
    pub fn basis<'a>(
        &self,
        history: &'a History,
        task: &'a Task,
        machine: Option<&'a str>,
        cut: When,
    ) -> Basis<'a> {
        let last = history.task_done(&task.id, machine, cut).next();
        let told = history.when_task_last(&task.id, machine, cut);
        let remembered = told.and_then(|told| Some((told, told.rec.last?)));
        match (last, remembered) {
            (Some(service), Some((told, at))) if at > service.at => Basis::Told(told, at),
            (Some(service), _) => Basis::Done(service),
            (None, Some((told, at))) => Basis::Told(told, at),
            (None, None) => {
                let life = self.life(&task.item, machine.unwrap_or_default());
                let looked = life.filter(|_| task.unknown_age == UnknownAge::Look);
                self.fitted(task, machine)
                    .map(Basis::Fitted)
                    .or(looked.and_then(Life::first_look).map(Basis::Looked))
                    .unwrap_or(Basis::Unknown {
                        asked: told.is_some(),
                    })
            }
        }
    }

    /// The oldest of the days on which the items a task renews were fitted.
    fn fitted(&self, task: &Task, machine: Option<&str>) -> Option<DateTime<FixedOffset>> {
        let lives = task
            .renews
            .iter()
            .filter_map(|item| self.life(item, machine.unwrap_or_default()));
        lives.filter_map(|life| life.status.fitted).min()
    }

    /// Every task of what the boat has: each machine's own, then the boat's, in the order of the tasks.
    pub fn tasks(&self) -> impl Iterator<Item = (&Task, Option<&str>)> {
        let machines = self.boat.machines.iter().map(|m| Some(m.id.as_str()));
        machines.chain([None]).flat_map(move |machine| {
            let own = move |task: &&Task| (task.scope == Scope::Machine) == machine.is_some();
            let tasks = self.library.tasks().iter().filter(own);
            let had = tasks.filter(move |task| self.has(&task.item, machine));
            had.map(move |task| (task, machine))
        })
    }

    /// Running hours in all at a time: as read, else between and beyond readings. True where no meter
    /// said so.
    pub fn moment(
        &self,
        machine: Option<&str>,
        at: DateTime<FixedOffset>,
        read: Option<Hours>,
    ) -> (Moment, bool) {
        let estimate = self.machine_usage(machine).at(at);
        let total = match read {
            Some(hours) => self.meters(machine).total(hours, at),
            None => Hours::from_thousandths((estimate.hours * 1000.0).round() as i64),
        };
        let estimated = read.is_none() && estimate.estimated;
        (Moment { at, total }, estimated)
    }

    /// True where a machine (or the boat) has an item that was not taken out.
    pub fn has(&self, item: &str, machine: Option<&str>) -> bool {
        let life = self.life(item, machine.unwrap_or_default());
        life.is_some_and(|life| !life.status.removed)
    }

    /// What can end in the worst two severities and is of an age that nobody knows, or long past, by
    /// what was known at a moment.
    pub(super) fn aged(&self, history: &History, cut: When) -> Vec<Aged> {
        let due = self.tasks().filter(|(task, machine)| {
            let counts = task.unknown_age == UnknownAge::Due && !task.every.is_never();
            counts && self.is_grave(&task.item, *machine)
        });
        let aged = due.filter_map(|(task, machine)| {
            let set = history.interval_set(&task.id, machine, cut);
            let every = set.map_or(task.every, |set| set.every(task));
            let last = self.basis(history, task, machine, cut).from();
            let past = last.is_none_or(|from| self.is_long_past(from, every, machine));
            past.then(|| Aged {
                machine: machine.map(str::to_owned),
                title: task.title.clone(),
                is_known: last.is_some(),
            })
        });
        let lives = self.lives.iter();
        let outlived = lives.filter_map(|(subject, life)| self.outlived(subject, life));
        aged.chain(outlived).collect()
    }

    /// The same of an item with a life that no task renews.
    fn outlived(&self, subject: &Subject, life: &Life) -> Option<Aged> {
        let machine = subject.machine.as_deref();
        let item = self.item(subject)?;
        let bound = item.life.as_ref()?;
        let counts = bound.unknown_age == UnknownAge::Due && self.is_grave(&subject.item, machine);
        let mut tasks = self.library.tasks().iter();
        if !counts || tasks.any(|t| !t.every.is_never() && t.renews.contains(&subject.item)) {
            return None;
        }
        let every = Every {
            hours: bound.hours,
            months: bound.months,
        };
        let last = life.status.fitted;
        let past = last.is_none_or(|at| self.is_long_past((at, None), every, machine));
        past.then(|| Aged {
            machine: subject.machine.clone(),
            title: item.title.clone(),
            is_known: last.is_some(),
        })
    }

    fn is_grave(&self, item: &str, machine: Option<&str>) -> bool {
        let subject = self.subject(item, machine.unwrap_or_default());
        let worst = |item| Severity::worst_of(self.effects(&subject, item), self.boat.waters);
        let item = self.item(&subject).filter(|_| self.has(item, machine));
        item.is_some_and(|item| worst(item) <= Severity::Critical)
    }

    fn is_long_past(
        &self,
        (last, read): (DateTime<FixedOffset>, Option<Hours>),
        every: Every,
        machine: Option<&str>,
    ) -> bool {
        let (then, _) = self.moment(machine, last, read);
        let (now, _) = self.moment(machine, self.now, None);
        let run = now.total.since(then.total);
        let months = every
            .months
            .map(|m| Months::new(m.saturating_mul(LONG_PAST)));
        let over = months.and_then(|months| last.checked_add_months(months));
        over.is_some_and(|over| self.now > over)
            || every
                .hours
                .is_some_and(|hours| run > f64::from(hours) * f64::from(LONG_PAST))
    }

    /// What no verdict on a machine is clear beside since its age is not known, or long past, in
    /// words; none where there is nothing.
    pub(super) fn ages_against(&self, machine: &str) -> Option<String> {
        let here = |aged: &&Aged| aged.machine.as_deref().is_none_or(|m| m == machine);
        ages_in_words(self.aged.iter().filter(here))
    }
}
