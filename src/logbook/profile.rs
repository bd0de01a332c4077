//! A boat's profile from outside, checked whole before it is believed.

use super::input::Place;
use crate::boat::profile::HandbookLimit;
use crate::boat::units::Volume;
use crate::boat::{Boat, Machine};
use crate::checklist::{Catalogue, Complaint, Scope, id_fault, nearest};
use crate::defects::History;
use crate::defects::admit::{Fault, LONGEST_TEXT, hours_fault};
use crate::logbook::record::{LONGEST_DAYS, LONGEST_HOURS};
use chrono::{DateTime, FixedOffset};

/// The longest name of a boat or a machine, bytes.
const LONGEST_NAME: usize = 80;
/// More hours than a month has cannot be run in one.
const LONGEST_MONTH: f64 = 744.0;
/// The largest sump or gearbox of a small boat, litres: beyond it the unit was mistyped (judgement).
const LARGEST_SUMP: f64 = 200.0;
/// The longest way between two marks of a dipstick, millimetres (judgement).
const LONGEST_STICK: f64 = 500.0;
/// The most fuel an engine of a small boat burns in an hour, litres (judgement).
const MOST_FUEL: f64 = 200.0;

/// Reads a profile and checks it against the catalogue and, where there is one, the record: a
/// meter reading that differs from the profile in force (`before`) may not run backwards.
///
/// # Errors
/// Everything that is wrong, with file, line, column and field.
pub fn read_profile(
    name: &str,
    text: &str,
    catalogue: &Catalogue,
    record: Option<(&Boat, &History, DateTime<FixedOffset>)>,
) -> Result<Boat, Vec<Complaint>> {
    let place = Place::whole(name, text);
    let boat: Boat = place.read()?;
    let mut faults = profile_faults(&boat, catalogue);
    if let Some((before, history, now)) = record {
        for (n, machine) in boat.machines.iter().enumerate() {
            let known = before.machines.iter().find(|m| m.id == machine.id);
            let changed = machine
                .hours
                .filter(|h| known.is_none_or(|m| m.hours != Some(*h)));
            let fault = changed.and_then(|h| hours_fault(history, &machine.id, h, now));
            faults.extend(fault.map(|(_, message)| (format!("machines[{n}].hours"), message)));
        }
    }
    if faults.is_empty() {
        return Ok(boat);
    }
    let complain = |(field, message): Fault| place.complaint(&field, message);
    Err(faults.into_iter().map(complain).collect())
}

/// What is wrong with a profile: field and sentence of each fault.
pub fn profile_faults(boat: &Boat, catalogue: &Catalogue) -> Vec<Fault> {
    let mut faults = Vec::new();
    name_fault(&mut faults, "name", &boat.name);
    range_fault(
        &mut faults,
        "usual_hours_per_month",
        boat.usual_hours_per_month,
        LONGEST_MONTH,
    );
    range_fault(
        &mut faults,
        "day_ahead.hours",
        boat.day_ahead.hours,
        LONGEST_HOURS,
    );
    range_fault(
        &mut faults,
        "day_ahead.days",
        boat.day_ahead.days,
        LONGEST_DAYS,
    );
    if boat.machines.is_empty() {
        faults.push(("machines".into(), "a boat has at least one machine".into()));
    }
    for (n, machine) in boat.machines.iter().enumerate() {
        let base = format!("machines[{n}]");
        let twice = boat.machines[..n].iter().any(|m| m.id == machine.id);
        if twice {
            let message = format!("the machine '{}' stands here twice", machine.id);
            faults.push((format!("{base}.id"), message));
        }
        machine_faults(&mut faults, &base, machine, catalogue);
    }
    faults
}

fn machine_faults(faults: &mut Vec<Fault>, base: &str, machine: &Machine, catalogue: &Catalogue) {
    if let Some(message) = id_fault(&machine.id) {
        faults.push((format!("{base}.id"), message));
    }
    name_fault(faults, &format!("{base}.name"), &machine.name);
    let volumes = [
        ("sump", machine.sump),
        ("between_marks", machine.between_marks),
        ("gearbox", machine.gearbox),
    ];
    for (field, volume) in volumes {
        let odd = |v: &Volume| v.litres() <= 0.0 || v.litres() > LARGEST_SUMP;
        if let Some(volume) = volume.filter(odd) {
            let message = format!("{volume} is no amount of oil for an engine of a small boat");
            faults.push((format!("{base}.{field}"), message));
        }
    }
    let is_stick = |mm: &f64| *mm > 0.0 && *mm <= LONGEST_STICK;
    if let Some(mm) = machine.mm_between_marks.filter(|mm| !is_stick(mm)) {
        let message = format!("{mm} mm is no distance between the marks of a dipstick");
        faults.push((format!("{base}.mm_between_marks"), message));
    }
    let burns = |v: &Volume| v.litres() > 0.0 && v.litres() <= MOST_FUEL;
    if let Some(fuel) = machine.fuel_per_hour.filter(|v| !burns(v)) {
        let message = format!("{fuel} an hour is no fuel for an engine of a small boat");
        faults.push((format!("{base}.fuel_per_hour"), message));
    }
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

fn name_fault(faults: &mut Vec<Fault>, field: &str, name: &str) {
    let message = if name.trim().is_empty() {
        "the name is empty".to_owned()
    } else if name.len() > LONGEST_NAME {
        format!("the name is longer than {LONGEST_NAME} bytes")
    } else {
        return;
    };
    faults.push((field.to_owned(), message));
}

fn range_fault(faults: &mut Vec<Fault>, field: &str, value: f64, most: f64) {
    if !(0.0..=most).contains(&value) {
        faults.push((field.to_owned(), format!("expected 0 to {most}")));
    }
}
