//! `logbook check`.

use schemars::JsonSchema;
use serde::Serialize;

use super::ProblemRow;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::logbook::rights::open_to_others;
use crate::logbook::{Folder, read_log};

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
    /// Whether any record, picture or text is lost or in doubt.
    damaged: bool,
    /// Damaged lines newly copied to `aside/`; null where that was not asked.
    copied: Option<usize>,
    /// What is wrong.
    rows: Vec<ProblemRow>,
}

/// Runs the command.
///
/// # Errors
/// The logbook cannot be read at all.
pub fn run(aside: bool, cx: &Context) -> Result<Answer, Failure> {
    let mut book = cx.book()?;
    let copied = if aside {
        Some(book.copy_aside()?)
    } else {
        None
    };
    // The answer says all of it.
    cx.take_notes();
    let log = read_log(book.root(), &*cx.clock)?;
    let photos = book.photo_problems();
    let texts = book.text_problems();
    let open = open_to_others(&Folder::new(book.root()), &log);
    let rows: Vec<ProblemRow> = book
        .problems()
        .iter()
        .chain(&photos)
        .chain(&texts)
        .chain(&open)
        .map(ProblemRow::from)
        .collect();
    let body = LogCheckBody {
        logbook: book.root().display().to_string(),
        files: log.files.len(),
        records: book.written().len(),
        newer: book.newer(),
        damaged: rows.iter().any(|row| row.damage),
        copied,
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
        page.paragraph(if body.damaged {
            "Records, pictures or texts are lost or in doubt. Nothing was changed; another copy of the logbook may have them: handlamp logbook merge DIR"
        } else {
            "No record, picture or text is lost or in doubt."
        });
    });
    Ok(answer.or_no(!body.damaged))
}
