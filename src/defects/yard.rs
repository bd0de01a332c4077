//! What needs her out of the water: work, recurring work that is due, looks that are made ashore alone; and what has
//! become of each since the list was given, as seen or as told.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::costs::CostRow;
use super::history::History;
use super::leaving_due::{Coming, Sort};
use super::life::State;
use super::list::{Row, Scenario};
use super::subject::Subject;
use crate::checklist::{Grade, Item, UnknownAge, Where};
use crate::text::words;

words! {
    /// Why something stands on the list for the yard.
    For, "why it needs her ashore" {
        /// It is to be put right.
        Mend = "mend",
        /// Recurring work is due.
        Task = "task",
        /// It was put right, and nobody has looked since.
        Confirm = "confirm",
        /// It can be looked at ashore alone, or best.
        Look = "look",
    }
}

words! {
    /// What has become of something on the list.
    Since, "what became of it" {
        /// Looked at since, and since the last work on it.
        Seen = "seen",
        /// Work on it is told, and nobody has looked at it since.
        Told = "told",
        /// Neither looked at nor told.
        Neither = "neither",
    }
}

/// One thing on the list. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct YardRow {
    /// Why it stands there.
    #[serde(rename = "for")]
    pub sort: For,
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// Id of the task; null for what is no recurring work.
    pub task: Option<String>,
    /// As it is called.
    pub title: String,
    /// Where it is in the boat, by its station.
    pub station: String,
    /// What to do, or how to look.
    #[serde(rename = "do")]
    pub action: String,
    /// What is wrong or due, a sentence without a full stop; empty for a look.
    pub why: String,
    /// Parts it takes, in plain words.
    pub parts: Vec<String>,
    /// By when, in words.
    pub by_when: String,
    /// It is to be left open until the owner has seen it.
    pub leave_open: bool,
    /// What it may cost, from an estimate on record; null where there is none.
    pub likely: Option<f64>,
    /// Currency of that estimate.
    pub currency: Option<String>,
}

/// What has become of a thing on the list. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BackRow {
    /// What it was on the list.
    #[serde(flatten)]
    pub row: YardRow,
    /// It came on the list after it was given.
    pub new: bool,
    /// What became of it.
    pub since: Since,
    /// The rung it was last seen at since; null where nobody looked.
    pub grade: Option<Grade>,
    /// When it was last looked at since; null where nobody looked.
    pub seen: Option<DateTime<FixedOffset>>,
    /// When work on it was last told since; null where none was.
    pub told: Option<DateTime<FixedOffset>>,
    /// Who told it, as recorded.
    pub by: Option<String>,
    /// What was told of it, in their words.
    pub done: Option<String>,
    /// In a sentence.
    pub words: String,
}

/// What no row of the catalogue stands for, and is seen ashore alone.
pub const NOT_LISTED: &str = "not on this list, since the catalogue has no row for it: paint, the rudder, and fittings through the hull that are not the engine's; look at them while she stands";

impl Condition {
    /// What needs her out of the water, work first.
    pub fn yard(&self, history: &History, scenario: Scenario, coming: &[Coming]) -> Vec<YardRow> {
        let list = self.list(scenario, false);
        let costs = self.costs(history, &list).rows;
        let mut rows: Vec<YardRow> = Vec::new();
        let ashore = |row: &&Row| row.remedy.place == Where::HauledOut;
        for row in list.rows.iter().filter(ashore) {
            let cost = costs.iter().find(|cost| cost.rank == row.rank);
            rows.extend(self.to_mend(row, cost));
        }
        for one in coming.iter().filter(|one| one.sort == Sort::Task) {
            rows.extend(self.task_ashore(one, &scenario));
        }
        let known: BTreeSet<(String, Option<String>)> = rows
            .iter()
            .map(|row| (row.item.clone(), row.machine.clone()))
            .collect();
        let looks = self
            .lives
            .iter()
            .chain(&self.quiet)
            .filter_map(|(subject, life)| {
                let item = self.item(subject).filter(|_| !life.status.removed)?;
                let of = (subject.item.clone(), subject.machine.clone());
                let look = item.is_seen_ashore() && !known.contains(&of);
                look.then(|| self.yard_row(For::Look, subject, item))
            });
        rows.extend(looks);
        rows
    }

    /// A row of the list that is put right ashore, or was and awaits a look.
    fn to_mend(&self, row: &Row, cost: Option<&CostRow>) -> Option<YardRow> {
        let subject = row.subject();
        let item = self.item(&subject)?;
        if row.state == State::Repaired {
            return Some(YardRow {
                why: "put right, and nobody has looked since".to_owned(),
                ..self.yard_row(For::Confirm, &subject, item)
            });
        }
        let date = row.fix_within.and_then(|wait| wait.date);
        let estimate = cost.and_then(|cost| cost.estimate.as_ref());
        Some(YardRow {
            action: row.remedy.action.clone(),
            why: item.ladder[row.grade as usize].clone(),
            parts: row.parts.clone(),
            by_when: match (row.stop, date) {
                (true, _) => "before she goes back into the water".to_owned(),
                (false, Some(date)) => format!(
                    "while she is out; it ought to be done by {}",
                    date.format("%-d %b %Y")
                ),
                (false, None) => WHILE_OUT.to_owned(),
            },
            leave_open: true,
            likely: estimate.map(|e| e.likely),
            currency: estimate.and_then(|e| e.currency.clone()),
            ..self.yard_row(For::Mend, &subject, item)
        })
    }

    /// Recurring work that is due, or comes due on what lies ahead, and is done ashore.
    fn task_ashore(&self, one: &Coming, scenario: &Scenario) -> Option<YardRow> {
        let task = self.library.task(&one.id)?;
        let due = task.place == Where::HauledOut && one.comes_in(scenario);
        let subject = Subject {
            item: one.item.clone(),
            machine: one.machine.clone(),
        };
        let item = self.item(&subject).filter(|_| due)?;
        // Of an age nobody knows, and told by looking.
        if one.unknown_age == Some(UnknownAge::Look) {
            return Some(YardRow {
                task: Some(task.id.clone()),
                why: one.why.clone(),
                ..self.yard_row(For::Look, &subject, item)
            });
        }
        Some(YardRow {
            task: Some(task.id.clone()),
            title: one.title.clone(),
            action: task.title.clone(),
            why: one.why.clone(),
            parts: task
                .parts_in_words()
                .into_iter()
                .map(str::to_owned)
                .collect(),
            leave_open: true,
            ..self.yard_row(For::Task, &subject, item)
        })
    }

    fn yard_row(&self, sort: For, subject: &Subject, item: &Item) -> YardRow {
        let station = self.library.catalogue.station(&item.station);
        YardRow {
            sort,
            item: subject.item.clone(),
            machine: subject.machine.clone(),
            task: None,
            title: item.title.clone(),
            station: station.map_or_else(|| item.station.clone(), |s| s.title.clone()),
            action: item.look.clone(),
            why: String::new(),
            parts: Vec::new(),
            by_when: WHILE_OUT.to_owned(),
            leave_open: false,
            likely: None,
            currency: None,
        }
    }

    /// What has become of a list since it was given; what has come upon it since stands there too.
    pub fn yard_back(
        &self,
        history: &History,
        (given, now): (Vec<YardRow>, Vec<YardRow>),
        since: DateTime<FixedOffset>,
    ) -> Vec<BackRow> {
        let same = |a: &YardRow, b: &YardRow| {
            (&a.item, &a.machine, &a.task) == (&b.item, &b.machine, &b.task)
        };
        // What was a look and is found to be mended now is new work, told beside the look.
        let known = |row: &YardRow| {
            given
                .iter()
                .any(|old| same(old, row) && old.sort == row.sort)
        };
        let repaired =
            |row: &YardRow| row.sort == For::Confirm && given.iter().any(|old| same(old, row));
        let new: Vec<YardRow> = now
            .into_iter()
            .filter(|row| row.sort != For::Look && !known(row) && !repaired(row))
            .collect();
        let old = given.into_iter().map(|row| (row, false));
        let all = old.chain(new.into_iter().map(|row| (row, true)));
        all.map(|(row, new)| self.became(history, row, new, since))
            .collect()
    }

    fn became(
        &self,
        history: &History,
        row: YardRow,
        new: bool,
        since: DateTime<FixedOffset>,
    ) -> BackRow {
        let subject = Subject {
            item: row.item.clone(),
            machine: row.machine.clone(),
        };
        // A guest's look confirms nothing.
        let walks = history.walks.iter().filter(|w| !w.guest);
        let looks = walks.flat_map(|walk| {
            let own = move |item: &str| self.subject(item, &walk.machine);
            walk.looks.iter().map(move |t| (own(&t.look.item), t))
        });
        let seen = looks
            .filter(|(own, t)| *own == subject && t.at >= since)
            .filter_map(|(_, t)| Some((t.at, t.look.grade()?)))
            .max_by_key(|(at, _)| *at);
        let repairs = history
            .repairs
            .iter()
            .filter(|s| s.rec.item == row.item && s.rec.machine == row.machine && s.at >= since);
        let repairs = repairs.map(|s| (s.at, s.rec.by.clone(), s.rec.done.clone()));
        let services = history.services.iter().filter(|s| {
            let of_task = row.task.as_ref() == Some(&s.rec.task) && s.rec.machine == row.machine;
            let renews = row.task.is_none() && s.rec.touches(&s.rec.renewed, &subject);
            (of_task || renews) && s.at >= since
        });
        let services = services.map(|s| (s.at, s.rec.by.clone(), s.rec.task.clone()));
        let told = repairs.chain(services).max_by_key(|(at, ..)| *at);
        let is_seen = seen.is_some_and(|(at, _)| told.as_ref().is_none_or(|(told, ..)| at > *told));
        let became = match (is_seen, &told) {
            (true, _) => Since::Seen,
            (false, Some(_)) => Since::Told,
            (false, None) => Since::Neither,
        };
        let by = told.as_ref().and_then(|(_, by, _)| by.clone());
        let done = told.as_ref().map(|(.., done)| done.clone());
        let (seen_at, grade) = seen.map_or((None, None), |(at, grade)| (Some(at), Some(grade)));
        let told_at = told.map(|(at, ..)| at);
        BackRow {
            words: in_words(&row, became, (seen_at, grade), (told_at, by.as_deref())),
            row,
            new,
            since: became,
            grade,
            seen: seen_at,
            told: told_at,
            by,
            done,
        }
    }
}

/// By when what has no day of its own is to be done.
const WHILE_OUT: &str = "while she is out";

fn in_words(
    row: &YardRow,
    became: Since,
    (seen, grade): (Option<DateTime<FixedOffset>>, Option<Grade>),
    (told, by): (Option<DateTime<FixedOffset>>, Option<&str>),
) -> String {
    let day = |at: Option<DateTime<FixedOffset>>| {
        at.map(|at| at.format("%-d %b %Y").to_string())
            .unwrap_or_default()
    };
    let rung = grade.map(|grade| grade.as_str()).unwrap_or_default();
    let worked = matches!(row.sort, For::Mend | For::Task);
    match became {
        Since::Seen if told.is_none() && worked => format!(
            "Looked at {}: {rung}; no work on it is on record.",
            day(seen)
        ),
        Since::Seen => format!("Looked at {}: {rung}.", day(seen)),
        Since::Told => {
            let by = by.map(|by| format!(" by {by}")).unwrap_or_default();
            format!(
                "Told{by}, {}; nobody has looked at it since: look before it is closed.",
                day(told)
            )
        }
        Since::Neither => "Neither looked at nor told.".to_owned(),
    }
}

impl Item {
    /// It is hidden while she floats; or it is put right out of the water, and is looked at best where it is: what
    /// is tried under way alone is not.
    pub(super) fn is_seen_ashore(&self) -> bool {
        let under_way = self.reading.as_ref().is_some_and(|r| r.of_rated);
        self.hidden_afloat || self.remedy.place == Where::HauledOut && !under_way
    }
}
