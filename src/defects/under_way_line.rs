//! A line of being under way: that she leaves, a round, that she is in. It says what was read; it grades
//! nothing.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::acts::At;
use crate::boat::units::Volume;
use crate::boat::{Hours, Measure, Waters};
use crate::checklist::Figure;
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
    /// What was claimed to be as usual in this round, each in the words it was claimed in; no figure
    /// and no grade follows from it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub usual: Vec<String>,
    /// She sails, or is towed, with the engine off.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub engine_off: bool,
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
            usual: Vec::new(),
            engine_off: false,
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
            && self.usual.is_empty()
            && !self.engine_off
            && self.remark.as_ref().is_none_or(|r| r.trim().is_empty())
    }

    /// A figure as read, in the unit it is compared in.
    pub fn figure(&self, figure: Figure) -> Option<f64> {
        let unit = figure.unit();
        match figure {
            Figure::Rpm => self.rpm,
            Figure::Drops => self.drops,
            Figure::Fuel => self.fuel.map(Volume::litres),
            _ => self.measured(figure)?.value_in(unit),
        }
    }

    /// A figure as read, with its unit, where it is kept with one.
    pub fn measured(&self, figure: Figure) -> Option<Measure> {
        match figure {
            Figure::Speed => self.speed,
            Figure::Oil => self.oil,
            Figure::Temperature => self.temperature,
            Figure::Volts => self.volts,
            Figure::Vacuum => self.vacuum,
            Figure::Bilge => self.bilge,
            Figure::Fuel => self.fuel.map(Volume::measure),
            Figure::Rpm | Figure::Drops => Measure::new(self.figure(figure)?, figure.unit()).ok(),
        }
    }
}
