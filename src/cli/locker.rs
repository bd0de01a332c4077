//! `locker`: the spares aboard, what went in and out, and what is missing for the waters ahead.

mod put;

use clap::{Args, Subcommand};
use schemars::JsonSchema;
use serde::Serialize;

pub use put::LockerChangedBody;

use super::answer::Answer;
use super::context::Context;
use super::exposure::ExposureArgs;
use super::failure::Failure;
use super::page::Page;
use crate::boat::Waters;
use crate::defects::leaving_said;
use crate::defects::locker::{LockerRow, how_many};

/// Options of `locker`.
#[derive(Args, Debug)]
#[command(args_conflicts_with_subcommands = true)]
pub struct LockerArgs {
    /// The list where nothing is named.
    #[command(subcommand)]
    pub command: Option<LockerCommand>,
    /// What lies ahead.
    #[command(flatten)]
    pub ahead: ExposureArgs,
}

/// What to do with the locker.
#[derive(Subcommand, Debug)]
pub enum LockerCommand {
    /// List the spares aboard, and what is customary in the waters ahead and missing
    List(ListArgs),
    /// Say that spares were bought or brought aboard, and what is known of them
    ///
    /// A name of the built-in list, such as drive-belts, or words of your own. A spare counts at sea only
    /// with its tools and its instruction aboard, and once one like it was fitted in harbour.
    Add(put::AddArgs),
    /// Say something of a spare: where it lies, its date, its tools, when one was fitted in harbour
    Tell(put::TellArgs),
    /// Say that a spare was used; tells when it was the last one
    Use(put::UseArgs),
    /// Say how many there are, seen and counted
    Count(put::CountArgs),
    /// Say that a spare was thrown away: too old, damaged
    Drop(put::DropArgs),
}

/// Options of `locker list`.
#[derive(Args, Debug)]
pub struct ListArgs {
    /// What lies ahead.
    #[command(flatten)]
    pub ahead: ExposureArgs,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct LockerBody {
    /// The waters whose custom is shown.
    waters: Waters,
    /// The built-in list first, then spares of one's own.
    rows: Vec<LockerRow>,
    /// What this answer does not know.
    notes: Vec<String>,
}

/// Said wherever the custom of waters stands.
pub(super) const CUSTOM: &str = "What is customary is common practice, no single source; counts by waters are judgement. The maker's handbook outranks all of it.";

/// Runs the command.
///
/// # Errors
/// What is wrong with the options, or the logbook.
pub fn run(args: &LockerArgs, cx: &Context) -> Result<Answer, Failure> {
    match &args.command {
        None => list(&args.ahead, cx),
        Some(LockerCommand::List(args)) => list(&args.ahead, cx),
        Some(LockerCommand::Add(args)) => put::add(args, cx),
        Some(LockerCommand::Tell(args)) => put::tell(args, cx),
        Some(LockerCommand::Use(args)) => put::used(args, cx),
        Some(LockerCommand::Count(args)) => put::counted(args, cx),
        Some(LockerCommand::Drop(args)) => put::dropped(args, cx),
    }
}

fn list(ahead: &ExposureArgs, cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    let scenario = ahead.scenario(cx, &condition, &history)?;
    cx.known_asked(&book)?;
    let mut rows = condition.locker(&history, scenario.waters);
    rows.retain(|row| cx.is_asked(row.machine.as_deref()));
    let body = LockerBody {
        waters: scenario.waters,
        rows,
        notes: condition.notes(),
    };
    let several = book.boat().machines.len() > 1;
    Ok(cx.form.answer("locker", &body, |page| {
        page.line(format!("The locker of {}", book.boat().name));
        page.notes(&body.notes);
        body.write(page, several);
    }))
}

impl LockerBody {
    fn write(&self, page: &mut Page, several: bool) {
        page.blank();
        page.line("ABOARD, BY THE RECORD");
        let there = |row: &&LockerRow| row.is_on_record();
        if !self.rows.iter().any(|row| there(&row)) {
            page.hang(
                "  ",
                "Nothing is on record: handlamp locker add drive-belts",
            );
        }
        for row in self.rows.iter().filter(there) {
            write_row(page, row, several);
        }
        page.blank();
        page.line(format!(
            "MISSING FOR {} WATERS",
            self.waters.as_str().to_uppercase()
        ));
        let missing: Vec<&LockerRow> = self.rows.iter().filter(|row| row.missing > 0.0).collect();
        if missing.is_empty() {
            page.hang("  ", "Nothing of what is customary there.");
        }
        for row in missing {
            page.hang("  - ", missing_words(row, several));
        }
        page.blank();
        page.paragraph(CUSTOM);
    }
}

/// A spare as a list has it.
pub(super) fn write_row(page: &mut Page, row: &LockerRow, several: bool) {
    let lies = row.lies.as_ref().map(|lies| format!(", {lies}"));
    let counted = row
        .counted
        .map(|at| format!(", counted {}", at.date_naive()));
    page.hang(
        "  - ",
        format!(
            "{} [{}]: {}{}{}",
            named(row, several),
            row.spare,
            row.how_many(),
            lies.unwrap_or_default(),
            counted.unwrap_or_default()
        ),
    );
    if !row.not_because.is_empty() {
        page.hang(
            "    ",
            format!("Does not count at sea: {}.", row.not_because.join("; ")),
        );
    }
    for note in &row.notes {
        page.hang("    ", note);
    }
}

/// What is missing of a spare, in a line.
pub(super) fn missing_words(row: &LockerRow, several: bool) -> String {
    let words = row.customary_words.as_ref();
    let words = words.map(|words| format!(" ({words})")).unwrap_or_default();
    format!(
        "{} [{}]: {} of {}{words}",
        named(row, several),
        row.spare,
        how_many(row.missing, row.unit),
        how_many(row.customary.map_or(0.0, f64::from), row.unit)
    )
}

/// What it is, with its machine where the boat has several.
pub(super) fn named(row: &LockerRow, several: bool) -> String {
    leaving_said::named(&row.title, row.machine.as_deref(), several)
}
