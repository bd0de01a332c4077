//! A line of being under way: that she leaves, a round, that she is in. It says what was read; it grades
//! nothing.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::acts::At;
use crate::boat::units::Volume;
use crate::boat::{Hours, Measure, Waters};
use crate::text::words;

/// Minutes between two rounds where nobody said otherwise: an hourly round is usual on small crews.
pub const USUAL_EVERY: u32 = 60;
/// The shortest and the longest time between two rounds, minutes.
pub const EVERY: [u32; 2] = [15, 480];
words! {
    /// What a line of being under way tells.
    Leg, "line of being under way" {
        /// She leaves.
        Begins = "begins",
        /// A round was made.
        Round = "round",
        /// She is in.
        Ends = "ends",
    }
}

/// A line of being under way. Figures are as read; what was not read is left out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct UnderWay {
    /// What it tells.
    pub kind: Leg,
    /// Machine id; may be left out where the boat has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: At,
    /// Who looked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// The plan she leaves with, by its name; said where it begins.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plan: Option<String>,
    /// Waters, where they are not those of the plan; said where it begins.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub waters: Option<Waters>,
    /// Minutes between two rounds; said where it begins, 60 where it is left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub every: Option<u32>,
    /// Hour meter as read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Hours>,
    /// Engine speed, rpm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rpm: Option<f64>,
    /// Speed of the boat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub speed: Option<Measure>,
    /// Oil pressure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub oil: Option<Measure>,
    /// Coolant temperature.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub temperature: Option<Measure>,
    /// Charging voltage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volts: Option<Measure>,
    /// Vacuum behind the prefilter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vacuum: Option<Measure>,
    /// Water in the bilge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bilge: Option<Measure>,
    /// Drops of the stern gland in a minute, counted by eye.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drops: Option<f64>,
    /// Fuel aboard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fuel: Option<Volume>,
    /// Fuel taken in since the line before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fuel_added: Option<Volume>,
    /// In words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remark: Option<String>,
}

impl UnderWay {
    /// A line without a figure.
    pub fn bare(kind: Leg) -> UnderWay {
        UnderWay {
            kind,
            machine: None,
            at: None,
            by: None,
            plan: None,
            waters: None,
            every: None,
            hours: None,
            rpm: None,
            speed: None,
            oil: None,
            temperature: None,
            volts: None,
            vacuum: None,
            bilge: None,
            drops: None,
            fuel: None,
            fuel_added: None,
            remark: None,
        }
    }

    /// True where nothing was read and nothing said.
    pub fn is_empty(&self) -> bool {
        let read = [
            self.speed,
            self.oil,
            self.temperature,
            self.volts,
            self.vacuum,
            self.bilge,
        ];
        read.iter().all(Option::is_none)
            && (self.hours, self.rpm, self.drops) == (None, None, None)
            && (self.fuel, self.fuel_added) == (None, None)
            && self.remark.as_ref().is_none_or(|r| r.trim().is_empty())
    }
}
