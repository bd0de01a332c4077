//! `logbook export`.

use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;

use super::rows::{
    boat, costs, defects, look, machines, photos, reading, rechecks, service, service_items, told,
    walks, wear,
};
use super::tables::{
    BOAT, BoatRow, CostRow, DefectRow, DeferralRow, DueRow, FittedRow, IntervalRow, LearningRow,
    LookRow, MachineRow, MeterRow, NotCountedRow, OverrideRow, PhotoRow, PlanRow, ReadingRow,
    RecheckRow, RemovedRow, RepairRow, ServiceItemRow, ServiceRow, Table, ToldRow, WalkRow,
    WearRow, WithdrawalRow,
};
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::exposure::{Ahead, words};
use crate::cli::failure::Failure;
use crate::cli::page::{Page, Set, USUAL_WIDTH};
use crate::defects::condition::Condition;
use crate::defects::list::Outset;
use crate::defects::{History, Until};
use crate::logbook::book::Book;
use crate::logbook::folder::MAX_SMALL;
use crate::logbook::replace::replace_file;
use crate::logbook::{Disk, LogbookError, RealDisk};
use crate::service::due;
use crate::text::json_guard;

/// How the README of an export begins; a folder that holds another file of that name is left alone.
const FIRST_LINE: &str = "Tables of a boat's logbook, written by the program handlamp.";

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

/// A table as lines.
struct Written {
    table: Table,
    lines: String,
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
    let outset = Outset { exposure, waters };
    let tables = tables(&book, &history, &condition, outset);
    let mut rng = fastrand::Rng::new();
    let mut write = |name: &str, text: &str| {
        replace_file(&RealDisk, &dir.join(name), text.as_bytes(), &mut rng)
    };
    let mut body = ExportBody {
        folder: dir.display().to_string(),
        exposure: exposure.into(),
        rows: Vec::with_capacity(tables.len()),
    };
    write("README.txt", &readme(&book, &tables, outset))?;
    write("tables.sql", &statements(&tables))?;
    for written in &tables {
        let file = format!("{}.ndjson", written.table.name);
        write(&file, &written.lines)?;
        body.rows.push(TableRow {
            file,
            rows: written.rows,
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
        page.line(format!("Defects ranked over {}", words(outset)));
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

/// A row with the boat it is of.
#[derive(Serialize)]
struct OfBoat<'a, T> {
    boat: &'a str,
    #[serde(flatten)]
    row: T,
}

fn lines<T: Serialize>(boat: &str, table: Table, rows: impl IntoIterator<Item = T>) -> Written {
    let mut written = Written {
        table,
        lines: String::new(),
        rows: 0,
    };
    for row in rows {
        // Rows hold no map keyed by other than text, the one thing serde_json refuses.
        let json = serde_json::to_string(&OfBoat { boat, row }).unwrap_or_default();
        written.lines.push_str(&json_guard(&json));
        written.lines.push('\n');
        written.rows += 1;
    }
    written
}

fn tables(book: &Book, history: &History, condition: &Condition, outset: Outset) -> Vec<Written> {
    let looks = || {
        let walks = history.walks.iter();
        walks.flat_map(|walk| walk.looks.iter().map(move |timed| (walk, timed)))
    };
    let id = book.boat_id();
    vec![
        lines(id, BoatRow::TABLE, [boat(book, outset)]),
        lines(id, MachineRow::TABLE, machines(condition)),
        lines(id, WalkRow::TABLE, walks(book, history)),
        lines(id, LookRow::TABLE, looks().map(|(w, l)| look(w, l))),
        lines(
            id,
            ReadingRow::TABLE,
            looks().filter_map(|(w, l)| reading(w, l)),
        ),
        lines(id, WearRow::TABLE, looks().flat_map(|(w, l)| wear(w, l))),
        lines(id, ToldRow::TABLE, history.walks.iter().flat_map(told)),
        lines(id, PhotoRow::TABLE, looks().flat_map(|(_, l)| photos(l))),
        lines(id, DefectRow::TABLE, defects(condition, outset)),
        lines(
            id,
            RepairRow::TABLE,
            history.repairs.iter().map(|s| RepairRow {
                id: s.id.clone(),
                item: s.rec.item.clone(),
                machine: s.rec.machine.clone(),
                at: s.at,
                hours: s.rec.hours,
                done: s.rec.done.clone(),
                by: s.rec.by.clone(),
            }),
        ),
        lines(
            id,
            DeferralRow::TABLE,
            history.deferrals.iter().map(|s| {
                let (until_date, until_hours) = match s.rec.until {
                    Until::Date(date) => (Some(date), None),
                    Until::Hours(hours) => (None, Some(hours)),
                };
                DeferralRow {
                    id: s.id.clone(),
                    item: s.rec.item.clone(),
                    machine: s.rec.machine.clone(),
                    at: s.at,
                    why: s.rec.why.clone(),
                    until_date,
                    until_hours,
                }
            }),
        ),
        lines(
            id,
            OverrideRow::TABLE,
            history.overrides.iter().map(|s| OverrideRow {
                id: s.id.clone(),
                item: s.rec.item.clone(),
                machine: s.rec.machine.clone(),
                at: s.at,
                severity: s.rec.severity,
                level: s.rec.level,
                why: s.rec.why.clone(),
            }),
        ),
        lines(
            id,
            WithdrawalRow::TABLE,
            history.withdrawals.iter().map(|s| WithdrawalRow {
                id: s.id.clone(),
                item: s.rec.item.clone(),
                machine: s.rec.machine.clone(),
                at: s.at,
                why: s.rec.why.clone(),
            }),
        ),
        lines(id, ServiceRow::TABLE, history.services.iter().map(service)),
        lines(
            id,
            ServiceItemRow::TABLE,
            history.services.iter().flat_map(service_items),
        ),
        lines(
            id,
            IntervalRow::TABLE,
            history.intervals.iter().map(|s| IntervalRow {
                id: s.id.clone(),
                task: s.rec.task.clone(),
                machine: s.rec.machine.clone(),
                at: s.at,
                hours: s.rec.hours,
                months: s.rec.months,
                source: s.rec.source.clone(),
            }),
        ),
        lines(
            id,
            DueRow::TABLE,
            due(condition, history).into_iter().map(|row| DueRow {
                what: row.what,
                id: row.id,
                machine: row.machine,
                item: row.item,
                due_hours: row.due_hours,
                due_date: row.due_date,
                hours_left: row.hours_left,
                days_left: row.days_left,
                why: row.why,
            }),
        ),
        lines(id, RecheckRow::TABLE, rechecks(history, condition)),
        lines(
            id,
            FittedRow::TABLE,
            history.fitted.iter().map(|s| FittedRow {
                id: s.id.clone(),
                item: s.rec.item.clone(),
                machine: s.rec.machine.clone(),
                at: s.at,
                hours: s.rec.hours,
            }),
        ),
        lines(
            id,
            RemovedRow::TABLE,
            history.removed.iter().map(|s| RemovedRow {
                id: s.id.clone(),
                item: s.rec.item.clone(),
                machine: s.rec.machine.clone(),
                at: s.at,
                why: s.rec.why.clone(),
            }),
        ),
        lines(id, CostRow::TABLE, costs(history, condition, outset)),
        lines(
            id,
            LearningRow::TABLE,
            history.learning.iter().map(|s| LearningRow {
                id: s.id.clone(),
                at: s.at,
                state: s.rec.state,
                why: s.rec.why.clone(),
            }),
        ),
        lines(
            id,
            MeterRow::TABLE,
            history.meters.iter().map(|m| MeterRow {
                machine: m.rec.machine.clone(),
                at: m.at,
                old: m.rec.old,
                new: m.rec.new,
            }),
        ),
        lines(
            id,
            PlanRow::TABLE,
            history.plans.values().map(|p| PlanRow {
                plan: p.name.clone(),
                hours: p.hours,
                days: p.days,
                waters: p.waters,
            }),
        ),
        lines(
            id,
            NotCountedRow::TABLE,
            condition
                .not_counted()
                .into_iter()
                .map(|told| NotCountedRow {
                    file: told.file,
                    line: told.line,
                    item: told.item,
                    why: told.why,
                }),
        ),
    ]
}

/// The tables as SQL has them, in types that DuckDB and PostgreSQL both know.
fn statements(tables: &[Written]) -> String {
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

fn readme(book: &Book, tables: &[Written], outset: Outset) -> String {
    let mut page = Page::new(USUAL_WIDTH);
    page.line(FIRST_LINE);
    page.blank();
    page.line(format!("Boat: {} ({})", book.boat().name, book.boat_id()));
    page.line(format!("Written: {}", book.now().to_rfc3339()));
    page.line(format!("Defects ranked over {}", words(outset)));
    page.blank();
    page.paragraph(
        "Each file holds one table: JSON, one object a line, in UTF-8. Every row has every column; what is not known is null. Times are RFC 3339 with offset. Hours are running hours as the meter shows them. tables.sql makes the tables in a database; exports of several boats go into the same tables, since every row begins with the boat's id, the same in every export of her logbook and in no other.",
    );
    for written in tables {
        page.blank();
        page.hang(
            &format!("{}.ndjson: ", written.table.name),
            format!("{} {} row(s).", written.table.row.trim(), written.rows),
        );
        for column in std::iter::once(&BOAT).chain(written.table.columns) {
            page.hang(&format!("  {:<16}", column.name), column.meaning.trim());
        }
    }
    page.into_text()
}
