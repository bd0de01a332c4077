//! `boat put`, `add`, `retire`, `lacks`, `has`, `limit`: the profile changed by one thing at a time.

use std::path::Path;

use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser};

use super::{Meter, Sight, set, show};
use crate::boat::Boat;
use crate::boat::facts::{
    Fact, NOT_KNOWN, Of, Place, id_for, lacking, limited, unlimited, with_new, without,
};
use crate::boat::profile::HandbookLimit;
use crate::checklist::nearest;
use crate::cli::act;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::defects::PlacePhoto;
use crate::logbook::book::Book;
use crate::logbook::import::prepare_act;
use crate::logbook::profile_change::Said;
use crate::logbook::record::Record;
use crate::walk::Photo;

/// Options of `boat put`.
#[derive(Args, Debug)]
pub struct PutArgs {
    /// What is said: a name such as sump or hull_number
    fact: String,
    /// Its value, in your own units or with its unit; or: not known
    #[arg(allow_hyphen_values = true, required_unless_present = "photo")]
    value: Option<String>,
    /// Instead of a value: a photograph of where it is, which stands beside the words on the
    /// hand-over page; an empty name takes it off
    #[arg(long, value_name = "FILE", conflicts_with = "value")]
    photo: Option<String>,
    /// It is said of this tank
    #[arg(long, value_name = "ID", conflicts_with = "bank")]
    tank: Option<String>,
    /// It is said of this battery bank
    #[arg(long, value_name = "ID")]
    bank: Option<String>,
    #[command(flatten)]
    sight: Sight,
    #[command(flatten)]
    meter: Meter,
}

/// Options of `boat add`.
#[derive(Args, Debug)]
pub struct AddArgs {
    /// What comes aboard
    #[arg(value_parser = hers())]
    of: Of,
    /// What she calls it
    name: String,
    /// Its id, which records follow; made from the name where it is left out
    #[arg(long)]
    id: Option<String>,
}

/// Options of `boat retire`.
#[derive(Args, Debug)]
pub struct RetireArgs {
    /// What has left
    #[arg(value_parser = hers())]
    of: Of,
    /// Its id
    id: String,
    #[command(flatten)]
    sight: Sight,
}

/// Options of `boat lacks` and `boat has`.
#[derive(Args, Debug)]
pub struct ItemsArgs {
    /// Catalogue ids of the items
    #[arg(required = true)]
    items: Vec<String>,
    #[command(flatten)]
    sight: Sight,
}

/// Options of `boat limit`.
#[derive(Args, Debug)]
pub struct LimitArgs {
    /// Catalogue id of an item with a reading
    item: String,
    /// What is sound, such as "2 to 4 bar", "from 2 bar" or "to 95 C"; or: none
    range: String,
    /// Which page says so
    #[arg(default_value = "", hide_default_value = true)]
    page: String,
}

/// What she can have several of.
fn hers() -> impl TypedValueParser<Value = Of> {
    let words = Of::ALL.iter().filter(|of| of.list().is_some());
    PossibleValuesParser::new(words.map(|of| of.as_str())).try_map(|word| word.parse::<Of>())
}

/// Says one thing.
///
/// # Errors
/// There is no such thing to say, what is wrong with it, or a stop would go out of sight.
pub fn put(args: &PutArgs, cx: &Context) -> Result<Answer, Failure> {
    let said = args.value.as_deref().unwrap_or_default();
    let mut book = cx.book_for(&format!("{}={said}", args.fact))?;
    let (place, fact) = asked(args, &book, cx)?;
    match &args.photo {
        Some(photo) => show_place(photo, (&place, fact), &mut book, cx)?,
        None => {
            let named = |why: String| Failure::usage(format!("{}: {why}", fact.name));
            let value = fact.read(said, book.profile()).map_err(named)?;
            let next = fact.put(book.profile(), &place, value).map_err(named)?;
            let said = Said {
                typed_wrong: args.meter.typed_wrong,
                ..args.sight.said()
            };
            set(&mut book, next, said, cx)?;
        }
    }
    let shown = fact.shown(book.profile(), &place);
    let photo = cx
        .history(&book)
        .place_photo(fact.name, place.machine())
        .map(Photo::words);
    let photo = photo.map(|photo| format!(", photograph {photo}"));
    let shown = shown.as_deref().unwrap_or(NOT_KNOWN);
    let shown = format!("{shown}{}", photo.unwrap_or_default());
    let done = match place.of {
        Of::Boat => format!("{}: {shown}.", fact.words),
        _ => format!("{}, {}: {shown}.", place.id, fact.words),
    };
    Ok(show::answer(&book, cx, false, &done))
}

/// Takes the photograph of a place in, or takes it off.
fn show_place(
    file: &str,
    (place, fact): (&Place, &Fact),
    book: &mut Book,
    cx: &Context,
) -> Result<(), Failure> {
    const OPTIONS: [(&str, &str); 3] = [
        ("fact", "FACT"),
        ("machine", "--machine"),
        ("photo", "--photo"),
    ];
    let said = PlacePhoto {
        fact: fact.name.to_owned(),
        machine: place.machine().map(str::to_owned),
        at: cx.global.now,
        photo: None,
    };
    // What no photograph stands beside is refused before any is taken in.
    let named = |faults| Failure::of_act(faults, &OPTIONS);
    prepare_act(book, book.history(), Record::from(said.clone())).map_err(named)?;
    let photo = match file.trim() {
        "" => None,
        file => Some(book.keep_photo(Path::new(file), None)?),
    };
    act::put(book, Record::from(PlacePhoto { photo, ..said }), &OPTIONS)?;
    Ok(())
}

/// What is said, and of what: a tank or a bank where one is named, else the boat or a machine.
fn asked(args: &PutArgs, book: &Book, cx: &Context) -> Result<(Place, &'static Fact), Failure> {
    let of = match (&args.tank, &args.bank, &cx.global.machine) {
        (Some(id), ..) => Place::new(Of::Tank, id),
        (_, Some(id), _) => Place::new(Of::Bank, id),
        (_, _, Some(_)) => Place::new(Of::Machine, &cx.machine(book)?),
        _ if Fact::named(&args.fact, Of::Boat).is_some() => Place::boat(),
        _ if Fact::named(&args.fact, Of::Machine).is_some() => {
            Place::new(Of::Machine, &cx.machine(book)?)
        }
        _ => Place::boat(),
    };
    if let Some(fact) = Fact::named(&args.fact, of.of) {
        return Ok((of, fact));
    }
    let machines = Place::new(Of::Machine, "");
    let more = (of.of == Of::Boat).then(|| machines.facts());
    let known = of.facts().chain(more.into_iter().flatten());
    let near = nearest(&args.fact, known.map(|fact| fact.name)).unwrap_or_default();
    Err(Failure::usage(format!(
        "'{}' is nothing that is known of a {}{near}; see: handlamp boat show --why",
        args.fact,
        of.of.words()
    )))
}

/// Adds a machine, a tank or a battery bank.
///
/// # Errors
/// There is one of that id, or what is wrong with its name.
pub fn add(args: &AddArgs, cx: &Context) -> Result<Answer, Failure> {
    changed(cx, &args.name, Said::default(), |book| {
        let boat = book.profile();
        let made = || id_for(boat, args.of, &args.name);
        let id = args.id.clone().unwrap_or_else(made);
        let next = with_new(boat, &Place::new(args.of, &id), &args.name).map_err(Failure::usage)?;
        Ok((next, format!("Added: {} '{id}'.", args.of.words())))
    })
}

/// Takes a machine, a tank or a battery bank out.
///
/// # Errors
/// There is none, it is the last machine, or a stop would go out of sight.
pub fn retire(args: &RetireArgs, cx: &Context) -> Result<Answer, Failure> {
    changed(cx, &args.id, args.sight.said(), |book| {
        let left = without(book.profile(), &Place::new(args.of, &args.id));
        let next = left.map_err(Failure::usage)?;
        let done = format!("The {} '{}' has left.", args.of.words(), args.id);
        Ok((next, done))
    })
}

/// Says that a machine lacks items, or has them.
///
/// # Errors
/// An item is not known or belongs to the boat, or a stop would go out of sight.
pub fn items(args: &ItemsArgs, lacks: bool, cx: &Context) -> Result<Answer, Failure> {
    changed(cx, &args.items.join(" "), args.sight.said(), |book| {
        let machine = cx.machine(book)?;
        let (gone, back) = match lacks {
            true => (args.items.as_slice(), [].as_slice()),
            false => ([].as_slice(), args.items.as_slice()),
        };
        let said = if lacks { "does not have" } else { "has" };
        let done = format!("The machine '{machine}' {said}: {}.", args.items.join(", "));
        let next = lacking(book.profile(), &machine, gone, back);
        Ok((next.map_err(Failure::usage)?, done))
    })
}

/// Says what the handbook gives for an item, or takes that back.
///
/// # Errors
/// The item has no reading, the range is none, or its page is not said.
pub fn limit(args: &LimitArgs, cx: &Context) -> Result<Answer, Failure> {
    let library = cx.library()?;
    let item = library.catalogue.item(&args.item);
    let Some(reading) = item.and_then(|item| item.reading.as_ref()) else {
        let read = library.catalogue.items().iter();
        let read = read.filter(|item| item.reading.is_some());
        let near = nearest(&args.item, read.map(|item| item.id.as_str()));
        return Err(Failure::usage(format!(
            "'{}' is no item with a reading{}",
            args.item,
            near.unwrap_or_default()
        )));
    };
    changed(cx, &args.item, Said::default(), |book| {
        let (boat, machine) = (book.profile(), cx.machine(book)?);
        if args.range == "none" {
            let next = unlimited(boat, &machine, &args.item).map_err(Failure::usage)?;
            return Ok((next, format!("{}: no handbook limit.", args.item)));
        }
        let unit = reading.unit.preferred(boat.units);
        let limit = HandbookLimit::typed(&args.item, &args.range, unit, &args.page);
        let limit = limit.map_err(Failure::usage)?;
        let done = format!("{}: {} ({}).", args.item, limit.range(), limit.source);
        let next = limited(boat, &machine, limit);
        Ok((next.map_err(Failure::usage)?, done))
    })
}

/// Changes the profile to what a function makes of the logbook, and says what was done.
fn changed(
    cx: &Context,
    recorded: &str,
    said: Said<'_>,
    change: impl FnOnce(&Book) -> Result<(Boat, String), Failure>,
) -> Result<Answer, Failure> {
    let mut book = cx.book_for(recorded)?;
    let (next, done) = change(&book)?;
    set(&mut book, next, said, cx)?;
    Ok(show::answer(&book, cx, false, &done))
}
