//! `learning start`: what other boats taught, taken into a boat's logbook to begin from.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;

use super::StartArgs;
use crate::boat::Role;
use crate::checklist::Grade;
use crate::cli::act;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::page::Page;
use crate::cli::source;
use crate::defects::condition::Condition;
use crate::defects::list::{Row, Scenario};
use crate::defects::{LearningStart, PooledRate, Stamped};
use crate::fleet::offer::{NotOffered, RatesFile};
use crate::logbook::book::Book;
use crate::logbook::record::Record;

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct StartBody {
    /// Id of the entry; null where it was only told.
    entry: Option<String>,
    /// What is begun from.
    rates: Vec<PooledRate>,
    /// What of the file is not, and why.
    not_offered: Vec<NotOffered>,
    /// Rows of the list that stand otherwise with it.
    changes: Vec<Changed>,
}

/// A row of the list that stands otherwise.
#[derive(Serialize, JsonSchema)]
pub struct Changed {
    /// The item, by its id in the catalogue.
    item: String,
    /// The item, as shown.
    title: String,
    /// Machine id; null for what the boat has once.
    machine: Option<String>,
    /// Severity digit and level letter before.
    before: String,
    /// And with it.
    after: String,
    /// Its chance is smaller with it: it reads better.
    better: bool,
}

/// Runs the command.
///
/// # Errors
/// What is wrong with the file, by line, column and field; nothing in it can be offered to her; or the
/// logbook cannot be read or written.
pub fn run(args: &StartArgs, cx: &Context) -> Result<Answer, Failure> {
    let (name, text) = source::read(&args.file)?;
    let file = RatesFile::read(&name, &text)?;
    let mut book = cx.book_for(&text)?;
    let family = book.boat().machines.first();
    let family = family.map_or(Role::Propulsion, |machine| machine.role);
    let (rates, not_offered) = file.offer(book.boat_id(), family);
    if rates.is_empty() {
        let mut sentences: Vec<String> = not_offered.iter().map(NotOffered::sentence).collect();
        sentences.insert(
            0,
            format!("{name} offers nothing to a boat whose first machine is: {family}"),
        );
        return Err(Failure {
            sentences,
            ..Failure::usage("")
        });
    }
    let record = LearningStart {
        rates: rates.clone(),
        at: Some(book.now()),
        why: args.why.clone(),
    };
    let changes = changes(&book, &record);
    let entry = match args.only_tell {
        true => None,
        false => {
            let (_, ids) = act::put(&mut book, Record::from(record), &[("why", "--why")])?;
            ids.into_iter().next()
        }
    };
    let body = StartBody {
        entry,
        rates,
        not_offered,
        changes,
    };
    Ok(cx
        .form
        .answer("learning-start", &body, |page| write(page, &body)))
}

/// What the list over the usual plan says otherwise with it.
fn changes(book: &Book, record: &LearningStart) -> Vec<Changed> {
    let listed = |condition: &Condition| {
        let (exposure, waters) = condition.usual_plan();
        condition.list(Scenario::new(exposure, waters), false).rows
    };
    let mut history = book.history().clone();
    history.learning_starts.push(Stamped {
        id: String::new(),
        at: book.now(),
        place: history.length,
        rec: record.clone(),
    });
    let library = Arc::clone(book.library());
    let with = Condition::of(book.boat(), library, &history, book.now());
    let (before, after) = (listed(&book.condition()), listed(&with));
    let changed = |row: &Row| {
        let same = |other: &&Row| (&other.item, &other.machine) == (&row.item, &row.machine);
        let now = after.iter().find(same)?;
        (now.chance != row.chance || now.code != row.code).then(|| Changed {
            item: row.item.clone(),
            title: row.title.clone(),
            machine: row.machine.clone(),
            before: row.code.clone(),
            after: now.code.clone(),
            better: now.chance < row.chance,
        })
    };
    before.iter().filter_map(changed).collect()
}

fn write(page: &mut Page, body: &StartBody) {
    page.paragraph(match &body.entry {
        Some(entry) => format!(
            "She begins from what other boats taught. It counts in place of the judgement until her own looks outweigh it, and every answer that may be better for it says so. To take it back: handlamp entries take-back {entry}"
        ),
        None => "Nothing is recorded. She would begin from this:".to_owned(),
    });
    for rate in &body.rates {
        page.hang(
            "  - ",
            format!(
                "{} {}: {:.0} h, {}, weighing as much as {:.1} moves",
                rate.kind,
                Grade::ALL.get(rate.rung).map_or("", |grade| grade.as_str()),
                rate.dwell,
                rate.source(),
                rate.shape
            ),
        );
    }
    if !body.not_offered.is_empty() {
        page.line("Not offered:");
        for not in &body.not_offered {
            page.hang("  - ", not.sentence());
        }
    }
    let better = body.changes.iter().filter(|c| c.better).count();
    page.line(format!(
        "Of her list over the usual plan {better} row(s) read better with it, {} worse.",
        body.changes.len() - better
    ));
    for row in body.changes.iter().filter(|row| row.before != row.after) {
        page.hang(
            "  - ",
            format!("{}: {} → {}", row.title, row.before, row.after),
        );
    }
}
