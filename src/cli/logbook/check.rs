//! `logbook check`.

use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;

use super::ProblemRow;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::defects::admit::LONGEST_TEXT;
use crate::logbook::book::{Book, Missing};
use crate::logbook::rights::open_to_others;
use crate::logbook::{Folder, LogFile, Problem, ProblemKind, read_log};

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct LogCheckBody {
    /// The logbook's folder.
    logbook: String,
    /// Record files read.
    files: usize,
    /// Records of boat, walks and acts understood.
    records: usize,
    /// Records of a later version, kept and not counted.
    newer: usize,
    /// Whether any record or picture is lost or in doubt.
    damaged: bool,
    /// Damaged lines newly copied to `aside/`; null where that was not asked.
    copied: Option<usize>,
    /// What is missing is gone on without, as asked; null where that was not asked.
    gone_on: Option<bool>,
    /// What is wrong.
    rows: Vec<ProblemRow>,
}

/// Runs the command.
///
/// # Errors
/// The logbook cannot be read at all, or it cannot be recorded that one goes on.
pub fn run(aside: bool, why: Option<&str>, cx: &Context) -> Result<Answer, Failure> {
    let mut book = cx.book_for(why.unwrap_or_default())?;
    let gone_on = why.map(|why| go_on(&mut book, why, cx)).transpose()?;
    let copied = if aside {
        Some(book.copy_aside()?)
    } else {
        None
    };
    // The answer says all of it.
    cx.take_notes();
    let log = read_log(book.root(), &*cx.clock)?;
    let photos = book.photo_problems();
    let open = open_to_others(&Folder::new(book.root()), &log);
    let missing: Vec<Problem> = book.missing().iter().map(missing).collect();
    let without_end = without_end(&log.files);
    let rows: Vec<ProblemRow> = book
        .problems()
        .iter()
        .chain(&photos)
        .chain(&open)
        .chain(&missing)
        .chain(&without_end)
        .map(ProblemRow::from)
        .collect();
    let behind = book.missing().iter().any(|m| m.open);
    let body = LogCheckBody {
        logbook: book.root().display().to_string(),
        files: log.files.len(),
        records: book.written().len(),
        newer: book.newer(),
        damaged: rows.iter().any(|row| row.damage),
        copied,
        gone_on,
        rows,
    };
    let answer = cx.form.answer("logbook-check", &body, |page| {
        page.line(format!("Logbook of {}: {}", book.boat().name, body.logbook));
        page.line(format!(
            "{} record(s) in {} file(s)",
            body.records, body.files
        ));
        if body.newer > 0 {
            page.line(format!("{} record(s) of a later version", body.newer));
        }
        for row in &body.rows {
            page.hang("- ", row.sentence());
        }
        if let Some(copied) = body.copied {
            page.line(format!("{copied} damaged line(s) newly copied to aside/"));
        }
        match body.gone_on {
            Some(true) => page.line("Recorded: going on with this copy."),
            Some(false) => page.line("No record this computer had seen is missing, so there is nothing to go on without."),
            None => {}
        }
        if behind {
            page.paragraph("Where another copy of the logbook has what is missing, bring it back: handlamp logbook merge DIR. Where none has it, go on with this one and say why: handlamp logbook check --go-on --why TEXT");
        }
        page.paragraph(if body.damaged {
            "Records or pictures are lost or in doubt. Nothing was changed; another copy of the logbook may have them: handlamp logbook merge DIR"
        } else {
            "No record or picture is known to be lost or in doubt."
        });
    });
    Ok(answer.or_no(!body.damaged))
}

/// Records that one goes on without what is missing; false where nothing is.
fn go_on(book: &mut Book, why: &str, cx: &Context) -> Result<bool, Failure> {
    let why = why.trim();
    if why.is_empty() || why.len() > LONGEST_TEXT {
        let fault = format!("--why needs a few words, {LONGEST_TEXT} bytes at most");
        return Err(Failure::usage(fault));
    }
    let done = book.go_on(cx.settings()?.by, why.to_owned())?;
    book.finish();
    Ok(done)
}

/// What this computer had seen and is not here; once somebody goes on without it, a notice.
fn missing(missing: &Missing) -> Problem {
    let kind = if missing.open {
        ProblemKind::NotHere
    } else {
        ProblemKind::GoneOn
    };
    let told = &missing.told.why;
    Problem::with_file(Path::new(""), kind, told.trim_end_matches('.'))
}

/// Sessions that did not say their end may have been cut short: nothing on the disk tells.
fn without_end(files: &[LogFile]) -> Option<Problem> {
    let cut = |file: &&LogFile| !file.ended && !file.live && file.entries > 0;
    let cut: Vec<&LogFile> = files.iter().filter(cut).collect();
    let last = cut.last()?;
    let which = match cut.len() {
        1 => "this session has".to_owned(),
        n => format!("this session and {} before it have", n - 1),
    };
    let why =
        format!("{which} no end mark: stopped, or cut at the end, which cannot be told apart");
    Some(Problem::with_file(&last.path, ProblemKind::NoEnd, why))
}
