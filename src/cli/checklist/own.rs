//! `checklist new`, `checklist phase`, `checklist offered`: a checklist of one's own, without a file.

use clap::Args;

use super::add::told;
use crate::checklist::own_list::{Change, alone, is_own, new_list};
use crate::checklist::{Checklist, Library, PhaseState};
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::logbook::book::Book;

/// Options of `checklist new`.
#[derive(Args, Debug)]
pub struct NewArgs {
    /// What it is called
    title: String,
    /// Catalogue id of the first item it asks
    item: String,
    /// How the engine is meanwhile, such as cold or idle
    #[arg(long, default_value = "cold")]
    state: PhaseState,
    /// What it is for, one sentence
    #[arg(long, value_name = "TEXT")]
    purpose: Option<String>,
}

/// Options of `checklist phase`.
#[derive(Args, Debug)]
pub struct PhaseArgs {
    /// Id of a checklist of your own
    id: String,
    /// How the engine is meanwhile, such as cold or idle
    state: PhaseState,
    /// Catalogue id of the first item asked in it
    item: String,
    /// What comes before it, cautions first
    #[arg(long, value_name = "TEXT")]
    before: Option<String>,
}

/// Options of `checklist offered`.
#[derive(Args, Debug)]
pub struct OfferedArgs {
    /// Id of a checklist of your own
    id: String,
    /// yes or no
    #[arg(value_parser = ["yes", "no"])]
    answer: String,
}

/// Makes one.
///
/// # Errors
/// What is wrong with it, or the logbook cannot be written.
pub fn new(args: &NewArgs, cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book_for(&args.title)?;
    let library = book.library();
    let mut list =
        new_list(&args.title, args.state, &args.item, library).map_err(Failure::usage)?;
    if let Some(purpose) = &args.purpose {
        let change = Change::Purpose(purpose.clone());
        list = change.of(&list, library).map_err(Failure::usage)?;
    }
    put(book, list, cx)
}

/// Adds a phase to one.
///
/// # Errors
/// It is none of one's own, or what is wrong with the phase.
pub fn phase(args: &PhaseArgs, cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book_for(&args.id)?;
    let library = book.library();
    let else_it = |id: &str| {
        format!(
            "keeps its phases; an item is asked in one of them with: handlamp item ask ITEM {id} PHASE"
        )
    };
    let list = one_of_ones_own(library, &args.id, else_it)?;
    let change = Change::Phase(args.state, args.item.clone());
    let mut next = change.of(list, library).map_err(Failure::usage)?;
    if let Some(before) = &args.before {
        let new = next.phases.iter().find(|p| !list.phases.contains(p));
        let new = new.map(|p| p.id.clone()).unwrap_or_default();
        let change = Change::Before(new, before.clone());
        next = change.of(&next, library).map_err(Failure::usage)?;
    }
    put(book, next, cx)
}

/// Says whether one is offered.
///
/// # Errors
/// It is none of one's own.
pub fn offered(args: &OfferedArgs, cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book_for(&args.id)?;
    let library = book.library();
    let list = one_of_ones_own(library, &args.id, |_| "is always offered".to_owned())?;
    let change = Change::Offered(args.answer == "yes");
    let next = change.of(list, library).map_err(Failure::usage)?;
    put(book, next, cx)
}

fn one_of_ones_own<'l>(
    library: &'l Library,
    id: &str,
    else_it: impl Fn(&str) -> String,
) -> Result<&'l Checklist, Failure> {
    let list = super::find(library, id)?;
    match is_own(library, &list.id) {
        true => Ok(list),
        false => Err(Failure::usage(format!(
            "'{}' is the program's own and {}",
            list.id,
            else_it(&list.id)
        ))),
    }
}

fn put(mut book: Book, list: Checklist, cx: &Context) -> Result<Answer, Failure> {
    let own = alone(list);
    let added = book.change_own(own.clone()).map_err(Failure::usage)?;
    book.finish();
    Ok(told(&book, &own, added, cx))
}
