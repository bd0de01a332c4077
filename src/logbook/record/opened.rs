//! Something was left open, and put back.

use super::event::{
    Event, Grounds, Time, Weight, at_a_time, fault, in_no_table, naming_nothing, on_an_item,
    on_no_item, unsaid,
};
use crate::defects::admit::Fault;
use crate::defects::{Closed, Opened};
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};
use crate::text::safe_line;

impl Event for Opened {
    const NAME: &'static str = "opened";
    const COUNTS_CHANGED: bool = true;

    on_an_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        let why = self.why.as_deref().map(|why| ("why", why));
        [("what", self.what.as_str())]
            .into_iter()
            .chain(why)
            .collect()
    }

    fn check(&mut self, _: &Grounds<'_>) -> Vec<Fault> {
        let what = unsaid("what", &self.what, "say what was left how");
        what.into_iter().collect()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.opened, self)
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("recorded that {} was left open", title(&self.item)))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.opened.iter().map(|s| LeftOpenRow {
            id: s.id.clone(),
            item: s.rec.item.clone(),
            machine: s.rec.machine.clone(),
            at: s.at,
            what: s.rec.what.clone(),
            why: s.rec.why.clone(),
            forbids: s.rec.what_it_forbids().to_string(),
            told_back: of.history.told_back(s).map(|(_, by)| by.to_owned()),
            put_back: of.history.put_back(s).map(|when| when.at),
        });
        vec![of.lines(rows)]
    }
}

impl Event for Closed {
    const NAME: &'static str = "closed";
    const OUTSIDE: Outside = Outside::act::<Self>();
    // Without it more is open, and not less.
    const CHANGED: Weight = Weight::Said;

    at_a_time!();

    on_no_item!();

    naming_nothing!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        let told = self.told.as_deref().map(|told| ("told", told));
        [("of", self.of.as_str())].into_iter().chain(told).collect()
    }

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let of = safe_line(&self.of);
        let history = grounds.history;
        if !history.opened.iter().any(|opened| opened.id == self.of) {
            let message = format!("no record '{of}' says that something was left open");
            return vec![fault("of", message)];
        }
        let Some(open) = history.still_open().find(|opened| opened.id == self.of) else {
            return vec![fault("of", format!("what '{of}' left open is put back"))];
        };
        let early = grounds.at < open.at;
        let early = early.then(|| fault("at", "it was left open after that"));
        let told = self.told.as_deref();
        let told = told.and_then(|told| unsaid("told", told, "say who told it"));
        early.into_iter().chain(told).collect()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.closed, self)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some(match &self.told {
            Some(by) => format!("told by {} that it is put back", safe_line(by)),
            None => "put back what was left open".to_owned(),
        })
    }

    // Told with what was left open.
    in_no_table!();
}

tables! {
    /// Something that was left open.
    LeftOpenRow = "left_open" key(id) {
        /// Record id; of what a service left open, that of the service, `.open.` and a number.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When it was left so.
        at: Time,
        /// What was left how.
        what: String,
        /// Why.
        why: Option<String>,
        /// What it forbids: float, start or leave.
        forbids: String,
        /// Who told that it is put back; null where nobody did. It is open until it is seen.
        told_back: Option<String>,
        /// When it was seen put back; null where it is open.
        put_back: Option<Time>,
    }
}
