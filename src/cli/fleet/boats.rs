//! Each boat of a folder, as one row, and what is not counted of all.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use crate::assess::words::Verdict;
use crate::checklist::Grade;
use crate::defects::NotCounted;
use crate::defects::list::Row;
use crate::fleet::over::At;
use crate::fleet::stays::why;
use crate::fleet::{Fleet, Member};

/// One boat.
#[derive(Serialize, JsonSchema)]
pub struct BoatRow {
    /// Who.
    #[serde(flatten)]
    pub at: At,
    /// Her logbook, to give to --logbook.
    pub root: String,
    /// Why it cannot be read; null where it can, and the fields below stand for her.
    pub problem: Option<String>,
    /// She may go out: no stop, a finished check on every machine, nothing uncounted that forbids it.
    pub may_go_out: bool,
    /// The worst word now over her machines; null where no check is finished.
    pub verdict: Option<Verdict>,
    /// Her word now as it stands on the page, with what takes *clear* from it.
    pub words: String,
    /// Machines without a finished check, by their names.
    pub unchecked: Vec<String>,
    /// How many of her list forbid running.
    pub stops: usize,
    /// The first five of her list.
    pub worst: Vec<WorstRow>,
    /// How many the list has.
    pub listed: usize,
    /// Items nobody has seen.
    pub unseen: usize,
    /// Work and looks due now or within 30 days.
    pub due: usize,
    /// Of an age that nobody knows.
    pub unknown_age: usize,
    /// The beginning of the last finished walk; null where none is.
    pub last_walk: Option<DateTime<FixedOffset>>,
    /// What is on record and not counted.
    pub not_counted: Vec<NotCounted>,
}

/// One of the worst.
#[derive(Serialize, JsonSchema)]
pub struct WorstRow {
    /// The item, by its id in the catalogue.
    item: String,
    /// The item, as shown.
    pub title: String,
    /// Machine id; null for what the boat has once.
    machine: Option<String>,
    /// The rung that counts.
    pub grade: Grade,
    /// A stop rule is in force.
    pub stop: bool,
    /// Severity digit and level letter.
    pub code: String,
}

impl From<&Row> for WorstRow {
    fn from(row: &Row) -> WorstRow {
        WorstRow {
            item: row.item.clone(),
            title: row.title.clone(),
            machine: row.machine.clone(),
            grade: row.grade,
            stop: row.stop,
            code: row.code.clone(),
        }
    }
}

impl BoatRow {
    /// Of a boat, read or not.
    pub fn of(boat: &Member) -> BoatRow {
        let stand = boat.stand();
        let glance = stand.map(|stand| &stand.glance);
        BoatRow {
            at: At::of(boat),
            root: boat.root.display().to_string(),
            problem: boat.told.as_ref().err().cloned(),
            may_go_out: stand.is_some_and(|stand| why(stand).is_empty()),
            verdict: glance.and_then(|g| g.verdict),
            words: glance.map_or_else(|| "cannot be read".to_owned(), |g| g.words()),
            unchecked: glance.map_or_else(Vec::new, |g| g.unchecked.clone()),
            stops: glance.map_or(0, |g| g.stops),
            worst: glance.map_or_else(Vec::new, |g| g.worst.iter().map(WorstRow::from).collect()),
            listed: glance.map_or(0, |g| g.listed),
            unseen: glance.map_or(0, |g| g.unseen),
            due: glance.map_or(0, |g| g.due),
            unknown_age: glance.map_or(0, |g| g.unknown_age),
            last_walk: glance.and_then(|g| g.last_walk),
            not_counted: stand.map_or_else(Vec::new, |stand| stand.not_counted.clone()),
        }
    }
}

/// What no sum counts: logbooks that cannot be read, then what each of the others does not count.
pub fn not_counted(fleet: &Fleet) -> Vec<NotCounted> {
    let mut all = Vec::new();
    for boat in &fleet.boats {
        let whose = boat.label();
        match &boat.told {
            Err(why) => all.push(NotCounted::because(format!(
                "{whose}: the whole logbook, which is missing in every sum: {why}"
            ))),
            Ok(stand) => all.extend(stand.not_counted.iter().map(|told| NotCounted {
                file: Some(match &told.file {
                    Some(file) => format!("{}/{file}", boat.folder),
                    None => boat.folder.clone(),
                }),
                why: format!("{whose}: {}", told.why),
                ..told.clone()
            })),
        }
    }
    all
}
