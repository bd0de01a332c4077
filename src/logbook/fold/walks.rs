//! A stub for each walk of which the beginning is lost.

use std::collections::{BTreeMap, HashSet};

use super::{Placed, Written};
use crate::logbook::record::{Record, WalkStarted};
use crate::logbook::standing::{Standing, beginnings};
use crate::walk::{TimedLook, Walk};

/// A stub for each walk that has looks and of which no beginning was read; `begun` are those of which
/// one was, taken back or not.
pub(super) fn stubs<'a>(
    all: impl Iterator<Item = (Placed<'a>, bool)>,
    begun: &HashSet<&str>,
    looks: &[Placed<'_>],
) -> Vec<Walk> {
    let mut lost: BTreeMap<&str, Vec<TimedLook>> = BTreeMap::new();
    for placed in looks {
        if let Record::Look(look) = &placed.written.record
            && !begun.contains(&*look.walk)
        {
            lost.entry(&look.walk).or_default().push(look.timed(placed));
        }
    }
    if lost.is_empty() {
        return Vec::new();
    }
    let machines = machines_named(all);
    let stubs = lost.into_iter().flat_map(|(id, mut looks)| {
        looks.sort_by_key(TimedLook::when);
        stubs_of(id, &looks, &machines)
    });
    stubs.collect()
}

/// A stub for each walk set aside of which looks go on counting: they were made elsewhere, and nobody
/// who set it aside knew of them.
pub(super) fn left_of_aside(
    written: &[Written],
    standing: &Standing<'_>,
    looks: &[Placed<'_>],
) -> Vec<Walk> {
    let mut left: BTreeMap<&str, Vec<TimedLook>> = BTreeMap::new();
    for placed in looks {
        if let Record::Look(look) = &placed.written.record
            && standing.aside(&look.walk).is_some()
        {
            left.entry(&look.walk).or_default().push(look.timed(placed));
        }
    }
    if left.is_empty() {
        return Vec::new();
    }
    let begun = beginnings(written);
    let stubs = left.into_iter().filter_map(|(id, mut looks)| {
        looks.sort_by_key(TimedLook::when);
        let started = standing.begun(written, *begun.get(id)?);
        let mut walk = started.begin(looks.first()?.when());
        walk.hours = None;
        walk.hours_by = None;
        walk.is_stub = true;
        walk.looks = looks;
        Some(walk)
    });
    stubs.collect()
}

/// The walks that stand for one of which the beginning is lost: the looks count. Where the boat has
/// several machines, nobody knows which was walked: they count for each, where they are worse.
fn stubs_of(id: &str, looks: &[TimedLook], machines: &[&str]) -> Vec<Walk> {
    let Some(first) = looks.first().map(TimedLook::when) else {
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
            guest: false,
        };
        let mut walk = started.begin(first);
        walk.is_stub = true;
        walk.looks = looks.to_vec();
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
fn machines_named<'a>(all: impl Iterator<Item = (Placed<'a>, bool)>) -> Vec<&'a str> {
    let mut named: Vec<&str> = Vec::new();
    for (placed, _) in all {
        match &placed.written.record {
            Record::Profile(boat) => named.extend(boat.boat.machines.iter().map(|m| m.id.as_str())),
            Record::WalkStarted(walk) => named.push(&walk.machine),
            _ => {}
        }
    }
    named.sort_unstable();
    named.dedup();
    named
}
