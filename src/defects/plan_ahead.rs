//! What a named plan means for a boat, and what is asked before leaving for it.

use chrono::{DateTime, FixedOffset};

use super::condition::Condition;
use super::history::History;
use super::leaving_rows::{Asked, Kept};
use super::list::Scenario;
use super::plan::NamedPlan;
use super::under_way::Passage;
use crate::assess::exposure::Exposure;
use crate::checklist::Who;

/// Why nothing is left of the plan that a machine is under way with.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NothingLeft {
    /// She lies.
    #[error("{0} is not under way")]
    NotUnderWay(String),
    /// Nobody said with which plan she left.
    #[error("she left without a plan; give --hours")]
    WithoutPlan,
    /// The plan is on record no more.
    #[error("there is no plan '{0}'; see: handlamp plan list")]
    NoSuchPlan(String),
    /// Its hours or its days are over, which says nothing of what is still ahead.
    #[error("the plan {0} is used up and she is still under way; give --hours for what is ahead")]
    UsedUp(String),
}

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
            ashore_days: self.ashore_days,
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

    /// What is left of the plan a machine is under way with.
    ///
    /// # Errors
    /// She is not under way, left without a plan that is on record, or it is used up.
    pub fn left_of_plan(
        &self,
        history: &History,
        machine: &str,
        now: DateTime<FixedOffset>,
    ) -> Result<Scenario, NothingLeft> {
        let passage = Passage::running(history, machine, now)
            .ok_or_else(|| NothingLeft::NotUnderWay(machine.to_owned()))?;
        let begins = passage.begins.map(|line| &line.rec);
        let name = begins.and_then(|line| line.plan.clone());
        let name = name.ok_or(NothingLeft::WithoutPlan)?;
        let Some(plan) = history.plans.get(&name) else {
            return Err(NothingLeft::NoSuchPlan(name));
        };
        let planned = self.under(plan, Some(machine));
        let exposure = passage.left(planned.exposure, now);
        let used_up = |planned: f64, left: f64| planned > 0.0 && left <= 0.0;
        if used_up(planned.exposure.hours, exposure.hours)
            || used_up(planned.exposure.days, exposure.days)
        {
            return Err(NothingLeft::UsedUp(name));
        }
        let said = begins.and_then(|line| line.waters);
        Ok(Scenario {
            exposure,
            waters: said.unwrap_or(planned.waters),
            ..planned
        })
    }
}
