//! Over which boats a sum goes. No sum is told without it.

use schemars::JsonSchema;
use serde::Serialize;

use super::shelf::{Fleet, Member};

/// Over which boats a sum goes. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Over {
    /// Boats in it.
    pub boats: usize,
    /// Logbooks that are missing in it, each with why.
    pub missing: Vec<Missing>,
    /// Boats in it of which something on record is not counted.
    pub in_part: Vec<InPart>,
}

/// A boat among several. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct At {
    /// Her name, with her folder where another bears the same; her folder where no name is known.
    pub boat: String,
    /// The folder of her logbook, below the one asked of.
    pub logbook: String,
}

/// A logbook that cannot be read. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Missing {
    /// Whose.
    #[serde(flatten)]
    pub at: At,
    /// Why, one sentence.
    pub why: String,
}

/// A boat of which something is not counted. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct InPart {
    /// Whose.
    #[serde(flatten)]
    pub at: At,
    /// How many things on record are not counted.
    pub not_counted: usize,
}

impl At {
    /// A boat, as she is called among the others.
    pub fn of(boat: &Member) -> At {
        At {
            boat: boat.label(),
            logbook: boat.folder.clone(),
        }
    }
}

impl Over {
    /// Over every boat that could be read; copies of one logbook are one boat.
    pub fn all(fleet: &Fleet) -> Over {
        let missing = fleet.boats.iter().filter_map(|boat| {
            Some(Missing {
                at: At::of(boat),
                why: boat.told.as_ref().err()?.clone(),
            })
        });
        let once = fleet.each_once();
        let in_part = once.iter().map(|(boat, stand)| InPart {
            at: At::of(boat),
            not_counted: stand.not_counted.len(),
        });
        Over {
            boats: once.len(),
            missing: missing.collect(),
            in_part: in_part.filter(|part| part.not_counted > 0).collect(),
        }
    }

    /// In a few words, to stand beside a sum; why each that is missing cannot be read stands in `missing`.
    pub fn words(&self) -> String {
        let all = self.boats + self.missing.len();
        let mut words = match self.missing.len() {
            0 => format!("over {}", boats(all)),
            1 => format!("over {} of {all} boats; MISSING in it: ", self.boats),
            n => format!("over {} of {all} boats; {n} MISSING in it: ", self.boats),
        };
        let missing = self.missing.iter();
        let missing = missing.map(|m| format!("{}, whose logbook cannot be read", m.at.boat));
        words.push_str(&missing.collect::<Vec<_>>().join("; "));
        let in_part = self.in_part.iter();
        let in_part = in_part.map(|p| format!("{} ({})", p.at.boat, p.not_counted));
        let in_part: Vec<String> = in_part.collect();
        if !in_part.is_empty() {
            words.push_str("; with records NOT COUNTED: ");
            words.push_str(&in_part.join(", "));
        }
        words
    }
}

/// So many boats.
pub fn boats(n: usize) -> String {
    match n {
        1 => "1 boat".to_owned(),
        n => format!("{n} boats"),
    }
}
