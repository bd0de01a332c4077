//! `demo`: a logbook with a season in it, to look round in.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::Done;
use super::context::Context;
use super::failure::Failure;
use super::screens::{self, Opening};
use crate::checklist::Library;
use crate::logbook::Clock;

/// Options of `demo`.
#[derive(Args, Debug)]
pub struct DemoArgs {
    /// Where to write it: a new or empty folder [default: a temporary one]
    pub dir: Option<PathBuf>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct DemoBody {
    /// The logbook's folder.
    logbook: String,
}

/// Writes the demo boat to the folder named, or to one of its own, and says where.
pub type Generator = fn(Option<&Path>, &dyn Clock, &Arc<Library>) -> Result<PathBuf, Failure>;

/// Writes the demo boat; with `--json` says where, else opens the screens on it.
///
/// # Errors
/// The folder cannot be written, or there is no terminal to draw on.
pub fn run(args: &DemoArgs, cx: &Context, write: Generator) -> Result<Done, Failure> {
    if !cx.form.json {
        screens::refuse_without_terminal()?;
    }
    let root = write(args.dir.as_deref(), &*cx.clock, &cx.library()?)?;
    if !cx.form.json {
        let opening = screens::opening(cx)?;
        return Ok(Done::Screens(Opening { root, ..opening }));
    }
    let body = DemoBody {
        logbook: root.display().to_string(),
    };
    Ok(Done::Answer(cx.form.answer("demo", &body, |page| {
        page.line(&body.logbook);
    })))
}
