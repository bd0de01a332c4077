//! What is on record is taken back and put right: for each way the records that do it, checked as what
//! is recorded anew, and what follows from them told beforehand.

mod fields;
mod several;
mod signs;

use std::sync::Arc;

use chrono::{DateTime, Duration, FixedOffset};

use super::book::Book;
use super::fold::fold;
use super::import::prepare_act;
use super::placed::Written;
use super::reckoned::given as given_anew;
use super::record::event::Part;
use super::record::{Correction, LookMade, Record, SetAside, Undo, WalkFinished, WalkStarted};
use super::standing::Standing;
use crate::boat::Hours;
use crate::checklist::{FINDING, PhaseState};
use crate::defects::History;
use crate::defects::admit::{
    Fault, fuel_faults, hours_fault, speaks_against, time_fault, too_long,
};
use crate::defects::condition::Condition;
use crate::defects::differs::{Side, differences, new_blocks, reckoned};
use crate::service::{ServiceSheet, service_of};
use crate::text::safe_line;
use crate::walk::Walk;

pub use fields::{Field, fields};

/// Why something is taken back or put right, and who says so.
#[derive(Clone, Debug, Default)]
pub struct Reason {
    /// Why.
    pub why: String,
    /// Who, as recorded.
    pub by: Option<String>,
}

/// One entry at hand.
struct At<'a> {
    standing: Standing<'a>,
    place: usize,
    written: &'a Written,
}

fn fault(field: &str, message: impl Into<String>) -> Vec<Fault> {
    vec![(field.to_owned(), message.into())]
}

impl<'a> At<'a> {
    fn find(book: &'a Book, id: &str) -> Result<At<'a>, Vec<Fault>> {
        let found = book
            .written()
            .iter()
            .enumerate()
            .find(|(_, w)| *w.id == *id);
        let Some((place, written)) = found else {
            let message = format!(
                "there is no entry '{}'; see: handlamp entries",
                safe_line(id)
            );
            return Err(fault("id", message));
        };
        if !written.trust.alone {
            let message = "several records are called so, and none can be told from the others";
            return Err(fault("id", message));
        }
        if let Some(message) = stays(&written.record) {
            return Err(fault("id", message));
        }
        Ok(At {
            standing: Standing::of(book.written()),
            place,
            written,
        })
    }

    /// The record as it was put right last.
    fn record(&self) -> &Record {
        &self.standing.as_put_right(self.place, self.written).record
    }

    fn counts(&self) -> bool {
        self.standing.at(self.place, self.written).is_some()
    }

    fn correction(&self, to: Option<Record>, reason: &Reason) -> Record {
        correction(&self.standing, &self.written.id, to, reason)
    }
}

/// The record that has another say something else, or nothing.
fn correction(standing: &Standing<'_>, of: &str, to: Option<Record>, reason: &Reason) -> Record {
    Record::Correction(Box::new(Correction {
        of: of.to_owned(),
        replaces: standing.heads(of),
        to: to.map(Box::new),
        why: reason.why.trim().to_owned(),
        by: reason.by.clone(),
    }))
}

/// Why a record is neither taken back nor put right; none where it can be.
pub fn stays(record: &Record) -> Option<&'static str> {
    match record {
        Record::Profile(_) | Record::Retired(_) | Record::OwnItems(_) => {
            Some("what the boat is and has of her own is put right in her profile, not here")
        }
        Record::Accepted(_) | Record::GoneOn(_) | Record::Clock(_) => {
            Some("what was said of the record itself stays")
        }
        Record::GivenOn(_) => Some("what the former owner told stays told: look at it yourself"),
        Record::Draft(_) | Record::ServiceDraft(_) | Record::RoundDraft(_) => {
            Some("it is half typed, and no entry yet")
        }
        Record::Undo(_) | Record::Correction(_) | Record::SetAside(_) => {
            Some("it stands at the entry it was done to: name that one")
        }
        _ => None,
    }
}

/// A record as an open book would hold it in a moment.
fn as_written(n: usize, at: DateTime<FixedOffset>, record: Record) -> Written {
    Written::new(format!("?{n}"), at, record)
}

/// The state with these records on top.
fn with(book: &Book, records: &[Record]) -> History {
    let now = book.now();
    let new = records.iter().enumerate();
    let new = new.map(|(n, record)| as_written(n, now, record.clone()));
    let all: Vec<Written> = book.written().iter().cloned().chain(new).collect();
    let mut history = fold(&all);
    history.doubts.clone_from(&book.history().doubts);
    history
}

fn condition(book: &Book, history: &History) -> Condition {
    Condition::of(book.boat(), Arc::clone(book.library()), history, book.now())
}

/// What follows from records that are not made yet, each in a sentence.
pub fn foresee(book: &Book, records: &[Record]) -> Vec<String> {
    let unsaid = records
        .iter()
        .filter_map(|record| signs::unsaid(book, record));
    let differs = told_of(book, records, differences);
    unsaid.chain(differs).collect()
}

/// The same of what was reckoned from a meter alone.
pub fn foresee_reckoned(book: &Book, records: &[Record]) -> Vec<String> {
    told_of(book, records, reckoned)
}

fn told_of(
    book: &Book,
    records: &[Record],
    told: impl Fn(Side<'_>, Side<'_>) -> Vec<String>,
) -> Vec<String> {
    let history = with(book, records);
    let (before, after) = (book.condition(), condition(book, &history));
    let before = Side {
        history: book.history(),
        condition: &before,
    };
    let after = Side {
        history: &history,
        condition: &after,
    };
    told(before, after)
}

/// A reason that has to be given, and is no longer than a text may be.
fn given(reason: &Reason, say: &str) -> Result<(), Vec<Fault>> {
    let missing = reason.why.trim().is_empty();
    let missing = missing.then(|| ("why".to_owned(), say.to_owned()));
    let by = reason.by.as_deref().and_then(|by| too_long("by", by));
    refuse(
        missing
            .into_iter()
            .chain(too_long("why", &reason.why))
            .chain(by),
    )
}

/// The record that takes an entry back without a word, whatever was put right of it before.
pub fn taking_back(book: &Book, id: &str) -> Record {
    taking_back_because(book, id, &Reason::default())
}

/// The record that takes an entry back, whatever was put right of it before.
pub fn taking_back_because(book: &Book, id: &str, reason: &Reason) -> Record {
    let mended = |w: &Written| matches!(&w.record, Record::Correction(c) if c.of == id);
    match book
        .written()
        .iter()
        .any(mended)
        .then(|| At::find(book, id))
    {
        Some(Ok(at)) if !at.standing.heads(id).is_empty() => at.correction(None, reason),
        _ => {
            let why = reason.why.trim();
            Record::from(Undo {
                of: id.to_owned(),
                why: (!why.is_empty()).then(|| why.to_owned()),
                by: reason.by.clone(),
            })
        }
    }
}

/// A reading of an hour meter, and what says it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Id of the entry; none where the profile gave it.
    pub id: Option<String>,
    /// What the meter showed.
    pub hours: Hours,
    /// When.
    pub at: DateTime<FixedOffset>,
}

/// The last reading of a machine's meter before a time that speaks against another at that time, where
/// an entry or, where none does any more, the profile says it; none of a walk named.
pub fn reading_against(
    book: &Book,
    machine: &str,
    hours: Hours,
    (before, but): (DateTime<FixedOffset>, &str),
) -> Option<Reading> {
    let line = book.history().meter_line(machine);
    let now = (line.total(hours, before), before);
    let against = |read: Hours, at| speaks_against((line.total(read, at), at), now);
    let standing = Standing::of(book.written());
    let of_walk = |id: &str| {
        book.history()
            .walk(id)
            .map(|walk| (walk.machine.as_str(), walk.at))
    };
    let said = book.written().iter().enumerate().filter_map(|(place, w)| {
        let now = standing.at(place, w)?;
        let own = now.record.at().unwrap_or(w.at);
        let (on, at, read) = match &now.record {
            Record::WalkStarted(walk) if walk.walk != but => (&*walk.machine, own, walk.hours?),
            Record::WalkNoted(noted) if noted.walk != but => {
                let (on, at) = of_walk(&noted.walk)?;
                (on, at, noted.hours?)
            }
            Record::Repair(repair) => (repair.machine.as_deref()?, own, repair.hours?),
            Record::Fitted(fitted) => (fitted.machine.as_deref()?, own, fitted.hours?),
            Record::Service(service) => (service.machine.as_deref()?, own, service.hours?),
            _ => return None,
        };
        (on == machine).then(|| Reading {
            id: Some(w.id.to_string()),
            hours: read,
            at,
        })
    });
    let of_profile = book.history().profile_readings(machine);
    let of_profile = of_profile.map(|(_, hours, at)| Reading {
        id: None,
        hours,
        at,
    });
    let all = said.chain(of_profile);
    let all = all.filter(|reading| against(reading.hours, reading.at));
    all.max_by_key(|reading| (reading.id.is_some(), reading.at))
}

/// What a record says, as it was put right.
pub fn as_it_says(book: &Book, w: &Written) -> Record {
    let standing = Standing::of(book.written());
    let place = book.written().iter().position(|own| own.id == w.id);
    let now = place.map(|place| standing.as_put_right(place, w).record.clone());
    now.unwrap_or_else(|| w.record.clone())
}

/// Takes an entry back.
///
/// # Errors
/// There is none, it does not count, or a stop goes with it and nothing says why.
pub fn take_back(book: &Book, id: &str, reason: &Reason) -> Result<Vec<Record>, Vec<Fault>> {
    let at = At::find(book, id)?;
    if !at.counts() {
        return Err(fault("id", "it is taken back already"));
    }
    if matches!(at.record().names().walk, Some((_, Part::Begins))) {
        let message = "it begins a walk: set the walk aside, and its looks go with it";
        return Err(fault("id", message));
    }
    let records = vec![taking_back_because(book, id, reason)];
    let held_a_stop = || {
        let history = with(book, &records);
        !new_blocks(&book.condition(), &condition(book, &history)).is_empty()
    };
    if !reason.why.trim().is_empty() || held_a_stop() {
        given(reason, "a stop goes with it: say why it was wrong")?;
    }
    Ok(records)
}

/// Lets an entry count as it did before what was done to it last.
///
/// # Errors
/// There is none, or nothing was done to it.
pub fn put_back(book: &Book, id: &str) -> Result<Vec<Record>, Vec<Fault>> {
    let at = At::find(book, id)?;
    let deeds = at.standing.deeds(book.written(), at.written, at.record());
    if deeds.is_empty() {
        return Err(fault("id", "it counts as it was written"));
    }
    Ok(deeds
        .into_iter()
        .map(|id| Record::from(Undo::of(id)))
        .collect())
}

/// Sets a walk aside with all its looks.
///
/// # Errors
/// There is no such walk, or nothing says why.
pub fn set_aside(book: &Book, walk: &str, reason: &Reason) -> Result<Vec<Record>, Vec<Fault>> {
    let found = known_walk(book, walk)?;
    given(reason, "say why the walk does not count")?;
    let aside = Record::from(SetAside {
        walk: walk.to_owned(),
        looks: found
            .looks
            .iter()
            .map(|timed| timed.id.to_string())
            .collect(),
        why: reason.why.trim().to_owned(),
        by: reason.by.clone(),
    });
    Ok(vec![aside])
}

/// Closes a walk left open as it stands: it ends with its last look.
///
/// # Errors
/// There is no such walk, it has ended, or nothing was seen in it.
pub fn close(book: &Book, walk: &str) -> Result<Vec<Record>, Vec<Fault>> {
    let found = known_walk(book, walk)?;
    if found.finished.is_some() {
        return Err(fault("walk", "it has ended"));
    }
    let Some(last) = found.looks.last() else {
        return Err(fault("walk", "nothing was seen in it: set it aside"));
    };
    Ok(vec![Record::from(WalkFinished {
        walk: walk.to_owned(),
        at: last.at,
        pace: None,
        said: None,
    })])
}

fn known_walk<'a>(book: &'a Book, walk: &str) -> Result<&'a Walk, Vec<Fault>> {
    let found = book.history().walk(walk).filter(|found| !found.is_stub);
    found.ok_or_else(|| {
        let message = format!(
            "there is no walk '{}'; see: handlamp walks",
            safe_line(walk)
        );
        fault("walk", message)
    })
}

/// Has an entry say something else in the fields named; an empty text takes a field out. A look moved to
/// another machine becomes a thing found there; a walk moved to another machine asks its hours anew, and
/// one moved in time takes its looks along.
///
/// # Errors
/// There is no such entry, or it cannot say that.
pub fn put_right(
    book: &Book,
    id: &str,
    changes: &[(String, String)],
    reason: &Reason,
) -> Result<Vec<Record>, Vec<Fault>> {
    let at = At::find(book, id)?;
    given(reason, "say why it was wrong")?;
    let mut right = at.record().clone();
    let mut machine = None;
    for (field, text) in changes {
        if field == "machine" && matches!(right, Record::Look(_)) {
            machine = Some(text.trim().to_owned());
            continue;
        }
        let item = item_of(book, &right);
        right = fields::with(&right, (field, text), item, book.now())
            .map_err(|why| fault(field, why))?;
    }
    if let (Record::Look(was), Record::Look(is)) = (at.record(), &mut right) {
        signs::as_moved(book, was, is);
    }
    given_anew(at.record(), &mut right);
    if right == *at.record() && machine.is_none() {
        return Err(fault("id", "it says that already"));
    }
    let records = match (machine, right) {
        (Some(machine), Record::Look(made)) => moved_look(book, &at, &made, &machine, reason)?,
        (_, right) => {
            let right = checked(book, &at, right)?;
            let along = match (at.record(), &right) {
                (Record::WalkStarted(was), Record::WalkStarted(is)) => {
                    walk_along(book, was, is, changes, reason)?
                }
                _ => Vec::new(),
            };
            let first = at.correction(Some(right), reason);
            [first].into_iter().chain(along).collect()
        }
    };
    Ok(records)
}

fn item_of<'a>(book: &'a Book, record: &Record) -> Option<&'a crate::checklist::Item> {
    match record {
        Record::Look(made) => book.library().catalogue.item(&made.look.item),
        _ => None,
    }
}

/// A record put right, held against all but what it replaces.
fn checked(book: &Book, at: &At<'_>, right: Record) -> Result<Record, Vec<Fault>> {
    let gone = at.correction(None, &Reason::default());
    let without = with(book, &[gone]);
    let now = book.now();
    match right {
        Record::Look(made) => {
            look_faults(book, &without, &made)?;
            if let Record::Look(was) = at.record() {
                let moved = was.at != made.at || was.walk != made.walk;
                refuse(moved.then(|| next_morning(book, was)).flatten())?;
            }
            Ok(Record::Look(made))
        }
        Record::WalkStarted(walk) => {
            let known = book.boat().machines.iter().any(|m| m.id == walk.machine);
            let unknown = (!known).then(|| {
                let message = format!("the boat has no machine '{}'", safe_line(&walk.machine));
                ("machine".to_owned(), message)
            });
            let hours = walk.hours;
            let hours = hours.and_then(|h| hours_fault(&without, &walk.machine, h, walk.at));
            refuse(
                unknown
                    .into_iter()
                    .chain(hours)
                    .chain(time_fault(walk.at, now)),
            )?;
            Ok(Record::WalkStarted(walk))
        }
        Record::WalkNoted(noted) => {
            let walk = known_walk(book, &noted.walk)?;
            let hours = noted.hours;
            let hours = hours.and_then(|h| hours_fault(&without, &walk.machine, h, walk.at));
            let fuel = fuel_faults(book.boat(), walk.guest, &noted.fuel);
            refuse(hours.into_iter().chain(fuel))?;
            Ok(Record::WalkNoted(noted))
        }
        Record::WalkFinished(end) => {
            let walk = known_walk(book, &end.walk)?;
            let early = (end.at < walk.at)
                .then(|| ("at".to_owned(), "a walk ends after it began".to_owned()));
            let after = walk.looks.iter().find_map(|timed| {
                let made = LookMade {
                    walk: walk.id.as_str().into(),
                    at: timed.at,
                    look: Arc::clone(&timed.look),
                };
                next_morning(book, &made)
            });
            refuse(
                early
                    .into_iter()
                    .chain(after)
                    .chain(time_fault(end.at, now)),
            )?;
            Ok(Record::WalkFinished(end))
        }
        Record::Service(service) => {
            let condition = condition(book, &without);
            let service = service_of(&condition, &without, &ServiceSheet::of(*service), now)?;
            Ok(Record::Service(Box::new(match at.record() {
                Record::Service(was) => service.as_it_was_left(was),
                _ => service,
            })))
        }
        act => prepare_act(book, &without, act),
    }
}

fn refuse(faults: impl IntoIterator<Item = Fault>) -> Result<(), Vec<Fault>> {
    let faults: Vec<Fault> = faults.into_iter().collect();
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults)
    }
}

/// What is wrong with a look put right. Why it is better than what was seen before is no matter: why it
/// is put right is on record.
fn look_faults(book: &Book, without: &History, made: &LookMade) -> Result<(), Vec<Fault>> {
    let condition = condition(book, without);
    let walk = known_walk(book, &made.walk)?;
    let mut faults: Vec<Fault> = time_fault(made.at, book.now()).into_iter().collect();
    if made.at < walk.at {
        faults.push((
            "at".to_owned(),
            "no look is made before its walk begins".to_owned(),
        ));
    }
    match book.library().checklist(&walk.checklist) {
        Some(checklist) => {
            let found = condition.look_faults(&made.look, &walk.machine, checklist);
            faults.extend(found.into_iter().filter(|(field, _)| field != "better"));
        }
        None if book.library().catalogue.item(&made.look.item).is_none() => {
            faults.push(("item".to_owned(), condition.unknown_item(&made.look.item)));
        }
        None => {}
    }
    refuse(faults)
}

/// Why the time of a look of the next morning stays: it counts as such by the hours since its run.
fn next_morning(book: &Book, made: &LookMade) -> Option<Fault> {
    let walk = book.history().walk(&made.walk)?;
    let asked = walk.asked.as_deref();
    let phase = made.look.phase.as_deref()?;
    let state = book
        .library()
        .phase_state_of(&walk.checklist, asked, phase)?;
    let told = "looks of the next morning rest on it: take them back and look again";
    (state == PhaseState::NextMorning).then(|| ("at".to_owned(), told.to_owned()))
}

/// A look taken from its walk, and told as found on another machine.
fn moved_look(
    book: &Book,
    at: &At<'_>,
    made: &LookMade,
    machine: &str,
    reason: &Reason,
) -> Result<Vec<Record>, Vec<Fault>> {
    if !book.boat().machines.iter().any(|m| m.id == machine) {
        let message = format!("the boat has no machine '{}'", safe_line(machine));
        return Err(fault("machine", message));
    }
    let from = known_walk(book, &made.walk)?;
    if from.machine == machine {
        return Err(fault("machine", "it is on that machine already"));
    }
    // Moved back and on again it is another finding.
    let walk = format!("{}-moved-{}", at.written.id, book.written().len());
    let mut look = (*made.look).clone();
    look.phase = None;
    look.too_soon = false;
    if let Some(list) = book.library().checklist(FINDING) {
        let found = book.condition().look_faults(&look, machine, list);
        refuse(found.into_iter().filter(|(field, _)| field != "better"))?;
    }
    let started = WalkStarted {
        walk: walk.clone(),
        checklist: FINDING.to_owned(),
        asked: None,
        machine: machine.to_owned(),
        at: made.at,
        by: from.by.clone(),
        hours: None,
        entered_after: true,
        blind: false,
        left_out: Vec::new(),
        joins: Vec::new(),
        disturbed: Vec::new(),
        guest: look.guest,
    };
    let gone = at.correction(None, reason);
    let found = LookMade {
        walk: walk.as_str().into(),
        at: made.at,
        look: look.into(),
    };
    let end = WalkFinished {
        walk,
        at: made.at,
        pace: None,
        said: None,
    };
    Ok(vec![
        gone,
        Record::from(started),
        Record::Look(found),
        Record::from(end),
    ])
}

/// What goes along with a walk that was moved: readings of the other machine's meter go, and all that
/// happened in it is shifted by as much as it was.
fn walk_along(
    book: &Book,
    was: &WalkStarted,
    is: &WalkStarted,
    changes: &[(String, String)],
    reason: &Reason,
) -> Result<Vec<Record>, Vec<Fault>> {
    let moved = was.machine != is.machine;
    let read: Option<Hours> = book.history().walk(&was.walk).and_then(|walk| walk.hours);
    if moved && read.is_some() && !changes.iter().any(|(field, _)| field == "hours") {
        let message = "say what the meter of that machine showed, or nothing where it was not read";
        return Err(fault("hours", message));
    }
    let shift = is.at - was.at;
    if !moved && shift.is_zero() {
        return Ok(Vec::new());
    }
    let standing = Standing::of(book.written());
    let along = book.written().iter().enumerate();
    let along = along.filter_map(|(place, w)| {
        let now = standing.at(place, w)?;
        let right = shifted(&now.record, &was.walk, shift, moved)?;
        Some(correction(&standing, &w.id, right, reason))
    });
    Ok(along.collect())
}

/// A record of a walk after its walk was moved; none where it stays as it is, and nothing in it where it
/// goes.
fn shifted(record: &Record, walk: &str, shift: Duration, moved: bool) -> Option<Option<Record>> {
    match record {
        Record::Look(made) if *made.walk == *walk && !shift.is_zero() => {
            let mut made = made.clone();
            made.at += shift;
            Some(Some(Record::Look(made)))
        }
        Record::WalkFinished(end) if end.walk == walk && !shift.is_zero() => {
            let mut end = end.clone();
            end.at += shift;
            Some(Some(Record::WalkFinished(end)))
        }
        Record::WalkNoted(noted) if noted.walk == walk => {
            let mut right = noted.clone();
            right.hours = right.hours.filter(|_| !moved);
            right.begun_at = right.begun_at.map(|at| at + shift);
            let says = right.hours.is_some()
                || right.entered_after.is_some()
                || right.phase.is_some()
                || right.blind.is_some()
                || !right.fuel.is_empty();
            (right != *noted).then(|| says.then_some(Record::WalkNoted(right)))
        }
        _ => None,
    }
}
