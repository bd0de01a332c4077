//! The best choice of things within limits: exact, with the order by gain for cost and the bound beside
//! it.

use super::front::Front;
use super::grid;

/// So many limits can hold at once, such as minutes, money, and the minutes of each pair of hands.
pub const LIMITS: usize = 6;

/// What something takes of each limit.
pub type Costs = [u64; LIMITS];

/// How far a bound may lie below what is known to be reachable before it is given up: room for
/// rounding.
const SLACK: f64 = 1e-9;

/// Something that can be chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thing {
    /// What choosing it gains, finite and 0 or more.
    pub gain: f64,
    /// What it takes of each limit.
    pub costs: Costs,
    /// What has to be opened for it, by its index, once for all that share it.
    pub opening: Option<usize>,
}

/// Things and limits.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Knapsack {
    /// What can be chosen.
    pub things: Vec<Thing>,
    /// What opening takes.
    pub openings: Vec<Costs>,
    /// The limits that hold; what none holds is not counted.
    pub limits: [Option<u64>; LIMITS],
}

/// A choice.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Chosen {
    /// The indices of the things, in their order.
    pub things: Vec<usize>,
    /// What they gain together.
    pub gain: f64,
    /// What they take together, openings included, of the limits that hold.
    pub costs: Costs,
    /// True where no other choice gains more.
    pub proved: bool,
}

/// Things that are decided on together.
pub(super) struct Block {
    /// What has to be opened for them.
    pub(super) opening: Option<usize>,
    /// Their indices.
    pub(super) things: Vec<usize>,
}

impl Knapsack {
    /// The choice that gains most within the limits: by dynamic programming where one limit holds and
    /// the costs lie on a grid, else by lists of undominated choices. Of choices that gain the same
    /// it is one that takes least of the first limit. Things that gain nothing are never chosen.
    pub fn best(&self) -> Chosen {
        match grid::best(self) {
            Some(things) => self.chosen(things, true),
            None => self.by_lists(),
        }
    }

    /// The choice that gains most by lists of undominated choices alone.
    pub fn by_lists(&self) -> Chosen {
        let reached = self.greedy().gain;
        let worth = reached - SLACK * (1.0 + reached);
        let orders = self.orders();
        let mut blocks = self.blocks();
        // What gains most for its cost comes first, so that little is left to hope for.
        let place = |i: &usize| orders.first().and_then(|o| o.iter().position(|at| at == i));
        blocks.sort_by_key(|b| b.things.iter().filter_map(place).min());
        let mut left = vec![true; self.things.len()];
        let mut front = Front::of_nothing(self.limits);
        for block in blocks {
            let closed = front.branch();
            let mut open = match block.opening {
                Some(group) => front.plus(&closed, (0.0, &self.openings[group]), None),
                None => closed.clone(),
            };
            for i in block.things {
                left[i] = false;
                let thing = &self.things[i];
                let mut taken = front.plus(&open, (thing.gain, &thing.costs), Some(i));
                let hopes =
                    |gain: f64, takes: &Costs| gain + self.hope(&orders, &left, takes) >= worth;
                taken.retain(hopes);
                open.retain(hopes);
                open = front.join(open, taken);
            }
            let all = match block.opening {
                Some(_) => {
                    let mut closed = closed;
                    closed.retain(|gain, takes| gain + self.hope(&orders, &left, takes) >= worth);
                    front.join(closed, open)
                }
                None => open,
            };
            front.go_on(all);
        }
        let best = front.best();
        self.chosen(best.tags, best.proved)
    }

    /// The choice by gain for cost, the best first, each as far as it fits; the cost is the largest
    /// share of a limit, with what has still to be opened.
    pub fn greedy(&self) -> Chosen {
        let mut things = Vec::new();
        let mut open = vec![false; self.openings.len()];
        let mut takes = [0; LIMITS];
        let mut rest: Vec<usize> = self.worthwhile().collect();
        loop {
            let costs = |i: &usize| self.with_opening(*i, &open);
            let fitting = rest.iter().filter(|i| self.fits(&takes, &costs(i)));
            let best = fitting.map(|i| (*i, self.rate(self.things[*i].gain, &costs(i))));
            // Of equals the first.
            let best = best.reduce(|a, b| if b.1 > a.1 { b } else { a });
            let Some((i, _)) = best else { break };
            takes = sum(&takes, &costs(&i));
            if let Some(group) = self.things[i].opening {
                open[group] = true;
            }
            rest.retain(|other| *other != i);
            things.push(i);
        }
        self.chosen(things, false)
    }

    /// No choice gains more: for each limit the things that gain most for their cost, with the
    /// fraction of the first that does not fit, and nothing to open (Dantzig, 1957); the least of
    /// these.
    pub fn bound(&self) -> f64 {
        self.hope(&self.orders(), &vec![true; self.things.len()], &[0; LIMITS])
    }

    /// Things in blocks: those with nothing to open each by itself, the others with what shares it.
    /// What gains nothing is left out.
    pub(super) fn blocks(&self) -> Vec<Block> {
        let mut blocks: Vec<Block> = Vec::new();
        for i in self.worthwhile() {
            let opening = self.things[i].opening;
            let shared = blocks
                .iter_mut()
                .find(|b| opening.is_some() && b.opening == opening);
            match shared {
                Some(block) => block.things.push(i),
                None => blocks.push(Block {
                    opening,
                    things: vec![i],
                }),
            }
        }
        blocks
    }

    fn worthwhile(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.things.len()).filter(|i| self.things[*i].gain > 0.0)
    }

    /// The limits that hold.
    fn limited(&self) -> impl Iterator<Item = (usize, u64)> + '_ {
        let limits = self.limits.iter().enumerate();
        limits.filter_map(|(d, limit)| Some((d, (*limit)?)))
    }

    fn fits(&self, takes: &Costs, more: &Costs) -> bool {
        self.limited()
            .all(|(d, limit)| takes[d].checked_add(more[d]).is_some_and(|s| s <= limit))
    }

    /// What a thing takes with what has still to be opened for it.
    fn with_opening(&self, i: usize, open: &[bool]) -> Costs {
        let thing = &self.things[i];
        match thing.opening.filter(|group| !open[*group]) {
            Some(group) => sum(&thing.costs, &self.openings[group]),
            None => thing.costs,
        }
    }

    /// Gain for cost, the cost being the largest share of a limit.
    fn rate(&self, gain: f64, costs: &Costs) -> f64 {
        let shares = self
            .limited()
            .map(|(d, limit)| costs[d] as f64 / (limit as f64).max(1.0));
        let share = shares.fold(0.0, f64::max);
        if share > 0.0 {
            gain / share
        } else {
            f64::INFINITY
        }
    }

    /// For each limit the things by what they gain for it, the best first.
    fn orders(&self) -> Vec<Vec<usize>> {
        let order = |(d, _): (usize, u64)| {
            let mut order: Vec<usize> = self.worthwhile().collect();
            let rate = |i: &usize| match self.things[*i].costs[d] {
                0 => f64::INFINITY,
                cost => self.things[*i].gain / cost as f64,
            };
            order.sort_by(|a, b| rate(b).total_cmp(&rate(a)));
            order
        };
        self.limited().map(order).collect()
    }

    /// The most that the things left can still add.
    fn hope(&self, orders: &[Vec<usize>], left: &[bool], takes: &Costs) -> f64 {
        let limits = self.limited().zip(orders);
        let bounds = limits.map(|((d, limit), order)| {
            let mut room = limit.saturating_sub(takes[d]);
            let mut gain = 0.0;
            for i in order.iter().filter(|i| left[**i]) {
                let (cost, thing) = (self.things[*i].costs[d], &self.things[*i]);
                if cost > room {
                    return gain + thing.gain * room as f64 / cost as f64;
                }
                room -= cost;
                gain += thing.gain;
            }
            gain
        });
        bounds.reduce(f64::min).unwrap_or_else(|| {
            let left = self.worthwhile().filter(|i| left[*i]);
            left.map(|i| self.things[i].gain).sum()
        })
    }

    fn chosen(&self, mut things: Vec<usize>, proved: bool) -> Chosen {
        things.sort_unstable();
        let mut open = vec![false; self.openings.len()];
        let mut costs = [0; LIMITS];
        for i in &things {
            costs = sum(&costs, &self.with_opening(*i, &open));
            if let Some(group) = self.things[*i].opening {
                open[group] = true;
            }
        }
        Chosen {
            gain: things.iter().map(|i| self.things[*i].gain).sum(),
            costs,
            things,
            proved,
        }
    }
}

fn sum(a: &Costs, b: &Costs) -> Costs {
    std::array::from_fn(|d| a[d].saturating_add(b[d]))
}
