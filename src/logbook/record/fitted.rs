//! A part went into service, or an item out of the boat.

use super::event::{Event, Grounds, Time, Weight, on_an_item};
use crate::boat::Hours;
use crate::defects::admit::Fault;
use crate::defects::{Fitted, Removed};
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

impl Event for Fitted {
    const NAME: &'static str = "fitted";

    on_an_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        Vec::new()
    }

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let meter = grounds.meter_fault(self.machine.as_deref(), self.hours);
        meter.into_iter().collect()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.fitted, self)
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("told when {} was fitted", title(&self.item)))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.fitted.iter().map(|s| FittedRow {
            id: s.id.clone(),
            item: s.rec.item.clone(),
            machine: s.rec.machine.clone(),
            at: s.at,
            hours: s.rec.hours,
        });
        vec![of.lines(rows)]
    }
}

impl Event for Removed {
    const NAME: &'static str = "removed";
    const CHANGED: Weight = Weight::Said;

    on_an_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        self.why.iter().map(|why| ("why", why.as_str())).collect()
    }

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        grounds.no_stop().into_iter().collect()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.removed, self)
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!(
            "took {} off the list: the boat has none",
            title(&self.item)
        ))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.removed.iter().map(|s| RemovedRow {
            id: s.id.clone(),
            item: s.rec.item.clone(),
            machine: s.rec.machine.clone(),
            at: s.at,
            why: s.rec.why.clone(),
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// A part that went into service.
    FittedRow = "fitted" key(id) {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When.
        at: Time,
        /// Meter as read.
        hours: Option<Hours>,
    }
    /// An item taken out of the boat for good.
    RemovedRow = "removed" key(id) {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When.
        at: Time,
        /// Why.
        why: Option<String>,
    }
}
