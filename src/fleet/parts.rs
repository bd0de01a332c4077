//! What is to be bought over all boats: the parts that remedies of the lists need, and those of tasks due
//! soon, summed by part.

use schemars::JsonSchema;
use serde::Serialize;

use super::numbers::PartNumbers;
use super::over::{At, Over};
use super::shelf::{Fleet, Member};
use super::stand::Stand;
use crate::checklist::{KnownPart, UnknownAge};
use crate::logbook::glance::DAYS;
use crate::service::parts::PartRow;
use crate::service::{DueRow, What};

/// Parts over all boats. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Parts {
    /// Over which boats.
    pub over: Over,
    /// By how many are needed, then by name.
    pub rows: Vec<PartSum>,
}

/// One part over all boats. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PartSum {
    /// The part in plain words.
    pub part: String,
    /// Its id on the parts page; null for what has none.
    pub id: Option<String>,
    /// How many are needed: one for each place it has to go.
    pub pieces: usize,
    /// For whom, in the order of their folders. A part of one name may differ from boat to boat.
    pub boats: Vec<PartAt>,
}

/// A part for one boat. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PartAt {
    /// For whom.
    #[serde(flatten)]
    pub at: At,
    /// Machine id; null for what the boat has once.
    pub machine: Option<String>,
    /// How many she needs.
    pub pieces: usize,
    /// What it is for: findings and tasks, as shown.
    #[serde(rename = "for")]
    pub needed_for: Vec<String>,
    /// What is known of it by number; null where nothing is.
    pub numbers: Option<PartNumbers>,
}

/// The parts needed over all boats.
pub fn to_buy(fleet: &Fleet) -> Parts {
    let mut rows: Vec<PartSum> = Vec::new();
    for (boat, stand) in fleet.each_once() {
        for row in stand.rows.iter().filter(|row| row.waits()) {
            for words in &row.parts {
                let machine = row.machine.as_deref();
                let known = KnownPart::in_remedy(&row.item, words);
                let (title, id) = match known {
                    Some(known) => (known.title.as_str(), Some(known.id.as_str())),
                    None => (words.as_str(), None),
                };
                let place = place(&mut rows, (title, id), (boat, machine));
                // A part with an id is one part of a machine; what is only named is one for each
                // finding.
                place.pieces = if id.is_some() { 1 } else { place.pieces + 1 };
                let numbers = PartNumbers::in_remedy(&stand.parts, (&row.item, words), machine);
                place.numbers = place.numbers.take().or(numbers);
                needed_for(place, &row.title);
            }
        }
        for task in stand.due.iter().filter(|row| is_soon(row)) {
            for part in of_task(stand, task) {
                let machine = part.machine.as_deref();
                let named = (part.title.as_str(), Some(part.part.as_str()));
                let place = place(&mut rows, named, (boat, machine));
                place.pieces = 1;
                place.numbers = place.numbers.take().or_else(|| PartNumbers::of(part));
                needed_for(place, &task.title);
            }
        }
    }
    for row in &mut rows {
        row.pieces = row.boats.iter().map(|place| place.pieces).sum();
    }
    rows.sort_by(|a, b| (b.pieces, &a.part).cmp(&(a.pieces, &b.part)));
    Parts {
        over: Over::all(fleet),
        rows,
    }
}

/// Work due now or within [`DAYS`], to be done and not only looked at.
fn is_soon(row: &DueRow) -> bool {
    let soon = row.due || row.days_left.is_some_and(|days| days <= DAYS);
    row.what == What::Task && soon && row.unknown_age != Some(UnknownAge::Look)
}

fn of_task<'a>(stand: &'a Stand, task: &'a DueRow) -> impl Iterator<Item = &'a PartRow> {
    let parts = stand.parts.iter();
    parts.filter(|part| part.machine == task.machine && part.tasks.contains(&task.id))
}

fn place<'a>(
    rows: &'a mut Vec<PartSum>,
    (part, id): (&str, Option<&str>),
    (boat, machine): (&Member, Option<&str>),
) -> &'a mut PartAt {
    let same = |row: &PartSum| match (id, &row.id) {
        (None, None) => row.part == part,
        (id, known) => id == known.as_deref(),
    };
    let row = rows.iter().position(same).unwrap_or(rows.len());
    if row == rows.len() {
        rows.push(PartSum {
            part: part.to_owned(),
            id: id.map(str::to_owned),
            pieces: 0,
            boats: Vec::new(),
        });
    }
    let boats = &mut rows[row].boats;
    let here =
        |place: &PartAt| place.at.logbook == boat.folder && place.machine.as_deref() == machine;
    let at = boats.iter().position(here).unwrap_or(boats.len());
    if at == boats.len() {
        boats.push(PartAt {
            at: At::of(boat),
            machine: machine.map(str::to_owned),
            pieces: 0,
            needed_for: Vec::new(),
            numbers: None,
        });
    }
    &mut boats[at]
}

fn needed_for(place: &mut PartAt, title: &str) {
    if !place.needed_for.iter().any(|known| known == title) {
        place.needed_for.push(title.to_owned());
    }
}
