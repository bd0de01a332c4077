//! A defect was none.

use super::event::{Event, Grounds, Time, Weight, fault, on_an_item, unsaid};
use crate::defects::Withdrawal;
use crate::defects::admit::Fault;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

impl Event for Withdrawal {
    const NAME: &'static str = "withdrawal";
    const CHANGED: Weight = Weight::Said;

    on_an_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        vec![("why", &self.why)]
    }

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let mut faults = Vec::new();
        faults.extend(unsaid("why", &self.why, "say why it was none"));
        if grounds.life().and_then(|life| life.current()).is_none() {
            let message = format!("there is no open defect on {}", self.item);
            faults.push(fault("item", message));
        }
        if grounds
            .life()
            .is_some_and(|life| life.status.patch.is_some())
        {
            let message = "it lives by a temporary repair: record a lasting one".to_owned();
            faults.push(fault("item", message));
        }
        faults.extend(grounds.no_stop());
        faults
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.withdrawals, self)
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("withdrew {}", title(&self.item)))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.withdrawals.iter().map(|s| WithdrawalRow {
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
    /// A withdrawal.
    WithdrawalRow = "withdrawals" key(id) {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When.
        at: Time,
        /// Why it was none.
        why: String,
    }
}
