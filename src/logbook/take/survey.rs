//! What is agreed beforehand and who is told of what is unsafe: checks, and records of a sheet.

use crate::defects::History;
use crate::defects::admit::{Fault, too_long};
use crate::defects::condition::Condition;
use crate::logbook::input::WalkSheet;
use crate::logbook::record::{Agreement, Record, ToldOf};
use crate::walk::{Agreed, Told};

/// The record of what a sheet says was agreed, if it says.
pub(super) fn agreement(sheet: &WalkSheet, walk: &str) -> Option<Record> {
    let agreed = sheet.agreed.clone()?;
    Some(Record::Agreement(Agreement {
        walk: walk.to_owned(),
        at: Some(sheet.at),
        agreed,
    }))
}

/// The records of who was told.
pub(super) fn told<'a>(sheet: &'a WalkSheet, walk: &'a str) -> impl Iterator<Item = Record> + 'a {
    sheet.told.iter().map(|told| {
        Record::Told(ToldOf {
            walk: walk.to_owned(),
            told: told.clone(),
        })
    })
}

/// Faults of what a sheet says was agreed and told.
pub(super) fn sheet_faults(condition: &Condition, sheet: &WalkSheet) -> Vec<Fault> {
    let mut faults: Vec<Fault> = sheet.agreed.iter().flat_map(agreed_faults).collect();
    for (n, told) in sheet.told.iter().enumerate() {
        let named = |(field, message)| (format!("told[{n}].{field}"), message);
        faults.extend(being_told(condition, told).into_iter().map(named));
        let early = told.at < sheet.at;
        let message = "nobody was told before the walk began".to_owned();
        faults.extend(early.then(|| (format!("told[{n}].at"), message)));
    }
    faults
}

/// Faults of an agreement recorded by itself.
pub(super) fn agreement_faults(history: &History, agreement: &Agreement) -> Vec<Fault> {
    let mut faults = agreed_faults(&agreement.agreed);
    faults.extend(unknown_walk(history, &agreement.walk));
    faults
}

/// Faults of having told somebody, recorded by itself.
pub(super) fn told_faults(condition: &Condition, history: &History, told: &ToldOf) -> Vec<Fault> {
    let named = |(field, message)| (format!("told.{field}"), message);
    let mut faults: Vec<Fault> = being_told(condition, &told.told)
        .into_iter()
        .map(named)
        .collect();
    faults.extend(unknown_walk(history, &told.walk));
    faults
}

fn unknown_walk(history: &History, id: &str) -> Option<Fault> {
    let message = format!("there is no walk '{}'", crate::text::safe_line(id));
    history
        .walk(id)
        .is_none()
        .then(|| ("walk".to_owned(), message))
}

fn agreed_faults(agreed: &Agreed) -> Vec<Fault> {
    let fields = [
        ("agreed.runs", &agreed.runs),
        ("agreed.may_open", &agreed.may_open),
        ("agreed.samples", &agreed.samples),
        ("agreed.full_throttle", &agreed.full_throttle),
    ];
    let long = |(field, text): (&str, &Option<String>)| too_long(field, text.as_ref()?);
    fields.into_iter().filter_map(long).collect()
}

fn being_told(condition: &Condition, told: &Told) -> Vec<Fault> {
    let mut faults: Vec<Fault> = too_long("whom", &told.whom).into_iter().collect();
    let mut fault = |field: &str, message: String| faults.push((field.to_owned(), message));
    if told.whom.trim().is_empty() {
        fault("whom", "say who was told".to_owned());
    }
    if told.items.is_empty() {
        fault("items", "say of which items".to_owned());
    }
    for (n, item) in told.items.iter().enumerate() {
        if condition.library.catalogue.item(item).is_none() {
            fault(&format!("items[{n}]"), condition.unknown_item(item));
        }
    }
    faults
}
