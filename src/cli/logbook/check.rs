//! `logbook check`.

use std::mem::ManuallyDrop;
use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;

use super::ProblemRow;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::defects::admit::too_long;
use crate::logbook::book::Missing;
use crate::logbook::rights::open_to_others;
use crate::logbook::{Folder, LogFile, Problem, ProblemKind, read_log};

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct LogCheckBody {
    /// Folder of the logbook, as the system names it.
    logbook: String,
    /// How many record files were read.
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
    /// What is missing is gone on without, as asked; null where that was not asked.
    gone_on: Option<bool>,
    /// What is wrong, file by file.
    rows: Vec<ProblemRow>,
}

/// What is asked beside the check.
pub struct CheckOptions<'a> {
    /// Copy damaged lines to `aside/`.
    pub aside: bool,
    /// Record that the losses are known.
    pub accept: bool,
    /// Record that one goes on without what this computer had seen.
    pub go_on: bool,
    /// Why the loss can be lived with.
    pub why: Option<&'a str>,
    /// Who says so.
    pub by: Option<&'a str>,
}

/// Runs the command.
///
/// # Errors
/// The logbook cannot be read at all, or it cannot be recorded that something is accepted or gone on
/// without.
pub fn run(asked: &CheckOptions<'_>, cx: &Context) -> Result<Answer, Failure> {
    let said = asked.said(cx)?;
    let mut book = match &said {
        Some((why, _)) => cx.book_for(why)?,
        None => ManuallyDrop::into_inner(cx.book()?),
    };
    let (mut accepted, mut gone_on) = (None, None);
    if let Some((why, by)) = said {
        if asked.accept {
            accepted = Some(book.accept_losses(by.as_deref(), &why)?);
        }
        if asked.go_on {
            gone_on = Some(book.go_on(by, why)?);
        }
        book.finish();
        if let Some(trouble) = book.trouble() {
            return Err(Failure::logbook(trouble));
        }
    }
    let copied = if asked.aside {
        Some(book.copy_aside()?)
    } else {
        None
    };
    // The answer says all of it.
    cx.take_notes();
    let log = read_log(book.root(), &*cx.clock)?;
    let photos = book.photo_problems();
    let texts = book.text_problems();
    let issued = book.issued_problems();
    let open = open_to_others(&Folder::new(book.root()), &log);
    let missing: Vec<Problem> = book.missing().iter().map(missing).collect();
    let without_end = without_end(&log.files);
    let rows: Vec<ProblemRow> = book
        .problems()
        .iter()
        .chain(&photos)
        .chain(&texts)
        .chain(&issued)
        .chain(&open)
        .chain(&missing)
        .chain(&without_end)
        .map(ProblemRow::from)
        .chain(book.rescued().left.iter().map(ProblemRow::from))
        .collect();
    let behind = book.missing().iter().any(|m| m.open);
    let body = LogCheckBody {
        logbook: book.root().display().to_string(),
        files: log.files.len(),
        records: book.written().len(),
        newer: book.newer(),
        damaged: rows.iter().any(|row| row.damage),
        copied,
        accepted,
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
        if let Some(accepted) = body.accepted {
            page.line(match accepted {
                0 => "Nothing that forbids a clear verdict was left to accept".to_owned(),
                n => format!("{n} loss(es) accepted; they stay named in every answer"),
            });
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
            "Records, pictures or texts are lost or in doubt. Nothing was changed; another copy of the logbook may have them: handlamp logbook merge DIR"
        } else {
            "No record, picture or text is known to be lost or in doubt."
        });
    });
    Ok(answer.or_no(!body.damaged))
}

impl CheckOptions<'_> {
    /// The reason given and who gives it, where something is to be recorded for it.
    fn said(&self, cx: &Context) -> Result<Option<(String, Option<String>)>, Failure> {
        let Some(why) = self.why.filter(|_| self.accept || self.go_on) else {
            return match self.why {
                Some(_) => Err(Failure::usage("--why goes with --accept or with --go-on")),
                None => Ok(None),
            };
        };
        let why = why.trim();
        if why.is_empty() {
            return Err(Failure::usage("--why: say why it can be lived with"));
        }
        let mut long = [("--why", Some(why)), ("--by", self.by)].into_iter();
        if let Some((option, message)) = long.find_map(|(o, text)| too_long(o, text?)) {
            return Err(Failure::usage(format!("{option}: {message}")));
        }
        let by = self.by.map(str::to_owned).or(cx.settings()?.by);
        Ok(Some((why.to_owned(), by)))
    }
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
