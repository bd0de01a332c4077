//! An exposure gets a name.

use super::event::{Event, Grounds, Time, Weight, fault, naming_nothing, on_no_item};
use crate::boat::Waters;
use crate::boat::profile::{LONGEST_DAYS, LONGEST_HOURS};
use crate::defects::NamedPlan;
use crate::defects::admit::Fault;
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

/// The longest name of a plan, bytes.
const LONGEST_NAME: usize = 64;

impl Event for NamedPlan {
    const NAME: &'static str = "plan";
    const OUTSIDE: Outside = Outside::act::<Self>();
    const CHANGED: Weight = Weight::Said;
    const CONCERNS_BOAT: bool = false;

    fn at(&self) -> Option<Time> {
        None
    }

    on_no_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        vec![("name", &self.name)]
    }

    naming_nothing!();

    fn check(&mut self, _: &Grounds<'_>) -> Vec<Fault> {
        let mut faults = Vec::new();
        if self.name.trim().is_empty() || self.name.len() > LONGEST_NAME {
            let message = format!("a plan has a name of at most {LONGEST_NAME} bytes");
            faults.push(fault("name", message));
        }
        let bounds = [
            ("hours", self.hours, LONGEST_HOURS),
            ("days", self.days, LONGEST_DAYS),
        ];
        for (field, value, most) in bounds {
            if value.is_some_and(|v| !(0.0..=most).contains(&v)) {
                faults.push(fault(field, format!("expected 0 to {most}")));
            }
        }
        if self.hours.is_none() && self.days.is_none() {
            faults.push(fault("hours", "give hours, days or both"));
        }
        faults
    }

    fn apply(&self, _: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        let plans = &mut state.history.plans;
        plans.insert(self.name.clone(), self.clone());
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("set the plan {}", self.name))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.plans.values().map(|p| PlanRow {
            plan: p.name.clone(),
            hours: p.hours,
            days: p.days,
            waters: p.waters,
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// A named exposure.
    PlanRow = "plans" key(plan) {
        /// Its name.
        plan: String,
        /// Running hours as set; null where they follow from the days.
        hours: Option<f64>,
        /// Days as set; null where they follow from the hours.
        days: Option<f64>,
        /// Waters as set; null for the boat's own.
        waters: Option<Waters>,
    }
}
