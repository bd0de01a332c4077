//! `override`: a person's severity or level in place of the computed one.

use clap::Args;

use super::act;
use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use crate::assess::words::{Level, Severity};
use crate::defects::Override;
use crate::logbook::record::Record;

/// Options of `override`.
#[derive(Args, Debug)]
pub struct OverrideArgs {
    /// Catalogue id of the item
    pub item: String,
    /// Severity, 1 (catastrophic) to 4 (negligible)
    #[arg(long, value_name = "1-4", value_parser = severity)]
    pub severity: Option<Severity>,
    /// Probability level, a (frequent) to e (improbable)
    #[arg(long, value_name = "A-E", value_parser = level)]
    pub level: Option<Level>,
    /// Why the computed rating does not hold
    #[arg(long, value_name = "TEXT")]
    pub why: String,
}

fn severity(text: &str) -> Result<Severity, String> {
    let digit: u8 = text
        .parse()
        .map_err(|_| "expected a severity from 1 to 4".to_owned())?;
    Severity::try_from(digit)
}

fn level(text: &str) -> Result<Level, String> {
    text.to_lowercase().parse()
}

/// Runs the command.
///
/// # Errors
/// The item is not known, or the level is kept for items removed for good.
pub fn run(args: &OverrideArgs, cx: &Context) -> Result<Answer, Failure> {
    let set = Override {
        item: args.item.clone(),
        machine: cx.global.machine.clone(),
        at: None,
        severity: args.severity,
        level: args.level,
        why: args.why.clone(),
    };
    act::record(
        Record::from(set),
        &[
            ("why", "--why"),
            ("severity", "--severity"),
            ("level", "--level"),
        ],
        cx,
        |item| {
            let severity = args.severity.map(|s| format!("severity {s}"));
            let level = args.level.map(|l| format!("level {}", l.letter()));
            let set: Vec<String> = severity.into_iter().chain(level).collect();
            if set.is_empty() {
                format!("{item}: the computed rating holds again.")
            } else {
                format!("{item}: set by hand to {}.", set.join(", "))
            }
        },
    )
}
