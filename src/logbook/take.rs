//! Documents from outside become records: every rule asked, all or nothing.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::book::Book;
use super::error::LogbookError;
use super::fold::{Written, apply};
use super::input::{Body, Document, WalkSheet};
use super::line::EntryId;
use super::record::{LookMade, Record, WalkFinished, WalkStarted};
use crate::checklist::Complaint;
use crate::defects::admit::{Fault, hours_fault, time_fault};
use crate::defects::condition::Condition;
use crate::defects::{History, State, Until};

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
pub struct Taken {
    /// Ids of the records written; fewer than records where some were known already.
    pub ids: Vec<String>,
    /// Ids of the walks among them.
    pub walks: Vec<String>,
    /// Records in the batch.
    pub records: usize,
    /// Documents recorded before, left out.
    pub known: usize,
}

/// Checks the documents one after another against the state as it is after those before, then
/// records all of them in one file, or none. A document recorded before (same id) is left out.
///
/// # Errors
/// [`Refused`]; nothing of the batch is in the logbook.
pub fn take(book: &mut Book, documents: &[Document]) -> Result<Taken, Refused> {
    let mut history = book.history().clone();
    let mut batch: Vec<(Option<EntryId>, Record)> = Vec::new();
    let mut taken = Taken::default();
    let mut complaints = Vec::new();
    let mut ids = std::collections::HashSet::new();
    for document in documents {
        if let Some(id) = &document.id {
            let message = if EntryId::new(&last_id(id, &document.body)).is_none() {
                "an id has letters, digits and hyphens, at most 64 of them (58 for a walk)"
            } else if !ids.insert(id.as_str()) {
                "this id stands in the batch twice"
            } else {
                ""
            };
            if !message.is_empty() {
                complaints.push(document.complaint("id", message));
                continue;
            }
        }
        if let Some(id) = &document.id
            && book.written().iter().any(|w| w.id == *id)
        {
            // Recorded before: it passed then, and the boat may have moved on since.
            taken.known += 1;
            continue;
        }
        let records = match &document.body {
            Body::Walk(sheet) => walk_records(book, &history, document, sheet, &mut taken),
            Body::Act(record) => {
                act_record(book, &history, document, record.clone()).map(|r| vec![r])
            }
        };
        let records = match records {
            Ok(records) => records,
            Err(found) => {
                complaints.extend(found);
                continue;
            }
        };
        for (n, record) in records.into_iter().enumerate() {
            let id = document.id.as_ref().map(|id| {
                if n == 0 {
                    id.clone()
                } else {
                    format!("{id}.{n}")
                }
            });
            let at = book.now();
            let known = id
                .as_ref()
                .is_some_and(|id| book.written().iter().any(|w| w.id == *id));
            if !known {
                let id = id.clone().unwrap_or_else(|| format!("new-{}", batch.len()));
                apply(
                    &mut history,
                    &Written {
                        id,
                        at,
                        record: record.clone(),
                    },
                );
            }
            batch.push((id.as_deref().and_then(EntryId::new), record));
        }
    }
    if !complaints.is_empty() {
        return Err(Refused::Faults(complaints));
    }
    taken.records = batch.len();
    taken.ids = book.record_batch(batch).map_err(Refused::Log)?;
    Ok(taken)
}

/// The longest id that the records of a document take from its own.
fn last_id(id: &str, body: &Body) -> String {
    match body {
        Body::Walk(sheet) => format!("{id}.{}", sheet.looks.len() + 1),
        Body::Act(_) => id.to_owned(),
    }
}

fn walk_records(
    book: &mut Book,
    history: &History,
    document: &Document,
    sheet: &WalkSheet,
    taken: &mut Taken,
) -> Result<Vec<Record>, Vec<Complaint>> {
    let library = Arc::clone(book.library());
    let mut faults: Vec<Fault> = Vec::new();
    let complain = |faults: Vec<Fault>| {
        faults
            .into_iter()
            .map(|(f, m)| document.complaint(&f, m))
            .collect::<Vec<_>>()
    };
    let Some(checklist) = library.checklist(&sheet.checklist) else {
        let known: Vec<_> = library.checklists().iter().map(|c| c.id.as_str()).collect();
        let message = format!(
            "there is no checklist '{}'; there are {}",
            crate::text::safe_line(&sheet.checklist),
            known.join(", ")
        );
        return Err(vec![document.complaint("checklist", message)]);
    };
    let boat = book.boat().clone();
    let machine = match (&sheet.machine, boat.machines.as_slice()) {
        (Some(id), machines) if machines.iter().any(|m| m.id == *id) => id.clone(),
        (None, [only]) => only.id.clone(),
        (given, _) => {
            let condition = Condition::of(&boat, Arc::clone(&library), history, sheet.at);
            let message = given
                .as_ref()
                .map_or("several machines; name one".to_owned(), |id| {
                    condition.unknown_machine(id)
                });
            return Err(vec![document.complaint("machine", message)]);
        }
    };
    faults.extend(time_fault(sheet.at, book.now()));
    faults.extend(
        sheet
            .hours
            .and_then(|h| hours_fault(history, &machine, h, sheet.at)),
    );
    // A walk of the past is asked about what was known then.
    let then = history.as_of(sheet.at);
    let condition = Condition::of(&boat, Arc::clone(&library), &then, sheet.at);
    let phase_of = |item: &str| {
        let has =
            |p: &&crate::checklist::Phase| p.rows.iter().any(|r| r.items.iter().any(|i| i == item));
        checklist
            .phases
            .iter()
            .find(has)
            .or(checklist.phases.first())
            .map(|p| p.id.clone())
    };
    let mut looks = Vec::with_capacity(sheet.looks.len());
    for (n, look) in sheet.looks.iter().enumerate() {
        let mut look = look.clone();
        look.phase = look.phase.or_else(|| phase_of(&look.item));
        let found = condition.look_faults(&look, &machine, checklist);
        faults.extend(
            found
                .into_iter()
                .map(|(field, message)| (format!("looks[{n}].{field}"), message)),
        );
        looks.push(look);
    }
    if !faults.is_empty() {
        return Err(complain(faults));
    }
    let id = document.id.clone().unwrap_or_else(|| book.new_walk_id());
    taken.walks.push(id.clone());
    let asked = book.keep_asked(checklist).ok();
    let mut records = vec![Record::WalkStarted(WalkStarted {
        walk: id.clone(),
        checklist: sheet.checklist.clone(),
        asked,
        machine: machine.clone(),
        at: sheet.at,
        by: sheet.by.clone(),
        hours: sheet.hours,
        entered_after: true,
        left_out: condition.left_out(checklist, &machine),
        joins: condition.joins(&then, &machine),
    })];
    let made = looks.into_iter().map(|look| {
        Record::Look(LookMade {
            walk: id.clone(),
            at: sheet.at,
            look,
        })
    });
    records.extend(made);
    if sheet.finished {
        records.push(Record::WalkFinished(WalkFinished {
            walk: id,
            at: sheet.at,
            pace: None,
        }));
    }
    Ok(records)
}

/// Checks an act and fills in what it leaves open: the machine where only one is meant, the time.
///
/// # Errors
/// What is wrong with which field.
fn act_record(
    book: &Book,
    history: &History,
    document: &Document,
    record: Record,
) -> Result<Record, Vec<Complaint>> {
    prepare_act(book, history, record).map_err(|faults| {
        faults
            .into_iter()
            .map(|(f, m)| document.complaint(&f, m))
            .collect()
    })
}

/// Checks an act against the state and fills in the machine and the time; see [`take`]. Screens
/// and commands use it for acts made by hand.
///
/// # Errors
/// What is wrong with which field.
pub fn prepare_act(
    book: &Book,
    history: &History,
    mut record: Record,
) -> Result<Record, Vec<Fault>> {
    let now = book.now();
    let at = time_of(&record).unwrap_or(now);
    let condition = Condition::of(
        book.boat(),
        Arc::clone(book.library()),
        history,
        at.max(now),
    );
    let mut faults: Vec<Fault> = time_fault(at, now).into_iter().collect();
    let mut subject = None;
    if let Some((item, machine)) = subject_parts(&mut record) {
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
    stamp(&mut record, now);
    let life = subject.as_ref().and_then(|s| condition.lives.get(s));
    let current = life.and_then(|l| l.current());
    let item = subject.as_ref().and_then(|s| condition.item(s));
    let mut fault = |field: &str, message: String| faults.push((field.to_owned(), message));
    let blank = |text: &str| text.trim().is_empty();
    match &record {
        Record::Repair(r) => {
            if blank(&r.done) {
                fault("done", "say what was done".into());
            }
            if let (Some(hours), Some(machine)) = (r.hours, r.machine.as_deref())
                && let Some((field, message)) = hours_fault(history, machine, hours, at)
            {
                fault(&field, message);
            }
        }
        Record::Deferral(r) => {
            if blank(&r.why) {
                fault("why", "say why it may wait".into());
            }
            if let Until::Date(date) = r.until
                && date < at.date_naive()
            {
                fault("until", format!("{date} was over before it was deferred"));
            }
            let stop = item
                .zip(life)
                .and_then(|(i, l)| condition.stop_rule(i, l, book.boat().waters));
            if let Some(rule) = stop {
                fault(
                    "item",
                    format!("a stop rule is in force and cannot wait: {rule}"),
                );
            }
            if !current.is_some_and(|d| d.state == State::Open) {
                fault("item", format!("there is no open defect on {}", r.item));
            }
        }
        Record::Override(r) => {
            if blank(&r.why) {
                fault("why", "say why the computed rating does not hold".into());
            }
            if r.level == Some(crate::assess::words::Level::F) {
                fault(
                    "level",
                    "level f is kept for an item removed for good".into(),
                );
            }
        }
        Record::Withdrawal(r) => {
            if blank(&r.why) {
                fault("why", "say why it was none".into());
            }
            if current.is_none() {
                fault("item", format!("there is no open defect on {}", r.item));
            }
        }
        Record::Recheck(r) if blank(&r.why) => fault("why", "say why the look is owed".into()),
        Record::Meter(m) => {
            if !book.boat().machines.iter().any(|x| x.id == m.machine) {
                fault("machine", condition.unknown_machine(&m.machine));
            } else if let Some((_, message)) = hours_fault(history, &m.machine, m.old, m.at) {
                fault("old", message);
            }
        }
        Record::Plan(p) => plan_faults(p).into_iter().for_each(|(f, m)| fault(&f, m)),
        _ => {}
    }
    if faults.is_empty() {
        Ok(record)
    } else {
        Err(faults)
    }
}

/// Longest exposure that can be asked, hours and days: a year of running, ten years of time.
pub const LONGEST_HOURS: f64 = 8760.0;
/// See [`LONGEST_HOURS`].
pub const LONGEST_DAYS: f64 = 3653.0;

fn plan_faults(plan: &crate::defects::NamedPlan) -> Vec<Fault> {
    let mut faults = Vec::new();
    if plan.name.trim().is_empty() || plan.name.len() > 64 {
        faults.push((
            "name".into(),
            "a plan has a name of at most 64 bytes".into(),
        ));
    }
    let bounds = [
        ("hours", plan.hours, LONGEST_HOURS),
        ("days", plan.days, LONGEST_DAYS),
    ];
    for (field, value, most) in bounds {
        if value.is_some_and(|v| !(0.0..=most).contains(&v)) {
            faults.push((field.into(), format!("expected 0 to {most}")));
        }
    }
    if plan.hours.is_none() && plan.days.is_none() {
        faults.push(("hours".into(), "give hours, days or both".into()));
    }
    faults
}

fn subject_parts(record: &mut Record) -> Option<(&str, &mut Option<String>)> {
    match record {
        Record::Repair(r) => Some((&r.item, &mut r.machine)),
        Record::Deferral(r) => Some((&r.item, &mut r.machine)),
        Record::Override(r) => Some((&r.item, &mut r.machine)),
        Record::Withdrawal(r) => Some((&r.item, &mut r.machine)),
        Record::Recheck(r) => Some((&r.item, &mut r.machine)),
        Record::Fitted(r) => Some((&r.item, &mut r.machine)),
        Record::Removed(r) => Some((&r.item, &mut r.machine)),
        _ => None,
    }
}

fn time_slot(record: &mut Record) -> Option<&mut Option<DateTime<FixedOffset>>> {
    match record {
        Record::Repair(r) => Some(&mut r.at),
        Record::Deferral(r) => Some(&mut r.at),
        Record::Override(r) => Some(&mut r.at),
        Record::Withdrawal(r) => Some(&mut r.at),
        Record::Recheck(r) => Some(&mut r.at),
        Record::Fitted(r) => Some(&mut r.at),
        Record::Removed(r) => Some(&mut r.at),
        _ => None,
    }
}

fn time_of(record: &Record) -> Option<DateTime<FixedOffset>> {
    match record {
        Record::Meter(m) => Some(m.at),
        other => time_slot(&mut other.clone()).and_then(|at| *at),
    }
}

fn stamp(record: &mut Record, now: DateTime<FixedOffset>) {
    if let Some(at) = time_slot(record) {
        at.get_or_insert(now);
    }
}
