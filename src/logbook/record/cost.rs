//! What putting a defect right may cost.

use super::event::{Event, Grounds, Time, Weight, fault, on_an_item};
use crate::assess::cost::{LARGEST, ThreePoint};
use crate::defects::Cost;
use crate::defects::admit::Fault;
use crate::defects::condition::Condition;
use crate::defects::list::Scenario;
use crate::defects::{History, Stamped};
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

/// The longest name of a currency, bytes.
const LONGEST_CURRENCY: usize = 16;

impl Event for Cost {
    const NAME: &'static str = "cost";
    const CHANGED: Weight = Weight::Said;

    on_an_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        self.note
            .iter()
            .map(|note| ("note", note.as_str()))
            .collect()
    }

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let before = grounds
            .history
            .costs
            .last()
            .and_then(|s| s.rec.currency.as_ref());
        self.currency = self.currency.take().or_else(|| before.cloned());
        let mut faults = figures(self);
        let living = grounds.subject.zip(grounds.life());
        if living.is_none_or(|(s, l)| grounds.condition.to_put_right(s, l).is_none()) {
            let message = format!("there is nothing to put right on {}", self.item);
            faults.push(fault("item", message));
        }
        faults
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.costs, self)
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("estimated the cost of {}", title(&self.item)))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = costs(of.history, of.condition, of.scenario);
        vec![of.lines(rows)]
    }
}

fn figures(cost: &Cost) -> Vec<Fault> {
    let mut faults = Vec::new();
    if let Err((field, message)) = ThreePoint::new(cost.low, cost.likely, cost.high) {
        faults.push((field.to_owned(), message));
    }
    if let Some(labour) = &cost.labour {
        let [low, likely, high] = labour.hours;
        if let Err((field, message)) = ThreePoint::new(low, likely, high) {
            faults.push(("labour.hours".to_owned(), format!("{field}: {message}")));
        }
        if !(0.0..=LARGEST).contains(&labour.rate) {
            faults.push(("labour.rate".to_owned(), format!("expected 0 to {LARGEST}")));
        }
    }
    let named = |text: &String| !text.trim().is_empty() && text.len() <= LONGEST_CURRENCY;
    if cost.currency.as_ref().is_some_and(|text| !named(text)) {
        let message = format!("a currency is named in 1 to {LONGEST_CURRENCY} bytes");
        faults.push(("currency".to_owned(), message));
    }
    faults
}

tables! {
    /// An estimate of what putting a defect right may cost.
    CostRow = "costs" key(id) {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When it was made.
        at: Time,
        /// Low figure for everything but the labour given apart.
        low: f64,
        /// Likely figure.
        likely: f64,
        /// High figure.
        high: f64,
        /// Hours of work, low.
        labour_low: Option<f64>,
        /// Hours of work, likely.
        labour_likely: Option<f64>,
        /// Hours of work, high.
        labour_high: Option<f64>,
        /// Cost of an hour of work.
        labour_rate: Option<f64>,
        /// Currency.
        currency: Option<String>,
        /// What it rests on.
        note: Option<String>,
        /// It counts now: the defect is open and no later estimate replaces it.
        counts: bool,
        /// Low figure with the labour; null, as what follows, where it does not count.
        all_low: Option<f64>,
        /// Likely figure with the labour.
        all_likely: Option<f64>,
        /// High figure with the labour.
        all_high: Option<f64>,
        /// (low + 4 likely + high) / 6 of these.
        all_mean: Option<f64>,
    }
}

/// Estimates, with whether they count.
fn costs(history: &History, condition: &Condition, scenario: Scenario) -> Vec<CostRow> {
    let list = condition.list(scenario, false);
    let counting = condition.costs(history, &list).rows;
    let counts = |s: &Stamped<Cost>| {
        let mut estimates = counting.iter().filter_map(|row| row.estimate.as_ref());
        estimates.find(|e| e.id == s.id)
    };
    let row = |s: &Stamped<Cost>| {
        let hours = s.rec.labour.map(|l| l.hours);
        let all = counts(s);
        CostRow {
            id: s.id.clone(),
            item: s.rec.item.clone(),
            machine: s.rec.machine.clone(),
            at: s.at,
            low: s.rec.low,
            likely: s.rec.likely,
            high: s.rec.high,
            labour_low: hours.map(|h| h[0]),
            labour_likely: hours.map(|h| h[1]),
            labour_high: hours.map(|h| h[2]),
            labour_rate: s.rec.labour.map(|l| l.rate),
            currency: s.rec.currency.clone(),
            note: s.rec.note.clone(),
            counts: all.is_some(),
            all_low: all.map(|e| e.low),
            all_likely: all.map(|e| e.likely),
            all_high: all.map(|e| e.high),
            all_mean: all.map(|e| e.mean),
        }
    };
    history.costs.iter().map(row).collect()
}
