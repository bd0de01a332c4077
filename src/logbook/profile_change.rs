//! A new profile held against the record: which machines leave with it, and which stops would go out
//! of sight.

use std::borrow::Cow;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::book::Book;
use crate::boat::{Boat, EvenSo, Hours, Misread, ProfileSet, Retired};
use crate::defects::aboard::OpenStop;
use crate::defects::admit::{Fault, speaks_against, too_long};
use crate::defects::condition::Condition;
use crate::logbook::error::LogbookError;
use crate::logbook::profile::profile_faults;

/// What is said with a new profile.
#[derive(Clone, Copy, Debug, Default)]
pub struct Said<'a> {
    /// The reason for which stops go out of sight.
    pub even_so: Option<&'a str>,
    /// What profiles before said of a meter, and what speaks against this one, was typed wrong.
    pub typed_wrong: bool,
}

/// What is recorded beside a new profile.
#[derive(Clone, Debug, PartialEq)]
pub struct ProfileChange {
    /// The machines it lacks, which leave.
    pub left: Vec<Retired>,
    /// The reason for which stops go out of sight, with those that no machine takes along.
    pub even_so: Option<EvenSo>,
    /// How many stops go out of sight.
    pub stops: usize,
}

/// A figure of an earlier profile, what is said now, and what was said when.
pub type Figure = (Misread, Hours, (Hours, DateTime<FixedOffset>));

/// Why a profile was not changed.
#[derive(Debug)]
pub enum Refused {
    /// Something in it is wrong: field and sentence of each fault.
    Wrong(Vec<Fault>),
    /// A profile before says something else of a meter: one of both figures is wrong.
    Meter {
        /// What is said now.
        hours: Hours,
        /// What was said before, and when.
        before: (Hours, DateTime<FixedOffset>),
    },
    /// Stops would go out of sight, a sentence for each; a reason has to be given.
    Stops(Vec<String>),
    /// The reason is none.
    Why(String),
    /// Its file cannot be written.
    Disk(LogbookError),
}

impl Refused {
    /// Why, in one line.
    pub fn words(self) -> String {
        let all = match self {
            Refused::Wrong(faults) => faults.into_iter().map(|(_, why)| why).collect(),
            Refused::Meter { hours, before } => vec![Refused::meter(hours, before)],
            Refused::Stops(stops) => stops,
            Refused::Why(why) => vec![why],
            Refused::Disk(error) => vec![error.to_string()],
        };
        all.join("; ")
    }

    /// Two figures of one meter.
    pub fn meter(hours: Hours, (before, at): (Hours, DateTime<FixedOffset>)) -> String {
        format!(
            "{hours} h now, and {before} h by the profile of {}: one of both is wrong",
            at.format("%-d %b %Y")
        )
    }
}

/// Changes the profile: the one way by which people do, whether by keys or by command. Machines it
/// lacks leave. Where an open stop would go out of sight with it a reason has to be given.
///
/// # Errors
/// [`Refused`]; nothing is changed then.
pub fn set_profile(book: &mut Book, boat: Boat, said: Said<'_>) -> Result<ProfileChange, Refused> {
    let (figures, faults) = held_against(book, &boat);
    if !faults.is_empty() {
        return Err(Refused::Wrong(faults));
    }
    if let (Some(&(_, hours, before)), false) = (figures.last(), said.typed_wrong) {
        return Err(Refused::Meter { hours, before });
    }
    let change = prepare(book, &boat, said.even_so)?;
    let set = ProfileSet {
        even_so: change.even_so.clone(),
        misread: figures.into_iter().map(|(figure, ..)| figure).collect(),
        ..ProfileSet::from(boat)
    };
    book.change_profile(set, change.left.clone())
        .map_err(Refused::Disk)?;
    Ok(change)
}

/// True where nothing but what profiles said of a meter before speaks against a new one.
pub fn only_a_meter_is_asked(book: &Book, boat: &Boat) -> bool {
    let (figures, faults) = held_against(book, boat);
    !figures.is_empty() && faults.is_empty()
}

/// What profiles said of meters that cannot be right where a new one is, and what else is wrong with it.
fn held_against(book: &Book, boat: &Boat) -> (Vec<Figure>, Vec<Fault>) {
    let figures = misread(book, boat);
    let mut history = Cow::Borrowed(book.history());
    if !figures.is_empty() {
        let wrong = |machine: &str, id: &str| {
            let mut all = figures.iter().map(|(figure, ..)| figure);
            all.any(|figure| figure.machine == machine && figure.of == id)
        };
        let readings = &mut history.to_mut().profile_hours;
        readings.retain(|read| !wrong(&read.rec.0, &read.id));
    }
    let record = (book.profile(), &*history, book.now());
    let faults = profile_faults(boat, &book.library().catalogue, Some(record));
    (figures, faults)
}

/// What profiles said of meters that cannot be right where a new one is, by time.
fn misread(book: &Book, boat: &Boat) -> Vec<Figure> {
    let (history, now) = (book.history(), book.now());
    let mut figures = Vec::new();
    for machine in &boat.machines {
        let known = book.profile().machines.iter().find(|m| m.id == machine.id);
        let new = |hours: &Hours| known.is_none_or(|m| m.hours != Some(*hours));
        let Some(hours) = machine.hours.filter(new) else {
            continue;
        };
        let line = history.meter_line(&machine.id);
        let said = (line.total(hours, now), now);
        for (id, read, at) in history.profile_readings(&machine.id) {
            if speaks_against((line.total(read, at), at), said) {
                let figure = Misread {
                    machine: machine.id.clone(),
                    of: id.to_owned(),
                };
                figures.push((figure, hours, (read, at)));
            }
        }
    }
    figures.sort_by_key(|(_, _, (_, at))| *at);
    figures
}

/// Holds a new profile against the record.
fn prepare(book: &Book, boat: &Boat, even_so: Option<&str>) -> Result<ProfileChange, Refused> {
    if let Some(why) = even_so {
        if why.trim().is_empty() {
            return Err(Refused::Why("say why".to_owned()));
        }
        if let Some((_, message)) = too_long("even-so", why) {
            return Err(Refused::Why(message));
        }
    }
    let before = book.condition();
    let lost = lost(book, &before, boat);
    let Some(why) = even_so else {
        let sentences: Vec<String> = lost.iter().map(|stop| refusal(stop, boat)).collect();
        return if sentences.is_empty() {
            Ok(change(book, boat, "", &[]))
        } else {
            Err(Refused::Stops(sentences))
        };
    };
    let mut passed = lost;
    // What was out of sight before, and said in every answer for lack of a reason.
    let open = before.open_stops().into_iter();
    passed.extend(open.filter(|stop| left_out(stop, boat)));
    passed.extend(before.stops_elsewhere(book.history()));
    passed.sort_by(|a, b| a.subject.cmp(&b.subject));
    passed.dedup_by(|a, b| a.subject == b.subject);
    Ok(change(book, boat, why, &passed))
}

fn change(book: &Book, boat: &Boat, why: &str, passed: &[OpenStop]) -> ProfileChange {
    let here = |id: &str| boat.machines.iter().any(|m| m.id == id);
    let gone = book.profile().machines.iter().filter(|m| !here(&m.id));
    let left: Vec<Retired> = gone
        .map(|machine| {
            let mine = passed
                .iter()
                .filter(|s| s.subject.machine.as_ref() == Some(&machine.id));
            let stops: Vec<_> = mine.map(OpenStop::passed).collect();
            Retired {
                machine: Some(machine.id.clone()),
                why: (!stops.is_empty()).then(|| why.to_owned()),
                stops,
                ..Retired::default()
            }
        })
        .collect();
    let with_a_machine = |stop: &OpenStop| left.iter().any(|l| l.machine == stop.subject.machine);
    let rest = passed.iter().filter(|stop| !with_a_machine(stop));
    let stops: Vec<_> = rest.map(OpenStop::passed).collect();
    ProfileChange {
        even_so: (!stops.is_empty()).then(|| EvenSo {
            why: why.to_owned(),
            stops,
        }),
        left,
        stops: passed.len(),
    }
}

/// The stops in sight that a new profile would take out of sight.
fn lost(book: &Book, before: &Condition, boat: &Boat) -> Vec<OpenStop> {
    let mut after = boat.clone();
    for machine in &mut after.machines {
        let of = |boat: &Boat| -> Vec<String> {
            let known = boat.machines.iter().find(|m| m.id == machine.id);
            known.map(|m| m.without.clone()).unwrap_or_default()
        };
        let (said, followed) = (of(book.profile()), of(book.boat()));
        // One left out before stays in sight for its stop, and does so after.
        let stays = |item: &String| said.contains(item) && !followed.contains(item);
        machine.without.retain(|item| !stays(item));
    }
    let beside = book.boat().machines.iter();
    let beside = beside.filter(|m| book.beside_profile().contains(&m.id));
    let beside = beside.filter(|m| !boat.machines.iter().any(|known| known.id == m.id));
    let beside: Vec<_> = beside.cloned().collect();
    after.machines.extend(beside);
    let library = Arc::clone(book.library());
    let after = Condition::of(&after, library, book.history(), book.now()).open_stops();
    let mut lost = before.open_stops();
    lost.retain(|stop| !after.iter().any(|still| still.subject == stop.subject));
    lost
}

fn left_out(stop: &OpenStop, boat: &Boat) -> bool {
    let machine = boat
        .machines
        .iter()
        .find(|m| Some(&m.id) == stop.subject.machine.as_ref());
    machine.is_some_and(|m| m.without.contains(&stop.subject.item))
}

fn refusal(stop: &OpenStop, boat: &Boat) -> String {
    let machine = stop.subject.machine.as_deref().unwrap_or_default();
    let since = if stop.subject.machine.is_some() && !boat.machines.iter().any(|m| m.id == machine)
    {
        format!("the profile has no machine '{machine}'")
    } else if left_out(stop, boat) {
        format!("the profile says that '{machine}' is without it")
    } else {
        format!("it is none in {} waters or in the role given", boat.waters)
    };
    format!(
        "{} holds a stop, which would go out of sight: {}; {since}",
        stop.place(),
        stop.rule
    )
}
