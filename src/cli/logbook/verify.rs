//! `logbook verify-seal`.

use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;

use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::page::Page;
use crate::cli::source;
use crate::logbook::seal::{Change, Listing, PROVES, Seal, is_sealed};
use crate::logbook::stamp::Stamp;
use crate::logbook::{Checked, Log, Problem, ProblemKind};
use crate::text::words;

words! {
    /// What became of a record since it was sealed.
    Fate, "fate of a record" {
        /// It says something else.
        Changed = "changed",
        /// It was sealed and is not here any more.
        Missing = "missing",
        /// It was not there.
        Added = "added",
    }
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct VerifyBody {
    /// The code, as it is printed.
    code: String,
    /// The records are those of the seal.
    unchanged: bool,
    /// Records up to the seal's mark, now.
    records: usize,
    /// Records when it was sealed; null without the listing.
    sealed: Option<usize>,
    /// How many records came after the seal.
    since: usize,
    /// The listing named every difference; without it only some can be known.
    listed: bool,
    /// What differs, as far as it can be known.
    rows: Vec<DifferenceRow>,
}

/// A record that differs.
#[derive(Serialize, JsonSchema)]
pub struct DifferenceRow {
    /// What became of it.
    change: Fate,
    /// Its id; null where a line cannot be read any more.
    id: Option<String>,
    /// File, relative to the logbook's folder; null where it is gone.
    file: Option<String>,
    /// Line in that file, counted from 1.
    line: Option<u32>,
    /// What happened to it, one sentence.
    message: String,
}

/// Runs the command.
///
/// # Errors
/// The code or the listing is none, the listing is of another seal, or the logbook cannot be read.
pub fn run(code: &str, list: Option<&Path>, cx: &Context) -> Result<Answer, Failure> {
    let seal: Seal = code.parse().map_err(Failure::usage)?;
    let sealed = list.map(|path| listing(path, seal)).transpose()?;
    let (book, body) = cx.book_and(|log| verified(seal, sealed.as_ref(), log))?;
    let unchanged = body.unchanged;
    let answer = cx.form.answer("logbook-verify-seal", &body, |page| {
        page.line(format!("Seal {} on {}", body.code, book.boat().name));
        write(page, &body);
    });
    Ok(answer.or_no(unchanged))
}

/// What a log says of a seal, of which the listing may be at hand.
fn verified(seal: Seal, sealed: Option<&Listing>, log: &Log) -> VerifyBody {
    let now = Listing::of(log, seal.upto);
    let unchanged = now.seal() == Ok(seal);
    let rows = match sealed {
        _ if unchanged => Vec::new(),
        Some(sealed) => differences(sealed, &now, log),
        None => traces(log, seal.upto),
    };
    VerifyBody {
        code: seal.to_string(),
        unchanged,
        records: now.len(),
        sealed: sealed.map(Listing::len),
        since: now.left_out(log),
        listed: sealed.is_some(),
        rows,
    }
}

const CHANGED: &str = "Changed: the records are not those of the seal.";
const CHANGED_OR_OTHER: &str =
    "Changed: the records are not those of the seal, or it is the seal of another logbook.";
const TRACES: &str = "Only lines that show traces are named. The code alone cannot tell which record differs; the listing written when it was sealed can: --list FILE";

fn write(page: &mut Page, body: &VerifyBody) {
    match (body.unchanged, body.sealed) {
        (true, _) => page.line(format!(
            "Unchanged: all {} record(s) are as sealed.",
            body.records
        )),
        (false, Some(sealed)) => {
            page.paragraph(CHANGED);
            page.line(format!(
                "{} record(s) now, {sealed} when sealed",
                body.records
            ));
        }
        (false, None) => {
            page.paragraph(CHANGED_OR_OTHER);
            page.line(format!("{} record(s) up to its mark now", body.records));
        }
    }
    for row in &body.rows {
        let line = row.line.map(|n| format!(", line {n}")).unwrap_or_default();
        let place = row.file.as_ref().map(|file| format!("{file}{line}: "));
        let place = place.unwrap_or_default();
        page.hang("- ", format!("{}: {place}{}", row.change, row.message));
    }
    if !body.unchanged && !body.listed {
        page.paragraph(TRACES);
    }
    if body.since > 0 {
        page.line(format!(
            "{} record(s) were made since and are in no seal of then.",
            body.since
        ));
    }
    page.paragraph(PROVES);
}

fn listing(path: &Path, seal: Seal) -> Result<Listing, Failure> {
    let (name, text) = source::read(path)?;
    let listing = Listing::read(&text).map_err(|e| Failure::usage(format!("{name}: {e}")))?;
    if listing.seal() == Ok(seal) {
        Ok(listing)
    } else {
        Err(Failure::usage(format!(
            "{name} is not the listing of this seal, or was changed"
        )))
    }
}

/// Every difference, by the listing.
fn differences(sealed: &Listing, now: &Listing, log: &Log) -> Vec<DifferenceRow> {
    let changes = sealed.changes_to(now);
    let row = |(id, change): (String, Change)| {
        let entry = log.entries.iter().find(|e| e.id.as_str() == id);
        let (change, message) = match (change, entry) {
            (Change::Changed, _) => (Fate::Changed, format!("record {id} says something else")),
            (Change::Added, _) => (Fate::Added, format!("record {id} was not there")),
            (Change::Missing, None) => (Fate::Missing, format!("record {id} is gone")),
            (Change::Missing, Some(_)) => (
                Fate::Missing,
                format!("record {id} is dated after the seal now"),
            ),
        };
        DifferenceRow {
            change,
            file: entry.map(|e| log.path_of(e).display().to_string()),
            line: entry.map(|e| e.line),
            id: Some(id),
            message,
        }
    };
    changes.into_iter().map(row).collect()
}

/// What shows by itself: lines whose own checksum is wrong, lines that are no record any more,
/// numbers that are missing.
fn traces(log: &Log, upto: Stamp) -> Vec<DifferenceRow> {
    let changed = log
        .entries
        .iter()
        .filter(|e| is_sealed(e, upto) && (e.checked == Checked::ChangedOutside || e.shared_id));
    let changed = changed.map(|e| DifferenceRow {
        change: Fate::Changed,
        id: Some(e.id.as_str().to_owned()),
        file: Some(log.path_of(e).display().to_string()),
        line: Some(e.line),
        message: format!("record {} was changed outside the program", e.id),
    });
    let lost = log.problems.iter().filter_map(|problem| {
        let change = match problem.kind {
            ProblemKind::BadLine => Fate::Changed,
            ProblemKind::Missing => Fate::Missing,
            _ => return None,
        };
        Some(trace(change, problem))
    });
    changed.chain(lost).collect()
}

fn trace(change: Fate, problem: &Problem) -> DifferenceRow {
    DifferenceRow {
        change,
        id: None,
        file: Some(problem.file.display().to_string()),
        line: problem.line,
        message: problem.message.clone(),
    }
}
