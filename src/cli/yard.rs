//! `yard`: the letter to the yard, and the same list back.

use std::path::PathBuf;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};
use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::exposure::named;
use super::failure::Failure;
use super::own_file::{PAGE, write};
use super::page::Page;
use crate::defects::condition::Condition;
use crate::defects::finding::happened_at;
use crate::defects::list::Scenario;
use crate::defects::yard::{BackRow, NOT_LISTED, Since, YardRow};
use crate::defects::{History, NamedPlan};
use crate::report::write::Form;
use crate::report::yard::Letter;
use crate::service::leaving::coming;

/// Options of `yard`.
#[derive(Args, Debug)]
pub struct YardArgs {
    /// The letter to write, ending in .html or .md; without it the text is printed here
    #[arg(value_name = "FILE")]
    pub to: Option<PathBuf>,
    /// What lies ahead of her once she floats, by a plan set with `plan set` [default: her usual use]
    #[arg(long, value_name = "NAME")]
    pub plan: Option<String>,
    /// With what it may cost, by the estimates on record
    #[arg(long)]
    pub prices: bool,
    /// The list as it was given on that day, with what became of each: looked at, told, or neither
    #[arg(long, value_name = "WHEN", conflicts_with_all = ["to", "prices"])]
    pub back: Option<String>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct YardBody {
    /// The letter written, as it was named; null where none was asked for.
    file: Option<String>,
    /// Days she stands ashore by the plan; null where none says so.
    ashore_days: Option<f64>,
    /// What needs her out of the water, work first.
    rows: Vec<YardRow>,
    /// What is not on it.
    not_here: Vec<String>,
}

/// The body of the answer with `--back`.
#[derive(Serialize, JsonSchema)]
pub struct YardBackBody {
    /// When the list was given.
    given: DateTime<FixedOffset>,
    /// How many were looked at since.
    seen: usize,
    /// How many are told, and nobody has looked at since.
    told: usize,
    /// How many are neither.
    neither: usize,
    /// The list, with what became of each.
    rows: Vec<BackRow>,
    /// What is not on it.
    not_here: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// There is no such plan or time, or the letter cannot be written.
pub fn run(args: &YardArgs, cx: &Context) -> Result<Answer, Failure> {
    let form = match &args.to {
        Some(path) => Some(form_of(path)?),
        None => None,
    };
    let (book, history, condition) = cx.boat()?;
    cx.known_asked(&book)?;
    let plan = match &args.plan {
        Some(name) => Some(named(&history, name)?.clone()),
        None => None,
    };
    let rows = listed(&condition, &history, plan.as_ref(), cx);
    let several = condition.boat.machines.len() > 1;
    if let Some(when) = &args.back {
        let given = happened_at(when, condition.now);
        let given = given.map_err(|why| Failure::usage(format!("--back: {why}")))?;
        let past = history.as_of(given);
        let then = Condition::of(&condition.boat, Arc::clone(book.library()), &past, given);
        let given_rows = listed(&then, &past, plan.as_ref(), cx);
        let rows = condition.yard_back(&history, (given_rows, rows), given);
        return Ok(back(given, rows, &condition, several, cx));
    }
    let letter = Letter {
        boat: condition.boat.name.clone(),
        day: condition.now.format("%-d %b %Y").to_string(),
        ashore_days: plan.as_ref().and_then(|plan| plan.ashore_days),
        notes: condition.notes(),
        prices: args.prices,
        several,
        rows,
    };
    match (&args.to, form) {
        (Some(path), Some(Form::Html)) => write(path, PAGE, &letter.html())?,
        (Some(path), _) => write(path, "# To the yard:", &letter.markdown())?,
        (None, _) => {}
    }
    let body = YardBody {
        file: args.to.as_ref().map(|path| path.display().to_string()),
        ashore_days: letter.ashore_days,
        rows: letter.rows.clone(),
        not_here: vec![NOT_LISTED.to_owned()],
    };
    Ok(cx.form.answer("yard", &body, |page| {
        if let Some(path) = &body.file {
            page.line(format!("Written to {path}"));
            return not_here(page, &body.not_here);
        }
        page.line(letter.title());
        letter.head().iter().for_each(|said| page.paragraph(said));
        for part in letter.parts() {
            page.blank();
            page.line(part.title.to_uppercase());
            for (head, lines) in &part.rows {
                page.hang("  - ", head);
                lines.iter().for_each(|line| page.hang("    ", line));
            }
        }
        page.blank();
        page.paragraph(letter.closing());
        not_here(page, &body.not_here);
    }))
}

fn form_of(path: &std::path::Path) -> Result<Form, Failure> {
    match Form::of(path) {
        Ok(form @ (Form::Html | Form::Markdown)) => Ok(form),
        _ => Err(Failure::usage(format!(
            "{} says no form of a letter; end it in .html or .md",
            path.display()
        ))),
    }
}

/// What needs her out of the water under a plan, else under her usual use.
fn listed(
    condition: &Condition,
    history: &History,
    plan: Option<&NamedPlan>,
    cx: &Context,
) -> Vec<YardRow> {
    let machine = cx.global.machine.as_deref();
    let scenario = match plan {
        Some(plan) => condition.under(plan, machine),
        None => {
            let (exposure, waters) = condition.usual_plan();
            Scenario::new(exposure, waters)
        }
    };
    let coming = coming(condition, history, machine);
    let mut rows = condition.yard(history, scenario, &coming);
    rows.retain(|row| cx.is_asked(row.machine.as_deref()));
    rows
}

fn not_here(page: &mut Page, told: &[String]) {
    page.blank();
    page.line("Not in this");
    told.iter().for_each(|told| page.hang("  - ", told));
}

fn back(
    given: DateTime<FixedOffset>,
    rows: Vec<BackRow>,
    condition: &Condition,
    several: bool,
    cx: &Context,
) -> Answer {
    let of = |since| rows.iter().filter(|row| row.since == since).count();
    let body = YardBackBody {
        given,
        seen: of(Since::Seen),
        told: of(Since::Told),
        neither: of(Since::Neither),
        not_here: vec![NOT_LISTED.to_owned()],
        rows,
    };
    cx.form.answer("yard-back", &body, |page| {
        page.line(format!(
            "The list for the yard of {}, and what became of it",
            given.format("%-d %b %Y")
        ));
        page.notes(&condition.notes());
        page.paragraph(format!(
            "{} looked at, {} told and not looked at, {} neither. What is told is not seen.",
            body.seen, body.told, body.neither
        ));
        for (title, since) in [
            ("TOLD, NOT LOOKED AT", Since::Told),
            ("NEITHER", Since::Neither),
            ("LOOKED AT", Since::Seen),
        ] {
            let mut rows = body.rows.iter().filter(|row| row.since == since).peekable();
            if rows.peek().is_none() {
                continue;
            }
            page.blank();
            page.line(title);
            for back in rows {
                let row = &back.row;
                let machine = row.machine.as_deref().filter(|_| several);
                let machine = machine.map(|m| format!(" ({m})")).unwrap_or_default();
                let new = if back.new { ", since on the list" } else { "" };
                page.hang(
                    "  - ",
                    format!("{}{machine}, {}{new}", row.title, row.station),
                );
                if !row.why.is_empty() {
                    page.hang("    ", format!("On the list: {}", row.why));
                }
                page.hang("    ", &back.words);
                if let Some(done) = &back.done {
                    page.hang("    ", format!("As told: {done}"));
                }
            }
        }
        not_here(page, &body.not_here);
    })
}
