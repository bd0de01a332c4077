//! `first-minute`: the cards for the first minute, here or on a page to print for the hatch.

use std::path::PathBuf;

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::own_file::{PAGE, write};
use super::page::Page;
use crate::checklist::nearest;
use crate::report::first_minute::{CardTold, FirstMinute};
use crate::report::write::Form;
use crate::symptoms::{Card, OUTRANKED, SymptomsFile, ToldLine};

/// Options of `first-minute`.
#[derive(Args, Debug)]
pub struct FirstMinuteArgs {
    /// Id of one card; all of them where left out
    pub card: Option<String>,
    /// The page to write, to print for the hatch
    #[arg(long, value_name = "FILE.html")]
    pub to: Option<PathBuf>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct FirstMinuteBody {
    /// The page written, as it was named; null where none was asked for.
    pub file: Option<String>,
    /// What it says.
    #[serde(flatten)]
    pub page: FirstMinute,
}

/// Runs the command.
///
/// # Errors
/// There is no such card or machine, the name is not that of a page, or the page cannot be written;
/// what was there before is then as it was.
pub fn run(args: &FirstMinuteArgs, cx: &Context) -> Result<Answer, Failure> {
    if let Some(path) = &args.to
        && !matches!(Form::of(path), Ok(Form::Html))
    {
        return Err(Failure::usage(format!(
            "{} is not named as a page; end it in .html",
            path.display()
        )));
    }
    let all = SymptomsFile::built_in();
    let cards: Vec<&Card> = match &args.card {
        None => all.cards.iter().collect(),
        Some(id) => vec![all.card(id).ok_or_else(|| unknown(id, all))?],
    };
    let book = cx.book_at_hand()?;
    if let Some(book) = &book {
        cx.known_asked(book)?;
    }
    let mut page = FirstMinute::of(cards, book.as_ref().map(|book| book.boat()));
    for line in page.cards.iter_mut().flat_map(|card| &mut card.lines) {
        line.places
            .retain(|place| cx.is_asked(place.machine.as_deref()));
    }
    if let Some(path) = &args.to {
        write(path, PAGE, &page.html())?;
    }
    let body = FirstMinuteBody {
        file: args.to.as_ref().map(|path| path.display().to_string()),
        page,
    };
    Ok(cx.form.answer("first-minute", &body, |page| {
        if let Some(path) = &body.file {
            return page.line(format!("Written to {path}"));
        }
        for card in &body.page.cards {
            put(page, card);
        }
        page.paragraph(OUTRANKED);
    }))
}

fn unknown(id: &str, all: &SymptomsFile) -> Failure {
    let ids = || all.cards.iter().map(|card| card.id.as_str());
    Failure::usage(format!(
        "there is no card '{id}'{}; there are {}",
        nearest(id, ids()).unwrap_or_default(),
        ids().collect::<Vec<_>>().join(", ")
    ))
}

fn put(page: &mut Page, card: &CardTold) {
    page.hang("", format!("{} [{}]", card.title.to_uppercase(), card.id));
    put_lines(page, &card.lines);
    page.hang("  ", format!("({})", card.source));
    page.blank();
}

/// What is done, in its order, with where a hand goes beneath.
pub fn put_lines(page: &mut Page, lines: &[ToldLine]) {
    for line in lines {
        page.hang("  - ", &line.says);
        if let Some(behind) = line.behind() {
            page.hang("      ", behind);
        }
    }
}
