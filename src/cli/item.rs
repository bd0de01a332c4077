//! `item`: an item of one's own, question by question, and where an item is asked.

use clap::{Args, Subcommand};
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::checklist::{ItemBody, write_item};
use super::context::Context;
use super::failure::Failure;
use super::page::Page;
use crate::checklist::own_item::{NewItem, alone, new_item, not_own};
use crate::checklist::own_list::{self, Change, is_own};
use crate::checklist::{
    Ask, Cadence, Checklist, EffectKind, Item, Kind, Library, Own, OwnRow, Scope, nearest,
};
use crate::logbook::book::Book;

/// What to do with items.
#[derive(Subcommand, Debug)]
pub enum ItemCommand {
    /// Add an item of your own
    ///
    /// Its ladder has words that hold of anything of its kind until you put better ones there. It is
    /// asked nowhere before `item ask` says where.
    Add(AddArgs),
    /// Answer one question about an item of your own, or say: none
    ///
    /// Looks made before keep the stricter of both texts until it is looked at again.
    Put(PutArgs),
    /// Ask an item in a phase of a checklist, the program's or your own, beside what it asks itself
    Ask(AskArgs),
    /// Show an item as it is asked, the answers about it, and where it is asked
    Show {
        /// Catalogue id
        id: String,
    },
}

/// Options of `item add`.
#[derive(Args, Debug)]
pub struct AddArgs {
    /// What it is called
    title: String,
    /// Where one stands to see it, by the id of the station
    #[arg(long)]
    station: String,
    /// What sort of thing it is, such as hose or machinery
    #[arg(long)]
    kind: Kind,
    /// What follows when it fails, such as flooding or loss-of-starting
    #[arg(long)]
    effect: EffectKind,
    /// One for each machine, or one aboard: machine or boat
    #[arg(long, default_value = "machine")]
    of: Scope,
}

/// Options of `item put`.
#[derive(Args, Debug)]
pub struct PutArgs {
    /// Its id
    id: String,
    /// The question, such as look, worn or effects; `item show` lists them
    what: Ask,
    /// The answer
    answer: String,
}

/// Options of `item ask`.
#[derive(Args, Debug)]
pub struct AskArgs {
    /// Catalogue id of any item
    id: String,
    /// Id of the checklist
    checklist: String,
    /// Id of its phase; its first where left out
    phase: Option<String>,
    /// How often: every-time, weekly or monthly
    #[arg(long, default_value = "every-time", value_parser = cadence)]
    cadence: Cadence,
    /// Ask it there no more; what the checklist asks itself stays
    #[arg(long, conflicts_with = "cadence")]
    no_more: bool,
}

fn cadence(text: &str) -> Result<Cadence, String> {
    let word = serde_json::from_value(text.into());
    word.map_err(|_| "expected every-time, weekly or monthly".to_owned())
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct ItemAnswer {
    /// What everything that is known of it says.
    item: ItemBody,
    /// True where it is your own and can be changed by `item put`.
    own: bool,
    /// Where it is asked.
    asked: Vec<AskedRow>,
}

/// One place where an item is asked.
#[derive(Serialize, JsonSchema)]
struct AskedRow {
    /// Id of the checklist.
    checklist: String,
    /// Id of its phase.
    phase: String,
    /// How often.
    cadence: Cadence,
    /// True where you put it there.
    own: bool,
}

/// Runs the command.
///
/// # Errors
/// What is wrong with what was typed, or with the logbook.
pub fn run(command: &ItemCommand, cx: &Context) -> Result<Answer, Failure> {
    match command {
        ItemCommand::Show { id } => {
            let library = cx.library_at_hand()?;
            answer(cx, &library, id, "")
        }
        ItemCommand::Add(args) => {
            let mut book = cx.book_for(&args.title)?;
            let new = NewItem {
                title: args.title.clone(),
                station: args.station.clone(),
                kind: args.kind,
                effect: args.effect,
                scope: args.of,
            };
            let item = new_item(new, book.library()).map_err(Failure::usage)?;
            let id = item.id.clone();
            let done = format!(
                "Added; it is asked nowhere yet: handlamp item ask {id} CHECKLIST, and the words of its rungs are anybody's: handlamp item put {id} worn \"...\""
            );
            put(&mut book, alone(item), cx, &id, &done)
        }
        ItemCommand::Put(args) => {
            let mut book = cx.book_for(&format!("{}={}", args.what, args.answer))?;
            let library = book.library();
            let mine = not_own(library, &args.id).map_or(Ok(()), Err);
            mine.map_err(Failure::usage)?;
            let item = item(library, &args.id)?;
            let next = args.what.put(item, &args.answer, library);
            let next = next.map_err(|why| Failure::usage(format!("{}: {why}", args.what)))?;
            let shown = args.what.shown(&next, library);
            let done = format!("{}: {shown}.", args.what.words());
            put(&mut book, alone(next), cx, &args.id, &done)
        }
        ItemCommand::Ask(args) => ask(args, cx),
    }
}

fn ask(args: &AskArgs, cx: &Context) -> Result<Answer, Failure> {
    let mut book = cx.book_for(&args.id)?;
    let library = book.library();
    item(library, &args.id)?;
    let list = super::checklist::find(library, &args.checklist)?;
    let phase = match &args.phase {
        None => list.phases.first().map(|p| p.id.as_str()),
        Some(id) => list.phases.iter().map(|p| p.id.as_str()).find(|p| p == id),
    };
    let phase = phase.ok_or_else(|| {
        let ids: Vec<&str> = list.phases.iter().map(|p| p.id.as_str()).collect();
        Failure::usage(format!(
            "'{}' has no such phase; it has {}",
            list.id,
            ids.join(", ")
        ))
    })?;
    let done = match args.no_more {
        true => format!("{} asks it no more.", list.title),
        false => format!("{} asks it.", list.title),
    };
    let own = match is_own(library, &list.id) {
        true => in_own(args, list, phase, library),
        false => beside(args, &list.id, phase, library),
    };
    let own = own.map_err(Failure::usage)?;
    put(&mut book, own, cx, &args.id, &done)
}

/// In a checklist of one's own its own rows change.
fn in_own(args: &AskArgs, list: &Checklist, phase: &str, library: &Library) -> Result<Own, String> {
    let (phase, item) = (phase.to_owned(), args.id.clone());
    if args.no_more {
        return Ok(own_list::alone(Change::Out(phase, item).of(list, library)?));
    }
    let rows = list.phases.iter().filter(|p| p.id == phase);
    let mut rows = rows.flat_map(|p| &p.rows);
    let (known, must_see) = match rows.find(|row| row.items.contains(&item)) {
        Some(row) => (list.clone(), row.must_see),
        None => {
            let change = Change::Row(phase.clone(), item.clone());
            (change.of(list, library)?, false)
        }
    };
    let often = Change::Often(phase, item, args.cadence, must_see);
    Ok(own_list::alone(often.of(&known, library)?))
}

/// In one of the program's a row of one's own stands beside.
fn beside(args: &AskArgs, list: &str, phase: &str, library: &Library) -> Result<Own, String> {
    let cadence = (!args.no_more).then_some(args.cadence);
    let row = OwnRow::new(list, phase, &args.id, cadence);
    library.row_fault(&row).map_or(Ok(()), Err)?;
    let mut own = Own::default();
    own.rows.push(row);
    Ok(own)
}

fn item<'l>(library: &'l Library, id: &str) -> Result<&'l Item, Failure> {
    library.catalogue.item(id).ok_or_else(|| {
        let all = library.catalogue.items().iter();
        let near = nearest(id, all.map(|i| i.id.as_str())).unwrap_or_default();
        Failure::usage(format!("there is no item '{id}'{near}"))
    })
}

fn put(book: &mut Book, own: Own, cx: &Context, id: &str, done: &str) -> Result<Answer, Failure> {
    book.change_own(own).map_err(Failure::usage)?;
    let answer = answer(cx, book.library(), id, done);
    book.finish();
    answer
}

fn answer(cx: &Context, library: &Library, id: &str, done: &str) -> Result<Answer, Failure> {
    let item = item(library, id)?;
    let body = ItemAnswer {
        item: ItemBody::of(item),
        own: not_own(library, id).is_none(),
        asked: asked(library, id),
    };
    Ok(cx.form.answer("item", &body, |page| {
        write_item(page, &body.item);
        if body.own {
            write_answers(page, item, library);
        }
        page.blank();
        if body.asked.is_empty() {
            page.line("It is asked nowhere; a survey of your own or a row asks it.");
        }
        for row in &body.asked {
            let whose = if row.own { ", by your own row" } else { "" };
            let often = row.cadence.words();
            page.hang(
                "- ",
                format!("{}, {}: {often}{whose}", row.checklist, row.phase),
            );
        }
        if !done.is_empty() {
            page.blank();
            page.paragraph(done);
        }
    }))
}

fn write_answers(page: &mut Page, item: &Item, library: &Library) {
    page.blank();
    page.line("Your own; `item put` changes:");
    for ask in Ask::ALL {
        let (words, shown) = (ask.words(), ask.shown(item, library));
        page.hang("- ", format!("{ask}: {words}: {shown}"));
    }
}

fn asked(library: &Library, id: &str) -> Vec<AskedRow> {
    let mut rows = Vec::new();
    for list in library.checklists() {
        for phase in &list.phases {
            let here = phase
                .rows
                .iter()
                .filter(|row| row.items.iter().any(|i| i == id));
            rows.extend(here.map(|row| AskedRow {
                checklist: list.id.clone(),
                phase: phase.id.clone(),
                cadence: row.cadence,
                own:
                    library.own_rows().any(|own| {
                        own.item == id && own.checklist == list.id && row.items.len() == 1
                    }),
            }));
        }
    }
    rows
}
