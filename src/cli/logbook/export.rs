//! `logbook export`.

use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;

use super::tables::{
    DefectRow, DeferralRow, FittedRow, LookRow, MachineRow, MeterRow, OverrideRow, PhotoRow,
    PlanRow, ReadingRow, RecheckRow, RemovedRow, RepairRow, Table, ToldRow, WalkRow, WearRow,
    WithdrawalRow,
};
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::exposure::{Ahead, words};
use crate::cli::failure::Failure;
use crate::cli::page::{Page, Set, USUAL_WIDTH};
use crate::defects::condition::Condition;
use crate::defects::judged::judge;
use crate::defects::list::Outset;
use crate::defects::{History, Until};
use crate::logbook::book::Book;
use crate::logbook::replace::replace_file;
use crate::logbook::{LogbookError, RealDisk};
use crate::text::json_guard;
use crate::walk::look::Outcome;
use crate::walk::{Agreed, TimedLook, Walk};

/// How the README of an export begins; a folder that holds another file of that name is left alone.
const FIRST_LINE: &str = "Tables of a boat's logbook, written by the program handlamp.";

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct ExportBody {
    /// The folder written to.
    folder: String,
    /// Over what the defects are ranked.
    exposure: Ahead,
    /// The tables.
    rows: Vec<TableRow>,
}

/// One table written.
#[derive(Serialize, JsonSchema)]
pub struct TableRow {
    /// Its file.
    file: String,
    /// Its rows.
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
    let readme = std::fs::read_to_string(dir.join("README.txt")).unwrap_or_default();
    if readme.starts_with(FIRST_LINE) {
        return Ok(());
    }
    refuse("holds something else; name a new folder or an empty one")
}

fn lines<T: Serialize>(table: Table, rows: impl IntoIterator<Item = T>) -> Written {
    let mut written = Written {
        table,
        lines: String::new(),
        rows: 0,
    };
    for row in rows {
        // Rows hold no map keyed by other than text, the one thing serde_json refuses.
        let json = serde_json::to_string(&row).unwrap_or_default();
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
    vec![
        lines(MachineRow::TABLE, machines(condition)),
        lines(WalkRow::TABLE, walks(book, history, condition)),
        lines(LookRow::TABLE, looks().map(|(w, l)| look(w, l))),
        lines(
            ReadingRow::TABLE,
            looks().filter_map(|(w, l)| reading(w, l)),
        ),
        lines(WearRow::TABLE, looks().flat_map(|(w, l)| wear(w, l))),
        lines(ToldRow::TABLE, history.walks.iter().flat_map(told)),
        lines(PhotoRow::TABLE, looks().flat_map(|(_, l)| photos(l))),
        lines(DefectRow::TABLE, defects(condition, outset)),
        lines(
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
            WithdrawalRow::TABLE,
            history.withdrawals.iter().map(|s| WithdrawalRow {
                id: s.id.clone(),
                item: s.rec.item.clone(),
                machine: s.rec.machine.clone(),
                at: s.at,
                why: s.rec.why.clone(),
            }),
        ),
        lines(RecheckRow::TABLE, rechecks(history, condition)),
        lines(
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
            RemovedRow::TABLE,
            history.removed.iter().map(|s| RemovedRow {
                id: s.id.clone(),
                item: s.rec.item.clone(),
                machine: s.rec.machine.clone(),
                at: s.at,
                why: s.rec.why.clone(),
            }),
        ),
        lines(
            MeterRow::TABLE,
            history.meters.iter().map(|m| MeterRow {
                machine: m.machine.clone(),
                at: m.at,
                old: m.old,
                new: m.new,
            }),
        ),
        lines(
            PlanRow::TABLE,
            history.plans.values().map(|p| PlanRow {
                plan: p.name.clone(),
                hours: p.hours,
                days: p.days,
                waters: p.waters,
            }),
        ),
    ]
}

fn machines(condition: &Condition) -> impl Iterator<Item = MachineRow> + '_ {
    condition.boat.machines.iter().map(|m| {
        let now = condition.meter_now(Some(&m.id));
        MachineRow {
            machine: m.id.clone(),
            name: m.name.clone(),
            hours_now: now.hours,
            hours_estimated: now.estimated,
            hours_per_day: condition.rate(Some(&m.id)).per_day,
        }
    })
}

fn walks<'a>(
    book: &'a Book,
    history: &'a History,
    condition: &'a Condition,
) -> impl Iterator<Item = WalkRow> + 'a {
    history.walks.iter().map(move |walk| WalkRow {
        walk: walk.id.clone(),
        checklist: walk.checklist.clone(),
        machine: walk.machine.clone(),
        at: walk.at,
        hours: walk.hours,
        by: walk.by.clone(),
        finished: walk.finished,
        entered_after: walk.entered_after,
        blind: walk.was_blind(),
        runs: agreed(walk, |a| &a.runs),
        may_open: agreed(walk, |a| &a.may_open),
        samples: agreed(walk, |a| &a.samples),
        full_throttle: agreed(walk, |a| &a.full_throttle),
        verdict: judge(book.boat(), book.library(), history, condition, walk).at_walk,
    })
}

fn agreed(walk: &Walk, answer: impl Fn(&Agreed) -> &Option<String>) -> Option<String> {
    walk.agreed.as_ref().and_then(|a| answer(a).clone())
}

fn told(walk: &Walk) -> impl Iterator<Item = ToldRow> + '_ {
    walk.told.iter().flat_map(move |told| {
        told.items.iter().map(|item| ToldRow {
            walk: walk.id.clone(),
            item: item.clone(),
            whom: told.whom.clone(),
            at: told.at,
        })
    })
}

fn look(walk: &Walk, timed: &TimedLook) -> LookRow {
    let look = &timed.look;
    let (not_seen, close_by) = match &look.outcome {
        Outcome::Graded(_) => (None, None),
        Outcome::NotSeen { why, close_by } => (Some(why.clone()), close_by.clone()),
    };
    LookRow {
        look: timed.id.clone(),
        walk: walk.id.clone(),
        item: look.item.clone(),
        machine: walk.machine.clone(),
        phase: look.phase.clone(),
        at: timed.at,
        grade: look.grade(),
        not_seen,
        close_by,
        leak: look.leak,
        said: look.said.clone(),
        note: look.note.clone(),
        grade_reason: look.grade_reason.clone(),
        better: look.better,
        at_rpm: look.at_rpm,
        added_litres: look.added.map(|v| v.litres()),
    }
}

fn reading(walk: &Walk, timed: &TimedLook) -> Option<ReadingRow> {
    let measure = timed.look.reading?;
    Some(ReadingRow {
        look: timed.id.clone(),
        item: timed.look.item.clone(),
        machine: walk.machine.clone(),
        at: timed.at,
        value: measure.value(),
        unit: measure.unit(),
        base_value: measure.unit().to_base(measure.value()),
    })
}

fn wear<'a>(walk: &'a Walk, timed: &'a TimedLook) -> impl Iterator<Item = WearRow> + 'a {
    timed.look.wear.iter().map(|wear| WearRow {
        look: timed.id.clone(),
        item: timed.look.item.clone(),
        machine: walk.machine.clone(),
        at: timed.at,
        mark: wear.mark,
        place: wear.r#where.clone(),
        against: wear.against.clone(),
    })
}

fn photos(timed: &TimedLook) -> impl Iterator<Item = PhotoRow> + '_ {
    timed.look.photos.iter().map(|photo| PhotoRow {
        look: timed.id.clone(),
        path: photo.path.clone(),
        caption: photo.caption.clone(),
        kept: photo.kept.clone(),
        bytes: photo.bytes,
    })
}

fn defects(condition: &Condition, outset: Outset) -> Vec<DefectRow> {
    let ranked = condition.list(outset, false).rows;
    let mut rows = Vec::new();
    for (subject, life) in &condition.lives {
        for (n, defect) in life.defects.iter().enumerate() {
            // Only the last defect of an item can be living.
            let listed = ranked
                .iter()
                .filter(|_| n + 1 == life.defects.len())
                .find(|row| row.item == subject.item && row.machine == subject.machine);
            rows.push(DefectRow {
                item: subject.item.clone(),
                machine: subject.machine.clone(),
                number: n + 1,
                state: condition.state(subject, defect),
                opened: defect.opened,
                looks: defect.looks,
                worse_since: defect.worse_since,
                reopened: defect.reopened,
                repaired: defect.repaired_at,
                confirmed: defect.confirmed_at,
                withdrawn_why: defect.withdrawn_why.clone(),
                rank: listed.map(|row| row.rank),
                chance: listed.map(|row| row.chance),
                severity: listed.map(|row| row.severity),
                level: listed.map(|row| row.level),
                risk: listed.map(|row| row.risk),
                stop: listed.map(|row| row.stop),
            });
        }
    }
    rows
}

fn rechecks(history: &History, condition: &Condition) -> Vec<RecheckRow> {
    let open: Vec<&str> = condition
        .owed(history)
        .map(|owed| owed.recheck.id.as_str())
        .collect();
    let row = |s: &crate::defects::Stamped<crate::defects::Recheck>| RecheckRow {
        id: s.id.clone(),
        item: s.rec.item.clone(),
        machine: s.rec.machine.clone(),
        at: s.at,
        due_at: s.rec.due_at,
        due_hours: s.rec.due_hours,
        why: s.rec.why.clone(),
        open: open.contains(&s.id.as_str()),
    };
    history.rechecks.iter().map(row).collect()
}

fn readme(book: &Book, tables: &[Written], outset: Outset) -> String {
    let mut page = Page::new(USUAL_WIDTH);
    page.line(FIRST_LINE);
    page.blank();
    page.line(format!("Boat: {}", book.boat().name));
    page.line(format!("Written: {}", book.now().to_rfc3339()));
    page.line(format!("Defects ranked over {}", words(outset)));
    page.blank();
    page.paragraph(
        "Each file holds one table: JSON, one object a line, in UTF-8. Every row has every column; what is not known is null. Times are RFC 3339 with offset. Hours are running hours as the meter shows them.",
    );
    for written in tables {
        page.blank();
        page.hang(
            &format!("{}.ndjson: ", written.table.name),
            format!("{} {} row(s).", written.table.row.trim(), written.rows),
        );
        for (column, meaning) in written.table.columns {
            page.hang(&format!("  {column:<16}"), meaning.trim());
        }
    }
    page.into_text()
}
