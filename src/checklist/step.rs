//! The steps of a trial at engine speeds: how fast, how long, and what published figures say there.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One step of a trial.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// As it stands before its row of the grid.
    pub title: String,
    /// Engine speed, per cent of the rated one; left out where the step has none of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of_rated: Option<f64>,
    /// How long it is held, minutes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<f64>,
    /// Published figures to hold its readings against.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pass: Vec<Pass>,
}

/// A published figure of one item at one step; it is told and proposes no rung.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pass {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// The least, in the unit of the item's reading.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<f64>,
    /// The most.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<f64>,
    /// Where it is published, and of what engine it speaks.
    pub source: String,
}

impl Step {
    /// Its speed where the rated one is so many revolutions per minute, to the next ten.
    pub fn rpm(&self, rated: f64) -> Option<u32> {
        let rpm = (rated * self.of_rated? / 1000.0).round() * 10.0;
        (rpm >= 10.0 && rpm < f64::from(u32::MAX)).then_some(rpm as u32)
    }
}

/// Above this share of the rated speed no engine is asked to run, per cent (judgement).
const MOST_OF_RATED: f64 = 120.0;

impl Step {
    /// What is wrong with it by itself: the field and why.
    pub(super) fn faults(&self) -> Vec<(String, &'static str)> {
        let within = |value: Option<f64>, most: f64| value.is_none_or(|v| v > 0.0 && v <= most);
        let mut faults = Vec::new();
        let mut refuse = |when: bool, field: String, why| {
            if when {
                faults.push((field, why));
            }
        };
        let blank = self.title.trim().is_empty();
        refuse(blank, "title".into(), "the text is empty");
        let share = within(self.of_rated, MOST_OF_RATED);
        let why = "per cent of the rated speed, above 0 and at most 120";
        refuse(!share, "of_rated".into(), why);
        let held = within(self.minutes, 24.0 * 60.0);
        let why = "minutes must be above 0 and at most a day";
        refuse(!held, "minutes".into(), why);
        for (n, pass) in self.pass.iter().enumerate() {
            let ends = [pass.from, pass.to];
            let real = ends.into_iter().flatten().all(f64::is_finite);
            let in_order = pass.from.zip(pass.to).is_none_or(|(from, to)| from <= to);
            let ranges = real && in_order && ends != [None, None];
            let why = "a figure needs a least or a most, in this order";
            refuse(!ranges, format!("pass[{n}].from"), why);
            let blank = pass.source.trim().is_empty();
            refuse(blank, format!("pass[{n}].source"), "the text is empty");
        }
        faults
    }
}
