//! `front`: what stands before the findings in the document of a walk.

use std::collections::BTreeMap;

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::act;
use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::page::Page;
use super::verdict::named;
use crate::defects::front::offered;
use crate::logbook::book::Book;
use crate::logbook::record::{FrontSaid, Record};
use crate::walk::front::{Entry, FrontGroup};
use crate::walk::{FrontFact, Walk};

/// Options of `front`.
#[derive(Args, Debug)]
pub struct FrontArgs {
    /// Id of the walk, as `walks` lists them
    pub walk: String,
    /// What is entered, such as "client=A. Finch"; nothing behind the = takes an entry out. Of one
    /// with several lines `\n` begins the next
    #[arg(value_name = "ENTRY=TEXT", value_parser = entry)]
    pub entries: Vec<(FrontFact, Option<String>)>,
}

fn entry(text: &str) -> Result<(FrontFact, Option<String>), String> {
    let (name, said) = text.split_once('=').ok_or("expected ENTRY=TEXT")?;
    let fact: FrontFact = name.trim().parse()?;
    let said = match fact.entry() {
        Entry::Lines => said.replace("\\n", "\n"),
        Entry::Line | Entry::Choice(_) => said.trim().to_owned(),
    };
    Ok((fact, (!said.trim().is_empty()).then_some(said)))
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct FrontBody {
    /// The walk, by its id.
    walk: String,
    /// Ids of the records written; empty where it was only asked.
    recorded: Vec<String>,
    /// Every entry, in the order of the page.
    entries: Vec<FrontRow>,
    /// Those that are not made, by their names.
    missing: Vec<FrontFact>,
}

/// An entry.
#[derive(Serialize, JsonSchema)]
pub struct FrontRow {
    /// Its name.
    entry: FrontFact,
    /// What was entered; null where nothing was.
    value: Option<String>,
    /// What profile, walk or an earlier document have of it, where nothing is entered; it is entered
    /// only when said.
    offered: Option<String>,
    /// What belongs in it.
    asked: String,
    /// The words to choose from; empty where it is written freely.
    choices: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// There is no such walk, or an entry cannot be as it is said.
pub fn run(args: &FrontArgs, cx: &Context) -> Result<Answer, Failure> {
    let mut entries: BTreeMap<FrontFact, Option<String>> = BTreeMap::new();
    for (fact, text) in &args.entries {
        if entries.insert(*fact, text.clone()).is_some() {
            return Err(Failure::usage(format!("{fact} is said twice")));
        }
    }
    if entries.is_empty() {
        let book = cx.book()?;
        let history = cx.history(&book);
        let walk = named(&args.walk, &history)?;
        return Ok(answer(cx, &book, walk, Vec::new()));
    }
    let record = Record::from(FrontSaid {
        walk: args.walk.clone(),
        at: None,
        entries,
    });
    let mut book = act::open(&record, cx)?;
    let (_, ids) = act::put(&mut book, record, &[("walk", "WALK")])?;
    let walk = named(&args.walk, book.history())?;
    Ok(answer(cx, &book, walk, ids))
}

fn answer(cx: &Context, book: &Book, walk: &Walk, recorded: Vec<String>) -> Answer {
    let offers = offered(book.boat(), book.history(), walk);
    let row = |fact: &FrontFact| FrontRow {
        entry: *fact,
        value: walk.front.get(*fact).map(str::to_owned),
        offered: offers.get(fact).cloned(),
        asked: fact.asked().to_owned(),
        choices: match fact.entry() {
            Entry::Choice(words) => words.iter().map(|word| (*word).to_owned()).collect(),
            Entry::Line | Entry::Lines => Vec::new(),
        },
    };
    let entries: Vec<FrontRow> = FrontFact::ALL.iter().map(row).collect();
    let body = FrontBody {
        walk: walk.id.clone(),
        recorded,
        missing: entries
            .iter()
            .filter(|row| row.value.is_none())
            .map(|row| row.entry)
            .collect(),
        entries,
    };
    cx.form.answer("front", &body, |page| write(page, &body))
}

fn write(page: &mut Page, body: &FrontBody) {
    page.line(format!("Before the findings of {}", body.walk));
    for group in FrontGroup::ALL {
        page.blank();
        let rows = body.entries.iter().filter(|row| row.entry.group() == group);
        for row in rows {
            let lead = format!("{}: ", row.entry);
            match (&row.value, &row.offered) {
                (Some(value), _) => {
                    let lines = value.lines().map(str::trim).filter(|line| !line.is_empty());
                    page.hang(&lead, lines.collect::<Vec<_>>().join("; "));
                }
                (None, Some(offered)) => page.hang(
                    &lead,
                    format!("not entered ({}); known: {offered}", row.asked),
                ),
                (None, None) => page.hang(&lead, format!("not entered ({})", row.asked)),
            }
        }
    }
    page.blank();
    page.line(match body.missing.len() {
        0 => "Every entry is made.".to_owned(),
        n => format!("{n} of {} entries are not made.", body.entries.len()),
    });
}
