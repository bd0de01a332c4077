//! What other boats taught was taken in, to begin from.

use super::event::{Event, Grounds, Time, at_a_time, naming_nothing, on_no_item};
use crate::defects::admit::Fault;
use crate::defects::{LearningStart, PooledRate};
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

impl Event for LearningStart {
    const NAME: &'static str = "learning-start";
    const RESTS_ON_OWN: bool = false;
    const CONCERNS_BOAT: bool = false;

    const OUTSIDE: Outside = Outside::No;

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
        placed.put(&mut state.history.learning_starts, self)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        let mut kinds: Vec<&str> = self.rates.iter().map(|rate| rate.kind.as_str()).collect();
        kinds.dedup();
        let what = "took in what other boats taught of how long things last";
        Some(format!("{what}: {}", kinds.join(", ")))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let all = of.history.learning_starts.iter();
        let rows = all.flat_map(|s| {
            let each = s.rec.rates.iter();
            each.map(|rate: &PooledRate| LearningStartRow {
                id: s.id.clone(),
                at: s.at,
                kind: rate.kind.to_string(),
                rung: rate.rung as u32,
                family: rate.family.to_string(),
                boats: rate.boats,
                moves: rate.moves,
                hours: rate.hours,
                shape: rate.shape,
                dwell: rate.dwell,
                why: s.rec.why.clone(),
            })
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// What other boats taught of how long things stay on a rung; what was taken in last counts.
    LearningStartRow = "learning_starts" key(id, kind, rung, family) {
        /// Record id.
        id: String,
        /// When it was taken in.
        at: Time,
        /// The kind of thing.
        kind: String,
        /// The rung left, 0 to 3.
        rung: u32,
        /// What the first machine of those boats is for.
        family: String,
        /// Boats on which it was watched.
        boats: u32,
        /// Moves seen on them.
        moves: u32,
        /// Wear hours watched on them.
        hours: f64,
        /// Moves it weighs as much as.
        shape: f64,
        /// Mean dwell, wear hours.
        dwell: f64,
        /// Why, in the owner's words.
        why: Option<String>,
    }
}
