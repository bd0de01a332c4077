//! `service tasks`.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::boat::Hours;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::page::Set;
use crate::service::{TaskStatus, standings};

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct TasksBody {
    /// Each machine's tasks, then the boat's.
    rows: Vec<TaskRow>,
}

/// One task on one machine.
#[derive(Serialize, JsonSchema)]
pub struct TaskRow {
    /// Its id, to be named on the command line.
    id: String,
    /// As shown.
    title: String,
    /// Machine id; null for what the boat has once.
    machine: Option<String>,
    /// Running hours between two times; null without such a bound.
    hours: Option<Hours>,
    /// Months between two times; null without such a bound.
    months: Option<u32>,
    /// When it was last done, on record or as remembered; null where nothing says so.
    last_date: Option<NaiveDate>,
    /// The meter as read then.
    last_hours: Option<Hours>,
    /// How often and since when, one sentence.
    why: String,
}

impl TaskRow {
    fn of(standing: &TaskStatus<'_>) -> TaskRow {
        let (last, read) = standing.last().unzip();
        TaskRow {
            id: standing.task.id.clone(),
            title: standing.task.title.clone(),
            machine: standing.machine.map(str::to_owned),
            hours: standing.interval.hours,
            months: standing.interval.months,
            last_date: last.map(|at| at.date_naive()),
            last_hours: read.flatten(),
            why: standing.why(),
        }
    }
}

/// Runs the command.
///
/// # Errors
/// The logbook cannot be read.
pub fn run(cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    cx.known_asked(&book)?;
    let asked = |s: &&TaskStatus<'_>| cx.is_asked(s.machine);
    let standings = standings(&condition, &history);
    let body = TasksBody {
        rows: standings.iter().filter(asked).map(TaskRow::of).collect(),
    };
    let several = book.boat().machines.len() > 1;
    Ok(cx.form.answer("tasks", &body, |page| {
        let mut columns = vec![
            ("task", Set::Left),
            ("every", Set::Right),
            ("or months", Set::Right),
            ("last", Set::Left),
            ("at h", Set::Right),
        ];
        if several {
            columns.insert(1, ("machine", Set::Left));
        }
        let dash = || "-".to_owned();
        let cells = |row: &TaskRow| {
            let mut cells = vec![
                row.id.clone(),
                row.hours.map_or_else(dash, |h| format!("{} h", h.get())),
                row.months.map_or_else(dash, |m| m.to_string()),
                row.last_date.map_or_else(dash, |d| d.to_string()),
                row.last_hours.map_or_else(dash, |h| h.to_string()),
            ];
            if several {
                cells.insert(1, row.machine.clone().unwrap_or_else(|| "boat".to_owned()));
            }
            cells
        };
        let cells: Vec<Vec<String>> = body.rows.iter().map(cells).collect();
        page.table(&columns, &cells);
        page.paragraph(
            "The maker's handbook outranks these figures; set its own with: handlamp service set TASK --hours H --months M",
        );
    }))
}
