//! How long a job takes: the owner's own figure, else what such jobs really took on this boat, else the table.

use chrono::{DateTime, FixedOffset};

use super::costs::CostRow;
use super::history::{History, Stamped};
use super::job_minutes::JobMinutes;
use super::list::Row;
use crate::checklist::RemedyMinutes;

/// Whose work it is.
#[derive(Clone, Copy)]
pub(super) enum JobOf<'a> {
    /// What puts an item right.
    Remedy(&'a str),
    /// Recurring work.
    Task(&'a str),
}

/// How long a job takes, and who says so.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Takes {
    /// Minutes; none where nobody knows.
    pub(super) minutes: Option<u32>,
    /// They are the owner's own.
    pub(super) told: bool,
    /// They are the middle of what so many such jobs really took; none where they are not.
    pub(super) learned: Option<usize>,
    /// What is opened for it, where the minutes are without it.
    pub(super) access: Option<String>,
}

/// The owner's own minutes from an estimate, and when it was made.
type Estimated = Option<(DateTime<FixedOffset>, u32)>;

impl JobOf<'_> {
    fn is(self, item: Option<&String>, task: Option<&String>) -> bool {
        match self {
            JobOf::Remedy(id) => item.is_some_and(|item| item == id),
            JobOf::Task(id) => task.is_some_and(|task| task == id),
        }
    }

    /// What the table says of it.
    fn judged(self) -> Option<&'static RemedyMinutes> {
        match self {
            JobOf::Remedy(item) => RemedyMinutes::of(item),
            JobOf::Task(task) => RemedyMinutes::of_task(task),
        }
    }

    /// The newer of the owner's own figure and the hours of work of an estimate.
    fn told(self, history: &History, machine: Option<&str>, estimated: Estimated) -> Option<u32> {
        let own = |s: &&Stamped<JobMinutes>| {
            self.is(s.rec.item.as_ref(), s.rec.task.as_ref()) && s.rec.machine.as_deref() == machine
        };
        let own = history.job_minutes.iter().rev().find(own);
        let own = own.and_then(|s| Some((s.at, s.rec.minutes?)));
        let newest = own.into_iter().chain(estimated).max_by_key(|(at, _)| *at);
        newest.map(|(_, minutes)| minutes)
    }

    /// What such jobs took on this boat: the middle of them, the longer of two, and how many they are. A temporary
    /// repair is no such job.
    fn learned(self, history: &History) -> Option<(u32, usize)> {
        let repairs = history.repairs.iter().filter(|s| s.rec.temporary.is_none());
        let repairs = repairs.filter(|s| self.is(Some(&s.rec.item), None));
        let services = history.services.iter();
        let services = services.filter(|s| self.is(None, Some(&s.rec.task)));
        let took = repairs.map(|s| s.rec.minutes);
        let took = took.chain(services.map(|s| s.rec.minutes)).flatten();
        let mut took: Vec<u32> = took.filter(|minutes| *minutes > 0).collect();
        took.sort_unstable();
        took.get(took.len() / 2).map(|middle| (*middle, took.len()))
    }

    /// How long it takes on a machine.
    pub(super) fn takes(
        self,
        history: &History,
        machine: Option<&str>,
        estimated: Estimated,
    ) -> Takes {
        // Minutes of people are minutes in all: what they opened is in them.
        if let Some(minutes) = self.told(history, machine, estimated) {
            return Takes {
                minutes: Some(minutes),
                told: true,
                ..Takes::default()
            };
        }
        if let Some((minutes, times)) = self.learned(history) {
            return Takes {
                minutes: Some(minutes),
                learned: Some(times),
                ..Takes::default()
            };
        }
        let judged = self.judged();
        Takes {
            minutes: judged.map(|w| w.minutes),
            access: judged.and_then(|w| w.access.clone()),
            ..Takes::default()
        }
    }
}

/// The hours of work of the estimate of a row, in minutes.
pub(super) fn estimated(history: &History, cost: Option<&CostRow>) -> Estimated {
    let estimate = cost.and_then(|cost| cost.estimate.as_ref())?;
    let made = history.costs.iter().find(|s| s.id == estimate.id)?;
    let hours = made.rec.labour.as_ref()?.hours[1];
    Some((made.at, (hours * 60.0).ceil().clamp(1.0, 1e6) as u32))
}

/// How long the remedy of a row takes.
pub(super) fn of_row(history: &History, row: &Row, cost: Option<&CostRow>) -> Takes {
    JobOf::Remedy(&row.item).takes(history, row.machine.as_deref(), estimated(history, cost))
}
