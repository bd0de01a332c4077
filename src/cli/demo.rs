//! `demo`: a logbook with a season in it, to look round in.

use std::path::PathBuf;
use std::rc::Rc;

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::Done;
use super::context::Context;
use super::failure::Failure;
use super::screens::{self, Opening};
use crate::demo;

/// Options of `demo`.
#[derive(Args, Debug)]
pub struct DemoArgs {
    /// Where to write it: a new or empty folder [default: a temporary one]
    pub dir: Option<PathBuf>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct DemoBody {
    /// Folder of the logbook, as the system names it.
    logbook: String,
}

/// Writes the demo boat; with `--json` says where, else opens the screens on it.
///
/// # Errors
/// The folder cannot be written, or there is no terminal to draw on.
pub fn run(args: &DemoArgs, cx: &Context) -> Result<Done, Failure> {
    if !cx.form.json {
        screens::refuse_without_terminal()?;
    }
    let (clock, library) = (Rc::clone(&cx.clock), cx.library()?);
    let root = match &args.dir {
        Some(dir) => demo::write_to(dir, clock, &library).map(|()| dir.clone()),
        None => demo::write_somewhere(clock, &library),
    };
    let root = root.map_err(Failure::logbook)?;
    if !cx.form.json {
        let opening = screens::opening(cx)?;
        return Ok(Done::Screens(Box::new(Opening { root, ..opening })));
    }
    let body = DemoBody {
        logbook: root.display().to_string(),
    };
    Ok(Done::Answer(cx.form.answer("demo", &body, |page| {
        page.line(&body.logbook);
    })))
}
