//! What is added to a profile and taken out of it, beside its facts.

use super::{Of, Place, none_aboard};
use crate::boat::profile::{Bank, Boat, HandbookLimit, Machine, Tank};
use crate::boat::units::{Measure, Unit};
use crate::text::id_from;

/// The profile with one more machine, tank or battery bank.
///
/// # Errors
/// There is one of that id.
pub fn with_new(boat: &Boat, place: &Place, name: &str) -> Result<Boat, String> {
    if place.name(boat).is_some() {
        return Err(format!(
            "she has a {} '{}' already",
            place.of.words(),
            place.id
        ));
    }
    let mut boat = boat.clone();
    let (id, name) = (place.id.clone(), name.trim().to_owned());
    match place.of {
        Of::Boat => return Err("there is one boat".to_owned()),
        Of::Machine => boat.machines.push(Machine::bare(&id, &name)),
        Of::Tank => boat.tanks.push(Tank {
            id,
            name,
            holds: None,
            capacity: None,
        }),
        Of::Bank => boat.banks.push(Bank {
            id,
            name,
            serves: None,
            kind: None,
            ah: None,
            fitted: None,
            charged_by: None,
        }),
    }
    Ok(boat)
}

/// The profile without a machine, a tank or a battery bank.
///
/// # Errors
/// There is none, or it is the last machine.
pub fn without(boat: &Boat, place: &Place) -> Result<Boat, String> {
    if place.name(boat).is_none() || place.of == Of::Boat {
        return Err(none_aboard(place));
    }
    let mut boat = boat.clone();
    boat.machines
        .retain(|m| place.of != Of::Machine || m.id != place.id);
    boat.tanks
        .retain(|t| place.of != Of::Tank || t.id != place.id);
    boat.banks
        .retain(|b| place.of != Of::Bank || b.id != place.id);
    if boat.machines.is_empty() {
        return Err("a boat has at least one machine".to_owned());
    }
    Ok(boat)
}

/// An id for something new of that name: its letters and digits, and a number where there is one of
/// that id.
pub fn id_for(boat: &Boat, of: Of, name: &str) -> String {
    let free = |id: &str| Place::new(of, id).name(boat).is_none();
    id_from(name, LONGEST_ID, of.as_str(), free)
}

/// The longest id made from a name, bytes.
const LONGEST_ID: usize = 30;

/// The profile with items that a machine does not have, and without saying so of others.
///
/// # Errors
/// There is no such machine.
pub fn lacking(
    boat: &Boat,
    machine: &str,
    lacks: &[String],
    has: &[String],
) -> Result<Boat, String> {
    let mut boat = boat.clone();
    let of = machine_of(&mut boat, machine)?;
    of.without.retain(|item| !has.contains(item));
    for item in lacks {
        if !of.without.contains(item) {
            of.without.push(item.clone());
        }
    }
    Ok(boat)
}

/// The profile with a handbook limit of a machine in place of what it says of that item.
///
/// # Errors
/// There is no such machine.
pub fn limited(boat: &Boat, machine: &str, limit: HandbookLimit) -> Result<Boat, String> {
    let mut boat = boat.clone();
    let limits = &mut machine_of(&mut boat, machine)?.handbook;
    let at = limits.iter().position(|known| known.item == limit.item);
    limits.retain(|known| known.item != limit.item);
    limits.insert(at.unwrap_or(limits.len()).min(limits.len()), limit);
    Ok(boat)
}

/// The profile without a handbook limit.
///
/// # Errors
/// There is no such machine, or no limit on that item.
pub fn unlimited(boat: &Boat, machine: &str, item: &str) -> Result<Boat, String> {
    let mut boat = boat.clone();
    let limits = &mut machine_of(&mut boat, machine)?.handbook;
    let before = limits.len();
    limits.retain(|known| known.item != item);
    if limits.len() == before {
        let item = crate::text::safe_line(item);
        return Err(format!(
            "the handbook of '{machine}' says nothing of {item}"
        ));
    }
    Ok(boat)
}

fn machine_of<'a>(boat: &'a mut Boat, id: &str) -> Result<&'a mut Machine, String> {
    let mut machines = boat.machines.iter_mut();
    let machine = machines.find(|m| m.id == id);
    machine.ok_or_else(|| none_aboard(&Place::new(Of::Machine, id)))
}

impl HandbookLimit {
    /// A limit as a person types it: `2 to 4 bar`, `from 2 bar`, `to 95 C`; a bare number is in the
    /// unit assumed.
    ///
    /// # Errors
    /// What is wrong with it, in a sentence.
    pub fn typed(
        item: &str,
        range: &str,
        assumed: Unit,
        source: &str,
    ) -> Result<HandbookLimit, String> {
        let range = range.trim();
        let spaced = format!(" {range} ");
        let (from, to) = spaced.split_once(" to ").unwrap_or((&spaced, ""));
        let from = from.trim();
        let from = from.strip_prefix("from ").unwrap_or(from).trim();
        let to = to.trim();
        if from.is_empty() && to.is_empty() {
            return Err("type a range such as 2 to 4 bar, from 2 bar, or to 95 C".to_owned());
        }
        // The unit mostly stands after the last number alone.
        let last = if to.is_empty() { from } else { to };
        let unit = Measure::parse(last, assumed)?.unit();
        let read = |text: &str| -> Result<Option<f64>, String> {
            if text.is_empty() {
                return Ok(None);
            }
            Ok(Measure::parse(text, unit)?.value_in(unit))
        };
        let (from, to) = (read(from)?, read(to)?);
        if let (Some(from), Some(to)) = (from, to)
            && from > to
        {
            return Err(format!("{from} is above {to}"));
        }
        Ok(HandbookLimit {
            item: item.to_owned(),
            unit,
            from,
            to,
            source: source.trim().to_owned(),
        })
    }

    /// As it is typed.
    pub fn range(&self) -> String {
        let unit = self.unit;
        match (self.from, self.to) {
            (Some(from), Some(to)) => format!("{from} to {to} {unit}"),
            (Some(from), None) => format!("from {from} {unit}"),
            (None, Some(to)) => format!("to {to} {unit}"),
            (None, None) => String::new(),
        }
    }
}
