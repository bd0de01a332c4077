//! A boat's profile from outside, checked whole before it is believed.

use super::input::Place;
use crate::boat::profile::HandbookLimit;
use crate::boat::{Boat, Machine, facts};
use crate::checklist::{Catalogue, Complaint, Scope, id_fault, nearest};
use crate::defects::History;
use crate::defects::admit::{Fault, LONGEST_TEXT, hours_fault};
use chrono::{DateTime, FixedOffset};

/// The profile in force, the record, and the time now.
pub type OnRecord<'a> = (&'a Boat, &'a History, DateTime<FixedOffset>);

/// Reads a profile and checks it against the catalogue and, where there is one, the record: a
/// meter reading that differs from the profile in force (`before`) may not run backwards.
///
/// # Errors
/// Everything that is wrong, with file, line, column and field.
pub fn read_profile(
    name: &str,
    text: &str,
    catalogue: &Catalogue,
    record: Option<OnRecord<'_>>,
) -> Result<Boat, Vec<Complaint>> {
    let place = Place::whole(name, text);
    let boat: Boat = place.read()?;
    let faults = profile_faults(&boat, catalogue, record);
    if faults.is_empty() {
        return Ok(boat);
    }
    let complain = |(field, message): Fault| place.complaint(&field, message);
    Err(faults.into_iter().map(complain).collect())
}

/// What is wrong with a profile, held against the record where there is one: field and sentence of
/// each fault.
pub fn profile_faults(
    boat: &Boat,
    catalogue: &Catalogue,
    record: Option<OnRecord<'_>>,
) -> Vec<Fault> {
    let mut faults = facts::faults(boat);
    if boat.machines.is_empty() {
        faults.push(("machines".into(), "a boat has at least one machine".into()));
    }
    let machines = boat.machines.iter().map(|m| m.id.as_str()).collect();
    id_faults(&mut faults, "machine", machines);
    let tanks = boat.tanks.iter().map(|t| t.id.as_str()).collect();
    id_faults(&mut faults, "tank", tanks);
    let banks = boat.banks.iter().map(|b| b.id.as_str()).collect();
    id_faults(&mut faults, "bank", banks);
    for (n, machine) in boat.machines.iter().enumerate() {
        machine_faults(&mut faults, &format!("machines[{n}]"), machine, catalogue);
        if let Some((before, history, now)) = record {
            let known = before.machines.iter().find(|m| m.id == machine.id);
            let changed = machine
                .hours
                .filter(|h| known.is_none_or(|m| m.hours != Some(*h)));
            let fault = changed.and_then(|h| hours_fault(history, &machine.id, h, now));
            faults.extend(fault.map(|(_, message)| (format!("machines[{n}].hours"), message)));
        }
    }
    faults
}

fn id_faults(faults: &mut Vec<Fault>, what: &str, ids: Vec<&str>) {
    for (n, id) in ids.iter().enumerate() {
        let field = format!("{what}s[{n}].id");
        if ids[..n].contains(id) {
            let message = format!("the {what} '{id}' stands here twice");
            faults.push((field.clone(), message));
        }
        faults.extend(id_fault(id).map(|message| (field, message)));
    }
}

fn machine_faults(faults: &mut Vec<Fault>, base: &str, machine: &Machine, catalogue: &Catalogue) {
    if let (Some(sump), Some(marks)) = (machine.sump, machine.between_marks)
        && marks.litres() > sump.litres()
    {
        let message = format!("{marks} between the marks is more than the sump holds ({sump})");
        faults.push((format!("{base}.between_marks"), message));
    }
    for (n, id) in machine.without.iter().enumerate() {
        let scope = catalogue.item(id).map(|i| i.scope);
        let message = match scope {
            None => unknown(id, catalogue),
            Some(Scope::Boat) => format!("{id} belongs to the boat, not to a machine"),
            Some(Scope::Machine) => continue,
        };
        faults.push((format!("{base}.without[{n}]"), message));
    }
    for (n, limit) in machine.handbook.iter().enumerate() {
        let found = handbook_fault(limit, catalogue);
        faults.extend(found.map(|(field, why)| (format!("{base}.handbook[{n}].{field}"), why)));
    }
}

fn handbook_fault(limit: &HandbookLimit, catalogue: &Catalogue) -> Option<Fault> {
    let fault = |field: &str, message: String| Some((field.to_owned(), message));
    let Some(item) = catalogue.item(&limit.item) else {
        return fault("item", unknown(&limit.item, catalogue));
    };
    let Some(reading) = &item.reading else {
        return fault("item", format!("{} has no reading to limit", item.id));
    };
    if !limit.unit.measures(reading.quantity) {
        let message = format!(
            "{} does not fit; expected {} or the like",
            limit.unit, reading.unit
        );
        return fault("unit", message);
    }
    match (limit.from, limit.to) {
        (None, None) => return fault("from", "give from, to or both".to_owned()),
        (Some(from), Some(to)) if from > to => {
            return fault("from", format!("{from} is above {to}"));
        }
        _ => {}
    }
    let silent = limit.source.trim().is_empty() || limit.source.len() > LONGEST_TEXT;
    silent.then(|| ("source".to_owned(), "say which page says so".to_owned()))
}

fn unknown(id: &str, catalogue: &Catalogue) -> String {
    let near = nearest(id, catalogue.items().iter().map(|i| i.id.as_str()));
    let id = crate::text::safe_line(id);
    format!("'{id}' is no item known here{}", near.unwrap_or_default())
}
