//! What is due over all boats, a week a row, what is overdue first.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate};
use schemars::JsonSchema;
use serde::Serialize;

use super::over::{At, Over};
use super::shelf::Fleet;
use crate::service::What;

/// So many weeks stand one by one, this one with them (judgement: half a year).
pub const WEEKS: u64 = 26;

/// What is due over all boats. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Weeks {
    /// Over which boats.
    pub over: Over,
    /// What is due now or overdue, then the weeks in which something is.
    pub rows: Vec<Week>,
    /// How many more have a day after these weeks.
    pub later: usize,
    /// How many are of an age that nobody knows: to be done or looked at in the first season.
    pub unknown_age: usize,
    /// How many have no day that can be told.
    pub undated: usize,
}

/// One week. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Week {
    /// Its Monday; null for what is due now or overdue.
    pub week: Option<NaiveDate>,
    /// By their days, then in the order of the boats' folders.
    pub rows: Vec<DueAt>,
}

/// One thing due. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct DueAt {
    /// On whose boat.
    #[serde(flatten)]
    pub at: At,
    /// What sort of thing.
    pub what: What,
    /// Id of the task, of the recheck's record, or of the item.
    pub id: String,
    /// As shown.
    pub title: String,
    /// Machine id; null for what the boat has once.
    pub machine: Option<String>,
    /// The day; null where none can be told.
    pub due_date: Option<NaiveDate>,
    /// The day rests on the rate of use.
    pub about: bool,
}

/// What is due on every boat from a day on.
pub fn by_week(fleet: &Fleet, today: NaiveDate) -> Weeks {
    let this = monday(today);
    let end = this.checked_add_days(Days::new(7 * WEEKS));
    let (mut later, mut unknown_age, mut undated) = (0, 0, 0);
    let mut weeks: BTreeMap<Option<NaiveDate>, Vec<DueAt>> = BTreeMap::new();
    for (boat, stand) in fleet.each_once() {
        for row in &stand.due {
            let week = match row.due_date {
                _ if row.unknown_age.is_some() => {
                    unknown_age += 1;
                    continue;
                }
                _ if row.due => None,
                None => {
                    undated += 1;
                    continue;
                }
                Some(date) if end.is_some_and(|end| date >= end) => {
                    later += 1;
                    continue;
                }
                Some(date) => Some(monday(date).max(this)),
            };
            weeks.entry(week).or_default().push(DueAt {
                at: At::of(boat),
                what: row.what,
                id: row.id.clone(),
                title: row.title.clone(),
                machine: row.machine.clone(),
                due_date: row.due_date,
                about: row.about,
            });
        }
    }
    let rows = weeks.into_iter().map(|(week, mut rows)| {
        // What has no day is due by its hours; it stands first.
        rows.sort_by_key(|row| row.due_date);
        Week { week, rows }
    });
    Weeks {
        over: Over::all(fleet),
        rows: rows.collect(),
        later,
        unknown_age,
        undated,
    }
}

fn monday(day: NaiveDate) -> NaiveDate {
    let since = u64::from(day.weekday().num_days_from_monday());
    day.checked_sub_days(Days::new(since)).unwrap_or(day)
}
