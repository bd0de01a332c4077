//! How much of a walk was seen, and what the rest could hide.

use std::collections::HashSet;

use super::condition::Condition;
use crate::assess::coverage::{AskedItem, Coverage, coverage};
use crate::assess::exposure::Exposure;
use crate::assess::words::Severity;
use crate::walk::Walk;

impl Condition {
    /// The coverage of a walk in the boat's own waters; what was not seen is weighed over an
    /// exposure by what is known of it from other walks. None where its checklist is not known.
    pub fn coverage(&self, walk: &Walk, ahead: Exposure) -> Option<Coverage> {
        let plan = self.plan_of(walk)?;
        let mut counted = HashSet::new();
        let items = plan.spots().filter_map(|spot| plan.item(spot));
        let asked: Vec<AskedItem> = items
            .filter(|item| counted.insert(*item))
            .filter_map(|id| {
                let subject = self.subject(id, &walk.machine);
                let (item, life) = (self.item(&subject)?, self.life_of(&subject)?);
                Some(AskedItem {
                    worst: Severity::worst_of(self.effects(&subject, item), self.boat.waters),
                    seen: walk.saw(id),
                    known: life.status.grade.is_some() && !life.status.is_sound_as_told(),
                    chance: self.known(&subject, item, life).prognosis(ahead).chance,
                })
            })
            .collect();
        Some(coverage(&asked))
    }
}
