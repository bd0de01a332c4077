//! What is known at each moment of the story, so that walks are composed as the program would.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use crate::boat::Boat;
use crate::checklist::{Checklist, Library};
use crate::defects::History;
use crate::defects::condition::Condition;
use crate::logbook::fold::{Written, apply};
use crate::logbook::record::Record;
use crate::walk::{Join, LeftOut, Plan};

/// The records so far, all of them: every look may teach how fast things go, and so when the next
/// one is due.
pub(super) struct Memory {
    boat: Boat,
    library: Arc<Library>,
    history: History,
    condition: Condition,
    /// Records kept.
    count: usize,
}

impl Memory {
    pub fn new(boat: Boat, library: &Arc<Library>) -> Memory {
        let history = History::default();
        let epoch = DateTime::UNIX_EPOCH.fixed_offset();
        let condition = Condition::of(&boat, Arc::clone(library), &history, epoch);
        Memory {
            boat,
            library: Arc::clone(library),
            history,
            condition,
            count: 0,
        }
    }

    /// Takes in a record.
    pub fn keep(&mut self, at: DateTime<FixedOffset>, record: &Record) {
        let written = Written {
            id: self.count.to_string(),
            at,
            record: record.clone(),
        };
        self.count += 1;
        apply(&mut self.history, &[], &written);
    }

    /// Brings the condition up to a time.
    pub fn recall(&mut self, at: DateTime<FixedOffset>) {
        self.condition = Condition::of(&self.boat, Arc::clone(&self.library), &self.history, at);
    }

    /// What joins a walk of a machine.
    pub fn joins(&self, list: &Checklist, machine: &str) -> Vec<Join> {
        self.condition.joins(&self.history, list, machine)
    }

    /// The rows of a walk.
    pub fn compose(
        &self,
        list: &Checklist,
        left_out: &[LeftOut],
        joins: &[Join],
        machine: &str,
    ) -> Plan {
        self.condition.compose(list, left_out, joins, machine)
    }

    /// True where the machine or the boat has the item.
    pub fn has(&self, item: &str, machine: &str) -> bool {
        let life = self.condition.life(item, machine);
        life.is_some_and(|life| !life.standing.removed)
    }
}
