//! `learning`: what the boat taught, and whether she goes on teaching.

mod start;

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};
use clap::{Args, Subcommand};
use schemars::JsonSchema;
use serde::Serialize;

pub use self::start::StartBody;
use super::act;
use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::page::{Page, Set};
use crate::checklist::Grade;
use crate::defects::condition::Condition;
use crate::defects::learned::{ItemTaught, RungLearned};
use crate::defects::{LearningSet, LearningState};
use crate::logbook::record::Record;

/// Options of `learning`.
#[derive(Args, Debug)]
pub struct LearningArgs {
    /// What to do; without one, what was learned is shown
    #[command(subcommand)]
    pub command: Option<LearningCommand>,
}

/// What to do about learning.
#[derive(Subcommand, Debug)]
pub enum LearningCommand {
    /// Keep to what was learned up to now
    Freeze(Why),
    /// Let every look count again, those made meanwhile too
    Resume(Why),
    /// Forget what came before now, and learn from here on
    Reset(Why),
    /// Go by the judgement alone
    Off(Why),
    /// Begin from what the looks at other boats taught, by a file that `fleet --rates` wrote
    ///
    /// It counts in place of the judgement until her own looks outweigh it; her own looks in the file are
    /// left out. Every answer that may be better for it says so. It is taken back like any other entry:
    /// entries take-back ID.
    Start(StartArgs),
}

/// Options of `learning start`.
#[derive(Args, Debug)]
pub struct StartArgs {
    /// The file; `-` reads the standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Why
    #[arg(long, value_name = "TEXT")]
    pub why: Option<String>,
    /// Only tell what it would come to; nothing is recorded
    #[arg(long)]
    pub only_tell: bool,
}

/// A reason.
#[derive(Args, Debug)]
pub struct Why {
    /// Why
    #[arg(long, value_name = "TEXT")]
    pub why: Option<String>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct LearningBody {
    /// Running, frozen or off.
    state: LearningState,
    /// Looks before this are forgotten; null where none are.
    from: Option<DateTime<FixedOffset>>,
    /// Looks after this do not count; null where all do.
    until: Option<DateTime<FixedOffset>>,
    /// The entry by which she begins from what other boats taught, and when it was made; missing where
    /// she begins from the judgement.
    #[serde(skip_serializing_if = "Option::is_none")]
    started: Option<Started>,
    /// Every kind with a chain, rung by rung.
    rows: Vec<RungLearned>,
    /// Items that taught something.
    items: Vec<ItemTaught>,
    /// Running hours among the time watched that no meter readings bound: days at the rate of use.
    approximate_hours: f64,
}

/// From what other boats taught.
#[derive(Serialize, JsonSchema)]
pub struct Started {
    /// Id of the entry, to be taken back with `entries take-back`.
    entry: String,
    /// When it was taken in.
    at: DateTime<FixedOffset>,
    /// Why, in the owner's words.
    why: Option<String>,
}

/// Runs the command.
///
/// # Errors
/// The logbook cannot be read or written.
pub fn run(args: &LearningArgs, cx: &Context) -> Result<Answer, Failure> {
    use LearningState::{Frozen, Off, Reset, Running};
    match &args.command {
        None => show(cx),
        Some(LearningCommand::Freeze(why)) => set(
            Frozen,
            why,
            "Learning is frozen: what was learned up to now stands.",
            cx,
        ),
        Some(LearningCommand::Start(args)) => start::run(args, cx),
        Some(LearningCommand::Resume(why)) => set(
            Running,
            why,
            "Learning runs: looks made meanwhile count too.",
            cx,
        ),
        Some(LearningCommand::Reset(why)) => set(
            Reset,
            why,
            "Learning begins anew: looks before now are forgotten.",
            cx,
        ),
        Some(LearningCommand::Off(why)) => {
            set(Off, why, "Learning is off: the judgement alone counts.", cx)
        }
    }
}

fn set(state: LearningState, why: &Why, done: &str, cx: &Context) -> Result<Answer, Failure> {
    let record = Record::from(LearningSet {
        state,
        at: None,
        why: why.why.clone(),
    });
    act::record(record, &[("why", "--why")], cx, |_| done.to_owned())
}

fn show(cx: &Context) -> Result<Answer, Failure> {
    let (_, _, condition) = cx.boat()?;
    let learning = &condition.learning;
    let body = LearningBody {
        state: learning.window.state,
        from: learning.window.from,
        until: learning.window.until,
        started: learning.start.as_ref().map(|start| Started {
            entry: start.id.clone(),
            at: start.at,
            why: start.rec.why.clone(),
        }),
        rows: condition.learned(),
        items: condition.items_that_taught(),
        approximate_hours: learning.kinds.values().map(|kind| kind.approximate).sum(),
    };
    Ok(cx.form.answer("learning", &body, |page| {
        write(page, &body, &condition);
    }))
}

fn write(page: &mut Page, body: &LearningBody, condition: &Condition) {
    page.paragraph(condition.learning_in_words());
    if let Some(started) = &body.started {
        let why = started.why.as_ref().map(|why| format!(": {why}"));
        page.paragraph(format!(
            "Since {} she begins from what other boats taught where a line says so{}. To take that back: handlamp entries take-back {}",
            started.at.format("%Y-%m-%d"),
            why.unwrap_or_default(),
            started.entry
        ));
        let rows = body.rows.iter();
        for row in rows.filter(|row| row.start.is_some()) {
            page.hang("  - ", format!("{} {}", row.kind, row.sentence()));
        }
    }
    let taught = |kind| body.items.iter().filter(move |i| i.kind == kind).count();
    let rows: Vec<_> = body.rows.iter().filter(|r| taught(r.kind) > 0).collect();
    if body.state == LearningState::Off {
        return;
    }
    if rows.is_empty() {
        page.line("No look has taught anything yet.");
        return;
    }
    page.blank();
    let columns = [
        ("kind", Set::Left),
        ("rung", Set::Left),
        ("judgement", Set::Right),
        ("moves", Set::Right),
        ("hours", Set::Right),
        ("learned", Set::Right),
        ("90 % range", Set::Right),
        ("items", Set::Right),
    ];
    let cells: Vec<Vec<String>> = rows
        .iter()
        .map(|row| {
            let first = row.rung == 0;
            let once = |text: String| if first { text } else { String::new() };
            vec![
                once(row.kind.to_string()),
                Grade::ALL
                    .get(row.rung)
                    .map_or("", |g| g.as_str())
                    .to_owned(),
                format!("{:.0} h", row.judgement),
                row.moves.to_string(),
                format!("{:.0}", row.time),
                format!("{:.0} h", row.learned),
                format!("{:.0}-{:.0} h", row.low, row.high),
                once(taught(row.kind).to_string()),
            ]
        })
        .collect();
    page.table(&columns, &cells);
    page.blank();
    page.paragraph(
        "Hours are wear hours. The dwell that counts is (2 x judgement + hours) / (2 + moves). Looks far apart make the last dwell look longer than it is: by about 6 % at 50 wear hours between looks, 26 % at 100.",
    );
    let approximate = body.approximate_hours;
    if approximate >= 0.5 {
        page.paragraph(format!(
            "About {approximate:.0} of the hours are days at the rate of use, as no meter was read then."
        ));
    }
}
