//! Where each task stands: how often, since when, and when it is due.

use chrono::{DateTime, FixedOffset};

use crate::assess::due::{Due, Interval, stood_long};
use crate::boat::Hours;
use crate::checklist::{Every, Task, UnknownAge};
use crate::defects::ages::Basis;
use crate::defects::condition::Condition;
use crate::defects::{History, Service, ServiceInterval, Stamped};
use crate::walk::When;

/// Why the interval is what it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bound<'a> {
    /// The figure of the task itself.
    Usual,
    /// Shortened: the first time on record.
    FirstOnRecord,
    /// Shortened: the last time is remembered, and no record tells how it was done.
    Remembered,
    /// Shortened: the machine had stood long.
    AfterStanding,
    /// As set for this machine.
    Set(&'a ServiceInterval),
}

/// One task on one machine, or on the boat.
#[derive(Clone, Debug)]
pub struct TaskStatus<'a> {
    /// The task as the library has it today.
    pub task: &'a Task,
    /// The machine; none for what the boat has once.
    pub machine: Option<&'a str>,
    /// How often, from the last time on; neither bound for work done when its item asks for it.
    pub interval: Interval,
    /// Where the interval comes from.
    pub bound: Bound<'a>,
    /// From what it counts.
    pub basis: Basis<'a>,
    /// When it is due; none without an interval or a basis.
    pub due: Option<Due>,
    /// The running hours it counts from were not read but follow from the rate of use.
    pub estimated: bool,
}

/// Every task of the boat: each machine's own, then the boat's, in the order of the tasks.
pub fn standings<'a>(condition: &'a Condition, history: &'a History) -> Vec<TaskStatus<'a>> {
    let tasks = condition.tasks();
    tasks
        .map(|(task, machine)| standing(condition, history, task, machine))
        .collect()
}

/// Where one task stands on one machine (none for a task of the boat).
pub fn standing<'a>(
    condition: &'a Condition,
    history: &'a History,
    task: &'a Task,
    machine: Option<&'a str>,
) -> TaskStatus<'a> {
    let now = When::last_at(condition.now);
    let before = history.task_done(&task.id, machine, now).nth(1);
    let basis = condition.basis(history, task, machine, now);
    let (interval, bound) = interval(condition, history, task, machine, (basis, before));
    let from = basis.from();
    let from = from.map(|(at, read)| condition.moment(machine, at, read));
    let counted = (interval.hours, interval.months) != (None, None);
    let due = from.filter(|_| counted).map(|(from, _)| {
        let (now, _) = condition.moment(machine, condition.now, None);
        Due::after(from, interval, now, condition.pace(machine))
    });
    TaskStatus {
        task,
        machine,
        interval,
        bound,
        basis,
        due,
        estimated: interval.hours.is_some() && from.is_some_and(|(_, estimated)| estimated),
    }
}

fn interval<'a>(
    condition: &Condition,
    history: &'a History,
    task: &Task,
    machine: Option<&str>,
    (basis, before): (Basis<'_>, Option<&Stamped<Service>>),
) -> (Interval, Bound<'a>) {
    let now = When::last_at(condition.now);
    if let Some(set) = history.interval_set(&task.id, machine, now) {
        return (counted(set.every(task)), Bound::Set(set));
    }
    let counts = !task.first.is_never();
    let last = match basis {
        Basis::Done(service) => Some(service),
        _ => None,
    };
    let remembered = matches!(basis, Basis::Told(..)) && counts;
    let short = last.filter(|_| counts).and_then(|last| {
        let Some(before) = before else {
            return Some(Bound::FirstOnRecord);
        };
        let readings = condition.machine_usage(machine).readings();
        stood_long(readings, before.at, last.at).then_some(Bound::AfterStanding)
    });
    match short.or(remembered.then_some(Bound::Remembered)) {
        Some(bound) => {
            let every = Every {
                hours: task.first.hours.or(task.every.hours),
                months: task.first.months.or(task.every.months),
            };
            (counted(every), bound)
        }
        None => (counted(task.every), Bound::Usual),
    }
}

fn counted(every: Every) -> Interval {
    Interval {
        hours: every
            .hours
            .map(|h| Hours::from_thousandths(i64::from(h) * 1000)),
        months: every.months,
    }
}

/// What comes first where nobody knows how old it is.
pub(super) const fn first_act(unknown: UnknownAge) -> &'static str {
    match unknown {
        UnknownAge::Due => "is due now",
        UnknownAge::Look => "is due to be looked at, and that look starts its clock",
    }
}

impl TaskStatus<'_> {
    /// When it was last done, on record or as remembered, and the meter as read then; none where
    /// nothing says so.
    pub fn last(&self) -> Option<(DateTime<FixedOffset>, Option<Hours>)> {
        match self.basis {
            Basis::Done(service) => Some((service.at, service.rec.hours)),
            Basis::Told(told, last) => Some((last, told.rec.hours)),
            _ => None,
        }
    }

    /// How often, in words: `every 100 h or 6 months`; `when its item asks for it` without a bound.
    pub fn every(&self) -> String {
        let hours = self.interval.hours.map(|h| format!("{} h", h.get()));
        let months = self.interval.months.map(|m| match m {
            1 => "1 month".to_owned(),
            m => format!("{m} months"),
        });
        let bounds: Vec<String> = [hours, months].into_iter().flatten().collect();
        match bounds.as_slice() {
            [] => "when its item asks for it".to_owned(),
            bounds => format!("every {}", bounds.join(" or ")),
        }
    }

    /// How often and why, and from when it counts: one sentence without a full stop.
    pub fn why(&self) -> String {
        let every = self.every();
        let every = match self.bound {
            Bound::Usual => every,
            Bound::FirstOnRecord => format!("{every} after the first time on record"),
            Bound::Remembered => format!("{every} after a time that is only remembered"),
            Bound::AfterStanding => format!("{every} after long standing"),
            Bound::Set(set) => match set.source.as_deref() {
                Some(source) => format!("{every} as set for this machine ({source})"),
                None => format!("{every} as set for this machine"),
            },
        };
        let day = |at: DateTime<FixedOffset>| at.format("%-d %b %Y");
        let since = match self.basis {
            Basis::Done(service) => {
                let at = match service.rec.hours {
                    Some(hours) => format!(" at {hours} h"),
                    None if self.interval.hours.is_some() => {
                        ", the meter not read, so its hours are an estimate".to_owned()
                    }
                    None => String::new(),
                };
                format!("last done {}{at}", day(service.at))
            }
            Basis::Fitted(at) => format!("not done on record; fitted {}", day(at)),
            Basis::Told(told, at) => {
                let read = told.rec.hours.map(|hours| format!(" at {hours} h"));
                let on = told.at.format("%-d %b %Y");
                format!(
                    "last done {}{}, as remembered on {on}",
                    day(at),
                    read.unwrap_or_default()
                )
            }
            Basis::Looked(at) => format!(
                "not done on record; counted from the first look at it, {}, so it may be due sooner",
                day(at)
            ),
            Basis::Unknown { asked } => format!(
                "{}, so it {}",
                match asked {
                    true => "nobody knows when it was last done",
                    false => "not done on record, and nobody said when last",
                },
                first_act(self.task.unknown_age)
            ),
        };
        format!("{every}; {since}")
    }
}
