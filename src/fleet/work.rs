//! What is to be put right over all boats, by who can do it and where.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::over::{At, Over};
use super::shelf::Fleet;
use crate::checklist::{Grade, Where, Who};

/// Work over all boats. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Work {
    /// Over which boats.
    pub over: Over,
    /// By who can do it, then where.
    pub rows: Vec<WorkSum>,
}

/// The work of one person at one place. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct WorkSum {
    /// Who can do it.
    pub who: Who,
    /// Where it can be done.
    #[serde(rename = "where")]
    pub place: Where,
    /// In the order of their folders, and each boat's by her list, the worst first.
    pub jobs: Vec<Job>,
}

/// One thing to put right. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Job {
    /// On whose boat.
    #[serde(flatten)]
    pub at: At,
    /// The item, by its id in the catalogue.
    pub item: String,
    /// The item, as shown.
    pub title: String,
    /// Machine id; null for what the boat has once.
    pub machine: Option<String>,
    /// The rung that counts.
    pub grade: Grade,
    /// A stop rule is in force.
    pub stop: bool,
    /// It may wait, by a deferral in force.
    pub deferred: bool,
    /// What to do.
    #[serde(rename = "do")]
    pub action: String,
}

/// What waits to be put right on every boat.
pub fn to_do(fleet: &Fleet) -> Work {
    let mut by: BTreeMap<(Who, Where), Vec<Job>> = BTreeMap::new();
    for (boat, stand) in fleet.each_once() {
        for row in stand.rows.iter().filter(|row| row.waits()) {
            let jobs = by.entry((row.remedy.who, row.remedy.place)).or_default();
            jobs.push(Job {
                at: At::of(boat),
                item: row.item.clone(),
                title: row.title.clone(),
                machine: row.machine.clone(),
                grade: row.grade,
                stop: row.stop,
                deferred: row.deferred.is_some(),
                action: row.remedy.action.clone(),
            });
        }
    }
    let rows = by.into_iter();
    let rows = rows.map(|((who, place), jobs)| WorkSum { who, place, jobs });
    Work {
        over: Over::all(fleet),
        rows: rows.collect(),
    }
}
