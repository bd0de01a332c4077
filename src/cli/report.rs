//! `report`: a file another person can rely on.

use std::path::PathBuf;

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::verdict::named;
use crate::logbook::{Folder, read_log};
use crate::report::gather::Source;
use crate::report::write::{self, WriteError};

/// Options of `report`.
#[derive(Args, Debug)]
pub struct ReportArgs {
    /// Id of a walk as `walks` lists them, or `now` for the logbook as it stands; with --now, as it
    /// stood then
    pub of: String,
    /// The file to write; its ending decides the form: .html, .md, .csv or .json
    #[arg(long, value_name = "FILE")]
    pub to: PathBuf,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct ReportBody {
    /// The file written.
    pub file: String,
    /// Its length.
    pub bytes: usize,
    /// Defects in it.
    pub defects: usize,
    /// Items in it that nobody saw.
    pub not_seen: usize,
}

/// Runs the command.
///
/// # Errors
/// There is no such walk, the ending says no form, or the file cannot be written; an earlier file
/// is then as it was.
pub fn run(args: &ReportArgs, cx: &Context) -> Result<Answer, Failure> {
    // What is wrong with the file is said before anything is read.
    write::Form::of(&args.to).map_err(failure)?;
    write::is_there(&args.to).map_err(failure)?;
    let book = cx.book()?;
    let history = cx.history(&book);
    let walk = match args.of.as_str() {
        "now" => None,
        id => Some(named(id, &history)?),
    };
    let source = Source {
        boat: book.boat(),
        library: book.library(),
        history: &history,
        now: book.now(),
    };
    let log = read_log(book.root(), &*cx.clock)?;
    let report = write::report(&source, walk, &log);
    let (defects, not_seen) = (report.defects.len(), report.not_seen.len());
    let folder = Folder::new(book.root());
    let bytes = write::write(report, &args.to, &folder).map_err(failure)?;
    let body = ReportBody {
        file: args.to.display().to_string(),
        bytes,
        defects,
        not_seen,
    };
    Ok(cx.form.answer("report-written", &body, |page| {
        page.line(format!("Written to {}", body.file));
        page.line(format!(
            "{} defects, {} items not seen, {} kB",
            body.defects,
            body.not_seen,
            body.bytes.div_ceil(1000)
        ));
    }))
}

fn failure(error: WriteError) -> Failure {
    match error {
        WriteError::Form(_) | WriteError::Place(..) => Failure::usage(format!("--to: {error}")),
        WriteError::Disk(error) => error.into(),
        WriteError::Table(error) => Failure::logbook(error),
    }
}
