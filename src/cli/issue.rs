//! `issue` and `issued`: reports frozen under a number.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};
use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::page::Set;
use super::report::failure as not_written;
use super::waiting::wait;
use crate::logbook::issued::Kept;
use crate::logbook::named::{Over, is_there, write_named};
use crate::report::issue::list::{Standing, issued};
use crate::report::issue::{Ask, Made, NotIssued, Plan, numbers};
use crate::report::making::Making;
use crate::report::pictures::LEFT_OUT;
use crate::report::pictures::PhotoSize;
use crate::report::proof::FROM_ELSEWHERE;
use crate::report::words::Language;
use crate::report::write::{Form, WriteError};
use crate::walk::FrontFact;

/// Options of `issue`.
#[derive(Args, Debug)]
pub struct IssueArgs {
    /// Id of a finished walk, as `walks` lists them
    pub walk: String,
    /// The page to write
    #[arg(long, value_name = "FILE.html")]
    pub to: PathBuf,
    /// Its number; left out, the year and a count. Of a walk that was issued it stays, and a revision
    /// is made
    #[arg(long, value_name = "N")]
    pub number: Option<String>,
    /// The walk of an assistant under instruction, whose looks are in it and marked so; it can be given
    /// several times
    #[arg(long = "assistant", value_name = "WALK")]
    pub assistants: Vec<String>,
    /// Leave the findings as they were issued and add to them: what was entered since, or a later walk
    #[arg(long)]
    pub addendum: bool,
    /// The language: en or de
    #[arg(long, value_name = "en|de", default_value_t = Language::English)]
    pub language: Language,
    /// With what putting right may cost
    #[arg(long)]
    pub costs: bool,
    /// How large its photographs are: small, usual, full
    #[arg(long, value_name = "SIZE", default_value_t = PhotoSize::Usual)]
    pub photographs: PhotoSize,
    /// Why it is issued again
    #[arg(long, value_name = "TEXT")]
    pub why: Option<String>,
    /// Who issues it; left out, who is in the settings
    #[arg(long, value_name = "NAME")]
    pub by: Option<String>,
    /// Tell what would be issued, and issue nothing
    #[arg(long)]
    pub only_tell: bool,
}

/// Options of `issued`.
#[derive(Args, Debug)]
pub struct IssuedArgs {
    /// Number of a report, whose page is written as it was issued
    #[arg(requires = "to")]
    pub number: Option<String>,
    /// The page to write
    #[arg(long, value_name = "FILE.html", requires = "number")]
    pub to: Option<PathBuf>,
    /// Which revision or addendum of it, such as A or A.1; left out, the last
    #[arg(long, value_name = "R", requires = "number")]
    pub revision: Option<String>,
}

/// The body of the answer to `issue`.
#[derive(Serialize, JsonSchema)]
pub struct IssueBody {
    /// False where it was only told.
    issued: bool,
    /// Number of the report.
    number: String,
    /// Its revision; of an addendum with a point and its count.
    revision: String,
    /// The code of its page; null where it was only told.
    code: Option<String>,
    /// Where that has to come from.
    code_comes: String,
    /// Id of the record; null where it was only told.
    id: Option<String>,
    /// The file written, as it was named; null where none was.
    file: Option<String>,
    /// Length of the page, bytes.
    bytes: usize,
    /// How many findings it has.
    findings: usize,
    /// Items in it that nobody saw.
    not_seen: usize,
    /// What changed from what was issued before.
    what: String,
    /// Findings of the report that it closes.
    closes: Vec<usize>,
    /// What is on record and not in it, one sentence each.
    not_in_it: Vec<String>,
    /// Entries before the findings that are not made.
    missing: Vec<FrontFact>,
    /// Photographs that could not be read and are not in it.
    left_out: usize,
}

/// Runs `issue`.
///
/// # Errors
/// It cannot be what was asked, or something cannot be read or written. Where the page alone cannot be
/// written to its file, it is issued, and that is said.
pub fn run(args: &IssueArgs, cx: &Context) -> Result<Answer, Failure> {
    if Form::of(&args.to).map_err(not_written)? != Form::Html {
        return Err(Failure::usage(
            "--to: a report is issued as a page; end its name in .html",
        ));
    }
    is_there(&args.to).map_err(|e| not_written(e.into()))?;
    let mut book = cx.book_for(&format!("{args:?}"))?;
    let by = args.by.clone().or(cx.settings()?.by);
    let ask = Ask {
        walk: args.walk.clone(),
        assistants: args.assistants.clone(),
        number: args.number.clone(),
        addendum: args.addendum,
        language: args.language,
        costs: args.costs,
        photographs: args.photographs,
        why: args.why.clone(),
        by,
    };
    let history = cx.history(&book);
    let plan = Plan::of(&book, &history, ask)?;
    let missing = plan.missing.clone();
    let making = Making::begin(move |progress| plan.make(progress));
    let made = making.and_then(wait).map_err(not_written)?;
    if made.left_out > 0 {
        cx.note(format!("{} {LEFT_OUT}", made.left_out));
    }
    let mut body = IssueBody::of(&made, missing);
    if !args.only_tell {
        let kept = made.keep(&mut book);
        let not = |e| Failure::logbook(format!("nothing was issued: {e}"));
        body.id = Some(kept.map_err(not)?);
        body.issued = true;
        body.code = Some(made.code.to_string());
        book.finish();
        match write_named(&args.to, made.page.as_bytes(), Over::Any) {
            Ok(()) => body.file = Some(args.to.display().to_string()),
            Err(error) => {
                let failure = not_written(WriteError::File(error));
                let why = failure.sentences.join("; ");
                return Err(Failure {
                    code: failure.code,
                    sentences: vec![format!(
                        "{} is issued and kept, with the code {}; its page was not written ({why}); write it with: handlamp issued {} --to FILE.html",
                        made.name(),
                        made.code,
                        body.number
                    )],
                });
            }
        }
    }
    Ok(cx.form.answer("issue", &body, |page| {
        page.line(match body.issued {
            true => format!("Issued: {} revision {}", body.number, body.revision),
            false => format!(
                "Would be issued: {} revision {}",
                body.number, body.revision
            ),
        });
        page.paragraph(&body.what);
        page.line(format!(
            "{} findings, {} items not seen, {} kB",
            body.findings,
            body.not_seen,
            body.bytes.div_ceil(1000)
        ));
        if !body.missing.is_empty() {
            let names: Vec<&str> = body.missing.iter().map(|fact| fact.as_str()).collect();
            page.hang("Not entered before its findings: ", names.join(", "));
        }
        if !body.not_in_it.is_empty() {
            page.line("On record, and not among these findings, which it says:");
        }
        for told in &body.not_in_it {
            page.hang("! ", told);
        }
        if let Some(file) = &body.file {
            page.line(format!("Written to {file}"));
        }
        if let Some(code) = &body.code {
            page.line(format!("Code {code}"));
            page.paragraph(FROM_ELSEWHERE);
        }
    }))
}

impl IssueBody {
    fn of(made: &Made, missing: Vec<FrontFact>) -> IssueBody {
        let content = &made.content;
        let last = content.revisions.last();
        IssueBody {
            issued: false,
            number: content.number.clone(),
            revision: content.revision.clone(),
            code: None,
            code_comes: FROM_ELSEWHERE.to_owned(),
            id: None,
            file: None,
            bytes: made.page.len(),
            findings: content.findings.len(),
            not_seen: made.not_seen,
            what: last.map_or_else(String::new, |last| last.what.clone()),
            closes: made.closes.clone(),
            not_in_it: made.not_in_it.iter().map(ToString::to_string).collect(),
            missing,
            left_out: made.left_out,
        }
    }
}

impl From<NotIssued> for Failure {
    fn from(error: NotIssued) -> Failure {
        match error {
            NotIssued::Asked(..) => Failure::usage(error),
            NotIssued::Before(_) | NotIssued::Unsaved(_) => Failure::logbook(error),
        }
    }
}

/// The body of the answer to `issued`.
#[derive(Serialize, JsonSchema)]
pub struct IssuedBody {
    /// Reports issued, first issued first.
    rows: Vec<IssuedRow>,
    /// The file written, as it was named; null where none was asked for.
    file: Option<String>,
}

/// A report issued.
#[derive(Serialize, JsonSchema)]
pub struct IssuedRow {
    /// Number of the report.
    number: String,
    /// Its revision; of an addendum with a point and its count.
    revision: String,
    /// The walk, by its id.
    walk: String,
    /// All walks whose looks are its own.
    walks: Vec<String>,
    /// When it was issued.
    at: DateTime<FixedOffset>,
    /// The code of its page.
    code: String,
    /// What is on record of its walks is other than when it was issued; it stays as it was issued.
    changed_since: bool,
    /// It was taken back; its number is not given again.
    taken_back: bool,
    /// Another record gives the number and revision to something else.
    given_twice: bool,
    /// Why it was issued again; null for the first.
    why: Option<String>,
    /// Who issued it; null where nobody was named.
    by: Option<String>,
    /// What is wrong with what is kept of it, one sentence each.
    faults: Vec<String>,
    /// Id of its record.
    id: String,
}

/// Runs `issued`. The exit code is 1 where something kept is missing or was changed.
///
/// # Errors
/// There is no such report, or its page cannot be read or written.
pub fn run_issued(args: &IssuedArgs, cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book()?;
    let all = issued(&book);
    let mut body = IssuedBody {
        rows: Vec::new(),
        file: None,
    };
    let row = |s: &Standing<'_>| IssuedRow {
        number: s.issued.number.clone(),
        revision: s.issued.revision.clone(),
        walk: s.issued.walk.clone(),
        walks: s.issued.walks.clone(),
        at: s.at,
        code: s.issued.code.clone(),
        changed_since: s.changed_since,
        taken_back: s.taken_back,
        given_twice: s.given_twice,
        why: s.issued.why.clone(),
        by: s.issued.by.clone(),
        faults: s.faults(&book),
        id: s.id.to_owned(),
    };
    match (&args.number, &args.to) {
        (Some(number), Some(to)) => {
            if Form::of(to).map_err(not_written)? != Form::Html {
                return Err(Failure::usage("--to: it is a page; end its name in .html"));
            }
            let wanted = |s: &&Standing<'_>| {
                let revision = args.revision.as_ref();
                numbers::same(&s.issued.number, number)
                    && revision.is_none_or(|r| r.eq_ignore_ascii_case(&s.issued.revision))
            };
            let none = || {
                let which = args.revision.as_ref();
                let which = which.map_or(String::new(), |r| format!(" revision {r}"));
                Failure::usage(format!(
                    "{number}{which} was not issued; see: handlamp issued"
                ))
            };
            let stands = all.iter().filter(|s| !s.taken_back).rfind(wanted);
            let found = stands.or_else(|| all.iter().rfind(wanted));
            let found = found.ok_or_else(none)?;
            let page = book.issued(Kept::Page, &found.issued.page)?;
            write_named(to, &page, Over::Any).map_err(|e| not_written(e.into()))?;
            body.rows.push(row(found));
            body.file = Some(to.display().to_string());
        }
        _ => body.rows.extend(all.iter().map(row)),
    }
    let sound = body.rows.iter().all(|row| row.faults.is_empty());
    let answer = cx.form.answer("issued", &body, |page| {
        if body.rows.is_empty() {
            page.line("No report was issued.");
        }
        let rows: Vec<Vec<String>> = body.rows.iter().map(cells).collect();
        if !rows.is_empty() {
            let columns = [
                ("Number", Set::Left),
                ("Rev.", Set::Left),
                ("Date", Set::Left),
                ("Walk", Set::Left),
                ("Code", Set::Left),
                ("Since", Set::Wrap),
            ];
            page.table(&columns, &rows);
        }
        for row in &body.rows {
            for fault in &row.faults {
                page.hang(
                    "! ",
                    format!("{} revision {}: {fault}", row.number, row.revision),
                );
            }
        }
        if let Some(file) = &body.file {
            page.line(format!("Written to {file}, as it was issued"));
        }
    });
    Ok(answer.or_no(sound))
}

fn cells(row: &IssuedRow) -> Vec<String> {
    let since = [
        (row.taken_back, "taken back"),
        (row.changed_since, "changed since on record"),
        (row.given_twice, "number given twice"),
    ];
    let since = since.into_iter().filter(|(is, _)| *is);
    let since: Vec<&str> = since.map(|(_, words)| words).collect();
    vec![
        row.number.clone(),
        row.revision.clone(),
        row.at.format("%Y-%m-%d").to_string(),
        row.walk.clone(),
        row.code.clone(),
        since.join(", "),
    ]
}
