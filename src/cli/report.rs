//! `report`: a file another person can rely on.

use std::path::{Path, PathBuf};

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::{Answer, schema_id};
use super::context::Context;
use super::failure::Failure;
use super::verdict::named;
use crate::logbook::replace::replace_file;
use crate::logbook::{LogbookError, RealDisk};
use crate::report::gather::Source;
use crate::report::html::html;
use crate::report::markdown::markdown;
use crate::report::table::csv;
use crate::report::{Report, of_now, of_walk};
use crate::text::json_guard;

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

#[derive(Clone, Copy)]
enum Form {
    Html,
    Markdown,
    Csv,
    Json,
}

/// Runs the command.
///
/// # Errors
/// There is no such walk, the ending says no form, or the file cannot be written; an earlier file
/// is then as it was.
pub fn run(args: &ReportArgs, cx: &Context) -> Result<Answer, Failure> {
    let form = form_of(&args.to)?;
    refuse_place(&args.to)?;
    let book = cx.book()?;
    let history = cx.history(&book);
    let source = Source {
        boat: book.boat(),
        library: book.library(),
        history: &history,
        now: book.now(),
    };
    let report = match args.of.as_str() {
        "now" => of_now(&source),
        id => of_walk(&source, named(id, &history)?),
    };
    let text = match form {
        Form::Html => html(&report),
        Form::Markdown => markdown(&report),
        Form::Csv => csv(&report).map_err(Failure::logbook)?,
        Form::Json => json(&report),
    };
    replace_file(
        &RealDisk,
        &args.to,
        text.as_bytes(),
        &mut fastrand::Rng::new(),
    )?;
    let body = ReportBody {
        file: args.to.display().to_string(),
        bytes: text.len(),
        defects: report.defects.len(),
        not_seen: report.not_seen.len(),
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

fn json(report: &Report) -> String {
    #[derive(Serialize)]
    struct Whole<'a> {
        schema: String,
        #[serde(flatten)]
        report: &'a Report,
    }
    let whole = Whole {
        schema: schema_id("report"),
        report,
    };
    // A report holds no map keyed by other than text, the one thing serde_json refuses.
    let json = serde_json::to_string_pretty(&whole).unwrap_or_default();
    format!("{}\n", json_guard(&json))
}

fn form_of(path: &Path) -> Result<Form, Failure> {
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    match ending.to_ascii_lowercase().as_str() {
        "html" | "htm" => Ok(Form::Html),
        "md" => Ok(Form::Markdown),
        "csv" => Ok(Form::Csv),
        "json" => Ok(Form::Json),
        _ => Err(Failure::usage(format!(
            "--to: {} says no form; end it in .html, .md, .csv or .json",
            path.display()
        ))),
    }
}

/// A report replaces a file or nothing: what else bears the name is left alone.
fn refuse_place(path: &Path) -> Result<(), Failure> {
    match std::fs::symlink_metadata(path) {
        Ok(found) if found.is_file() => Ok(()),
        Ok(_) => Err(Failure::usage(format!(
            "--to: {} is no plain file; name another",
            path.display()
        ))),
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(()),
        Err(e) => Err(LogbookError::cannot_read(path, e).into()),
    }
}
