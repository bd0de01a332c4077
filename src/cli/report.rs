//! `report`: a file another person can rely on.

use std::path::PathBuf;
use std::rc::Rc;

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::exposure;
use super::failure::Failure;
use super::verdict::named;
use super::waiting::wait;
use crate::logbook::named::{NotWritten, is_there};
use crate::report::making::{Making, Order};
use crate::report::pictures::LEFT_OUT;
use crate::report::words::Language;
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
    /// With what to do before leaving under this plan, set with `plan set`; in a report of the logbook
    /// as it stands alone
    #[arg(long, value_name = "NAME")]
    pub plan: Option<String>,
    /// The language of the report, en or de; else that of the file's name (boat.de.html), else
    /// report_language of config.json, else English. What the program knows in English alone stands
    /// in it in English, marked as that
    #[arg(long)]
    pub language: Option<Language>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct ReportBody {
    /// The file written, as it was named.
    pub file: String,
    /// Its length, bytes.
    pub bytes: usize,
    /// How many living defects it lists.
    pub defects: usize,
    /// Items in it that nobody saw.
    pub not_seen: usize,
    /// Photographs that could not be read and are not in it.
    pub left_out: usize,
}

/// Runs the command.
///
/// # Errors
/// There is no such walk, the ending says no form, or the file cannot be written; an earlier file
/// is then as it was.
pub fn run(args: &ReportArgs, cx: &Context) -> Result<Answer, Failure> {
    // What is wrong with the file is said before anything is read.
    write::Form::of(&args.to).map_err(failure)?;
    is_there(&args.to).map_err(|e| failure(e.into()))?;
    let book = cx.book()?;
    let history = cx.history(&book);
    let walk = match args.of.as_str() {
        "now" => None,
        id => Some(named(id, &history)?.id.clone()),
    };
    let said = args.language.or_else(|| write::language_of(&args.to));
    let language = match said {
        Some(language) => language,
        None => cx.settings()?.report_language,
    };
    let plan = match &args.plan {
        Some(name) => Some(exposure::named(&history, name)?.clone()),
        None => None,
    };
    let order = Order::new(&book, Rc::unwrap_or_clone(history), walk, args.to.clone())
        .in_language(language)
        .under_plan(plan);
    let written = Making::begin(move |progress| order.carry_out(progress))
        .and_then(wait)
        .map_err(failure)?;
    if written.left_out > 0 {
        cx.note(format!("{} {LEFT_OUT}", written.left_out));
    }
    let body = ReportBody {
        file: args.to.display().to_string(),
        bytes: written.bytes,
        defects: written.defects,
        not_seen: written.not_seen,
        left_out: written.left_out,
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

pub(super) fn failure(error: WriteError) -> Failure {
    match error {
        WriteError::File(NotWritten::Disk(error)) | WriteError::Log(error) => error.into(),
        WriteError::Form(_) | WriteError::File(_) => Failure::usage(format!("--to: {error}")),
        WriteError::Refused(_) => Failure::usage(error),
        other => Failure::logbook(other),
    }
}
