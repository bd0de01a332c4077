//! A look is owed.

use super::event::{Event, Grounds, Time, Weight, on_an_item, unsaid};
use crate::boat::Hours;
use crate::defects::Recheck;
use crate::defects::admit::Fault;
use crate::defects::condition::Condition;
use crate::defects::{History, Stamped};
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

impl Event for Recheck {
    const NAME: &'static str = "recheck";
    const CHANGED: Weight = Weight::Said;
    const COUNTS_CHANGED: bool = true;

    on_an_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        vec![("why", &self.why)]
    }

    fn check(&mut self, _: &Grounds<'_>) -> Vec<Fault> {
        let why = unsaid("why", &self.why, "say why the look is owed");
        why.into_iter().collect()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.rechecks, self)
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("owed a look at {}", title(&self.item)))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        vec![of.lines(rechecks(of.history, of.condition))]
    }
}

tables! {
    /// A look owed.
    RecheckRow = "rechecks" key(id) {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When it was written down.
        at: Time,
        /// Due at this time.
        due_at: Option<Time>,
        /// Due at this meter reading.
        due_hours: Option<Hours>,
        /// Id of the record of the reading that was reckoned from; null where somebody gave it.
        from: Option<String>,
        /// Why it is owed.
        why: String,
        /// Not yet settled by a look.
        open: bool,
    }
}

/// Looks owed, with whether they still are.
fn rechecks(history: &History, condition: &Condition) -> Vec<RecheckRow> {
    let open: Vec<&str> = condition
        .owed(history)
        .map(|owed| owed.recheck.id.as_str())
        .collect();
    let row = |s: &Stamped<Recheck>| RecheckRow {
        id: s.id.clone(),
        item: s.rec.item.clone(),
        machine: s.rec.machine.clone(),
        at: s.at,
        due_at: s.rec.due_at,
        due_hours: s.rec.due_hours,
        from: s.rec.from.clone(),
        why: s.rec.why.clone(),
        open: open.contains(&s.id.as_str()),
    };
    history.rechecks.iter().map(row).collect()
}
