//! Documents from outside become records: every rule asked, all or nothing.
//!
//! - `looks`: the looks of a walk, judged one after another
//! - [`photos`]: the pictures that documents name
//! - `readings`: readings of a batch that cannot both be right
//! - [`survey`]: what is agreed and told

mod left;
mod looks;
mod photos;
mod readings;
mod survey;

use std::borrow::Cow;
use std::collections::{HashMap, HashSet};
use std::path::Path;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::book::Book;
use super::error::LogbookError;
use super::fold::{Begun, apply_among};
use super::input::{Body, Document, WalkSheet};
use super::line::EntryId;
use super::mend::taking_back;
use super::placed::Written;
use super::reckoned::from_of;
use super::record::{
    Grounds, LookMade, Record, StartedAnyway, WalkFinished, WalkNoted, WalkStarted,
};
use crate::checklist::{Closing, Complaint};
use crate::defects::History;
use crate::defects::admit::{Fault, fuel_faults, hours_fault, time_fault, too_long};
use crate::defects::condition::Condition;
use crate::defects::onward::Onward;
use crate::service::{ServiceSheet, service_of};

use readings::{Readings, Said};

/// Why a batch was not taken.
#[derive(Debug)]
pub enum Refused {
    /// What is wrong with which field.
    Faults(Vec<Complaint>),
    /// It could not be written.
    Log(LogbookError),
}

/// What a batch became.
#[derive(Debug, Default)]
pub struct Imported {
    /// Ids of the records written.
    pub ids: Vec<String>,
    /// Ids of the walks among them.
    pub walks: Vec<String>,
    /// Records in the batch.
    pub records: usize,
    /// Documents recorded before, left out.
    pub known: usize,
    /// What was taken and has to be said, one sentence each with its place in the input.
    pub notes: Vec<String>,
}

/// The longest id a document may bring, bytes: the records of a walk add a number to it.
pub const LONGEST_ID: usize = 56;

/// Checks the documents one after another against the state as it is after those before, then
/// records all of them in one file, or none. A document recorded before (same id) is left out.
///
/// Pictures stay named by their paths; see [`import_from`].
///
/// # Errors
/// [`Refused`]; nothing of the batch is in the logbook.
pub fn import(book: &mut Book, documents: &[Document]) -> Result<Imported, Refused> {
    import_from(book, documents, None)
}

/// As [`import`], and takes in the pictures that documents name, from the folder their paths start at.
///
/// # Errors
/// [`Refused`]; nothing of the batch is in the logbook, though pictures may lie in its folder that
/// nothing names.
pub fn import_from(
    book: &mut Book,
    documents: &[Document],
    pictures: Option<&Path>,
) -> Result<Imported, Refused> {
    let mut history = book.history().clone();
    let mut begun = Begun::of(&history);
    let mut batched: HashMap<&str, &Document> = HashMap::new();
    let mut batch: Vec<(Option<EntryId>, Record)> = Vec::new();
    let mut came_from: Vec<&Document> = Vec::new();
    let mut taken = Imported::default();
    let mut complaints = Vec::new();
    let mut readings = Readings::default();
    let mut onward = Onward::default();
    let named: HashSet<&str> = documents.iter().filter_map(|d| d.id.as_deref()).collect();
    let on_record = book.written().iter();
    let known: HashSet<&str> = on_record
        .filter_map(|w| named.get(&*w.id).copied())
        .collect();
    for document in documents {
        if let Some(id) = &document.id {
            if id.len() > LONGEST_ID || EntryId::new(id).is_none() {
                let message = format!(
                    "an id has letters, digits and any of - . _ : and at most {LONGEST_ID} of them"
                );
                complaints.push(document.complaint("id", message));
                continue;
            }
            let twin = batched.insert(id.as_str(), document);
            if twin.is_some_and(|twin| !twin.same_text(document)) {
                let message = "two different documents of this batch have the same id";
                complaints.push(document.complaint("id", message));
                continue;
            }
            if twin.is_some() || known.contains(id.as_str()) {
                // It passed then, and the boat may have moved on since.
                taken.known += 1;
                continue;
            }
        }
        if let Some(folder) = pictures {
            complaints.extend(photos::faults(book, document, folder));
        }
        let records = match &document.body {
            Body::Walk(sheet) => {
                let id = document.id.clone().unwrap_or_else(|| book.new_walk_id());
                let (condition, then) = onward.at(book.boat(), book.library(), &history, sheet.at);
                let state = (condition, then, &history);
                let records = walk_records(book, state, document, sheet, (&id, batch.len()));
                records.map(|(records, notes)| {
                    taken.walks.push(id);
                    taken.notes.extend(notes);
                    records
                })
            }
            Body::Service(sheet) if sheet.corrects.is_none() => {
                let now = book.now();
                let condition = onward.of_all(book.boat(), book.library(), &history, now);
                let service = service_of(condition, &history, sheet, now);
                let service = service.map(|service| vec![Record::Service(Box::new(service))]);
                service.map_err(|faults| complain(document, faults))
            }
            Body::Service(sheet) => {
                prepare_service(book, &history, sheet).map_err(|faults| complain(document, faults))
            }
            Body::Act(record) => {
                let at = act_at(book, record);
                let condition = onward.of_all(book.boat(), book.library(), &history, at);
                let act = held_against(book, (condition, &history), (**record).clone());
                act.map(|act| vec![act])
                    .map_err(|faults| complain(document, faults))
            }
        };
        let said = Said::of(document, book.boat(), book.now());
        let (records, found) = match records {
            Ok(records) => (records, Vec::new()),
            Err(found) => (Vec::new(), found),
        };
        let found = readings.held_against(said.as_ref(), &history, found);
        if !found.is_empty() {
            complaints.extend(found);
            continue;
        }
        readings.take(said);
        for (n, record) in records.into_iter().enumerate() {
            let id = name_in_batch(document, batch.len(), n);
            let given = document.id.as_ref().and_then(|_| EntryId::new(&id));
            let written = Written::new(id, book.now(), record);
            apply_among(&mut history, &[], &written, Some(&mut begun));
            batch.push((given, written.record));
            came_from.push(document);
        }
        onward.grew(&history);
    }
    if !complaints.is_empty() {
        return Err(Refused::Faults(complaints));
    }
    if let Some(folder) = pictures {
        photos::keep(book, &mut batch, &came_from, folder)?;
    }
    name_readings(book, &mut batch);
    taken.records = batch.len();
    keep_what_was_asked(book, &mut batch).map_err(Refused::Log)?;
    taken.ids = book.record_batch(batch).map_err(Refused::Log)?;
    Ok(taken)
}

/// No id has this in it.
const UNNAMED: &str = "?";

/// What the n-th record of a document is called until it is written, and from then on where the document
/// brings an id; `place` is its place in the batch.
fn name_in_batch(document: &Document, place: usize, n: usize) -> String {
    match (&document.id, n) {
        (Some(id), 0) => id.clone(),
        (Some(id), n) => format!("{id}.{n}"),
        (None, _) => format!("{UNNAMED}{place}"),
    }
}

/// Gives a record of the batch that says a reading an id, where another was reckoned from it and names
/// it: the id of its walk, or one like it.
fn name_readings(book: &mut Book, batch: &mut [(Option<EntryId>, Record)]) {
    for n in 0..batch.len() {
        let named = batch
            .get_mut(n)
            .and_then(|(_, record)| from_of(record).cloned());
        let place = named.and_then(|id| id.strip_prefix(UNNAMED)?.parse::<usize>().ok());
        let Some((id, read)) = place.and_then(|place| batch.get_mut(place)) else {
            continue;
        };
        let own = || match read {
            Record::WalkStarted(walk) => walk.walk.clone(),
            _ => book.new_walk_id(),
        };
        let is = id.as_ref().map_or_else(own, |id| id.as_str().to_owned());
        *id = EntryId::new(&is);
        if let Some(from) = batch.get_mut(n).and_then(|(_, record)| from_of(record)) {
            *from = is;
        }
    }
}

/// Why a guest's sheet is refused.
pub const NO_GUESTS: &str =
    "a guest walks a morning check or a short one; this one signs off or judges the boat";

fn complain(document: &Document, faults: Vec<Fault>) -> Vec<Complaint> {
    let complaint = |(field, message): Fault| document.complaint(&field, message);
    faults.into_iter().map(complaint).collect()
}

/// Keeps the text of each checklist walked, once, and names it in the walks. A walk that does not
/// know what was asked could not be mended later, so where the text is refused all is refused.
fn keep_what_was_asked(
    book: &mut Book,
    batch: &mut [(Option<EntryId>, Record)],
) -> Result<(), LogbookError> {
    let library = Arc::clone(book.library());
    let mut kept: HashMap<String, String> = HashMap::new();
    for (_, record) in batch {
        let Record::WalkStarted(walk) = record else {
            continue;
        };
        if let Some(checklist) = library.checklist(&walk.checklist)
            && !kept.contains_key(&walk.checklist)
        {
            kept.insert(walk.checklist.clone(), book.keep_asked(checklist)?);
        }
        walk.asked = kept.get(&walk.checklist).cloned();
    }
    Ok(())
}

/// The records of a sheet, from the condition as of its time, what had happened by then, and all that is
/// on record.
fn walk_records(
    book: &Book,
    (condition, then, history): (&Condition, &History, &History),
    document: &Document,
    sheet: &WalkSheet,
    (id, before): (&str, usize),
) -> Result<(Vec<Record>, Vec<String>), Vec<Complaint>> {
    let (library, boat) = (book.library(), book.boat());
    let Some(checklist) = library.checklist(&sheet.checklist) else {
        let known: Vec<_> = library.checklists().iter().map(|c| c.id.as_str()).collect();
        let message = format!(
            "there is no checklist '{}'; there are {}",
            crate::text::safe_line(&sheet.checklist),
            known.join(", ")
        );
        return Err(vec![document.complaint("checklist", message)]);
    };
    let machine = match (&sheet.machine, boat.machines.as_slice()) {
        (Some(id), machines) if machines.iter().any(|m| m.id == *id) => id.clone(),
        (Some(id), _) => {
            let message = condition.unknown_machine(id);
            return Err(vec![document.complaint("machine", message)]);
        }
        (None, [only]) => only.id.clone(),
        (None, machines) => {
            let ids: Vec<_> = machines.iter().map(|m| m.id.as_str()).collect();
            let message = format!("several machines; name one of {}", ids.join(", "));
            return Err(vec![document.complaint("machine", message)]);
        }
    };
    let mut faults: Vec<Fault> = time_fault(sheet.at, book.now()).into_iter().collect();
    let walked = boat.machines.iter().find(|m| m.id == machine);
    let unsuited = walked.and_then(|m| library.unsuited(checklist, m));
    faults.extend(unsuited.map(|why| ("checklist".to_owned(), why)));
    let no_guests = sheet.guest && !checklist.closes_with.is_for_guests();
    faults.extend(no_guests.then(|| ("guest".to_owned(), NO_GUESTS.to_owned())));
    let hours = sheet.hours;
    faults.extend(hours.and_then(|h| hours_fault(history, &machine, h, sheet.at)));
    faults.extend(condition.disturbed_faults(&sheet.disturbed, &machine, checklist));
    let readings = || {
        let mut readings = history.hour_readings(&machine);
        readings.extend(hours.map(|read| (sheet.at, read)));
        readings.sort_by_key(|(at, _)| *at);
        readings
    };
    let meanwhile = looks::Meanwhile {
        now: book.now(),
        readings: &readings,
    };
    let of = (machine.as_str(), checklist);
    let judged = looks::judge(condition, document, sheet, of, &meanwhile);
    faults.extend(judged.faults);
    faults.extend(survey::sheet_faults(condition, sheet));
    faults.extend(fuel_faults(boat, sheet.guest, &sheet.fuel));
    if !faults.is_empty() {
        return Err(complain(document, faults));
    }
    let mut records = vec![Record::from(WalkStarted {
        walk: id.to_owned(),
        checklist: sheet.checklist.clone(),
        asked: None,
        at: sheet.at,
        by: sheet.by.clone(),
        hours,
        entered_after: true,
        blind: sheet.blind,
        left_out: condition.left_out_after(checklist, &machine, &sheet.disturbed),
        joins: condition.joins(then, checklist, &machine),
        disturbed: sheet.disturbed.clone(),
        guest: sheet.guest,
        machine,
    })];
    let walk: Arc<str> = id.into();
    let made = judged.looks.into_iter().map(|timed| {
        Record::Look(LookMade {
            walk: Arc::clone(&walk),
            at: timed.at,
            look: timed.look,
        })
    });
    records.extend(survey::agreement(sheet, id));
    records.extend(survey::front(sheet, id));
    records.extend(made);
    records.extend(survey::told(sheet, id));
    records.extend((!sheet.fuel.is_empty()).then(|| {
        Record::from(WalkNoted {
            walk: id.to_owned(),
            fuel: sheet.fuel.clone(),
            ..WalkNoted::default()
        })
    }));
    let why = sheet.started_anyway.clone();
    records.extend(why.map(|why| {
        Record::from(StartedAnyway {
            walk: id.to_owned(),
            at: sheet.at,
            why,
            started: None,
        })
    }));
    if sheet.finished {
        records.push(Record::from(WalkFinished {
            walk: id.to_owned(),
            at: looks::ended(sheet, checklist),
            pace: None,
            said: None,
        }));
        if checklist.closes_with == Closing::LeakRun {
            let name = |n| name_in_batch(document, before + n, n);
            let owed = left::left_owed(condition, then.clone(), (&records, name), id);
            records.extend(owed);
        }
    }
    Ok((records, judged.notes))
}

/// Checks a service against the state: its record, and one that takes back what it corrects. Screens
/// and commands use it for services told by hand.
///
/// # Errors
/// What is wrong with which field.
pub fn prepare_service(
    book: &Book,
    history: &History,
    sheet: &ServiceSheet,
) -> Result<Vec<Record>, Vec<Fault>> {
    let now = book.now();
    let mut without = Cow::Borrowed(history);
    if let Some(id) = &sheet.corrects
        && !without.to_mut().take_out_service(id)
    {
        let message = format!(
            "there is no service '{}' to correct; see: handlamp service list",
            crate::text::safe_line(id)
        );
        return Err(vec![("corrects".into(), message)]);
    }
    let condition = Condition::of(book.boat(), Arc::clone(book.library()), &without, now);
    let service = service_of(&condition, &without, sheet, now)?;
    let undo = sheet.corrects.as_deref().map(|of| taking_back(book, of));
    Ok([Record::Service(Box::new(service))]
        .into_iter()
        .chain(undo)
        .collect())
}

/// Checks an act against the state and fills in the machine, the time and the currency; see
/// [`import`]. Screens and commands use it for acts made by hand.
///
/// # Errors
/// What is wrong with which field.
pub fn prepare_act(book: &Book, history: &History, record: Record) -> Result<Record, Vec<Fault>> {
    let library = Arc::clone(book.library());
    let condition = Condition::of(book.boat(), library, history, act_at(book, &record));
    held_against(book, (&condition, history), record)
}

/// The time as of which an act is held against the state: its own, and not before now.
fn act_at(book: &Book, record: &Record) -> DateTime<FixedOffset> {
    let now = book.now();
    record.at().map_or(now, |at| at.max(now))
}

/// An act held against the state as of [`act_at`].
fn held_against(
    book: &Book,
    (condition, history): (&Condition, &History),
    mut record: Record,
) -> Result<Record, Vec<Fault>> {
    let now = book.now();
    let at = record.at().unwrap_or(now);
    let mut faults: Vec<Fault> = time_fault(at, now).into_iter().collect();
    let mut subject = None;
    if let Some((item, machine)) = record.subject_slot() {
        match condition.subject_of(item, machine.as_deref()) {
            Ok(found) => {
                machine.clone_from(&found.machine);
                subject = Some(found);
            }
            Err(fault) => faults.push(fault),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    if let Some(at) = record.at_slot() {
        at.get_or_insert(now);
    }
    faults.extend(record.check(&Grounds {
        history,
        condition,
        profile: book.profile(),
        at,
        now,
        subject: subject.as_ref(),
    }));
    for (field, text) in record.texts() {
        let told = faults.iter().any(|(known, _)| known == field);
        faults.extend(too_long(field, text).filter(|_| !told));
    }
    if faults.is_empty() {
        Ok(record)
    } else {
        Err(faults)
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
