//! What is due: service tasks, rechecks, lives that run out and looks, in one list, soonest first.

use chrono::{DateTime, FixedOffset, NaiveDate};
use schemars::JsonSchema;
use serde::Serialize;

use super::status::{TaskStatus, first_act, standings};
use crate::assess::due::{Due, Interval};
use crate::assess::words::Severity;
use crate::boat::Hours;
use crate::checklist::{UnknownAge, Where, Who};
use crate::defects::ages::Basis;
use crate::defects::condition::Condition;
use crate::defects::owed::subject_of;
use crate::defects::{History, Subject};
use crate::text::words;

mod looks;
mod season;

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
        /// The look at a machine that is laid up.
        Standing = "standing",
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
    /// What it counts from is on record. False for what counts from what people remember or from
    /// the first look at it, and where nobody knows since when.
    pub on_record: bool,
    /// It is of a machine that is laid up and due by the calendar: to be done by the time she is
    /// launched, and due no less for that.
    pub at_launch: bool,
    /// Nobody knows how old it is: due now, or due to be looked at, which starts its clock; null
    /// where something says since when it counts.
    pub unknown_age: Option<UnknownAge>,
    /// What can follow where it fails: its place among what nobody knows the age of.
    #[serde(skip)]
    pub severity: Option<Severity>,
    /// Why, one sentence without a full stop.
    pub why: String,
    /// Who can do it: of a task, and of the remedy of an item whose life runs out; null for a look,
    /// which anybody aboard can make.
    pub who: Option<Who>,
    /// Where it can be done; null for a look.
    #[serde(rename = "where")]
    pub place: Option<Where>,
}

/// Where a row stands for people who read the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Due, or overdue.
    Now,
    /// Of an age that nobody knows: to be done or looked at in the first season, in order.
    FirstSeason,
    /// Due by the calendar while she is laid up.
    AtLaunch,
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
    /// In the order in which people read them.
    pub const ALL: &'static [Group] = &[
        Group::Now,
        Group::FirstSeason,
        Group::AtLaunch,
        Group::Coming,
        Group::NotOnRecord,
        Group::Unknown,
        Group::WhenAsked,
    ];

    /// The heading its rows stand under.
    pub const fn title(self) -> &'static str {
        match self {
            Group::Now => "Due now",
            Group::AtLaunch => "Due at launch, since she is laid up",
            Group::FirstSeason => "First season: age not known; do or look, in this order",
            Group::Coming => "Coming",
            Group::NotOnRecord => {
                "Not done on record: counted from what is remembered or from the first look at it"
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
    rows.extend(life_rows(condition, history, &standings));
    rows.extend(looks::rows(condition));
    season::put_in(condition, history, &mut rows);
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
            row if row.unknown_age.is_some() => Group::FirstSeason,
            row if row.due && row.at_launch => Group::AtLaunch,
            row if row.due => Group::Now,
            row if row.due_date.is_none() && row.hours_left.is_none() => Group::Unknown,
            row if !row.on_record => Group::NotOnRecord,
            _ => Group::Coming,
        }
    }

    /// The day it stands on in a calendar: what is overdue on today, since that is when it is to be
    /// done.
    pub fn calendar_day(&self, today: NaiveDate) -> Option<NaiveDate> {
        match self.due && self.unknown_age.is_none() {
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
            _ if self.at_launch => "due at launch".to_owned(),
            (Some(hours), _) if hours >= 1.0 => format!("{hours:.0} h over"),
            (_, Some(days)) if days >= 1.0 => format!("{days:.0} d over"),
            _ => "due now".to_owned(),
        };
        Some(words)
    }

    /// True where somebody aboard does it, and no yard or mechanic.
    pub fn is_hers(&self) -> bool {
        self.who.is_none_or(|who| who == Who::Owner)
    }

    /// The order of the list. What nobody knows the age of stands after what is overdue and before
    /// what is to come: the worst that can follow first, and of the same what is due before what is
    /// to be looked at.
    pub fn order(&self, other: &DueRow) -> std::cmp::Ordering {
        let group = |row: &DueRow| match (row.days_left, row.hours_left) {
            _ if row.unknown_age.is_some() => 1,
            _ if row.group() == Group::AtLaunch => 2,
            (Some(days), _) if days <= 0.0 => 0,
            (Some(_), _) => 3,
            (None, Some(_)) => 4,
            (None, None) => 5,
        };
        let left = |row: &DueRow| row.days_left.or(row.hours_left).unwrap_or_default();
        let names = |row: &DueRow| (row.what, row.id.clone(), row.machine.clone());
        group(self)
            .cmp(&group(other))
            .then(left(self).total_cmp(&left(other)))
            .then(self.severity.cmp(&other.severity))
            .then(self.unknown_age.cmp(&other.unknown_age))
            .then_with(|| names(self).cmp(&names(other)))
            .then_with(|| self.item.cmp(&other.item))
    }

    /// It, where nobody knows how old it is.
    fn of_unknown_age(self, condition: &Condition, unknown: UnknownAge) -> DueRow {
        let subject = Subject {
            item: self.item.clone(),
            machine: self.machine.clone(),
        };
        let (_, waters) = condition.usual_plan();
        let item = condition.item(&subject);
        let worst = |item| Severity::worst_of(condition.effects(&subject, item), waters);
        DueRow {
            due: true,
            unknown_age: Some(unknown),
            severity: item.map(worst),
            ..self
        }
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
            at_launch: false,
            unknown_age: None,
            severity: None,
            why: String::new(),
            machine: subject.machine,
            item: subject.item,
            who: None,
            place: None,
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
    row.who = Some(standing.task.who);
    row.place = Some(standing.task.place);
    row.on_record = matches!(standing.basis, Basis::Done(_) | Basis::Fitted(_));
    row.why = standing.why();
    match standing.basis {
        Basis::Unknown { .. } if standing.interval != Interval::default() => {
            row.of_unknown_age(condition, standing.task.unknown_age)
        }
        _ => row,
    }
}

fn recheck_rows<'a>(
    condition: &'a Condition,
    history: &'a History,
) -> impl Iterator<Item = DueRow> + 'a {
    condition.owed(history).map(|owed| {
        let rec = &owed.recheck.rec;
        let subject = subject_of(owed.recheck);
        let machine = rec.machine.as_deref();
        let meters = condition.meters(machine);
        let total = rec.due_hours.map(|h| meters.total(h, owed.recheck.at));
        // One without a time is due from the day it was written down.
        let at = match (rec.due_at, total) {
            (None, None) => Some(owed.recheck.at),
            (at, _) => at,
        };
        let (now, _) = condition.moment(machine, condition.now, None);
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
    history: &'a History,
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
        let told = history.when_fitted(subject);
        let looked = match bound.unknown_age {
            UnknownAge::Look => life.first_look(),
            UnknownAge::Due => None,
        };
        let due = fitted.or(looked).map(|at| {
            let (from, _) = condition.moment(machine, at, None);
            let (now, _) = condition.moment(machine, condition.now, None);
            Due::after(from, interval, now, condition.pace(machine))
        });
        let mut row = DueRow::of(condition, What::Life, &subject.item, subject.clone(), due);
        let bounds = [
            bound.hours.map(|h| format!("{h} h")),
            bound.months.map(|m| format!("{m} months")),
        ];
        let bounds: Vec<String> = bounds.into_iter().flatten().collect();
        let day = |at: DateTime<FixedOffset>| at.format("%-d %b %Y");
        row.who = Some(item.remedy.who);
        row.place = Some(item.remedy.place);
        let remembered = told.and_then(|told| told.rec.last) == fitted;
        row.on_record = fitted.is_some() && !remembered;
        let since = match (fitted, looked) {
            (Some(at), _) if remembered => format!("fitted {}, as remembered", day(at)),
            (Some(at), _) => format!("fitted {}", day(at)),
            (None, Some(at)) => format!(
                "nobody knows when it was fitted; counted from the first look at it, {}",
                day(at)
            ),
            (None, None) => format!(
                "nobody knows when it was fitted, so it {}",
                first_act(bound.unknown_age)
            ),
        };
        row.why = format!("a life of {}; {since}", bounds.join(" or "));
        Some(match fitted.or(looked) {
            Some(_) => row,
            None => row.of_unknown_age(condition, bound.unknown_age),
        })
    })
}
