//! Learning is frozen, set going again, reset or switched off.

use super::event::{Event, Grounds, Time, at_a_time, naming_nothing, on_no_item};
use crate::defects::admit::Fault;
use crate::defects::{LearningSet, LearningState};
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

impl Event for LearningSet {
    const NAME: &'static str = "learning";
    const OUTSIDE: Outside = Outside::act::<Self>();
    const CONCERNS_BOAT: bool = false;

    at_a_time!();

    on_no_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        self.why.iter().map(|why| ("why", why.as_str())).collect()
    }

    naming_nothing!();

    fn check(&mut self, _: &Grounds<'_>) -> Vec<Fault> {
        Vec::new()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.learning, self)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("set learning: {}", self.state))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.learning.iter().map(|s| LearningRow {
            id: s.id.clone(),
            at: s.at,
            state: s.rec.state,
            why: s.rec.why.clone(),
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// Learning from the looks frozen, resumed, reset or switched off.
    LearningRow = "learning" key(id) {
        /// Record id.
        id: String,
        /// From when on.
        at: Time,
        /// What it was set to.
        state: LearningState,
        /// Why.
        why: Option<String>,
    }
}
