//! A line of being under way of which a part is typed. No answer rests on it.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::under_way_line::Leg;
use crate::text::words;

words! {
    /// What is asked for a line of being under way, in the order of a paper sheet.
    LineField, "question of a line of being under way" {
        /// The plan she leaves with.
        Plan = "plan",
        /// When.
        At = "at",
        /// Hour meter.
        Hours = "hours",
        /// Engine speed.
        Rpm = "rpm",
        /// Speed of the boat.
        Speed = "speed",
        /// Oil pressure.
        Oil = "oil",
        /// Coolant temperature.
        Temperature = "temperature",
        /// Charging voltage.
        Volts = "volts",
        /// Vacuum behind the prefilter.
        Vacuum = "vacuum",
        /// Water in the bilge.
        Bilge = "bilge",
        /// Drops of the gland in a minute.
        Drops = "drops",
        /// Fuel aboard.
        Fuel = "fuel",
        /// Fuel taken in.
        FuelAdded = "fuel-added",
        /// Minutes between two rounds.
        Every = "every",
        /// In words.
        Remark = "remark",
    }
}

/// A line of being under way, half typed; with nothing typed it clears an earlier one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RoundDraft {
    /// Machine id.
    pub machine: String,
    /// What the line is to tell.
    pub kind: Leg,
    /// It is typed from a paper sheet, with its time.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub paper: bool,
    /// As typed.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub typed: BTreeMap<LineField, String>,
}

impl RoundDraft {
    /// Nothing typed yet.
    pub fn new(machine: &str, kind: Leg, paper: bool) -> RoundDraft {
        RoundDraft {
            machine: machine.to_owned(),
            kind,
            paper,
            typed: BTreeMap::new(),
        }
    }

    /// What was typed at a question; none where it was passed.
    pub fn text(&self, field: LineField) -> Option<&str> {
        let text = self.typed.get(&field).map(|text| text.trim());
        text.filter(|text| !text.is_empty())
    }

    /// True where it is the same line, further or less far typed.
    pub fn is_of(&self, other: &RoundDraft) -> bool {
        (self.kind, self.paper, &self.machine) == (other.kind, other.paper, &other.machine)
    }

    /// What is asked, in order.
    pub fn fields(&self) -> Vec<LineField> {
        let paper = self.paper;
        let asked = |field: &LineField| match (self.kind, field) {
            (_, LineField::At) => paper,
            (Leg::Begins, field) => matches!(
                field,
                LineField::Plan | LineField::Hours | LineField::Fuel | LineField::Every
            ),
            (Leg::Round, field) => !matches!(field, LineField::Plan | LineField::Every),
            (Leg::Ends, field) => matches!(
                field,
                LineField::Hours | LineField::Fuel | LineField::FuelAdded | LineField::Remark
            ),
        };
        LineField::ALL.iter().copied().filter(asked).collect()
    }
}
