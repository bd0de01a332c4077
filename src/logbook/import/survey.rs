//! What is agreed beforehand and who is told of what is unsafe: checks, and records of a sheet.

use std::collections::BTreeMap;

use crate::defects::admit::Fault;
use crate::defects::condition::Condition;
use crate::logbook::input::WalkSheet;
use crate::logbook::record::{
    Agreement, FrontSaid, Record, ToldOf, agreed_faults, being_told, front_faults,
};
use crate::walk::FrontFact;

/// The record of what a sheet says was agreed, if it says.
pub(super) fn agreement(sheet: &WalkSheet, walk: &str) -> Option<Record> {
    let agreed = sheet.agreed.clone()?;
    Some(Record::from(Agreement {
        walk: walk.to_owned(),
        at: Some(sheet.at),
        agreed,
    }))
}

/// The record of what a sheet enters of its document, if it does.
pub(super) fn front(sheet: &WalkSheet, walk: &str) -> Option<Record> {
    let entries = said(sheet);
    (!entries.is_empty()).then(|| {
        Record::from(FrontSaid {
            walk: walk.to_owned(),
            at: Some(sheet.at),
            entries,
        })
    })
}

fn said(sheet: &WalkSheet) -> BTreeMap<FrontFact, Option<String>> {
    let entries = sheet.front.iter();
    entries
        .map(|(fact, text)| (*fact, Some(text.clone())))
        .collect()
}

/// The records of who was told.
pub(super) fn told<'a>(sheet: &'a WalkSheet, walk: &'a str) -> impl Iterator<Item = Record> + 'a {
    sheet.told.iter().map(|told| {
        Record::from(ToldOf {
            walk: walk.to_owned(),
            told: told.clone(),
        })
    })
}

/// Faults of what a sheet says was agreed and told.
pub(super) fn sheet_faults(condition: &Condition, sheet: &WalkSheet) -> Vec<Fault> {
    let mut faults: Vec<Fault> = sheet.agreed.iter().flat_map(agreed_faults).collect();
    if !sheet.front.is_empty() {
        faults.extend(front_faults("front", &said(sheet)));
    }
    for (n, told) in sheet.told.iter().enumerate() {
        let named = |(field, message)| (format!("told[{n}].{field}"), message);
        faults.extend(being_told(condition, told).into_iter().map(named));
        let early = told.at < sheet.at;
        let message = "nobody was told before the walk began".to_owned();
        faults.extend(early.then(|| (format!("told[{n}].at"), message)));
    }
    faults
}
