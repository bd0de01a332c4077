//! `walks`: past walks, and two of them beside each other.

mod compare;

use chrono::{DateTime, FixedOffset};
use clap::{Args, Subcommand};
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::page::Set;
use crate::assess::words::Verdict;
use crate::boat::Hours;
use crate::defects::verdicts::{AtEnd, at_ends};
use crate::walk::Walk;

pub use compare::CompareBody;

/// What to do with past walks.
#[derive(Args, Debug)]
pub struct WalksArgs {
    /// The list where nothing is named.
    #[command(subcommand)]
    pub command: Option<WalksCommand>,
}

/// What else than the list.
#[derive(Subcommand, Debug)]
pub enum WalksCommand {
    /// Tell what changed from one walk to another, and how far two graders agree
    Compare {
        /// Id of one walk
        a: String,
        /// Id of the other
        b: String,
    },
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct WalksBody {
    /// The walks on record, oldest first.
    rows: Vec<WalkRow>,
}

/// One walk as the list shows it.
#[derive(Serialize, JsonSchema)]
pub struct WalkRow {
    /// Its id, to be named on the command line.
    id: String,
    /// What was asked, by the id of the checklist.
    checklist: String,
    /// The machine, by its id in the profile.
    machine: String,
    /// When it began, with the offset it was walked in.
    at: DateTime<FixedOffset>,
    /// The meter as read; null where it was not.
    hours: Option<Hours>,
    /// Who walked, as recorded; none where nobody was named.
    by: Option<String>,
    /// As at the walk; null while unfinished and for a checklist without one.
    verdict: Option<Verdict>,
    /// How many of the items asked have a grade; a look not made is none.
    seen: usize,
    /// Items asked and not graded.
    not_seen: usize,
    /// It was walked to its end.
    finished: bool,
    /// Earlier grades were out of sight until each look was made.
    blind: bool,
    /// A guest walked: what was seen lifts nothing.
    guest: bool,
}

/// Runs the command.
///
/// # Errors
/// The logbook cannot be read.
pub fn run(args: &WalksArgs, cx: &Context) -> Result<Answer, Failure> {
    match &args.command {
        Some(WalksCommand::Compare { a, b }) => compare::run(a, b, cx),
        None => list(cx),
    }
}

fn list(cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    cx.known_asked(&book)?;
    let asked = |walk: &Walk| cx.is_asked(Some(&walk.machine));
    let row = |AtEnd {
                   walk,
                   plan,
                   verdict,
               }: AtEnd<'_>| {
        let mut seen: Vec<&str> = walk
            .looks
            .iter()
            .filter(|l| l.look.grade().is_some())
            .map(|l| l.look.item.as_str())
            .collect();
        seen.sort_unstable();
        seen.dedup();
        WalkRow {
            id: walk.id.clone(),
            checklist: walk.checklist.clone(),
            machine: walk.machine.clone(),
            at: walk.at,
            hours: walk.hours,
            by: walk.by.clone(),
            verdict,
            seen: seen.len(),
            not_seen: plan.map_or(0, |plan| plan.not_seen(walk).len()),
            finished: walk.finished.is_some(),
            blind: walk.was_blind(),
            guest: walk.guest,
        }
    };
    let ended = at_ends(book.boat(), book.library(), &history, row);
    let walks = history.walks.iter().zip(ended);
    let walks = walks.filter(|(walk, _)| asked(walk) && !history.is_taken_back(walk));
    let rows = walks.map(|(walk, ended)| {
        ended.unwrap_or_else(|| {
            row(AtEnd {
                walk,
                plan: condition.plan_of(walk).as_ref(),
                verdict: None,
            })
        })
    });
    let body = WalksBody {
        rows: rows.collect(),
    };
    Ok(cx.form.answer("walks", &body, |page| {
        if body.rows.is_empty() {
            page.line("There is no walk yet; begin one with: handlamp walk daily");
            return;
        }
        let columns = [
            ("walk", Set::Left),
            ("checklist", Set::Left),
            ("machine", Set::Left),
            ("hours", Set::Right),
            ("by", Set::Wrap),
            ("seen", Set::Right),
            ("not seen", Set::Right),
            ("verdict", Set::Left),
        ];
        let cells: Vec<Vec<String>> = body.rows.iter().map(cells).collect();
        page.table(&columns, &cells);
        page.line("Verdicts as at the walk, over the day ahead of it.");
    }))
}

fn cells(row: &WalkRow) -> Vec<String> {
    let verdict = match (row.finished, row.verdict) {
        (false, _) => "not finished".to_owned(),
        (true, None) => "none".to_owned(),
        (true, Some(verdict)) => verdict.spoken(),
    };
    vec![
        row.id.clone(),
        row.checklist.clone(),
        row.machine.clone(),
        row.hours.map_or_else(|| "-".to_owned(), |h| h.to_string()),
        match (row.by.clone(), row.guest) {
            (Some(by), true) => format!("{by}, guest"),
            (None, true) => "guest".to_owned(),
            (by, false) => by.unwrap_or_else(|| "-".to_owned()),
        },
        row.seen.to_string(),
        row.not_seen.to_string(),
        verdict,
    ]
}
