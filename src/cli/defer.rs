//! `defer`: a defect may wait, for a reason.

use clap::Args;

use super::act;
use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use crate::defects::{Deferral, Until};
use crate::logbook::record::Record;

/// Options of `defer`.
#[derive(Args, Debug)]
pub struct DeferArgs {
    /// Catalogue id of the item
    pub item: String,
    /// Why it may wait
    #[arg(long, value_name = "TEXT")]
    pub why: String,
    /// Until when: a date such as 2026-06-01, or a meter reading such as 1260h
    #[arg(long, value_name = "DATE|HOURS")]
    pub until: Until,
}

/// Runs the command.
///
/// # Errors
/// There is no open defect, or a stop rule is in force.
pub fn run(args: &DeferArgs, cx: &Context) -> Result<Answer, Failure> {
    let deferral = Deferral {
        item: args.item.clone(),
        machine: cx.global.machine.clone(),
        at: None,
        why: args.why.clone(),
        until: args.until,
    };
    act::record(
        Record::from(deferral),
        &[("why", "--why"), ("until", "--until")],
        cx,
        |item| format!("{item}: deferred until {}.", args.until),
    )
}
