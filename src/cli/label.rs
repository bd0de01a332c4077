//! `label`: what to write on the part.

use std::path::PathBuf;

use clap::Args;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::own_file::{PAGE, write};
use crate::service::label::label;
use crate::service::sheet::{known_task, tasked_machine};
use crate::service::status::standing;

/// Options of `label`.
#[derive(Args, Debug)]
pub struct LabelArgs {
    /// Id of the task
    pub task: String,
    /// Write a page that prints the label at its true size, 62 by 40 mm
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
}

/// Runs the command.
///
/// # Errors
/// The task is not known or was never recorded, or the page cannot be written.
pub fn run(args: &LabelArgs, cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    cx.known_asked(&book)?;
    let options = [("task", "TASK"), ("machine", "--machine")];
    let task = known_task(&condition, &args.task);
    let task = task.map_err(|fault| Failure::of_act(vec![fault], &options))?;
    let machine = tasked_machine(&condition, task, cx.global.machine.as_deref())
        .map_err(|fault| Failure::of_act(vec![fault], &options))?;
    let standing = standing(&condition, &history, task, machine.as_deref());
    let Some(body) = label(&condition, &standing) else {
        return Err(Failure::usage(format!(
            "{} is not done on record; record it first with: handlamp service done {}",
            task.title, task.id
        )));
    };
    if let Some(path) = &args.html {
        write(path, PAGE, &body.html())?;
        cx.note(format!(
            "the label is written to {}; print it at 100 %",
            path.display()
        ));
    }
    Ok(cx.form.answer("label", &body, |page| {
        body.lines().iter().for_each(|line| page.line(line));
    }))
}
