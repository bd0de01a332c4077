//! An hour meter was replaced.

use super::event::{Event, Grounds, Time, fault, naming_nothing, on_no_item};
use crate::boat::{Hours, MeterChange};
use crate::defects::admit::Fault;
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

impl Event for MeterChange {
    const NAME: &'static str = "meter";
    const OUTSIDE: Outside = Outside::act::<Self>();

    fn at(&self) -> Option<Time> {
        Some(self.at)
    }

    on_no_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        Vec::new()
    }

    naming_nothing!();

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let machines = &grounds.condition.boat.machines;
        if !machines.iter().any(|m| m.id == self.machine) {
            let message = grounds.condition.unknown_machine(&self.machine);
            return vec![fault("machine", message)];
        }
        let meter = grounds.meter_fault(Some(&self.machine), Some(self.old));
        meter
            .map(|(_, message)| fault("old", message))
            .into_iter()
            .collect()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        let at = placed.when.at;
        placed.put(
            &mut state.history.meters,
            &MeterChange { at, ..self.clone() },
        )
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!(
            "fitted another hour meter: {} h out, {} h in",
            self.old, self.new
        ))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.meters.iter().map(|s| MeterRow {
            machine: s.rec.machine.clone(),
            at: s.at,
            old: s.rec.old,
            new: s.rec.new,
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// An hour meter that was replaced.
    MeterRow = "meters" key(machine, at) {
        /// Machine id.
        machine: String,
        /// When.
        at: Time,
        /// Last reading of the old meter.
        old: Hours,
        /// First reading of the new one.
        new: Hours,
    }
}
