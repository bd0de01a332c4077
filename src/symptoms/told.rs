//! A line of a card with where a hand goes: what was told of the boat, or that nothing was.

use schemars::JsonSchema;
use serde::Serialize;

use super::file::CardLine;
use crate::boat::Boat;
use crate::boat::facts::{Fact, Of, Place};

/// Stands behind a line in place of what nobody told.
pub const NOT_TOLD: &str = "place not told";

/// A line of a card as it is said aboard one boat.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ToldLine {
    /// What is done, a whole sentence.
    pub says: String,
    /// Where; empty where no place belongs to it.
    pub places: Vec<ToldPlace>,
}

/// Where a hand goes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ToldPlace {
    /// The fact that says it, by its name in the profile.
    pub fact: String,
    /// Machine id; null for a fact of the boat, and where no boat is known.
    pub machine: Option<String>,
    /// What it is, in words, with the machine where there are several.
    pub words: String,
    /// What was told; null where nothing was.
    pub told: Option<String>,
}

impl CardLine {
    /// With what is known of a boat; of none where there is no logbook.
    pub fn told(&self, boat: Option<&Boat>) -> ToldLine {
        let places = self.at.iter().flat_map(|name| places(name, boat));
        ToldLine {
            says: self.says.clone(),
            places: places.collect(),
        }
    }
}

/// The places a fact says: one of the boat, or one of each machine.
fn places(name: &str, boat: Option<&Boat>) -> Vec<ToldPlace> {
    let place = |fact: &Fact, at: Option<(&Boat, Place)>| {
        let machine = at.as_ref().and_then(|(_, place)| place.machine());
        let several = at.as_ref().and_then(|(boat, _)| boat.name_among(machine?));
        ToldPlace {
            fact: fact.name.to_owned(),
            machine: machine.map(str::to_owned),
            words: match several {
                Some(machine) => format!("{}, {machine}", fact.words),
                None => fact.words.to_owned(),
            },
            told: at
                .as_ref()
                .and_then(|(boat, place)| fact.shown(boat, place)),
        }
    };
    let of_boat = Fact::named(name, Of::Boat);
    let Some(fact) = of_boat.or_else(|| Fact::named(name, Of::Machine)) else {
        return Vec::new();
    };
    match (boat, fact.of) {
        (None, _) => vec![place(fact, None)],
        (Some(boat), Of::Machine) => {
            let machines = boat.machines.iter();
            let machines = machines.map(|m| Place::new(Of::Machine, &m.id));
            machines.map(|at| place(fact, Some((boat, at)))).collect()
        }
        (Some(boat), _) => vec![place(fact, Some((boat, Place::boat())))],
    }
}

impl ToldLine {
    /// What stands behind it: where; none where no place belongs to it.
    pub fn behind(&self) -> Option<String> {
        let told = |place: &ToldPlace| {
            let told = place.told.as_deref().unwrap_or(NOT_TOLD);
            format!("{}: {told}", place.words)
        };
        match self.places.as_slice() {
            [] => None,
            all if all.iter().all(|place| place.told.is_none()) => Some(NOT_TOLD.to_owned()),
            [one] => one.told.clone(),
            all => Some(all.iter().map(told).collect::<Vec<_>>().join("; ")),
        }
    }
}
