//! `ready`: whether anything on record speaks against her floating, starting, leaving.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use crate::defects::ready::{Ready, ReadyTo};
use crate::text::{capital, safe_line};

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct ReadyBody {
    /// To float, to start, to leave.
    ready: Vec<ReadyTo>,
    /// Machines that are laid up.
    laid_up: Vec<LaidUpBody>,
}

/// A machine that is laid up.
#[derive(Serialize, JsonSchema)]
pub struct LaidUpBody {
    /// Machine id.
    machine: String,
    /// Since when.
    since: DateTime<FixedOffset>,
    /// When she is to be looked at next while she stands.
    next_look: DateTime<FixedOffset>,
    /// She was fitted out since.
    fitted_out: bool,
    /// What comes before she runs again, in words.
    words: String,
}

/// Runs the command. The answer is no where anything on record forbids one of the three.
///
/// # Errors
/// The logbook cannot be read, or there is no such machine.
pub fn run(cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book()?;
    let history = cx.history(&book);
    let condition = cx.condition(&book, &history);
    let machine = cx.global.machine.as_deref();
    if let Some(machine) = machine.filter(|machine| !condition.has_machine(machine)) {
        let machine = safe_line(machine);
        return Err(Failure::usage(format!(
            "the boat has no machine '{machine}'"
        )));
    }
    let here = condition.boat.machines.iter().map(|m| m.id.as_str());
    let here = here.filter(|id| machine.is_none_or(|asked| asked == *id));
    let laid_up = here.filter_map(|id| {
        let laid_up = condition.laid_up(&history, id)?;
        Some(LaidUpBody {
            machine: id.to_owned(),
            since: laid_up.since,
            next_look: laid_up.next_look(),
            fitted_out: laid_up.fitted_out.is_some(),
            words: laid_up.before_running(),
        })
    });
    let body = ReadyBody {
        ready: condition.ready(machine),
        laid_up: laid_up.collect(),
    };
    let no = body.ready.iter().any(|to| to.answer == Ready::No);
    let answer = cx.form.answer("ready", &body, |page| {
        for laid_up in &body.laid_up {
            let words = format!("{}: {}", safe_line(&laid_up.machine), laid_up.words);
            page.line(words);
        }
        for to in &body.ready {
            page.line(capital(&to.words()));
            for against in &to.against {
                let why = format!("{}: {}", against.title, against.why);
                page.hang("  - ", why);
            }
        }
        page.line("Ready to float is answered in the slings, one by one, by eye.");
    });
    Ok(answer.or_no(!no))
}
