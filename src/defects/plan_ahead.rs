//! What a named plan means for a boat, and what is asked before leaving for it.

use super::condition::Condition;
use super::leaving_rows::{Asked, Kept};
use super::list::Scenario;
use super::plan::NamedPlan;
use crate::assess::exposure::Exposure;
use crate::checklist::Who;

impl NamedPlan {
    /// The question before leaving for it, on a machine.
    pub fn asked(&self, scenario: Scenario, machine: Option<&str>) -> Asked {
        let hands = match self.hands.as_slice() {
            [] => vec![(Who::Owner, None)],
            hands => hands.iter().map(|hand| (hand.who, hand.minutes)).collect(),
        };
        Asked {
            scenario,
            machine: machine.map(str::to_owned),
            work: self.work,
            spend: self.spend.map(|sum| (sum * 100.0).round() as u64),
            hands,
            with: Vec::new(),
            without: Vec::new(),
            kept: Kept {
                with: self.with.clone(),
                without: self.without.clone(),
            },
        }
    }
}

impl Condition {
    /// What a plan means for this boat, its hours and days following from each other at its own hours a
    /// day, else at the rate of use of a machine (the first one without a name).
    pub fn under(&self, plan: &NamedPlan, machine: Option<&str>) -> Scenario {
        let exposure = match (plan.hours, plan.days, plan.hours_per_day) {
            (Some(hours), None, Some(per_day)) => Exposure::from_hours(hours, per_day),
            (None, Some(days), Some(per_day)) => Exposure::from_days(days, per_day),
            (hours, days, _) => self.exposure(hours, days, machine),
        };
        Scenario {
            exposure,
            waters: plan.waters.unwrap_or(self.boat.waters),
            hours_per_day: plan.per_day(),
        }
    }
}
