//! What can be known of a boat, fact by fact: one table that says of each its name, its words, its
//! unit, why it is asked and what follows when it is known. Screens and commands read, show and change
//! a profile by it alone.
//!
//! It works on the profile's JSON. A test holds the table against the profile's own fields.

mod alter;
mod form;
mod table;
#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;

use serde_json::{Map, Value};

use super::profile::Boat;
use super::units::Volume;
use crate::text::words;

pub use alter::{id_for, lacking, limited, unlimited, with_new, without};
pub use form::{Form, NOT_KNOWN};
pub use table::FACTS;

/// The facts that say where something is, or where a hand goes.
const SHOWN: [&str; 12] = [
    "seacocks_at",
    "fuel_off_at",
    "isolators_at",
    "extinguisher_at",
    "extinguisher_port_at",
    "fans_off_at",
    "air_plate_at",
    "bilge_pumps_at",
    "radio_at",
    "starts_by",
    "stops_by",
    "when_stop_fails",
];

words! {
    /// What a fact is known of.
    Of, "sort of thing aboard" {
        /// The boat herself.
        Boat = "boat",
        /// One of her machines.
        Machine = "machine",
        /// One of her tanks.
        Tank = "tank",
        /// One of her battery banks.
        Bank = "bank",
    }
}

words! {
    /// Under which head a fact of the boat stands.
    Head, "head of a fact" {
        /// Who she is.
        Identity = "Who she is",
        /// Where she goes, and how she is measured.
        Waters = "Waters and units",
        /// Where a hand goes in a hurry, and what is said to who takes her out.
        Places = "Where things are, for who takes her out",
        /// How much she runs.
        Hours = "Usual hours and the day ahead",
        /// What stands on a machine's plate, and what kind it is.
        Plate = "On the plate",
        /// How it is set going and brought to rest.
        Handling = "Starting and stopping",
        /// How much goes in, and what it uses.
        Fills = "Oil, fuel, coolant",
        /// Of a tank or a bank.
        Carried = "Carried",
    }
}

/// One thing that can be known.
#[derive(Clone, Copy, Debug)]
pub struct Fact {
    /// Its name in the profile and on the command line; `day_ahead.hours` for one inside another.
    pub name: &'static str,
    /// What it is, in words.
    pub words: &'static str,
    /// What it is known of.
    pub of: Of,
    /// Where it stands.
    pub head: Head,
    /// How it is typed, kept and shown.
    pub form: Form,
    /// Why it is asked.
    pub why: &'static str,
    /// What changes when it is known.
    pub then: &'static str,
    /// A profile cannot be without it.
    pub needed: bool,
    /// What holds where the profile leaves it out.
    pub unsaid: Option<&'static str>,
}

/// A thing aboard of which facts are known: the boat, or one of hers by its id.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// What it is.
    pub of: Of,
    /// Its id; empty for the boat.
    pub id: String,
}

impl Of {
    /// The profile's list of such things; none for the boat.
    pub const fn list(self) -> Option<&'static str> {
        match self {
            Of::Boat => None,
            Of::Machine => Some("machines"),
            Of::Tank => Some("tanks"),
            Of::Bank => Some("banks"),
        }
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Of::Bank => "battery bank",
            other => other.as_str(),
        }
    }
}

impl Place {
    /// The boat herself.
    pub fn boat() -> Place {
        Place::new(Of::Boat, "")
    }

    /// One of hers.
    pub fn new(of: Of, id: &str) -> Place {
        Place {
            of,
            id: id.to_owned(),
        }
    }

    /// The machine it is, by its id; none for all else.
    pub fn machine(&self) -> Option<&str> {
        (self.of == Of::Machine).then_some(&self.id)
    }

    /// All of them: the boat, her machines, tanks and banks, each in the order of the profile.
    pub fn all(boat: &Boat) -> Vec<Place> {
        let machines = boat.machines.iter();
        let machines = machines.map(|m| Place::new(Of::Machine, &m.id));
        let tanks = boat.tanks.iter().map(|t| Place::new(Of::Tank, &t.id));
        let banks = boat.banks.iter().map(|b| Place::new(Of::Bank, &b.id));
        let all = [Place::boat()].into_iter();
        all.chain(machines).chain(tanks).chain(banks).collect()
    }

    /// What it is called.
    pub fn name<'a>(&self, boat: &'a Boat) -> Option<&'a str> {
        match self.of {
            Of::Boat => Some(&boat.name),
            Of::Machine => find(&boat.machines, |m| m.id == self.id).map(|m| m.name.as_str()),
            Of::Tank => find(&boat.tanks, |t| t.id == self.id).map(|t| t.name.as_str()),
            Of::Bank => find(&boat.banks, |b| b.id == self.id).map(|b| b.name.as_str()),
        }
    }

    /// The facts that can be known of it, in the order of the table.
    pub fn facts(&self) -> impl Iterator<Item = &'static Fact> + use<> {
        let of = self.of;
        FACTS.iter().filter(move |fact| fact.of == of)
    }
}

fn find<T>(things: &[T], is: impl Fn(&T) -> bool) -> Option<&T> {
    things.iter().find(|thing| is(thing))
}

impl Fact {
    /// The fact of a name.
    pub fn named(name: &str, of: Of) -> Option<&'static Fact> {
        FACTS.iter().find(|f| f.name == name && f.of == of)
    }

    /// True where it says where something is, so that a photograph can stand beside its words.
    pub fn is_place(&self) -> bool {
        SHOWN.contains(&self.name)
    }

    /// What the profile says of it; none where that is not known.
    pub fn of(&self, boat: &Boat, place: &Place) -> Option<Value> {
        let mut boat = serde_json::to_value(boat).ok()?;
        self.within(thing(&mut boat, place)?)
    }

    fn within(&self, thing: &Map<String, Value>) -> Option<Value> {
        let said = match self.path() {
            (Some(inside), last) => thing.get(inside)?.get(last),
            (None, last) => thing.get(last),
        };
        let said = said.filter(|value| !value.is_null()).cloned();
        said.or_else(|| self.unsaid.map(Value::from))
    }

    /// In the words and the unit of whoever keeps this logbook; none where it is not known.
    pub fn shown(&self, boat: &Boat, place: &Place) -> Option<String> {
        let value = self.of(boat, place)?;
        Some(self.form.shown(&value, boat.units))
    }

    /// What is typed for it, as the profile keeps it; none for `not known`, or nothing.
    ///
    /// # Errors
    /// What is wrong with it, in a sentence.
    pub fn read(&self, text: &str, boat: &Boat) -> Result<Option<Value>, String> {
        let text = text.trim();
        if text.is_empty() || text.replace('-', " ") == NOT_KNOWN {
            return if self.needed {
                Err(format!("{} has to be known", self.words))
            } else {
                Ok(None)
            };
        }
        let value = self.form.read(text, boat.units)?;
        self.form.fault(&value).map_or(Ok(Some(value)), Err)
    }

    /// The profile with this said of it; none takes back that it is known.
    ///
    /// # Errors
    /// There is no such thing aboard, or the profile would be none.
    pub fn put(&self, boat: &Boat, place: &Place, value: Option<Value>) -> Result<Boat, String> {
        changed(boat, |all| {
            let (inside, last) = self.path();
            let mut thing = thing(all, place).ok_or_else(|| none_aboard(place))?;
            if let Some(name) = inside {
                let within = thing.entry(name).or_insert(Value::Object(Map::new()));
                thing = within.as_object_mut().ok_or("it is no profile")?;
            }
            match value {
                Some(value) => thing.insert(last.to_owned(), value),
                None => thing.remove(last),
            };
            Ok(())
        })
    }

    fn path(&self) -> (Option<&'static str>, &'static str) {
        match self.name.split_once('.') {
            Some((inside, last)) => (Some(inside), last),
            None => (None, self.name),
        }
    }
}

/// What is wrong with what a profile says, of things of one id as well: field, and a sentence.
pub fn faults(boat: &Boat) -> Vec<(String, String)> {
    let Ok(boat) = serde_json::to_value(boat) else {
        return Vec::new();
    };
    let of = |of: &Of| -> Vec<(String, String)> {
        let list = of
            .list()
            .and_then(|list| Some((list, boat.get(list)?.as_array()?)));
        match list {
            Some((list, things)) => {
                let things = things.iter().enumerate();
                let faults =
                    things.map(|(n, thing)| faults_of(*of, thing, &format!("{list}[{n}].")));
                faults.flatten().collect()
            }
            None if *of == Of::Boat => faults_of(*of, &boat, ""),
            None => Vec::new(),
        }
    };
    Of::ALL.iter().flat_map(of).collect()
}

fn faults_of(of: Of, thing: &Value, base: &str) -> Vec<(String, String)> {
    let thing = thing.as_object();
    let facts = FACTS.iter().filter(|fact| fact.of == of);
    let faults = facts.filter_map(|fact| {
        let why = fact.form.fault(&fact.within(thing?)?)?;
        Some((format!("{base}{}", fact.name), why))
    });
    faults.collect()
}

fn none_aboard(place: &Place) -> String {
    let id = crate::text::safe_line(&place.id);
    format!("she has no {} '{id}'", place.of.words())
}

fn changed(
    boat: &Boat,
    change: impl FnOnce(&mut Value) -> Result<(), String>,
) -> Result<Boat, String> {
    let mut all = serde_json::to_value(boat).map_err(|e| e.to_string())?;
    change(&mut all)?;
    serde_json::from_value(all).map_err(|e| e.to_string())
}

fn thing<'a>(boat: &'a mut Value, place: &Place) -> Option<&'a mut Map<String, Value>> {
    let Some(list) = place.of.list() else {
        return boat.as_object_mut();
    };
    let things = boat.get_mut(list)?.as_array_mut()?;
    let id = |thing: &Value| thing.get("id").and_then(Value::as_str) == Some(&place.id);
    things.iter_mut().find(|thing| id(thing))?.as_object_mut()
}

/// The volume in a value of the profile.
fn volume(value: &Value) -> Option<Volume> {
    value.as_str()?.parse().ok()
}
