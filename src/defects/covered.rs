//! How much of a walk was seen, and what the rest could hide.

use std::collections::HashSet;

use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use crate::assess::coverage::{Asked, Coverage, Hidden, coverage};
use crate::assess::exposure::Exposure;
use crate::assess::words::Severity;
use crate::walk::Walk;

/// Items of one severity that were not seen. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct HiddenRow {
    /// The worst severity over the effects of each, the same for all of them.
    pub severity: Severity,
    /// How many items the walk asked and did not grade.
    pub items: usize,
    /// How many of them nobody has graded in any walk.
    pub never_seen: usize,
    /// How many of those are worn or worse, if shares over the rungs are the usual ones.
    pub expected_worn: f64,
    /// How many of all of them fail over the exposure, in the mean.
    pub expected_failures: f64,
    /// Chance that at least one does, taking them as independent.
    pub any_fails: f64,
}

impl From<&Hidden> for HiddenRow {
    fn from(hidden: &Hidden) -> HiddenRow {
        HiddenRow {
            severity: hidden.severity,
            items: hidden.items,
            never_seen: hidden.never_seen,
            expected_worn: hidden.expected_worn,
            expected_failures: hidden.expected_failures,
            any_fails: hidden.any_fails,
        }
    }
}

impl Condition {
    /// The coverage of a walk in the boat's own waters; what was not seen is weighed over an
    /// exposure by what is known of it from other walks. None where its checklist is not known.
    pub fn coverage(&self, walk: &Walk, ahead: Exposure) -> Option<Coverage> {
        let plan = self.plan_of(walk)?;
        let mut counted = HashSet::new();
        let items = plan.spots().filter_map(|spot| plan.item(spot));
        let asked: Vec<Asked> = items
            .filter(|item| counted.insert(*item))
            .filter_map(|id| {
                let subject = self.subject(id, &walk.machine);
                let (item, life) = (self.item(&subject)?, self.lives.get(&subject)?);
                Some(Asked {
                    worst: Severity::worst_of(self.effects(&subject, item), self.boat.waters),
                    seen: walk.saw(id),
                    known: life.standing.grade.is_some(),
                    chance: self.known(&subject, item, life).outlook(ahead).chance,
                })
            })
            .collect();
        Some(coverage(&asked))
    }
}
