//! An exposure gets a name.

use super::event::{Event, Grounds, Time, Weight, fault, naming_nothing, on_no_item};
use crate::boat::Waters;
use crate::boat::profile::{LONGEST_DAYS, LONGEST_HOURS};
use crate::defects::NamedPlan;
use crate::defects::admit::Fault;
use crate::defects::plan::{LARGEST_SUM, LONGEST_WORK};
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

/// The longest name of a plan, bytes.
const LONGEST_NAME: usize = 64;
/// No more items are taken in or left out by name.
const MOST_ITEMS: usize = 500;

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
        let items = self.with.iter().map(|item| ("with", item.as_str()));
        let without = self.without.iter().map(|item| ("without", item.as_str()));
        std::iter::once(("name", self.name.as_str()))
            .chain(items)
            .chain(without)
            .collect()
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
            ("hours_per_day", self.hours_per_day, 24.0),
            ("work", self.work.map(f64::from), LONGEST_WORK),
            ("spend", self.spend, LARGEST_SUM),
            ("ashore_days", self.ashore_days, LONGEST_DAYS),
        ];
        for (field, value, most) in bounds {
            if value.is_some_and(|v| !(0.0..=most).contains(&v)) {
                faults.push(fault(field, format!("expected 0 to {most}")));
            }
        }
        if self.hours.is_none() && self.days.is_none() {
            faults.push(fault("hours", "give hours, days or both"));
        }
        if self.hours_per_day == Some(0.0) {
            let message = "hours a day are more than 0; a boat that lies still needs none";
            faults.push(fault("hours_per_day", message));
        }
        if self.hours.is_some() && self.days.is_some() && self.hours_per_day.is_some() {
            let message =
                "hours and days say how many hours a day she runs; leave out one of the three";
            faults.push(fault("hours_per_day", message));
        }
        let hours = self.hands.iter().filter_map(|hand| hand.minutes);
        if hours
            .clone()
            .any(|minutes| f64::from(minutes) > LONGEST_WORK)
        {
            faults.push(fault(
                "hands",
                format!("expected 0 to {LONGEST_WORK} minutes"),
            ));
        }
        let mut who: Vec<_> = self.hands.iter().map(|hand| hand.who).collect();
        who.sort_unstable();
        who.dedup();
        if who.len() != self.hands.len() {
            faults.push(fault("hands", "each of them once"));
        }
        for (field, items) in [("with", &self.with), ("without", &self.without)] {
            let fits = |item: &String| !item.is_empty() && item.len() <= LONGEST_NAME;
            if items.len() > MOST_ITEMS || !items.iter().all(fits) {
                let message = format!(
                    "expected at most {MOST_ITEMS} items, each by its id of at most {LONGEST_NAME} bytes"
                );
                faults.push(fault(field, message));
            }
        }
        if let Some(both) = self.with.iter().find(|item| self.without.contains(item)) {
            let message = format!("'{both}' is to be mended and left out");
            faults.push(fault("without", message));
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
            hours_per_day: p.hours_per_day,
            work_minutes: p.work,
            spend: p.spend,
            ashore_days: p.ashore_days,
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
        /// Running hours a day as set; null where they follow from the rest.
        hours_per_day: Option<f64>,
        /// Minutes of work before it; null where nobody said.
        work_minutes: Option<u32>,
        /// Money before it, in the currency of the estimates; null where nobody said.
        spend: Option<f64>,
        /// Days she stands ashore before it; null where she stays afloat.
        ashore_days: Option<f64>,
    }
}
