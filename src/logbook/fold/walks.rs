//! The walks on the way through the records, with a stub for each of which the beginning is lost.

use std::collections::{BTreeMap, HashMap, HashSet};

use super::{Written, begin};
use crate::logbook::record::{Record, WalkStarted};
use crate::walk::{TimedLook, Walk};

/// The walks on the way through the records.
#[derive(Default)]
pub(super) struct Walks<'a> {
    known: HashMap<String, Walk>,
    /// Of which a beginning was read, taken back or not.
    pub(super) begun: HashSet<&'a str>,
    /// Looks of which the walk is not known.
    pub(super) orphans: Vec<(String, TimedLook)>,
}

impl Walks<'_> {
    pub(super) fn put(&mut self, walk: Walk) {
        self.known.entry(walk.id.clone()).or_insert(walk);
    }

    pub(super) fn get_mut(&mut self, id: &str) -> Option<&mut Walk> {
        self.known.get_mut(id)
    }

    /// All of them, with a stub for each walk that has looks and of which no beginning was read.
    pub(super) fn end(self, written: &[Written]) -> Vec<Walk> {
        let mut walks: Vec<Walk> = self.known.into_values().collect();
        if self.orphans.is_empty() {
            return walks;
        }
        let machines = machines_named(written);
        let mut lost: BTreeMap<String, Vec<TimedLook>> = BTreeMap::new();
        for (id, look) in self.orphans {
            if !self.begun.contains(id.as_str()) {
                lost.entry(id).or_default().push(look);
            }
        }
        for (id, looks) in lost {
            walks.extend(stubs(&id, looks, &machines));
        }
        walks
    }
}

/// The walks that stand for one of which the beginning is lost: the looks count. Where the boat has
/// several machines, nobody knows which was walked: they count for each, where they are worse.
fn stubs(id: &str, looks: Vec<TimedLook>, machines: &[&str]) -> Vec<Walk> {
    let Some(first) = looks.iter().map(TimedLook::when).min() else {
        return Vec::new();
    };
    let stub = |machine: &str, n: usize| {
        let started = WalkStarted {
            walk: if n == 0 {
                id.to_owned()
            } else {
                format!("{id}@{machine}")
            },
            checklist: String::new(),
            asked: None,
            machine: machine.to_owned(),
            at: first.at,
            by: None,
            hours: None,
            entered_after: false,
            blind: false,
            left_out: Vec::new(),
            joins: Vec::new(),
            disturbed: Vec::new(),
        };
        let mut walk = begin(&started, first);
        walk.is_stub = true;
        walk.looks.clone_from(&looks);
        for look in &mut walk.looks {
            look.verified &= machines.len() < 2;
        }
        walk
    };
    match machines {
        [] => vec![stub("", 0)],
        machines => machines
            .iter()
            .enumerate()
            .map(|(n, m)| stub(m, n))
            .collect(),
    }
}

/// The machines that profiles and walks on record name.
fn machines_named(written: &[Written]) -> Vec<&str> {
    let mut named: Vec<&str> = Vec::new();
    for w in written {
        match &w.record {
            Record::Profile(boat) => named.extend(boat.boat.machines.iter().map(|m| m.id.as_str())),
            Record::WalkStarted(walk) => named.push(&walk.machine),
            _ => {}
        }
    }
    named.sort_unstable();
    named.dedup();
    named
}
