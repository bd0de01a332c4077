//! `started`: told afterwards, that she was started.

use chrono::{DateTime, FixedOffset};
use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::act;
use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use crate::defects::gate::RunInSpite;
use crate::defects::judged::judge;
use crate::logbook::record::{Record, StartedAnyway};

/// Options of `started`.
#[derive(Args, Debug)]
pub struct StartedArgs {
    /// When: 14:10, or 2026-05-03 14:10; now where left out
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
    /// Why, in your own words
    #[arg(long, value_name = "TEXT")]
    pub why: String,
    /// Id of the walk it belongs to; the last one of the machine where left out
    #[arg(long, value_name = "ID")]
    pub walk: Option<String>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct StartedBody {
    /// Id of the walk it stands with.
    walk: String,
    /// When she was started.
    at: DateTime<FixedOffset>,
    /// What was in force then; null where nothing was.
    run_in_spite_of: Option<RunInSpite>,
}

/// Runs the command.
///
/// # Errors
/// There is no such walk, or she cannot have been started then.
pub fn run(args: &StartedArgs, cx: &Context) -> Result<Answer, Failure> {
    let mut book = cx.book_for(&format!("{args:?} {:?}", cx.global.machine))?;
    cx.known_asked(&book)?;
    let started = act::happened(args.at.as_deref(), book.now())?;
    let options = [("walk", "--walk"), ("why", "--why"), ("started", "--at")];
    let machine = cx.global.machine.as_deref();
    let mut walks = book.history().walks.iter().rev();
    let walk = match &args.walk {
        Some(id) => Some(id.clone()),
        None => walks
            .find(|w| w.at <= started && machine.is_none_or(|m| m == w.machine))
            .map(|w| w.id.clone()),
    };
    let walk = walk.ok_or_else(|| Failure::usage("no walk is on record before that time"))?;
    let record = Record::from(StartedAnyway {
        walk: walk.clone(),
        at: book.now(),
        why: args.why.clone(),
        started: Some(started),
    });
    act::put(&mut book, record, &options)?;
    let (history, condition) = (book.history(), book.condition());
    let told = history.walk(&walk);
    let judged = told.map(|w| judge(book.boat(), book.library(), history, &condition, w));
    let body = StartedBody {
        walk,
        at: started,
        run_in_spite_of: judged.and_then(|judged| judged.run_in_spite_of),
    };
    Ok(cx
        .form
        .answer("started", &body, |page| match &body.run_in_spite_of {
            Some(spite) => page.paragraph(format!("Recorded: {}.", spite.sentence())),
            None => page.line("Recorded. Nothing on record spoke against starting her then."),
        }))
}
