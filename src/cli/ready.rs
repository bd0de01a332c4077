//! `ready`: whether anything on record speaks against her floating, starting, leaving.

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
    let body = ReadyBody {
        ready: condition.ready(machine),
    };
    let no = body.ready.iter().any(|to| to.answer == Ready::No);
    let answer = cx.form.answer("ready", &body, |page| {
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
