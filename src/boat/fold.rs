//! The profile that changes made on several devices add up to.
//!
//! Every change names what it was made from. Of a profile that was set, only the fields that differ
//! from that count, and of each field the newest in the order of the log. So two devices that change
//! different fields keep both changes, whichever is merged into the other, and a machine that one
//! of them added is not taken away by the other, who never knew it.

use super::change::{ProfileSet, Retired};
use super::fields::{Change, Fields, Path};
use super::profile::{Boat, Machine};

/// Beyond so many records each is held against all before it, whatever it names: what each was made
/// from takes their number squared.
const MOST: usize = 1024;

/// A record that changes the profile.
#[derive(Clone, Copy, Debug)]
pub enum ProfileStep<'a> {
    /// A profile was set.
    Set(&'a ProfileSet),
    /// A machine, named by it, left the boat.
    Retired(&'a Retired),
}

/// A record that changes the profile, with its id.
pub type Node<'a> = (&'a str, ProfileStep<'a>);

/// What records of the profile add up to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Folded {
    /// The profile; none where no record sets one.
    pub boat: Option<Boat>,
    /// Ids of the records that no other was made from: the base of the next change.
    pub heads: Vec<String>,
    /// What each record changed, in their order.
    pub changes: Vec<Changed>,
    /// The machines that left and did not come back, with the number of the record and what the
    /// profile said of each.
    pub left: Vec<(usize, Machine)>,
}

/// What a record changed of the profile, as it counts.
#[derive(Clone, Debug, PartialEq)]
pub enum Changed {
    /// Fields.
    Fields(Vec<Change>),
    /// The machine of that id left.
    Left(String),
}

impl Changed {
    /// The fields that were set; none where a machine left.
    pub fn fields(&self) -> &[Change] {
        match self {
            Changed::Fields(changes) => changes,
            Changed::Left(_) => &[],
        }
    }

    fn apply(&self, state: &mut Fields) {
        match self {
            Changed::Fields(changes) => changes.iter().for_each(|change| state.apply(change)),
            Changed::Left(machine) => {
                state.retire(machine);
            }
        }
    }
}

/// The profile that changes add up to, in their order; none while they lack what every profile has.
pub fn replay<'a>(changes: impl Iterator<Item = &'a Changed>) -> Option<Boat> {
    let mut state = Fields::default();
    changes.for_each(|changed| changed.apply(&mut state));
    state.boat()
}

/// Folds the records of a profile, given in the order of the log.
pub fn fold(nodes: &[Node<'_>]) -> Folded {
    let before = befores(nodes);
    let mut state = Fields::default();
    let mut folded = Folded::default();
    for (n, (_, step)) in nodes.iter().enumerate() {
        let changed = match step {
            ProfileStep::Set(set) => {
                let now = Fields::of(&set.boat);
                let known = before.get(n).filter(|known| known.contains(&false));
                Changed::Fields(match known {
                    Some(known) => now.changes_from(&state_of(known, &folded.changes)),
                    None => now.changes_from(&state),
                })
            }
            ProfileStep::Retired(retired) => {
                let id = retired.machine.as_deref().unwrap_or_default();
                let machines = state.boat().map(|b| b.machines).unwrap_or_default();
                let known = machines.into_iter().find(|m| m.id == id);
                if state.retire(id) || known.is_none() {
                    // One that only records named can leave too.
                    let machine = known.unwrap_or_else(|| Machine::bare(id, id));
                    folded.left.push((n, machine));
                }
                Changed::Left(id.to_owned())
            }
        };
        if let Changed::Fields(changes) = &changed {
            changes.iter().for_each(|change| state.apply(change));
        }
        folded.changes.push(changed);
    }
    folded.heads = heads(nodes, &before);
    folded.boat = boat_as_written(nodes, &state).or_else(|| state.boat());
    let here = |id: &str| {
        folded
            .boat
            .iter()
            .flat_map(|b| &b.machines)
            .any(|m| m.id == id)
    };
    folded.left.retain(|(_, machine)| !here(&machine.id));
    folded
}

impl Change {
    /// What it sets a field of a machine to: the machine, and the value.
    pub fn of_machine(&self, field: &str) -> Option<(&str, &serde_json::Value)> {
        let Change::Field(path, Some(value)) = self else {
            return None;
        };
        machine_field(path, field).map(|machine| (machine, value))
    }

    /// The field's name, as [`Difference`](super::fields::Difference) gives it.
    pub fn name(&self) -> Option<String> {
        match self {
            Change::Field(path, _) => Some(path.join(".")),
            Change::Order(_) => None,
        }
    }

    /// What it sets a field of the boat to.
    pub fn of_boat(&self, field: &str) -> Option<&serde_json::Value> {
        match self {
            Change::Field(path, Some(value)) if *path == [field] => Some(value),
            _ => None,
        }
    }
}

fn machine_field<'a>(path: &'a Path, field: &str) -> Option<&'a str> {
    match path.as_slice() {
        [machines, id, name] if machines == "machines" && name == field => Some(id),
        _ => None,
    }
}

/// Of each record, which of those before it its writer knew: those it names, those they name, and so
/// on. One that names none, or none that is here, was made from the record before it.
fn befores(nodes: &[Node<'_>]) -> Vec<Vec<bool>> {
    if nodes.len() > MOST {
        return Vec::new();
    }
    let mut all: Vec<Vec<bool>> = Vec::with_capacity(nodes.len());
    for (n, (_, step)) in nodes.iter().enumerate() {
        let of = match step {
            ProfileStep::Set(set) => &set.base,
            ProfileStep::Retired(retired) => &retired.base,
        };
        let earlier = nodes[..n].iter().enumerate();
        let named = earlier.filter(|(_, (id, _))| of.iter().any(|base| base == id));
        let mut parents: Vec<usize> = named.map(|(m, _)| m).collect();
        if parents.is_empty() {
            parents.extend(n.checked_sub(1));
        }
        let mut known = vec![false; n];
        for parent in parents {
            for (mark, also) in known.iter_mut().zip(&all[parent]) {
                *mark |= *also;
            }
            known[parent] = true;
        }
        all.push(known);
    }
    all
}

/// The profile that some of the records add up to, all of whose changes are known.
fn state_of(known: &[bool], changes: &[Changed]) -> Fields {
    let mut state = Fields::default();
    let known = changes.iter().zip(known).filter(|(_, known)| **known);
    known.for_each(|(changed, _)| changed.apply(&mut state));
    state
}

fn heads(nodes: &[Node<'_>], before: &[Vec<bool>]) -> Vec<String> {
    let known = |n: usize| before.iter().any(|known| known.get(n) == Some(&true));
    let last = nodes.len().saturating_sub(1);
    let ids = nodes.iter().enumerate();
    let free = ids.filter(|(n, _)| *n == last || (!before.is_empty() && !known(*n)));
    free.map(|(_, (id, _))| (*id).to_owned()).collect()
}

/// The newest profile that says the same as the fields, with its lists in the order they were
/// written in.
fn boat_as_written(nodes: &[Node<'_>], state: &Fields) -> Option<Boat> {
    let sets = nodes.iter().rev().filter_map(|(_, step)| match step {
        ProfileStep::Set(set) => Some(&set.boat),
        ProfileStep::Retired(_) => None,
    });
    // Mostly the last one; an old one that happens to say the same is as good.
    let mut last = sets.take(2);
    last.find(|boat| Fields::of(boat) == *state).cloned()
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
