//! Why the engine was started over a stop.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::event::{Event, Grounds, Names, Part, Time, Weight, in_no_table, on_no_item, unsaid};
use super::told::unknown_walk;
use crate::defects::admit::Fault;
use crate::logbook::fold::{Applied, Folding, Placed};
use crate::logbook::input::Outside;

/// The reason for which an engine was started in a walk though a stop was in force. That she was is
/// told by the looks made while she ran; this says why, and the last word counts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StartedAnyway {
    /// Walk id.
    pub walk: String,
    /// When the reason was given.
    pub at: Time,
    /// The reason, in words.
    pub why: String,
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
        said.into_iter()
            .chain(unknown_walk(grounds, &self.walk))
            .collect()
    }

    fn apply(&self, _: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        if let Some(walk) = state.walk(&self.walk) {
            walk.started_anyway = Some(self.why.clone());
        }
        Applied::Done
    }

    in_no_table!();
}
