//! A computed rating is replaced by a person's.

use super::event::{Event, Grounds, Time, fault, on_an_item, unsaid};
use crate::assess::words::{Level, Severity};
use crate::defects::Override;
use crate::defects::admit::Fault;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

impl Event for Override {
    const NAME: &'static str = "override";

    on_an_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        vec![("why", &self.why)]
    }

    fn check(&mut self, _: &Grounds<'_>) -> Vec<Fault> {
        let why = unsaid(
            "why",
            &self.why,
            "say why the computed rating does not hold",
        );
        let gone = || fault("level", "level f is kept for an item removed for good");
        let level = (self.level == Some(Level::F)).then(gone);
        why.into_iter().chain(level).collect()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.overrides, self)
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("set {} by hand", title(&self.item)))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.overrides.iter().map(|s| OverrideRow {
            id: s.id.clone(),
            item: s.rec.item.clone(),
            machine: s.rec.machine.clone(),
            at: s.at,
            severity: s.rec.severity,
            level: s.rec.level,
            why: s.rec.why.clone(),
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// A severity or level set by hand.
    OverrideRow = "overrides" key(id) {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When it was set.
        at: Time,
        /// Severity, 1 to 4.
        severity: Option<Severity>,
        /// Probability level.
        level: Option<Level>,
        /// Why.
        why: String,
    }
}
