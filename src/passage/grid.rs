//! The best choice within one limit whose costs lie on a grid, by dynamic programming over its cells.

use super::knapsack::Knapsack;

/// With more cells than this the lists of undominated choices are quicker.
const MOST_CELLS: usize = 10_000;

/// A block of things chosen together: those without an access one by one, the others by their access.
struct Block {
    /// Cells that opening takes; none where nothing has to be opened.
    opening: Option<usize>,
    /// Index and cells of each thing.
    things: Vec<(usize, usize)>,
}

/// The indices of the best choice; none where there is not exactly one limit or its costs lie on no
/// grid of a moderate number of cells.
pub(super) fn best(knapsack: &Knapsack) -> Option<Vec<usize>> {
    let mut limited = knapsack.limits.iter().enumerate();
    let (d, limit) = limited.find_map(|(d, limit)| Some((d, (*limit)?)))?;
    if limited.any(|(_, limit)| limit.is_some()) {
        return None;
    }
    let things = knapsack.things.iter().map(|t| t.costs[d]);
    let costs = things.chain(knapsack.openings.iter().map(|o| o[d]));
    let (grid, total) = costs.fold((0, 0_u64), |(grid, total), cost| {
        (gcd(grid, cost), total.saturating_add(cost))
    });
    let cells = |cost: u64| usize::try_from(cost / grid.max(1)).ok();
    let most = cells(limit.min(total)).filter(|cells| *cells < MOST_CELLS)?;
    let mut blocks = Vec::new();
    for block in knapsack.blocks() {
        let opening = match block.opening {
            Some(group) => Some(cells(knapsack.openings[group][d])?),
            None => None,
        };
        let things = block.things.iter();
        let things = things.map(|i| Some((*i, cells(knapsack.things[*i].costs[d])?)));
        blocks.push(Block {
            opening,
            things: things.collect::<Option<_>>()?,
        });
    }
    Some(fill(knapsack, &blocks, most))
}

/// What was decided at each cell of one step.
type Taken = Vec<bool>;

/// Goes forward through the blocks, then back along what was decided.
fn fill(knapsack: &Knapsack, blocks: &[Block], most: usize) -> Vec<usize> {
    let mut best = vec![0.0; most + 1];
    // For each block what was taken of each thing, and where opening paid.
    let mut decided: Vec<(Vec<Taken>, Taken)> = Vec::with_capacity(blocks.len());
    for block in blocks {
        let mut open = shifted(&best, block.opening.unwrap_or(0));
        let mut taken = Vec::with_capacity(block.things.len());
        for (thing, cost) in &block.things {
            taken.push(take(&mut open, knapsack.things[*thing].gain, *cost));
        }
        let pays: Taken = open.iter().zip(&best).map(|(o, b)| o > b).collect();
        for ((best, open), pays) in best.iter_mut().zip(open).zip(&pays) {
            *best = if *pays { open } else { *best };
        }
        decided.push((taken, pays));
    }
    // The fewest cells that gain as much.
    let mut at = best.iter().position(|b| *b >= best[most]).unwrap_or(most);
    let mut chosen = Vec::new();
    for (block, (taken, pays)) in blocks.iter().zip(&decided).rev() {
        if !pays[at] {
            continue;
        }
        for ((thing, cost), taken) in block.things.iter().zip(taken).rev() {
            if taken[at] {
                chosen.push(*thing);
                at -= cost;
            }
        }
        at -= block.opening.unwrap_or(0);
    }
    chosen
}

/// The same with so many cells taken first; what does not fit is out of reach.
fn shifted(best: &[f64], cells: usize) -> Vec<f64> {
    let reached = best.len().saturating_sub(cells);
    let out = std::iter::repeat_n(f64::NEG_INFINITY, best.len() - reached);
    out.chain(best[..reached].iter().copied()).collect()
}

/// Takes a thing wherever that is better; where it was taken.
fn take(best: &mut [f64], gain: f64, cost: usize) -> Taken {
    let mut taken = vec![false; best.len()];
    for at in (cost..best.len()).rev() {
        let with = best[at - cost] + gain;
        if with > best[at] {
            best[at] = with;
            taken[at] = true;
        }
    }
    taken
}

const fn gcd(a: u64, b: u64) -> u64 {
    let (mut a, mut b) = (a, b);
    while b > 0 {
        (a, b) = (b, a % b);
    }
    a
}
