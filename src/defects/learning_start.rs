//! What other boats taught, taken into a boat's logbook: how long things stay on a rung there counts in
//! place of the judgement, until her own looks outweigh it.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::assess::dwell::Dwells;
use crate::assess::learning::LeavingRate;
use crate::boat::Role;
use crate::checklist::Kind;

/// Between these a pooled dwell is believed, wear hours.
const DWELLS: [f64; 2] = [0.1, 1e6];
/// Between these its weight is believed, in moves seen.
const SHAPES: [f64; 2] = [1.0, 1e6];

/// Values that other boats taught were taken in, to begin from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LearningStart {
    /// Each kind and rung of which a value was taken in; all others stay with the judgement.
    pub rates: Vec<PooledRate>,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime<FixedOffset>>,
    /// Why, in the owner's words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

/// What other boats taught of one kind on one rung. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "AsWritten")]
#[schemars(!try_from)]
pub struct PooledRate {
    /// The kind of thing.
    pub kind: Kind,
    /// The rung things move away from, 0 (sound) to 3 (failing).
    pub rung: usize,
    /// What the first machine of those boats is for.
    pub family: Role,
    /// On how many other boats things of the kind were watched on that rung.
    pub boats: u32,
    /// Moves past it seen on them.
    pub moves: u32,
    /// Wear hours watched on them.
    pub hours: f64,
    /// How many moves seen it weighs as much as.
    pub shape: f64,
    /// Mean dwell, wear hours.
    pub dwell: f64,
}

#[derive(Deserialize)]
struct AsWritten {
    kind: Kind,
    rung: usize,
    family: Role,
    boats: u32,
    moves: u32,
    hours: f64,
    shape: f64,
    dwell: f64,
}

impl TryFrom<AsWritten> for PooledRate {
    type Error = String;

    fn try_from(w: AsWritten) -> Result<PooledRate, String> {
        let within = |value: f64, [low, high]: [f64; 2]| (low..=high).contains(&value);
        if w.rung > 3 || Dwells::judgement().of(w.kind).is_none() {
            return Err(format!("a {} has no rung {} to leave", w.kind, w.rung));
        }
        if !within(w.dwell, DWELLS) || !within(w.shape, SHAPES) || !within(w.hours, [0.0, 1e12]) {
            return Err("a pooled dwell, its weight or its hours cannot be".to_owned());
        }
        Ok(PooledRate {
            kind: w.kind,
            rung: w.rung,
            family: w.family,
            boats: w.boats,
            moves: w.moves,
            hours: w.hours,
            shape: w.shape,
            dwell: w.dwell,
        })
    }
}

impl PooledRate {
    /// What is known of the rate before any look aboard.
    pub fn rate(&self) -> LeavingRate {
        LeavingRate {
            shape: self.shape,
            time: self.shape * self.dwell,
        }
    }

    /// Where it comes from, in words.
    pub fn source(&self) -> String {
        let plural = if self.moves == 1 { "" } else { "s" };
        format!(
            "pooled over {} other boats, {} move{plural} in {:.0} wear hours",
            self.boats, self.moves, self.hours
        )
    }
}
