//! `service list`.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use crate::boat::Hours;
use crate::boat::units::Volume;
use crate::checklist::Library;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::page::Set;
use crate::defects::{Paid, Service, Stamped};
use crate::walk::Photo;

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct ServicesBody {
    /// The services on record, newest first.
    rows: Vec<ServiceRow>,
}

/// One service as it was recorded.
#[derive(Serialize, JsonSchema)]
pub struct ServiceRow {
    /// Id of its record.
    pub id: String,
    /// Id of the task.
    task: String,
    /// The task as shown; its id where this program does not know it.
    pub title: String,
    /// Machine id; null for work on what the boat has once.
    machine: Option<String>,
    /// When it was done.
    pub at: DateTime<FixedOffset>,
    /// Meter as read; null where it was not.
    pub hours: Option<Hours>,
    /// What came out; null where nothing was told.
    pub out: Option<Volume>,
    /// What went in; null where nothing was told.
    #[serde(rename = "in")]
    pub filled: Option<Volume>,
    /// Parts used, as their boxes name them.
    pub parts: Vec<String>,
    /// How far a filter was turned past contact.
    pub turn: Option<String>,
    /// What it cost, in the boat's own money.
    pub cost: Option<Paid>,
    /// Minutes it really took; null where nobody said.
    pub minutes: Option<u32>,
    /// In the words of who did it.
    pub note: Option<String>,
    /// Who did it, a person or a yard.
    pub by: Option<String>,
    /// Joints it opened or moved.
    pub disturbed: Vec<String>,
    /// Items that are new since.
    pub renewed: Vec<String>,
    /// Pictures taken of it.
    photos: Vec<Photo>,
}

impl ServiceRow {
    /// The row of a service.
    pub fn of(library: &Library, service: &Stamped<Service>) -> ServiceRow {
        let rec = service.rec.clone();
        let title = library.task(&rec.task).map(|t| t.title.clone());
        ServiceRow {
            id: service.id.clone(),
            title: title.unwrap_or_else(|| rec.task.clone()),
            task: rec.task,
            machine: rec.machine,
            at: service.at,
            hours: rec.hours,
            out: rec.out,
            filled: rec.filled,
            parts: rec.parts,
            turn: rec.turn,
            cost: rec.cost,
            minutes: rec.minutes,
            note: rec.note,
            by: rec.by,
            disturbed: rec.disturbed,
            renewed: rec.renewed,
            photos: rec.photos,
        }
    }
}

/// Runs the command.
///
/// # Errors
/// The logbook cannot be read.
pub fn run(cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book()?;
    let history = cx.history(&book);
    cx.known_asked(&book)?;
    let asked = |s: &&Stamped<Service>| cx.is_asked(s.rec.machine.as_deref());
    let services = history.services.iter().rev().filter(asked);
    let body = ServicesBody {
        rows: services
            .map(|s| ServiceRow::of(book.library(), s))
            .collect(),
    };
    let several = book.boat().machines.len() > 1;
    Ok(cx.form.answer("services", &body, |page| {
        if body.rows.is_empty() {
            page.line("No service is recorded yet; see: handlamp service tasks");
            return;
        }
        let mut columns = vec![
            ("date", Set::Left),
            ("hours", Set::Right),
            ("task", Set::Wrap),
            ("in", Set::Right),
            ("by", Set::Wrap),
            ("id", Set::Left),
        ];
        if several {
            columns.insert(3, ("machine", Set::Left));
        }
        let dash = || "-".to_owned();
        let cells = |row: &ServiceRow| {
            let mut cells = vec![
                row.at.date_naive().to_string(),
                row.hours.map_or_else(dash, |h| h.to_string()),
                row.title.clone(),
                row.filled.map_or_else(dash, |v| v.to_string()),
                row.by.clone().unwrap_or_else(dash),
                row.id.clone(),
            ];
            if several {
                cells.insert(3, row.machine.clone().unwrap_or_else(|| "boat".to_owned()));
            }
            cells
        };
        let cells: Vec<Vec<String>> = body.rows.iter().map(cells).collect();
        page.table(&columns, &cells);
    }))
}
