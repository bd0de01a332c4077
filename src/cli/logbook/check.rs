//! `logbook check`.

use schemars::JsonSchema;
use serde::Serialize;

use super::ProblemRow;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::defects::admit::too_long;
use crate::logbook::book::Book;
use crate::logbook::record::{Accepted, Loss, Record};
use crate::logbook::rights::open_to_others;
use crate::logbook::{Folder, read_log};

/// Losses that one record names at most: a line has a longest length.
const LOSSES_IN_ONE: usize = 100;

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
    /// Losses newly accepted; null where that was not asked.
    accepted: Option<usize>,
    /// What is wrong.
    rows: Vec<ProblemRow>,
}

/// That losses are known, why they can be lived with, and who says so.
pub struct Accepting<'a> {
    /// Why.
    pub why: &'a str,
    /// Who.
    pub by: Option<&'a str>,
}

/// Runs the command.
///
/// # Errors
/// The logbook cannot be read at all, or not be written where something is accepted.
pub fn run(aside: bool, accepting: Option<Accepting<'_>>, cx: &Context) -> Result<Answer, Failure> {
    let mut book = cx.book_for(accepting.as_ref().map_or("", |a| a.why))?;
    let accepted = accepting.map(|a| accept(&mut book, &a)).transpose()?;
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
        .chain(book.rescued().left.iter().map(ProblemRow::from))
        .collect();
    let body = LogCheckBody {
        logbook: book.root().display().to_string(),
        files: log.files.len(),
        records: book.written().len(),
        newer: book.newer(),
        damaged: rows.iter().any(|row| row.damage),
        copied,
        accepted,
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
        if let Some(accepted) = body.accepted {
            page.line(match accepted {
                0 => "Nothing that forbids a clear verdict was left to accept".to_owned(),
                n => format!("{n} loss(es) accepted; they stay named in every answer"),
            });
        }
        page.paragraph(if body.damaged {
            "Records, pictures or texts are lost or in doubt. Nothing was changed; another copy of the logbook may have them: handlamp logbook merge DIR"
        } else {
            "No record, picture or text is lost or in doubt."
        });
    });
    Ok(answer.or_no(!body.damaged))
}

/// Records that what still forbids a clear verdict is known; how much that was.
fn accept(book: &mut Book, accepting: &Accepting<'_>) -> Result<usize, Failure> {
    if accepting.why.trim().is_empty() {
        return Err(Failure::usage("--why: say why the loss can be lived with"));
    }
    let long = [("--why", Some(accepting.why)), ("--by", accepting.by)];
    let mut long = long.into_iter();
    if let Some((option, message)) = long.find_map(|(o, text)| too_long(o, text?)) {
        return Err(Failure::usage(format!("{option}: {message}")));
    }
    let losses: Vec<Loss> = book.losses().into_iter().map(|(_, loss)| loss).collect();
    if losses.is_empty() {
        return Ok(0);
    }
    let count = losses.len();
    // Many losses would not fit into one line.
    for losses in losses.chunks(LOSSES_IN_ONE) {
        book.record(vec![Record::Accepted(Accepted {
            losses: losses.to_vec(),
            why: accepting.why.trim().to_owned(),
            by: accepting.by.map(str::to_owned),
        })])?;
    }
    book.finish();
    match book.trouble() {
        Some(trouble) => Err(Failure::logbook(trouble)),
        None => Ok(count),
    }
}
