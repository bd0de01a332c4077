//! Choices of which none is beaten by another: a list that grows thing by thing. Exact for any number
//! of limits, and for costs that lie on no grid.

use super::knapsack::{Costs, LIMITS};

/// So many choices are kept side by side; beyond them those that gain least are let go, and what is
/// found is no longer proved to be the best.
const MOST: usize = 20_000;

/// A choice: what it gains, what it takes, and how it came about.
#[derive(Clone, Copy, Debug)]
struct Choice {
    gain: f64,
    takes: Costs,
    came: usize,
}

/// One job taken on the way to a choice, and what was chosen before it.
#[derive(Clone, Copy, Debug)]
struct BackPointer {
    before: usize,
    tag: usize,
}

/// The list, with the way each choice came about.
#[derive(Clone, Debug)]
pub(super) struct Front {
    choices: Vec<Choice>,
    ways: Vec<BackPointer>,
    limits: [Option<u64>; LIMITS],
    proved: bool,
}

/// A part of the list that goes on by itself for a while.
#[derive(Clone, Debug)]
pub(super) struct Branch(Vec<Choice>);

impl Branch {
    /// Leaves out each choice for which `hope` says that it cannot become the best any more.
    pub(super) fn retain(&mut self, hope: impl Fn(f64, &Costs) -> bool) {
        self.0.retain(|choice| hope(choice.gain, &choice.takes));
    }
}

/// The best choice of a list.
#[derive(Clone, Debug)]
pub(super) struct Best {
    /// The tags on the way to it, in the order in which they were taken.
    pub(super) tags: Vec<usize>,
    /// Whether nothing was let go on the way.
    pub(super) proved: bool,
}

impl Front {
    /// The choice of nothing.
    pub(super) fn of_nothing(limits: [Option<u64>; LIMITS]) -> Front {
        let nothing = Choice {
            gain: 0.0,
            takes: [0; LIMITS],
            came: 0,
        };
        Front {
            choices: vec![nothing],
            // The first is none.
            ways: vec![BackPointer { before: 0, tag: 0 }],
            limits,
            proved: true,
        }
    }

    /// The whole list as a branch.
    pub(super) fn branch(&self) -> Branch {
        Branch(self.choices.clone())
    }

    /// A branch with something taken, as far as it fits. What has no tag is not told at the end.
    pub(super) fn plus(
        &mut self,
        branch: &Branch,
        (gain, costs): (f64, &Costs),
        tag: Option<usize>,
    ) -> Branch {
        let mut taken = Vec::with_capacity(branch.0.len());
        for choice in &branch.0 {
            let Some(takes) = fits(&choice.takes, costs, &self.limits) else {
                continue;
            };
            let came = tag.map_or(choice.came, |tag| {
                self.ways.push(BackPointer {
                    before: choice.came,
                    tag,
                });
                self.ways.len() - 1
            });
            taken.push(Choice {
                gain: choice.gain + gain,
                takes,
                came,
            });
        }
        Branch(taken)
    }

    /// Two branches together, without what is beaten.
    pub(super) fn join(&mut self, one: Branch, other: Branch) -> Branch {
        let mut all = one.0;
        all.extend(other.0);
        let limited: Vec<usize> = (0..LIMITS).filter(|d| self.limits[*d].is_some()).collect();
        let mut kept = undominated(all, &limited);
        if kept.len() > MOST {
            self.proved = false;
            kept.sort_by(|a, b| b.gain.total_cmp(&a.gain));
            kept.truncate(MOST);
        }
        Branch(kept)
    }

    /// Goes on with a branch.
    pub(super) fn go_on(&mut self, branch: Branch) {
        self.choices = branch.0;
    }

    /// The choice that gains most; of equals the one that takes least of the first limits.
    pub(super) fn best(&self) -> Best {
        let by_gain = |a: &&Choice, b: &&Choice| {
            a.gain
                .total_cmp(&b.gain)
                .then_with(|| b.takes.cmp(&a.takes))
        };
        let mut tags = Vec::new();
        let mut at = self.choices.iter().max_by(by_gain).map_or(0, |c| c.came);
        while at > 0 {
            tags.push(self.ways[at].tag);
            at = self.ways[at].before;
        }
        tags.reverse();
        Best {
            tags,
            proved: self.proved,
        }
    }
}

/// What is taken with something more, where it keeps within the limits. What no limit counts is not
/// added up.
fn fits(takes: &Costs, more: &Costs, limits: &[Option<u64>; LIMITS]) -> Option<Costs> {
    let mut sum = [0; LIMITS];
    for (d, limit) in limits.iter().enumerate() {
        let Some(limit) = limit else { continue };
        sum[d] = takes[d].checked_add(more[d]).filter(|s| s <= limit)?;
    }
    Some(sum)
}

/// Of some choices those that no other beats: gaining as much or more and taking no more of any
/// limit. Of equals the first stays.
fn undominated(mut all: Vec<Choice>, limited: &[usize]) -> Vec<Choice> {
    all.sort_by(|a, b| a.takes.cmp(&b.takes).then(b.gain.total_cmp(&a.gain)));
    let mut kept: Vec<Choice> = Vec::with_capacity(all.len());
    if limited.len() <= 1 {
        let mut most = f64::NEG_INFINITY;
        for choice in all {
            if choice.gain > most {
                most = choice.gain;
                kept.push(choice);
            }
        }
        return kept;
    }
    // Sorted by what is taken, so that only one before can beat one behind.
    for choice in all {
        let beats = |k: &Choice| {
            k.gain >= choice.gain && limited.iter().all(|d| k.takes[*d] <= choice.takes[*d])
        };
        if !kept.iter().rev().any(beats) {
            kept.push(choice);
        }
    }
    kept
}
