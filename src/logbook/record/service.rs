//! Recurring work was done, or how often it is due was set.

use std::collections::BTreeSet;

use super::event::{Event, Grounds, Names, Time, at_a_time, naming_nothing, on_no_item};
use crate::boat::Hours;
use crate::defects::admit::Fault;
use crate::defects::{Paid, Service, ServiceInterval, Stamped};
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};
use crate::service::{ServiceSheet, interval_of};

impl Event for Service {
    const NAME: &'static str = "service";
    const OUTSIDE: Outside = Outside::sheet::<ServiceSheet>();

    at_a_time!();

    on_no_item!();

    // Its words and figures are looked at as they come, on its sheet.
    fn texts(&self) -> Vec<(&'static str, &str)> {
        Vec::new()
    }

    fn names(&self) -> Names<'_> {
        Names {
            photos: &self.photos,
            ..Names::NOTHING
        }
    }

    fn check(&mut self, _: &Grounds<'_>) -> Vec<Fault> {
        Vec::new()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        state.history.put_service(placed.stamped(self));
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("did the service {}", self.task))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let services = &of.history.services;
        let items = services.iter().flat_map(service_items);
        vec![of.lines(services.iter().map(service)), of.lines(items)]
    }
}

impl Event for ServiceInterval {
    const NAME: &'static str = "service-interval";
    const OUTSIDE: Outside = Outside::act::<Self>();

    at_a_time!();

    on_no_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        let source = self.source.iter();
        source.map(|source| ("source", source.as_str())).collect()
    }

    naming_nothing!();

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        match interval_of(grounds.condition, self.clone(), grounds.now) {
            Ok(interval) => *self = interval,
            Err(faults) => return faults,
        }
        Vec::new()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.intervals, self)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("set how often {} is due", self.task))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.intervals.iter().map(|s| IntervalRow {
            id: s.id.clone(),
            task: s.rec.task.clone(),
            machine: s.rec.machine.clone(),
            at: s.at,
            hours: s.rec.hours,
            months: s.rec.months,
            source: s.rec.source.clone(),
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// Recurring work that was done.
    ServiceRow = "services" key(id) {
        /// Record id.
        id: String,
        /// Id of the task.
        task: String,
        /// Machine id; null for work on what the boat has once.
        machine: Option<String>,
        /// When.
        at: Time,
        /// Meter as read.
        hours: Option<Hours>,
        /// What came out, litres.
        out_litres: Option<f64>,
        /// What went in, litres.
        in_litres: Option<f64>,
        /// Parts used.
        parts: Option<String>,
        /// How far a filter was turned past contact.
        turn: Option<String>,
        /// What it cost, in the boat's own money.
        cost: Option<Paid>,
        /// Minutes it really took; null where nobody said.
        minutes: Option<u32>,
        /// Note.
        note: Option<String>,
        /// By whom.
        by: Option<String>,
    }
    /// What a service did to an item.
    ServiceItemRow = "service_items" key(service, item) {
        /// Record id of the service.
        service: String,
        /// Catalogue id of the item.
        item: String,
        /// The joint was opened or moved.
        disturbed: bool,
        /// The item is new since.
        renewed: bool,
        /// Its readings begin a new series.
        restarted: bool,
    }
    /// How often a task is due on a machine, as it was set.
    IntervalRow = "service_intervals" key(id) {
        /// Record id.
        id: String,
        /// Id of the task.
        task: String,
        /// Machine id; null for work on what the boat has once.
        machine: Option<String>,
        /// When it was set.
        at: Time,
        /// Running hours; 0 for no bound, null for the task's own.
        hours: Option<u32>,
        /// Months; 0 for no bound, null for the task's own.
        months: Option<u32>,
        /// Which page says so.
        source: Option<String>,
    }
}

/// A service.
fn service(s: &Stamped<Service>) -> ServiceRow {
    let rec = &s.rec;
    ServiceRow {
        id: s.id.clone(),
        task: rec.task.clone(),
        machine: rec.machine.clone(),
        at: s.at,
        hours: rec.hours,
        out_litres: rec.out.map(|v| v.litres()),
        in_litres: rec.filled.map(|v| v.litres()),
        parts: (!rec.parts.is_empty()).then(|| rec.parts.join("; ")),
        turn: rec.turn.clone(),
        cost: rec.cost,
        minutes: rec.minutes,
        note: rec.note.clone(),
        by: rec.by.clone(),
    }
}

/// What a service opened, renewed or restarted.
fn service_items(s: &Stamped<Service>) -> impl Iterator<Item = ServiceItemRow> + '_ {
    let rec = &s.rec;
    let lists = [&rec.disturbed, &rec.renewed, &rec.restarted];
    let items: BTreeSet<&String> = lists.into_iter().flatten().collect();
    items.into_iter().map(move |item| ServiceItemRow {
        service: s.id.clone(),
        item: item.clone(),
        disturbed: rec.disturbed.contains(item),
        renewed: rec.renewed.contains(item),
        restarted: rec.restarted.contains(item),
    })
}
