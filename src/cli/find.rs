//! `find`: one thing found, recorded at once, with what it orders.

use chrono::{DateTime, FixedOffset};
use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Map, Value, json};

use super::act;
use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::repair::meter;
use crate::boat::Hours;
use crate::checklist::{FINDING, Grade, Leak};
use crate::defects::condition::Condition;
use crate::defects::finding::Answer as Ordered;
use crate::logbook::book::Book;
use crate::logbook::import::{Refused, import};
use crate::logbook::input::read_documents;
use crate::text::safe_line;
use crate::walk::Better;

/// So many items are named where a text fits several.
const NAMED: usize = 8;

/// Options of `find`.
#[derive(Args, Debug)]
pub struct FindArgs {
    /// Catalogue id of the item, or words of its name that fit it alone
    pub item: String,
    /// The rung seen: 0 to 4, or its word
    #[arg(value_parser = rung)]
    pub grade: Grade,
    /// In your own words
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
    /// When it happened: 14:10, or 2026-05-03 14:10; now where left out
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
    /// What the hour meter showed
    #[arg(long, value_name = "H", value_parser = meter)]
    pub hours: Option<Hours>,
    /// How much came out: none, i, ii, iii or stream
    #[arg(long, value_name = "CLASS")]
    pub leak: Option<Leak>,
    /// Which of several answers the rung is, such as plume=sweet; `handlamp causes --list` tells them
    #[arg(long, value_name = "QUESTION=ANSWER", value_parser = sign)]
    pub sign: Vec<(String, String)>,
    /// Why it is better than last time: cleaned, adjusted, repaired or misjudged
    #[arg(long, value_name = "WHY")]
    pub better: Option<Better>,
    /// Why the rung differs from what the leak class proposes
    #[arg(long, value_name = "TEXT")]
    pub reason: Option<String>,
    /// By whom
    #[arg(long, value_name = "NAME")]
    pub by: Option<String>,
}

/// A rung as it is typed: its digit or its word.
fn rung(text: &str) -> Result<Grade, String> {
    let digit = text.parse().ok().and_then(Grade::from_rung);
    digit.map_or_else(|| text.parse(), Ok)
}

/// A question and its answer, as typed.
fn sign(text: &str) -> Result<(String, String), String> {
    let (question, answer) = text
        .split_once('=')
        .ok_or("a question and its answer are needed, such as plume=sweet")?;
    Ok((question.trim().to_owned(), answer.trim().to_owned()))
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct FindBody {
    /// Id of the walk it is on record as.
    walk: String,
    /// When it happened.
    at: DateTime<FixedOffset>,
    /// What it orders, how long it can wait, what to do; the item as it stands with all on record.
    answer: Ordered,
    /// The same in sentences.
    words: Vec<String>,
    /// What was taken and has to be said.
    notes: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// The item is not known, or something about it cannot be right; nothing is recorded then.
pub fn run(args: &FindArgs, cx: &Context) -> Result<Answer, Failure> {
    let mut book = cx.book_for(&format!("{args:?} {:?}", cx.global.machine))?;
    cx.known_asked(&book)?;
    let condition = book.condition();
    let (item, machine) = meant(args, cx, &condition, &book)?;
    let at = act::happened(args.at.as_deref(), book.now())?;
    let sheet = sheet(args, &item, &machine, at, cx);
    let documents = read_documents("find", &sheet.to_string())?;
    let taken = import(&mut book, &documents).map_err(in_options)?;
    book.finish();
    let walk = taken.walks.first().cloned().unwrap_or_default();
    let condition = book.condition();
    let found = book.history().walk(&walk).and_then(|w| w.looks.last());
    let subject = condition.subject(&item, &machine);
    let answer = condition
        .answer(&subject, found)
        .ok_or_else(|| Failure::usage("it is recorded, and nothing can be told of it"))?;
    let body = FindBody {
        words: answer.words(),
        walk,
        at,
        answer,
        notes: taken.notes,
    };
    Ok(cx.form.answer("finding", &body, |page| {
        let grade = body.answer.grade;
        let (title, seen) = (&body.answer.title, &body.answer.seen);
        page.line(format!("{title}: {} {grade}, {seen}", grade.rung()));
        body.words.iter().for_each(|told| page.paragraph(told));
        page.notes(&body.notes);
        page.line("Recorded. This records what was seen. It certifies nothing.");
    }))
}

/// The item and machine meant, by id or by words of its name.
fn meant(
    args: &FindArgs,
    cx: &Context,
    condition: &Condition,
    book: &Book,
) -> Result<(String, String), Failure> {
    let machine = cx.global.machine.as_deref();
    let first = book.boat().machines.first().map(|m| m.id.clone());
    let standing_in = machine.map(str::to_owned).or(first).unwrap_or_default();
    let mut id = args.item.clone();
    if condition.library.catalogue.item(&id).is_none() {
        let mut found = condition.named(&id, &standing_in);
        found.sort_by(|a, b| a.item.cmp(&b.item));
        found.dedup_by(|a, b| a.item == b.item);
        match found.as_slice() {
            [only] => id.clone_from(&only.item),
            [] => return Err(Failure::usage(condition.unknown_item(&id))),
            several => {
                let ids = several.iter().take(NAMED).map(|s| s.item.as_str());
                let more = match several.len().saturating_sub(NAMED) {
                    0 => String::new(),
                    more => format!(" and {more} more"),
                };
                return Err(Failure::usage(format!(
                    "'{}' fits several; name one of {}{more}",
                    safe_line(&id),
                    ids.collect::<Vec<_>>().join(", ")
                )));
            }
        }
    }
    let subject = condition.subject_of(&id, machine).map_err(|fault| {
        Failure::of_act(vec![fault], &[("item", "ITEM"), ("machine", "--machine")])
    })?;
    let machine = subject.machine.unwrap_or(standing_in);
    Ok((subject.item, machine))
}

/// The finding as a document that `record` takes.
fn sheet(
    args: &FindArgs,
    item: &str,
    machine: &str,
    at: DateTime<FixedOffset>,
    cx: &Context,
) -> Value {
    let mut look = Map::new();
    look.insert("item".into(), json!(item));
    look.insert("grade".into(), json!(args.grade));
    for (field, value) in [
        ("note", json!(args.note)),
        ("leak", json!(args.leak)),
        ("better", json!(args.better)),
        ("grade_reason", json!(args.reason)),
    ] {
        if !value.is_null() {
            look.insert(field.into(), value);
        }
    }
    let own = || cx.settings().ok().and_then(|settings| settings.by);
    if !args.sign.is_empty() {
        let signs = args.sign.iter().cloned();
        let signs: Map<String, Value> = signs.map(|(q, a)| (q, Value::String(a))).collect();
        look.insert("signs".into(), Value::Object(signs));
    }
    json!({
        "type": "walk",
        "checklist": FINDING,
        "machine": machine,
        "at": at.to_rfc3339(),
        "by": args.by.clone().or_else(own),
        "hours": args.hours,
        "looks": [look],
    })
}

/// What is wrong, by the options and not by the fields of a document nobody wrote.
fn in_options(refused: Refused) -> Failure {
    let Refused::Faults(complaints) = refused else {
        return refused.into();
    };
    let faults = complaints.into_iter().map(|complaint| {
        let field = complaint.field.as_str();
        match field.split_once("signs.") {
            Some((_, question)) => {
                let told = format!("{question}: {}", complaint.message);
                ("signs".to_owned(), told)
            }
            None => {
                let last = field.rsplit('.').next().unwrap_or_default();
                (last.to_owned(), complaint.message)
            }
        }
    });
    Failure::of_act(
        faults.collect(),
        &[
            ("item", "ITEM"),
            ("grade", "GRADE"),
            ("note", "--note"),
            ("at", "--at"),
            ("hours", "--hours"),
            ("leak", "--leak"),
            ("signs", "--sign"),
            ("better", "--better"),
            ("grade_reason", "--reason"),
            ("by", "--by"),
            ("machine", "--machine"),
        ],
    )
}
