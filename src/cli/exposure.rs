//! The exposure asked for: a named plan, or hours, days and waters.

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::context::Context;
use super::failure::Failure;
use crate::assess::exposure::Exposure;
use crate::boat::Waters;
use crate::boat::profile::{LONGEST_DAYS, LONGEST_HOURS};
use crate::checklist::nearest;
use crate::defects::condition::Condition;
use crate::defects::list::Scenario;
pub use crate::defects::plan_words::short;
use crate::defects::{History, NamedPlan};

/// The options that say what lies ahead.
#[derive(Args, Debug, Clone, Default)]
#[command(next_help_heading = "What lies ahead")]
pub struct ExposureArgs {
    /// A plan set with `plan set`
    #[arg(long, value_name = "NAME", conflicts_with_all = ["hours", "days"])]
    pub plan: Option<String>,
    /// What is left of the plan she is under way with
    #[arg(long, conflicts_with_all = ["plan", "hours", "days"])]
    pub under_way: bool,
    /// Running hours until the next chance to put things right
    #[arg(long, value_name = "H", value_parser = hours)]
    pub hours: Option<f64>,
    /// Days until then; hours and days follow from each other at the rate of use
    #[arg(long, value_name = "D", value_parser = days)]
    pub days: Option<f64>,
    /// Where she goes: sheltered, inshore, offshore or ocean [default: her own waters]
    #[arg(long)]
    pub waters: Option<Waters>,
}

/// An exposure as answers show it.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
pub struct Ahead {
    /// Running hours ahead.
    pub hours: f64,
    /// Calendar days ahead.
    pub days: f64,
    /// Wear hours of a thing that does not age standing, which all kinds have at least; each row
    /// has its own.
    pub wear_hours: f64,
}

impl From<Exposure> for Ahead {
    fn from(exposure: Exposure) -> Ahead {
        Ahead {
            hours: exposure.hours,
            days: exposure.days,
            wear_hours: exposure.wear(0.0),
        }
    }
}

impl ExposureArgs {
    /// The exposure and the waters meant, the usual plan where nothing is said.
    ///
    /// # Errors
    /// No plan of that name, with the nearest.
    pub fn scenario(
        &self,
        cx: &Context,
        condition: &Condition,
        history: &History,
    ) -> Result<Scenario, Failure> {
        let machine = cx.global.machine.as_deref();
        if self.under_way {
            let machines = &condition.boat.machines;
            let only = || Some(machines.first()?.id.as_str()).filter(|_| machines.len() == 1);
            let id = machine.or_else(only);
            let id =
                id.ok_or_else(|| Failure::usage("several machines; name one with --machine"))?;
            let left = condition.left_of_plan(history, id, cx.clock.now());
            let mut left = left.map_err(Failure::usage)?;
            left.waters = self.waters.unwrap_or(left.waters);
            return Ok(left);
        }
        let mut scenario = match &self.plan {
            Some(name) => condition.under(named(history, name)?, machine),
            None => Scenario::new(
                condition.exposure(self.hours, self.days, machine),
                condition.boat.waters,
            ),
        };
        scenario.waters = self.waters.unwrap_or(scenario.waters);
        Ok(scenario)
    }
}

/// The plan of that name.
///
/// # Errors
/// There is none; the nearest, or how to set one.
pub fn named<'a>(history: &'a History, name: &str) -> Result<&'a NamedPlan, Failure> {
    history.plans.get(name).ok_or_else(|| {
        let near = nearest(name, history.plans.keys().map(String::as_str));
        let hint = near.unwrap_or_else(|| "; see: handlamp plan list".to_owned());
        Failure::usage(format!("there is no plan '{name}'{hint}"))
    })
}

/// An exposure as a sentence has it.
pub fn words(scenario: Scenario) -> String {
    scenario.in_words()
}

/// Hours from the command line.
pub fn hours(text: &str) -> Result<f64, String> {
    number(text, LONGEST_HOURS, "hours")
}

/// Running hours a day from the command line.
pub fn hours_per_day(text: &str) -> Result<f64, String> {
    let hours = number(text, 24.0, "hours a day")?;
    match hours > 0.0 {
        true => Ok(hours),
        false => Err("hours a day are more than 0".to_owned()),
    }
}

/// Days from the command line.
pub fn days(text: &str) -> Result<f64, String> {
    number(text, LONGEST_DAYS, "days")
}

fn number(text: &str, most: f64, what: &str) -> Result<f64, String> {
    let value: f64 = text
        .trim()
        .parse()
        .map_err(|_| format!("expected a number of {what}"))?;
    if (0.0..=most).contains(&value) {
        Ok(value)
    } else {
        Err(format!("expected 0 to {most} {what}"))
    }
}
