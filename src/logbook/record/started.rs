//! Why the engine was started over a stop.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::event::{
    Event, Grounds, Names, Part, Time, Weight, fault, in_no_table, on_no_item, unsaid,
};
use super::told::unknown_walk;
use crate::defects::admit::{Fault, time_fault};
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};

/// The reason for which an engine was started in a walk though a stop was in force. That she was is
/// told by the looks made while she ran, or by its time here where none was made; the last reason
/// counts, and every time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StartedAnyway {
    /// Walk id.
    pub walk: String,
    /// When the reason was given.
    pub at: Time,
    /// The reason, in words.
    pub why: String,
    /// When she was started, told afterwards; left out where looks made while she ran tell it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub started: Option<Time>,
}

impl Event for StartedAnyway {
    const NAME: &'static str = "started-anyway";
    const OUTSIDE: Outside = Outside::act::<Self>();
    const LOST: Weight = Weight::Said;
    const CHANGED: Weight = Weight::Said;
    const CONCERNS_BOAT: bool = false;

    fn at(&self) -> Option<Time> {
        Some(self.at)
    }

    on_no_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        vec![("why", &self.why)]
    }

    fn names(&self) -> Names<'_> {
        Names::walk(&self.walk, Part::Beside)
    }

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let said = unsaid("why", &self.why, "say why she was started");
        let when = self.started.and_then(|started| {
            let (_, message) = time_fault(started, grounds.now)?;
            Some(fault("started", message))
        });
        let walk = grounds.history.walk(&self.walk);
        let early = walk.zip(self.started).filter(|(walk, at)| *at < walk.at);
        let early = early.map(|_| fault("started", "the walk began after that"));
        said.into_iter()
            .chain(unknown_walk(grounds, &self.walk))
            .chain(when)
            .chain(early)
            .collect()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        if let Some(walk) = state.walk(&self.walk) {
            walk.started_anyway = Some(self.why.clone());
            walk.started_at
                .extend(self.started.map(|at| placed.beside(at)));
        }
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some("told that she was started over a stop".to_owned())
    }

    in_no_table!();
}
