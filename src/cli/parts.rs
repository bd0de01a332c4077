//! `parts`: what is known of the parts that tasks and remedies need, and one page of it.

mod put;

use std::collections::BTreeSet;
use std::path::PathBuf;

use clap::{Args, Subcommand};
use schemars::JsonSchema;
use serde::Serialize;

pub use put::PartBody;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::own_file::{PAGE, write};
use super::page::Page;
use super::verdict::title_of;
use crate::boat::facts::NOT_KNOWN;
use crate::boat::profile::UnitHabit;
use crate::checklist::Library;
use crate::defects::History;
use crate::defects::condition::Condition;
use crate::logbook::book::Book;
use crate::logbook::{Folder, RealDisk};
use crate::report::making::Progress;
use crate::report::pictures::{LEFT_OUT, pictures};
use crate::service::parts::page::{LONGEST, html};
use crate::service::parts::{PHOTO_UNREAD, PartRow, part_of, parts};
use crate::walk::When;

/// Said wherever numbers of parts stand.
const OUTRANKS: &str = "The maker's handbook and parts book outrank all of this.";
/// The heading of what no task needs.
const REPAIRS: &str = "For repairs";
/// The heading of what nothing here needs.
const ON_RECORD: &str = "On record, and needed by no task or remedy here";

/// Options of `parts`.
#[derive(Args, Debug)]
#[command(args_conflicts_with_subcommands = true)]
pub struct PartsArgs {
    /// The list where nothing is named.
    #[command(subcommand)]
    pub command: Option<PartsCommand>,
    /// Only these parts, by their ids
    #[arg(long = "part", value_name = "PART")]
    pub only: Vec<String>,
    /// Only parts that this task, or the remedy of this item, needs
    #[arg(long = "for", value_name = "TASK|ITEM")]
    pub needed_for: Option<String>,
    /// Write one page to print on A4 or to hold up: what is known of them, in large letters
    #[arg(long, value_name = "FILE")]
    pub page: Option<PathBuf>,
}

/// What to do with a part.
#[derive(Subcommand, Debug)]
pub enum PartsCommand {
    /// Say something of a part: its numbers, its measures, where it was bought
    ///
    /// What is not named stays as it was said before. `not known` says that nobody knows any more.
    Put(put::PutArgs),
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct PartsPageBody {
    /// Each machine's parts, then the boat's, in the order of the tasks, then of the remedies.
    rows: Vec<PartRow>,
    /// Photographs whose kept file is missing or was changed, by the names they are kept under.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    unread: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// There is no such part, or the page cannot be written.
pub fn run(args: &PartsArgs, cx: &Context) -> Result<Answer, Failure> {
    match &args.command {
        Some(PartsCommand::Put(args)) => put::run(args, cx),
        None => list(args, cx),
    }
}

fn list(args: &PartsArgs, cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    cx.known_asked(&book)?;
    let mut rows = parts(&condition, &history);
    rows.retain(|row| cx.is_asked(row.machine.as_deref()));
    for part in &args.only {
        if !rows.iter().any(|row| row.part == *part) {
            let why = part_of(&rows, part, None).err();
            return Err(Failure::of_act(why.into_iter().collect(), &OPTIONS));
        }
    }
    rows.retain(|row| args.only.is_empty() || args.only.contains(&row.part));
    if let Some(needed_for) = &args.needed_for {
        rows.retain(|row| row.is_for(needed_for));
        if rows.is_empty() {
            let message = format!("no task or item '{needed_for}' needs a part here");
            return Err(Failure::usage(message));
        }
    }
    let unread = unread(&book, &rows);
    if let Some(path) = &args.page {
        let shown: Vec<String> = kept(&rows).into_iter().collect();
        let folder = Folder::new(book.root());
        let pictures = pictures(&shown, LONGEST, (&RealDisk, &folder), &Progress::default());
        let missing = shown.len() - pictures.len();
        if missing > 0 {
            cx.note(format!("{missing} {LEFT_OUT}"));
        }
        let doubts = condition.not_counted();
        let not_counted = doubts.iter().map(|told| told.sentence()).collect();
        let page = html(
            &condition.boat,
            &rows,
            condition.now.date_naive(),
            &pictures,
            not_counted,
        );
        write(path, PAGE, &page)?;
        cx.note(format!("the page is written to {}", path.display()));
    }
    let body = PartsPageBody { rows, unread };
    Ok(cx.form.answer("parts-page", &body, |page| {
        let known = body.rows.iter().filter(|row| row.known.is_some()).count();
        page.line(format!(
            "Parts of {}: something is known of {known} of {}",
            condition.boat.name,
            body.rows.len()
        ));
        page.line(OUTRANKS);
        let mut written: Option<(Option<&str>, String)> = None;
        for row in &body.rows {
            let machine = row.machine.as_deref();
            let group = group(row, &condition.library);
            let same = |written: &(Option<&str>, String)| written.0 == machine;
            if !written.as_ref().is_some_and(same) {
                page.blank();
                page.line(heading(&condition, machine));
            }
            let here = (machine, group);
            if written.as_ref() != Some(&here) {
                page.line(format!("  {}", here.1));
                write_last(page, &history, &condition, row);
            }
            write_row(page, row, &condition.library, condition.boat.units);
            write_unread(page, row, &body.unread);
            written = Some(here);
        }
    }))
}

/// What a row stands under: the first task that needs it.
fn group(row: &PartRow, library: &Library) -> String {
    match (row.tasks.first(), row.remedies.first()) {
        (Some(task), _) => title_of_task(library, task),
        (None, Some(_)) => REPAIRS.to_owned(),
        (None, None) => ON_RECORD.to_owned(),
    }
}

fn title_of_task(library: &Library, task: &str) -> String {
    let known = library.task(task).map(|task| task.title.clone());
    known.unwrap_or_else(|| task.to_owned())
}

fn heading(condition: &Condition, machine: Option<&str>) -> String {
    let Some(id) = machine else {
        return "What the boat has once".to_owned();
    };
    let machines = &condition.boat.machines;
    let Some(machine) = machines.iter().find(|m| m.id == id) else {
        return id.to_owned();
    };
    let plate = [
        machine.maker.clone(),
        machine.model.clone(),
        machine
            .serial
            .as_ref()
            .map(|n| format!("serial number {n}")),
    ];
    let plate: Vec<String> = plate.into_iter().flatten().collect();
    match plate.is_empty() {
        true => format!("{} [{id}]", machine.name),
        false => format!("{} [{id}]: {}", machine.name, plate.join(", ")),
    }
}

/// What was written down of parts when the first task of a row was done last.
fn write_last(page: &mut Page, history: &History, condition: &Condition, row: &PartRow) {
    let Some(task) = row.tasks.first() else {
        return;
    };
    let cut = When::last_at(condition.now);
    let last = history.task_done(task, row.machine.as_deref(), cut).next();
    if let Some(last) = last.filter(|last| !last.rec.parts.is_empty()) {
        let parts = last.rec.parts.join("; ");
        page.hang(
            "    ",
            format!("done {} with: {parts}", last.at.date_naive()),
        );
    }
}

/// A part with what is known of it.
fn write_row(page: &mut Page, row: &PartRow, library: &Library, habit: UnitHabit) {
    let head = format!("{} [{}]", row.title, row.part);
    if row.known.is_none() {
        page.hang("    ", format!("{head}: {NOT_KNOWN}"));
        return;
    }
    page.hang("    ", head);
    for caution in &row.cautions {
        page.hang("      ! ", caution.sentence());
    }
    for (field, said) in row.lines(habit) {
        page.hang(&format!("      {}: ", field.words), said);
    }
    let more = row.tasks.iter().skip(1);
    let more = more.map(|task| title_of_task(library, task));
    let remedies = row.remedies.iter().map(|item| title_of(library, item));
    let all: Vec<String> = more.chain(remedies).collect();
    if !all.is_empty() {
        page.hang("      Needed for: ", all.join("; "));
    }
}

/// Says that a photograph is there no more, where its file is among those.
fn write_unread(page: &mut Page, row: &PartRow, unread: &[String]) {
    let kept = row.photo().and_then(|photo| photo.kept.as_ref());
    if kept.is_some_and(|kept| unread.contains(kept)) {
        page.hang("      ! ", PHOTO_UNREAD);
    }
}

/// The photographs of parts that cannot be read, by the names they are kept under, once each.
fn unread(book: &Book, rows: &[PartRow]) -> Vec<String> {
    let kept = kept(rows).into_iter();
    kept.filter(|kept| book.photo(kept).is_err()).collect()
}

/// The photographs of parts, by the names they are kept under, once each.
fn kept(rows: &[PartRow]) -> BTreeSet<String> {
    let kept = rows.iter().filter_map(|row| row.photo()?.kept.clone());
    kept.collect()
}

/// The option behind each field, for messages.
const OPTIONS: [(&str, &str); 3] = [("part", "PART"), ("machine", "--machine"), ("at", "--now")];
