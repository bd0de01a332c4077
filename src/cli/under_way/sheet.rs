//! `underway sheet`: the watch of a day on paper.

use std::path::PathBuf;

use clap::Args;

use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::own_file::{PAGE, write};
use crate::defects::under_way_line::EVERY;
use crate::report::watch_sheet::html;

/// Options of `underway sheet`.
#[derive(Args, Debug)]
pub struct SheetArgs {
    /// Where to write the page, such as watch.html
    #[arg(long, value_name = "FILE")]
    to: PathBuf,
    /// Minutes between two rounds [default: those she goes by now, else 60]
    #[arg(long, value_name = "MIN")]
    every: Option<u32>,
}

/// Runs the command.
///
/// # Errors
/// JSON was asked for, a time that cannot be, the logbook, or the page cannot be written.
pub fn run(args: &SheetArgs, cx: &Context) -> Result<Answer, Failure> {
    if cx.form.json {
        return Err(Failure::usage(
            "a sheet is for paper and has no JSON form; see: handlamp underway log --json",
        ));
    }
    let can_be = |every: &u32| (EVERY[0]..=EVERY[1]).contains(every);
    if args.every.is_some_and(|every| !can_be(&every)) {
        return Err(Failure::usage(format!(
            "--every: expected {} to {} minutes",
            EVERY[0], EVERY[1]
        )));
    }
    let (book, history, condition) = cx.boat()?;
    let machine = cx.machine(&book)?;
    write(
        &args.to,
        PAGE,
        &html(&condition, &history, &machine, args.every),
    )?;
    Ok(Answer::text(format!(
        "The watch sheet is written to {}; print it on A4 across.\n",
        args.to.display()
    )))
}
