//! What is due: service tasks, rechecks, lives that run out and looks, in one list, soonest first.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::status::{Basis, TaskStatus, moment, standings};
use crate::assess::due::{Due, Interval};
use crate::boat::Hours;
use crate::defects::condition::Condition;
use crate::defects::{History, Subject};
use crate::text::words;

mod looks;

words! {
    /// What is due.
    What, "sort of what is due" {
        /// Recurring work.
        Task = "task",
        /// A look somebody or some work left owed.
        Recheck = "recheck",
        /// The next look at a defect.
        Look = "look",
        /// An item whose life runs out.
        Life = "life",
    }
}

/// One thing due. Its fields are part of the outside surface, in this order.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DueRow {
    /// What sort of thing.
    pub what: What,
    /// Id of the task, of the recheck's record, or of the item.
    pub id: String,
    /// As shown.
    pub title: String,
    /// Machine id; null for what the boat has once.
    pub machine: Option<String>,
    /// The catalogue item it is about.
    pub item: String,
    /// Due when the meter shows this; null without a bound in hours or without a meter.
    pub due_hours: Option<Hours>,
    /// The date of it: by the calendar, or by the hours at the rate of use, whichever comes first;
    /// null where neither gives one.
    pub due_date: Option<NaiveDate>,
    /// Running hours left, negative when over.
    pub hours_left: Option<f64>,
    /// Days left to that date, with their fraction; negative when over.
    pub days_left: Option<f64>,
    /// The date rests on the rate of use.
    pub about: bool,
    /// Due now, or overdue.
    pub due: bool,
    /// What it counts from is on record. False for a task not done on record that counts from the
    /// day the record begins, and where nothing says since when.
    pub on_record: bool,
    /// Why, one sentence without a full stop.
    pub why: String,
}

/// Where a row stands for people who read the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Due, or overdue.
    Now,
    /// On a day that is known.
    Coming,
    /// Not done on record.
    NotOnRecord,
    /// Nothing says since when.
    Unknown,
    /// Without an interval; see [`when_asked`].
    WhenAsked,
}

impl Group {
    /// The heading its rows stand under.
    pub const fn title(self) -> &'static str {
        match self {
            Group::Now => "Due now",
            Group::Coming => "Coming",
            Group::NotOnRecord => {
                "Not done on record: counted from when the record begins, so it may be due sooner"
            }
            Group::Unknown => "Not known: no record says since when it counts",
            Group::WhenAsked => "When its item asks for it",
        }
    }
}

/// Everything due on the boat, soonest first: what has a date by its date, then what has none, then
/// what nothing says anything of. The order is total: the same state gives the same list.
pub fn due(condition: &Condition, history: &History) -> Vec<DueRow> {
    let standings = standings(condition, history);
    let mut rows: Vec<DueRow> = standings
        .iter()
        .filter(|s| s.interval != Interval::default())
        .map(|s| task_row(condition, s))
        .collect();
    rows.extend(recheck_rows(condition, history));
    rows.extend(life_rows(condition, &standings));
    rows.extend(looks::rows(condition));
    rows.sort_by(DueRow::order);
    rows
}

/// Tasks without an interval, which are done when their item asks for it: each machine's own, then
/// the boat's, in the order of the tasks.
pub fn when_asked(condition: &Condition, history: &History) -> Vec<DueRow> {
    let standings = standings(condition, history);
    let asked = standings
        .iter()
        .filter(|s| s.interval == Interval::default());
    asked.map(|s| task_row(condition, s)).collect()
}

impl DueRow {
    /// Where it stands for people.
    pub fn group(&self) -> Group {
        match self {
            row if row.due => Group::Now,
            row if row.due_date.is_none() && row.hours_left.is_none() => Group::Unknown,
            row if !row.on_record => Group::NotOnRecord,
            _ => Group::Coming,
        }
    }

    /// The day it stands on in a calendar: what is overdue on today, since that is when it is to be
    /// done.
    pub fn calendar_day(&self, today: NaiveDate) -> Option<NaiveDate> {
        match self.due {
            true => Some(today),
            false => self.due_date.map(|date| date.max(today)),
        }
    }

    /// By how much it is over, by the bound that was reached: `12 h over`; `due now` where it is by
    /// less than one. None while it is not due.
    pub fn over(&self) -> Option<String> {
        let past = |left: Option<f64>| left.filter(|l| *l <= 0.0).map(|l| -l);
        let words = match (past(self.hours_left), past(self.days_left)) {
            _ if !self.due => return None,
            (Some(hours), _) if hours >= 1.0 => format!("{hours:.0} h over"),
            (_, Some(days)) if days >= 1.0 => format!("{days:.0} d over"),
            _ => "due now".to_owned(),
        };
        Some(words)
    }

    /// The order of the list.
    pub fn order(&self, other: &DueRow) -> std::cmp::Ordering {
        let group = |row: &DueRow| match (row.days_left, row.hours_left) {
            (Some(_), _) => 0,
            (None, Some(_)) => 1,
            (None, None) => 2,
        };
        let left = |row: &DueRow| row.days_left.or(row.hours_left).unwrap_or_default();
        let names = |row: &DueRow| (row.what, row.id.clone(), row.machine.clone());
        group(self)
            .cmp(&group(other))
            .then(left(self).total_cmp(&left(other)))
            .then_with(|| names(self).cmp(&names(other)))
            .then_with(|| self.item.cmp(&other.item))
    }

    /// A row from when it is due.
    fn of(
        condition: &Condition,
        what: What,
        id: &str,
        subject: Subject,
        due: Option<Due>,
    ) -> DueRow {
        let machine = subject.machine.as_deref();
        let read = condition.machine_usage(machine).last().is_some();
        let total = due.and_then(|d| d.total).filter(|_| read);
        let meter = total.map(|t| condition.meters(machine).reading(t, condition.now));
        let first = due.and_then(|d| d.first());
        let title = condition.item(&subject).map(|i| i.title.clone());
        DueRow {
            what,
            id: id.to_owned(),
            title: title.unwrap_or_default(),
            due_hours: meter.filter(|h| *h >= Hours::ZERO),
            due_date: first.map(|(at, _)| at.date_naive()),
            hours_left: due.and_then(|d| d.hours_left).map(rounded),
            days_left: due.and_then(|d| d.days_left()).map(rounded),
            about: first.is_some_and(|(_, about)| about),
            due: due.is_some_and(|d| d.is_due()),
            on_record: due.is_some(),
            why: String::new(),
            machine: subject.machine,
            item: subject.item,
        }
    }
}

/// To a thousandth, which is finer than any meter shows.
fn rounded(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0 + 0.0
}

fn task_row(condition: &Condition, standing: &TaskStatus<'_>) -> DueRow {
    let subject = Subject {
        item: standing.task.item.clone(),
        machine: standing.machine.map(str::to_owned),
    };
    let mut row = DueRow::of(
        condition,
        What::Task,
        &standing.task.id,
        subject,
        standing.due,
    );
    row.title.clone_from(&standing.task.title);
    row.on_record = matches!(standing.basis, Basis::Done(_) | Basis::Fitted(_));
    row.why = standing.why();
    row
}

fn recheck_rows<'a>(
    condition: &'a Condition,
    history: &'a History,
) -> impl Iterator<Item = DueRow> + 'a {
    condition.owed(history).map(|owed| {
        let rec = &owed.recheck.rec;
        let subject = Subject {
            item: rec.item.clone(),
            machine: rec.machine.clone(),
        };
        let machine = rec.machine.as_deref();
        let meters = condition.meters(machine);
        let total = rec.due_hours.map(|h| meters.total(h, owed.recheck.at));
        // One without a time is due from the day it was written down.
        let at = match (rec.due_at, total) {
            (None, None) => Some(owed.recheck.at),
            (at, _) => at,
        };
        let (now, _) = moment(condition, machine, condition.now, None);
        let due = Due::at(total, at, now, condition.pace(machine));
        let mut row = DueRow::of(
            condition,
            What::Recheck,
            &owed.recheck.id,
            subject,
            Some(due),
        );
        row.due = owed.due;
        row.why = format!("owed: {}", rec.why);
        row
    })
}

/// Items with a life. What a task of the list renews is not told twice.
fn life_rows<'a>(
    condition: &'a Condition,
    standings: &'a [TaskStatus<'a>],
) -> impl Iterator<Item = DueRow> + 'a {
    condition.lives.iter().filter_map(|(subject, life)| {
        let item = condition.item(subject)?;
        let bound = item.life.as_ref().filter(|_| !life.status.removed)?;
        let told = standings.iter().any(|s| {
            s.interval != Interval::default()
                && s.machine == subject.machine.as_deref()
                && s.task.renews.contains(&subject.item)
        });
        if told {
            return None;
        }
        let interval = Interval {
            hours: bound
                .hours
                .map(|h| Hours::from_thousandths(i64::from(h) * 1000)),
            months: bound.months,
        };
        let machine = subject.machine.as_deref();
        let fitted = life.status.fitted;
        let due = fitted.map(|at| {
            let (from, _) = moment(condition, machine, at, None);
            let (now, _) = moment(condition, machine, condition.now, None);
            Due::after(from, interval, now, condition.pace(machine))
        });
        let mut row = DueRow::of(condition, What::Life, &subject.item, subject.clone(), due);
        let bounds = [
            bound.hours.map(|h| format!("{h} h")),
            bound.months.map(|m| format!("{m} months")),
        ];
        let bounds: Vec<String> = bounds.into_iter().flatten().collect();
        let since = fitted.map_or_else(
            || "no record says when it was fitted".to_owned(),
            |at| format!("fitted {}", at.format("%-d %b %Y")),
        );
        row.why = format!("a life of {}; {since}", bounds.join(" or "));
        Some(row)
    })
}
