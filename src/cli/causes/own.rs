//! `causes add` and `causes list`: questions and causes of the boat's own, and all that are known.

use std::path::{Path, PathBuf};
use std::rc::Rc;

use chrono::{DateTime, FixedOffset};
use clap::Subcommand;
use schemars::JsonSchema;
use serde::Serialize;

use crate::causes::{Causes, CausesFile, check_file};
use crate::checklist::Source;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::page::{Page, Set};
use crate::cli::source;
use crate::defects::behind::confirmed::Stands;
use crate::defects::condition::Condition;
use crate::defects::{History, OwnCauses};
use crate::logbook::book::{Book, OpenError};
use crate::logbook::record::Record;

/// So much goes into one entry: a line of the log is at most 64 KiB, and what could drive a terminal
/// takes more room there than here.
const LARGEST: usize = 48 * 1024;

/// What to do with questions and causes.
#[derive(Subcommand, Debug)]
pub enum CausesCommand {
    /// Put questions and causes of your own into the boat's logbook, a file of type `causes`
    ///
    /// They go with every copy of it, and count above the program's own of the same ids. An entry of
    /// them is taken back like any other: entries take-back ID.
    Add {
        /// The file; `-` reads the standard input
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
    /// List all questions and causes with whose they are, and what repairs say of causes
    List,
}

/// The body of the answer of `add`.
#[derive(Serialize, JsonSchema)]
pub struct CausesAddBody {
    /// True where anything was put in; false where the boat had all of it already.
    added: bool,
    /// Ids of its questions.
    questions: Vec<String>,
    /// Ids of its causes.
    causes: Vec<String>,
}

/// The body of the answer of `list`.
#[derive(Serialize, JsonSchema)]
pub struct CausesListBody {
    /// What can be looked at or remembered.
    questions: Vec<QuestionRow>,
    /// What can be behind it.
    causes: Vec<CauseRow>,
    /// Repairs that named a cause, and what each says of it by now; missing where there are none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    repairs: Vec<ProofRow>,
}

/// A question.
#[derive(Serialize, JsonSchema)]
pub struct QuestionRow {
    /// Its id.
    id: String,
    /// What is looked at.
    title: String,
    /// Where it comes from.
    source: Source,
    /// Id of the entry that put it in; null for one of the program's own.
    entry: Option<String>,
    /// Its answers, by their ids, beside `ok`.
    answers: Vec<String>,
    /// Catalogue items whose looks answer it.
    items: Vec<String>,
}

/// A cause.
#[derive(Serialize, JsonSchema)]
pub struct CauseRow {
    /// Its id.
    id: String,
    /// What is wrong.
    title: String,
    /// Where it comes from.
    source: Source,
    /// Id of the entry that put it in; null for one of the program's own.
    entry: Option<String>,
}

/// A repair that named a cause.
#[derive(Serialize, JsonSchema)]
pub struct ProofRow {
    /// Id of the entry of the repair.
    repair: String,
    /// Catalogue id of what was repaired.
    item: String,
    /// Machine id; null for what the boat has once.
    machine: Option<String>,
    /// The cause.
    cause: String,
    /// When it was done.
    at: DateTime<FixedOffset>,
    /// What it says of the cause.
    state: Stands,
    /// Running hours by the meter since then.
    hours_run: f64,
    /// Running hours after which a sound look confirms it.
    hours_needed: f64,
    /// The same in words.
    words: String,
}

/// Runs the command.
///
/// # Errors
/// What is wrong with the file, by line, column and field; or the logbook cannot be read or written.
pub fn run(command: &CausesCommand, cx: &Context) -> Result<Answer, Failure> {
    match command {
        CausesCommand::Add { file } => add(file, cx),
        CausesCommand::List => list(cx),
    }
}

fn add(path: &Path, cx: &Context) -> Result<Answer, Failure> {
    let (name, text) = source::read(path)?;
    let mut book = cx.book_for(&text)?;
    let condition = book.condition();
    let known = condition.causes();
    let file = check_file(&name, &text, known, &book.library().catalogue)?;
    let content =
        serde_json::to_value(&file).map_err(|e| Failure::usage(format!("{name}: {e}")))?;
    let length = content.to_string().len();
    if length > LARGEST {
        return Err(Failure::usage(format!(
            "{name} holds {} KiB of questions and causes, and one entry takes {} KiB; put it in as several files, one after another, the questions first",
            length.div_ceil(1024),
            LARGEST / 1024
        )));
    }
    let added = !has_all(known, &file);
    if added {
        let at = Some(book.now());
        book.record(vec![Record::from(OwnCauses { file: content, at })])?;
    }
    book.finish();
    let body = CausesAddBody {
        added,
        questions: file.questions.iter().map(|q| q.id.clone()).collect(),
        causes: file.causes.iter().map(|c| c.id.clone()).collect(),
    };
    Ok(cx.form.answer("causes-add", &body, |page| {
        for question in &file.questions {
            page.hang(
                "- ",
                format!("question {}: {}", question.id, question.title),
            );
        }
        for cause in &file.causes {
            page.hang("- ", format!("cause {}: {}", cause.id, cause.title));
        }
        page.line(match added {
            true => format!("Put into the logbook of {}.", book.boat().name),
            false => format!("{} has all of it already.", book.boat().name),
        });
    }))
}

/// True where all of a file is known as it stands there.
fn has_all(known: &Causes, file: &CausesFile) -> bool {
    let questions = file.questions.iter();
    let causes = file.causes.iter();
    questions.into_iter().all(|q| known.questions().contains(q))
        && causes.into_iter().all(|c| known.causes().contains(c))
}

fn list(cx: &Context) -> Result<Answer, Failure> {
    let opened = Book::open(&cx.root()?, Rc::clone(&cx.clock), cx.library()?, None);
    let body = match opened {
        Ok(book) => {
            let history = cx.history(&book);
            let condition = cx.condition(&book, &history);
            let given_by = |id: &str| condition.question_given_by(id);
            let (questions, causes) = rows(condition.causes(), given_by, |id| {
                condition.cause_given_by(id)
            });
            CausesListBody {
                questions,
                causes,
                repairs: proofs(&condition, &history),
            }
        }
        Err(OpenError::NoBoat(_)) => {
            let (questions, causes) = rows(Causes::built_in(), |_| None, |_| None);
            CausesListBody {
                questions,
                causes,
                repairs: Vec::new(),
            }
        }
        Err(error) => return Err(error.into()),
    };
    let answer = cx
        .form
        .answer("causes-list", &body, |page| write(page, &body));
    Ok(answer)
}

fn rows<'a>(
    causes: &'a Causes,
    question_by: impl Fn(&str) -> Option<&'a str>,
    cause_by: impl Fn(&str) -> Option<&'a str>,
) -> (Vec<QuestionRow>, Vec<CauseRow>) {
    let questions = causes.questions().iter().map(|question| {
        let entry = question_by(&question.id);
        QuestionRow {
            id: question.id.clone(),
            title: question.title.clone(),
            source: source_of(entry),
            entry: entry.map(str::to_owned),
            answers: question.answers.iter().map(|a| a.id.clone()).collect(),
            items: question.from.iter().map(|by| by.item.clone()).collect(),
        }
    });
    let known = causes.causes().iter().map(|cause| {
        let entry = cause_by(&cause.id);
        CauseRow {
            id: cause.id.clone(),
            title: cause.title.clone(),
            source: source_of(entry),
            entry: entry.map(str::to_owned),
        }
    });
    (questions.collect(), known.collect())
}

fn source_of(entry: Option<&str>) -> Source {
    match entry {
        Some(_) => Source::Boat,
        None => Source::BuiltIn,
    }
}

/// The repairs of all machines; what the boat has once is told of with her first.
fn proofs(condition: &Condition, history: &History) -> Vec<ProofRow> {
    let mut rows: Vec<ProofRow> = Vec::new();
    for machine in &condition.boat.machines {
        for proof in condition.proofs(history, &machine.id) {
            let repair = history.repairs.iter().find(|r| r.id == proof.repair);
            let told = rows.iter().any(|row| row.repair == proof.repair);
            rows.extend(repair.filter(|_| !told).map(|repair| ProofRow {
                words: proof.words(),
                item: repair.rec.item.clone(),
                machine: repair.rec.machine.clone(),
                state: proof.stands,
                hours_run: tenths(proof.hours_run),
                hours_needed: tenths(proof.hours_needed),
                at: proof.at,
                repair: proof.repair,
                cause: proof.cause,
            }));
        }
    }
    rows
}

/// Hours as a meter shows them.
fn tenths(hours: f64) -> f64 {
    (hours * 10.0).round() / 10.0
}

fn write(page: &mut Page, body: &CausesListBody) {
    let whose = |source: Source| match source {
        Source::Boat => "hers".to_owned(),
        _ => String::new(),
    };
    let columns = |what| [("id", Set::Left), ("whose", Set::Left), (what, Set::Wrap)];
    let rows = body.causes.iter();
    let rows = rows.map(|row| vec![row.id.clone(), whose(row.source), row.title.clone()]);
    page.table(&columns("cause"), &rows.collect::<Vec<_>>());
    page.blank();
    let rows = body.questions.iter();
    let rows = rows.map(|row| vec![row.id.clone(), whose(row.source), row.title.clone()]);
    page.table(&columns("question"), &rows.collect::<Vec<_>>());
    if body.repairs.is_empty() {
        return;
    }
    page.blank();
    page.line("What repairs say of the causes they named:");
    for row in &body.repairs {
        let day = row.at.format("%Y-%m-%d");
        let told = format!("{day} {}, {}: {}", row.item, row.cause, row.words);
        page.hang("- ", told);
    }
}
