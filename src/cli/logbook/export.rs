//! `logbook export`.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use chrono::DateTime;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer_rows;
use super::rows::{boat, defects, due, items, machines, not_counted};
use super::sql::{self, create, script};
use crate::boat::{Boat, Waters};
use crate::checklist::Library;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::exposure::{Ahead, words};
use crate::cli::failure::Failure;
use crate::cli::own_file;
use crate::cli::page::{Page, Set, USUAL_WIDTH};
use crate::defects::History;
use crate::defects::condition::Condition;
use crate::defects::list::Scenario;
use crate::logbook::book::Book;
use crate::logbook::folder::MAX_SMALL;
use crate::logbook::placed;
use crate::logbook::record::Record;
use crate::logbook::replace::replace_file;
use crate::logbook::table::{Export, Rows, Table, Written};
use crate::logbook::{Disk, LogbookError, RealDisk};

/// How the README of an export begins; a folder that holds another file of that name is left alone.
const FIRST_LINE: &str = "Tables of a boat's logbook, written by the program handlamp.";

/// The order of the tables, as it always was; one that is not named here comes last.
const ORDER: [&str; 44] = [
    "boats",
    "machines",
    "items",
    "verdicts",
    "verdict_reasons",
    "walks",
    "fuel_left",
    "looks",
    "readings",
    "wear",
    "signs",
    "told",
    "photos",
    "defects",
    "parts_to_order",
    "next_looks",
    "not_yet_looked_at",
    "repairs",
    "deferrals",
    "overrides",
    "withdrawals",
    "services",
    "service_items",
    "service_intervals",
    "tasks",
    "when_last",
    "job_minutes",
    "parts",
    "place_photos",
    "arranged",
    "due",
    "rechecks",
    "fitted",
    "removed",
    "costs",
    "cost_totals",
    "learning",
    "meters",
    "hour_readings",
    "hours_by_month",
    "plans",
    "under_way",
    "changed_entries",
    "not_counted",
];

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct ExportBody {
    /// The folder written to; null where a script was asked for.
    folder: Option<String>,
    /// The script written; null where a folder was named.
    script: Option<String>,
    /// Over what the defects are ranked.
    exposure: Ahead,
    /// The tables written, each with its length.
    rows: Vec<TableRow>,
}

/// One table, a file of its own.
#[derive(Serialize, JsonSchema)]
pub struct TableRow {
    /// Its file, in the folder named; null in a script.
    file: Option<String>,
    /// Its name.
    table: String,
    /// How many rows it has.
    rows: usize,
}

/// Where an export goes.
#[derive(Clone, Copy, Debug)]
pub enum To<'a> {
    /// A folder of tables.
    Folder(&'a Path),
    /// A script of SQL.
    Script(&'a Path),
}

/// What an export rests on beside the records as they count.
#[derive(Clone, Copy)]
pub struct Of<'a> {
    /// Her profile.
    pub boat: &'a Boat,
    /// What can be looked at.
    pub library: &'a Arc<Library>,
    /// The records as they were written.
    pub written: &'a [placed::Written],
}

impl<'a> Of<'a> {
    fn book(book: &'a Book) -> Of<'a> {
        Of {
            boat: book.boat(),
            library: book.library(),
            written: book.written(),
        }
    }
}

/// Runs the command.
///
/// # Errors
/// The place holds something else, lies in the logbook, or cannot be written.
pub fn run(to: To<'_>, cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book()?;
    let written = match to {
        To::Folder(dir) => {
            refuse_folder(dir, book.root())?;
            Written::Lines
        }
        To::Script(file) => {
            refuse_within(file, book.root())?;
            Written::Values
        }
    };
    let history = cx.history(&book);
    let condition = cx.condition(&book, &history);
    let (exposure, waters) = condition.usual_plan();
    let scenario = Scenario::new(exposure, waters);
    let tables = tables(
        &Of::book(&book),
        &Export {
            boat: book.boat_id(),
            history: &history,
            condition: &condition,
            scenario,
            written,
        },
    );
    match to {
        To::Folder(dir) => write_folder(dir, &book, &tables, scenario)?,
        To::Script(file) => {
            let told = condition.not_counted();
            let told = told
                .iter()
                .map(|told| format!("Not counted: {}", told.sentence()));
            let said: Vec<String> = said(&book, scenario).into_iter().chain(told).collect();
            own_file::write(
                file,
                sql::FIRST_LINE,
                &script(book.boat_id(), &said, &tables),
            )?;
        }
    }
    let (dir, file) = match to {
        To::Folder(dir) => (Some(dir.display().to_string()), None),
        To::Script(file) => (None, Some(file.display().to_string())),
    };
    let row = |written: &Rows| TableRow {
        file: dir.is_some().then(|| file_of(&written.table)),
        table: written.table.name.to_owned(),
        rows: written.each.len(),
    };
    let body = ExportBody {
        rows: tables.iter().map(row).collect(),
        folder: dir,
        script: file,
        exposure: exposure.into(),
    };
    Ok(cx.form.answer("logbook-export", &body, |page| {
        let to = body.folder.as_ref().or(body.script.as_ref());
        page.line(format!("Written to {}", to.map_or("", String::as_str)));
        let cells = body.rows.iter().map(|row| {
            let name = row.file.as_ref().unwrap_or(&row.table);
            vec![name.clone(), row.rows.to_string()]
        });
        let cells: Vec<Vec<String>> = cells.collect();
        page.table(&[("table", Set::Left), ("rows", Set::Right)], &cells);
        page.line(format!("Defects ranked over {}", words(scenario)));
    }))
}

fn file_of(table: &Table) -> String {
    format!("{}.ndjson", table.name)
}

fn write_folder(
    dir: &Path,
    book: &Book,
    tables: &[Rows],
    scenario: Scenario,
) -> Result<(), LogbookError> {
    let mut rng = fastrand::Rng::new();
    let mut write = |name: &str, text: &str| {
        replace_file(&RealDisk, &dir.join(name), text.as_bytes(), &mut rng)
    };
    write("README.txt", &readme(book, tables, scenario))?;
    write("tables.sql", &statements(tables))?;
    for written in tables {
        let mut lines = written.each.join("\n");
        if !lines.is_empty() {
            lines.push('\n');
        }
        write(&file_of(&written.table), &lines)?;
    }
    Ok(())
}

/// What stands at the head of an export.
fn said(book: &Book, scenario: Scenario) -> [String; 3] {
    [
        format!("Boat: {} ({})", book.boat().name, book.boat_id()),
        format!("Written: {}", book.now().to_rfc3339()),
        format!("Defects ranked over {}", words(scenario)),
    ]
}

/// Nothing is written among the records.
fn refuse_within(path: &Path, root: &Path) -> Result<(), Failure> {
    let cannot = |e: std::io::Error| LogbookError::cannot_read(path, e);
    let full = std::path::absolute(path).map_err(cannot)?;
    // Of what is not there yet, the folder it would lie in tells.
    let mut there = full.ancestors().filter_map(|above| {
        let known = std::fs::canonicalize(above).ok()?;
        Some(known.join(full.strip_prefix(above).ok()?))
    });
    let full = there.next().unwrap_or(full.clone());
    let root = std::fs::canonicalize(root).unwrap_or_else(|_| root.to_owned());
    match full.starts_with(&root) {
        true => Err(Failure::usage(format!(
            "{} lies in the logbook; name a place outside it",
            path.display()
        ))),
        false => Ok(()),
    }
}

/// An export may overwrite an earlier one and nothing else.
fn refuse_folder(dir: &Path, root: &Path) -> Result<(), Failure> {
    let refuse = |why: &str| Err(Failure::usage(format!("{} {why}", dir.display())));
    let cannot = |e: std::io::Error| LogbookError::cannot_read(dir, e);
    refuse_within(dir, root)?;
    let mut entries = match std::fs::read_dir(dir) {
        Ok(entries) => entries,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(()),
        Err(e) if e.kind() == std::io::ErrorKind::NotADirectory => {
            return refuse("is a file; name a folder");
        }
        Err(e) => return Err(cannot(e).into()),
    };
    if entries.next().is_none() {
        return Ok(());
    }
    // Never opened where it is no plain file: a pipe would be waited for without end.
    let readme = RealDisk.read(&dir.join("README.txt"), MAX_SMALL);
    if readme.is_ok_and(|text| text.starts_with(FIRST_LINE.as_bytes())) {
        return Ok(());
    }
    refuse("holds something else; name a new folder or an empty one")
}

fn tables(from: &Of<'_>, of: &Export<'_>) -> Vec<Rows> {
    let mut tables = vec![
        of.lines([boat(from.boat, of)]),
        of.lines(defects(of.condition, of.scenario)),
        of.lines(due(of)),
        of.lines(not_counted(of.condition)),
    ];
    tables.extend(answer_rows::tables(from, of));
    tables.extend(Record::KINDS.iter().flat_map(|kind| (kind.tables)(of)));
    let named = |of: fn(&Rows) -> &BTreeSet<String>| -> BTreeSet<String> {
        tables.iter().flat_map(of).cloned().collect()
    };
    let (things, engines) = (named(|rows| &rows.items), named(|rows| &rows.machines));
    tables.push(of.lines(items(from.library, &things)));
    tables.push(of.lines(machines(of.condition, &engines)));
    let place = |rows: &Rows| ORDER.iter().position(|name| *name == rows.table.name);
    tables.sort_by_key(|rows| place(rows).unwrap_or(ORDER.len()));
    tables
}

/// Every table there is, in the order of an export.
pub fn all_tables() -> Vec<Table> {
    let boat = Boat::simple("", Waters::ALL[0], None);
    let (library, history) = (Arc::new(Library::built_in().clone()), History::default());
    let now = DateTime::UNIX_EPOCH.fixed_offset();
    let condition = Condition::of(&boat, Arc::clone(&library), &history, now);
    let (exposure, waters) = condition.usual_plan();
    let from = Of {
        boat: &boat,
        library: &library,
        written: &[],
    };
    let of = Export {
        boat: "",
        history: &history,
        condition: &condition,
        scenario: Scenario::new(exposure, waters),
        written: Written::Lines,
    };
    let tables = tables(&from, &of).into_iter();
    tables.map(|rows| rows.table).collect()
}

/// The tables as SQL has them, in types that SQLite, DuckDB and PostgreSQL all take.
fn statements(tables: &[Rows]) -> String {
    let head = "-- Tables for the files beside this one, one boat or many.\n";
    let made = tables.iter().map(|rows| create(&rows.table));
    std::iter::once(head.to_owned()).chain(made).collect()
}

fn readme(book: &Book, tables: &[Rows], scenario: Scenario) -> String {
    let mut page = Page::new(USUAL_WIDTH);
    page.line(FIRST_LINE);
    page.blank();
    for line in said(book, scenario) {
        page.line(line);
    }
    page.blank();
    page.paragraph(
        "Each file holds one table: JSON, one object a line, in UTF-8. Every row has every column; what is not known is null. Times are RFC 3339 with offset. Hours are running hours as the meter shows them. tables.sql makes the tables in a database; exports of several boats go into the same tables, since every row begins with the boat's id, the same in every export of her logbook and in no other.",
    );
    for written in tables {
        page.blank();
        page.hang(
            &format!("{}.ndjson: ", written.table.name),
            format!(
                "{} {} row(s).",
                written.table.row.trim(),
                written.each.len()
            ),
        );
        for column in written.table.all_columns() {
            page.hang(&format!("  {:<16}", column.name), column.meaning.trim());
        }
    }
    page.into_text()
}
