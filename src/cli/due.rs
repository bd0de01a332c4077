//! `due`: service tasks, rechecks, lives and looks, soonest first.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::own_file::write;
use super::page::{Page, Set};
use crate::checklist::UnknownAge;
use crate::service::calendar::{months, side_by_side};
use crate::service::ics::{Of, calendar};
use crate::service::{DueRow, Group, What, due};

/// Months shown by `--calendar`.
const MONTHS: u32 = 6;
/// How a calendar file begins; a file of that name that begins otherwise is left alone.
const FIRST_LINE: &str = "BEGIN:VCALENDAR";

/// Options of `due`.
#[derive(Args, Debug)]
pub struct DueArgs {
    /// Write the list as a calendar file: a to-do for each row with a date
    #[arg(long, value_name = "FILE", conflicts_with = "calendar")]
    pub ics: Option<PathBuf>,
    /// An event for each of them as well, for programs that show no to-dos
    #[arg(long, requires = "ics")]
    pub events: bool,
    /// Show the months ahead at a glance
    #[arg(long)]
    pub calendar: bool,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct DueBody {
    /// The calendar file written; null where none was asked for.
    ics: Option<String>,
    /// Soonest first; what has no date comes last.
    rows: Vec<DueRow>,
}

/// Runs the command.
///
/// # Errors
/// The logbook cannot be read, or the calendar file not be written.
pub fn run(args: &DueArgs, cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book()?;
    cx.known_asked(&book)?;
    if let Some(told) = Context::clock_told(&book) {
        cx.note(told);
    }
    let history = cx.history(&book);
    let condition = cx.condition(&book, &history);
    let mut rows = due(&condition, &history);
    rows.retain(|row| cx.is_asked(row.machine.as_deref()));
    if let Some(path) = &args.ics {
        let of = Of {
            boat_id: book.boat_id(),
            boat: book.boat(),
            not_counted: &condition.not_counted(),
            events: args.events,
        };
        write(path, FIRST_LINE, &calendar(of, &rows, book.now()))?;
    }
    let body = DueBody {
        ics: args.ics.as_ref().map(|path| path.display().to_string()),
        rows,
    };
    let several = book.boat().machines.len() > 1;
    let today = book.now().date_naive();
    Ok(cx.form.answer("due", &body, |page| {
        if let Some(path) = &body.ics {
            let dated = body.rows.iter().filter(|r| r.due_date.is_some()).count();
            page.line(format!("{dated} to-do(s) written to {path}"));
            match body.rows.len() - dated {
                0 => {}
                n => page.line(format!("{n} without a date are not in it.")),
            }
        } else if args.calendar {
            let months = months(today, MONTHS, &body.rows);
            for line in side_by_side(&months, page.width()) {
                page.line(line);
            }
            page.line("* something is due   < today   ! due today or overdue");
            for month in months.iter().filter(|m| !m.rows.is_empty()) {
                page.blank();
                page.line(month.first.format("%B %Y").to_string());
                let rows: Vec<&DueRow> = month.rows.iter().map(|n| &body.rows[*n]).collect();
                table(page, &rows, today, several);
            }
        } else {
            groups(page, &body.rows, today, several);
        }
    }))
}

fn groups(page: &mut Page, rows: &[DueRow], today: NaiveDate, several: bool) {
    let mut first = true;
    for group in Group::ALL {
        let rows: Vec<&DueRow> = rows.iter().filter(|row| row.group() == *group).collect();
        if rows.is_empty() {
            continue;
        }
        if !first {
            page.blank();
        }
        first = false;
        page.line(group.title());
        table(page, &rows, today, several);
    }
    if first {
        page.line("Nothing is due.");
        return;
    }
    page.blank();
    page.paragraph(
        "≈ a date that follows from the rate of use. The maker's handbook outranks the intervals; why a task is due: handlamp service show TASK",
    );
}

fn table(page: &mut Page, rows: &[&DueRow], today: NaiveDate, several: bool) {
    let mut columns = vec![
        ("left", Set::Right),
        ("date", Set::Right),
        ("at h", Set::Right),
        ("what", Set::Left),
        ("", Set::Wrap),
    ];
    if several {
        columns.insert(4, ("machine", Set::Left));
    }
    let cells = rows.iter().map(|row| cells(row, today, several));
    page.table(&columns, &cells.collect::<Vec<_>>());
}

fn cells(row: &DueRow, today: NaiveDate, several: bool) -> Vec<String> {
    let dash = || "-".to_owned();
    let days = row.due_date.map(|date| (date - today).num_days());
    let left = match days {
        None if row.unknown_age == Some(UnknownAge::Due) => "do".to_owned(),
        None if row.unknown_age == Some(UnknownAge::Look) => "look".to_owned(),
        None => dash(),
        Some(0) => "today".to_owned(),
        Some(days) if days < 0 => format!("{} d over", -days),
        Some(days) => format!("{days} d"),
    };
    let date = row.due_date.map_or_else(dash, |date| match row.about {
        true => format!("≈{date}"),
        false => date.to_string(),
    });
    let what = match row.what {
        What::Task => row.id.clone(),
        other => other.as_str().to_owned(),
    };
    let mut cells = vec![
        left,
        date,
        row.due_hours.map_or_else(dash, |h| h.to_string()),
        what,
        row.title.clone(),
    ];
    if several {
        cells.insert(4, row.machine.clone().unwrap_or_else(|| "boat".to_owned()));
    }
    cells
}
