//! `logbook export`.

use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;

use super::rows::{boat, defects, due, machines, not_counted};
use super::tables::{BoatRow, DefectRow, DueRow, MachineRow, NotCountedRow};
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::exposure::{Ahead, words};
use crate::cli::failure::Failure;
use crate::cli::page::{Page, Set, USUAL_WIDTH};
use crate::defects::list::Scenario;
use crate::logbook::book::Book;
use crate::logbook::folder::MAX_SMALL;
use crate::logbook::record::Record;
use crate::logbook::replace::replace_file;
use crate::logbook::table::{BOAT, Export, Rows};
use crate::logbook::{Disk, LogbookError, RealDisk};

/// How the README of an export begins; a folder that holds another file of that name is left alone.
const FIRST_LINE: &str = "Tables of a boat's logbook, written by the program handlamp.";

/// The order of the tables, as it always was; one that is not named here comes last.
const ORDER: [&str; 31] = [
    "boats",
    "machines",
    "walks",
    "fuel_left",
    "looks",
    "readings",
    "wear",
    "signs",
    "told",
    "photos",
    "defects",
    "repairs",
    "deferrals",
    "overrides",
    "withdrawals",
    "services",
    "service_items",
    "service_intervals",
    "when_last",
    "parts",
    "place_photos",
    "arranged",
    "due",
    "rechecks",
    "fitted",
    "removed",
    "costs",
    "learning",
    "meters",
    "plans",
    "not_counted",
];

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct ExportBody {
    /// The folder written to.
    folder: String,
    /// Over what the defects are ranked.
    exposure: Ahead,
    /// The tables written, each with its length.
    rows: Vec<TableRow>,
}

/// One table, a file of its own.
#[derive(Serialize, JsonSchema)]
pub struct TableRow {
    /// Its file, in the folder named.
    file: String,
    /// How many rows it has.
    rows: usize,
}

/// Runs the command.
///
/// # Errors
/// The folder holds something else, lies in the logbook, or cannot be written.
pub fn run(dir: &Path, cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book()?;
    refuse_folder(dir, book.root())?;
    let history = cx.history(&book);
    let condition = cx.condition(&book, &history);
    let (exposure, waters) = condition.usual_plan();
    let scenario = Scenario { exposure, waters };
    let tables = tables(
        &book,
        &Export {
            boat: book.boat_id(),
            history: &history,
            condition: &condition,
            scenario,
        },
    );
    let mut rng = fastrand::Rng::new();
    let mut write = |name: &str, text: &str| {
        replace_file(&RealDisk, &dir.join(name), text.as_bytes(), &mut rng)
    };
    let mut body = ExportBody {
        folder: dir.display().to_string(),
        exposure: exposure.into(),
        rows: Vec::with_capacity(tables.len()),
    };
    write("README.txt", &readme(&book, &tables, scenario))?;
    write("tables.sql", &statements(&tables))?;
    for written in &tables {
        let file = format!("{}.ndjson", written.table.name);
        write(&file, &written.lines)?;
        body.rows.push(TableRow {
            file,
            rows: written.count,
        });
    }
    Ok(cx.form.answer("logbook-export", &body, |page| {
        page.line(format!("Written to {}", body.folder));
        let cells: Vec<Vec<String>> = body
            .rows
            .iter()
            .map(|row| vec![row.file.clone(), row.rows.to_string()])
            .collect();
        page.table(&[("table", Set::Left), ("rows", Set::Right)], &cells);
        page.line(format!("Defects ranked over {}", words(scenario)));
    }))
}

/// An export may overwrite an earlier one and nothing else.
fn refuse_folder(dir: &Path, root: &Path) -> Result<(), Failure> {
    let refuse = |why: &str| Err(Failure::usage(format!("{} {why}", dir.display())));
    let cannot = |e: std::io::Error| LogbookError::cannot_read(dir, e);
    let full = std::path::absolute(dir).map_err(cannot)?;
    let full = std::fs::canonicalize(&full).unwrap_or(full);
    let root = std::fs::canonicalize(root).unwrap_or_else(|_| root.to_owned());
    if full.starts_with(&root) {
        return refuse("lies in the logbook; name a folder outside it");
    }
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

fn tables(book: &Book, of: &Export<'_>) -> Vec<Rows> {
    let mut tables = vec![
        of.lines(BoatRow::TABLE, [boat(book, of.scenario)]),
        of.lines(MachineRow::TABLE, machines(of.condition)),
        of.lines(DefectRow::TABLE, defects(of.condition, of.scenario)),
        of.lines(DueRow::TABLE, due(of)),
        of.lines(NotCountedRow::TABLE, not_counted(of.condition)),
    ];
    tables.extend(Record::KINDS.iter().flat_map(|kind| (kind.tables)(of)));
    let place = |rows: &Rows| ORDER.iter().position(|name| *name == rows.table.name);
    tables.sort_by_key(|rows| place(rows).unwrap_or(ORDER.len()));
    tables
}

/// The tables as SQL has them, in types that DuckDB and PostgreSQL both know.
fn statements(tables: &[Rows]) -> String {
    let mut text = String::from("-- Tables for the files beside this one, one boat or many.\n");
    for written in tables {
        let table = written.table;
        let columns = table
            .columns
            .iter()
            .map(|c| format!(",\n  \"{}\" {}", c.name, c.sql));
        let (boat, columns) = (BOAT.name, columns.collect::<String>());
        text.push_str(&format!(
            "create table if not exists {} (\n  \"{boat}\" {} not null{columns}\n);\n",
            table.name, BOAT.sql
        ));
    }
    text
}

fn readme(book: &Book, tables: &[Rows], scenario: Scenario) -> String {
    let mut page = Page::new(USUAL_WIDTH);
    page.line(FIRST_LINE);
    page.blank();
    page.line(format!("Boat: {} ({})", book.boat().name, book.boat_id()));
    page.line(format!("Written: {}", book.now().to_rfc3339()));
    page.line(format!("Defects ranked over {}", words(scenario)));
    page.blank();
    page.paragraph(
        "Each file holds one table: JSON, one object a line, in UTF-8. Every row has every column; what is not known is null. Times are RFC 3339 with offset. Hours are running hours as the meter shows them. tables.sql makes the tables in a database; exports of several boats go into the same tables, since every row begins with the boat's id, the same in every export of her logbook and in no other.",
    );
    for written in tables {
        page.blank();
        page.hang(
            &format!("{}.ndjson: ", written.table.name),
            format!("{} {} row(s).", written.table.row.trim(), written.count),
        );
        for column in std::iter::once(&BOAT).chain(written.table.columns) {
            page.hang(&format!("  {:<16}", column.name), column.meaning.trim());
        }
    }
    page.into_text()
}
