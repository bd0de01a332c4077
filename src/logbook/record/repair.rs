//! Something was put right.

use super::event::{Event, Grounds, Time, Weight, fault, on_an_item, unsaid};
use crate::boat::Hours;
use crate::defects::admit::Fault;
use crate::defects::job_minutes::minutes_fault;
use crate::defects::{HoldsUntil, Repair};
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};
use crate::text::safe_line;

impl Event for Repair {
    const NAME: &'static str = "repair";
    const CHANGED: Weight = Weight::Said;

    on_an_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        let by = self.by.as_deref().map(|by| ("by", by));
        let until = match &self.temporary {
            Some(HoldsUntil::Words(words)) => Some(("temporary", words.as_str())),
            Some(HoldsUntil::Hours(_) | HoldsUntil::Date(_)) | None => None,
        };
        [("done", self.done.as_str())]
            .into_iter()
            .chain(by)
            .chain(until)
            .collect()
    }

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let done = unsaid("done", &self.done, "say what was done");
        let meter = grounds.meter_fault(self.machine.as_deref(), self.hours);
        let until = match &self.temporary {
            Some(HoldsUntil::Words(words)) => {
                unsaid("temporary", words, "say until when it is to hold")
            }
            Some(HoldsUntil::Hours(_) | HoldsUntil::Date(_)) | None => None,
        };
        let cause = self.cause.as_deref();
        let cause = cause.and_then(|id| grounds.condition.unknown_cause(id));
        let cause = cause.map(|why| fault("cause", why));
        let took = self.minutes.and_then(minutes_fault);
        let took = took.map(|why| fault("minutes", why));
        let faults = done.into_iter().chain(meter).chain(until);
        faults.chain(cause).chain(took).collect()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.repairs, self)
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        let cause = self.cause.as_ref();
        let cause = cause.map_or(String::new(), |cause| {
            format!(", cause {}", safe_line(cause))
        });
        Some(format!("recorded a repair of {}{cause}", title(&self.item)))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.repairs.iter().map(|s| RepairRow {
            id: s.id.clone(),
            item: s.rec.item.clone(),
            machine: s.rec.machine.clone(),
            at: s.at,
            hours: s.rec.hours,
            done: s.rec.done.clone(),
            by: s.rec.by.clone(),
            temporary: s.rec.temporary.as_ref().map(HoldsUntil::to_string),
            cause: s.rec.cause.clone(),
            minutes: s.rec.minutes,
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// A repair.
    RepairRow = "repairs" key(id) {
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
        /// What was done.
        done: String,
        /// By whom.
        by: Option<String>,
        /// Until when it is to hold; null for a lasting repair.
        temporary: Option<String>,
        /// What was behind it, by the id of a cause; null where nobody said.
        cause: Option<String>,
        /// Minutes it really took; null where nobody said.
        minutes: Option<u32>,
    }
}
