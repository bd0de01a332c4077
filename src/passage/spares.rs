//! Which spares to take within so many litres, kilograms and so much money: the choice of counts under
//! which being stopped for want of a spare is least likely.

use super::front::Front;
use super::knapsack::{Costs, LIMITS};
use super::poisson::beyond;
use super::trouble::{any, quiet};

/// No more of one spare are taken.
const MOST_OF_ONE: usize = 99;
/// A further spare that gains less is not taken.
const LEAST_GAIN: f64 = 1e-12;

/// A spare that can be taken, once or several times.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spare {
    /// Expected demand over the passage, all positions it serves together.
    pub demand: f64,
    /// Chance that being without it when it is wanted brings trouble, 0 to 1.
    pub beta: f64,
    /// So many are there already, and take nothing.
    pub aboard: usize,
    /// What one more takes of each limit, such as litres, kilograms and money.
    pub costs: Costs,
}

/// How many of each to take beside what is there.
#[derive(Clone, Debug, PartialEq)]
pub struct Locker {
    /// Of each spare, in their order.
    pub counts: Vec<usize>,
    /// Chance of trouble for want of any of them, 0 to 1.
    pub trouble: f64,
    /// True where no other choice within the limits makes it less likely.
    pub proved: bool,
}

impl Spare {
    /// What so many more gain over none: the logarithm of the factor by which the chance of no trouble for
    /// want of it grows.
    pub fn gain(&self, stock: usize) -> f64 {
        (self.quiet(stock) - self.quiet(0)).max(0.0)
    }

    /// True where each further one gains less than the one before, so that adding the best next one
    /// again and again is exact at each step: always where its want is sure to bring trouble, since
    /// the Poisson distribution function is logarithmically concave, and up to a demand of 2, since
    /// the steps of that function fall.
    pub fn gains_fall(&self) -> bool {
        self.beta >= 1.0 || self.demand <= 2.0
    }

    fn quiet(&self, stock: usize) -> f64 {
        quiet(self.beta * beyond(self.aboard.saturating_add(stock), self.demand))
    }

    /// No stock beyond this fits, or gains more than `least`.
    fn most(&self, limits: &[Option<u64>; LIMITS], least: f64) -> usize {
        let fits = limits.iter().zip(self.costs);
        let fits = fits.filter_map(|(limit, cost)| limit.and_then(|l| l.checked_div(cost)));
        let fits = fits.min().and_then(|fits| usize::try_from(fits).ok());
        let most = fits.unwrap_or(MOST_OF_ONE).min(MOST_OF_ONE);
        let gains = |stock: &usize| self.gain(most) - self.gain(*stock) > least;
        (0..most).rev().find(gains).map_or(0, |stock| stock + 1)
    }
}

/// Chance of trouble for want of any spare with such counts.
pub fn trouble(spares: &[Spare], counts: &[usize]) -> f64 {
    any(spares.iter().zip(counts).map(|(s, n)| s.quiet(*n)).sum())
}

/// The counts within the limits that make trouble least likely.
pub fn best(spares: &[Spare], limits: &[Option<u64>; LIMITS]) -> Locker {
    best_few(spares, limits, LEAST_GAIN)
}

/// The same, of no spare more than the count beyond which all others together gain no more than `least`.
pub fn best_few(spares: &[Spare], limits: &[Option<u64>; LIMITS], least: f64) -> Locker {
    let mut front = Front::of_nothing(*limits);
    for (i, spare) in spares.iter().enumerate() {
        let none = front.branch();
        let mut all = none.clone();
        for stock in 1..=spare.most(limits, least.max(LEAST_GAIN)) {
            let costs = spare.costs.map(|cost| cost.saturating_mul(stock as u64));
            let tag = i * (MOST_OF_ONE + 1) + stock;
            let taken = front.plus(&none, (spare.gain(stock), &costs), Some(tag));
            all = front.join(all, taken);
        }
        front.go_on(all);
    }
    let best = front.best();
    let mut counts = vec![0; spares.len()];
    for tag in best.tags {
        counts[tag / (MOST_OF_ONE + 1)] = tag % (MOST_OF_ONE + 1);
    }
    Locker {
        trouble: trouble(spares, &counts),
        counts,
        proved: best.proved,
    }
}

/// Counts passed through by always adding the spare that gains most for what it takes of one limit,
/// until the next one does not fit: each is the best within what it takes itself. None where the
/// gains of a spare need not fall, so that nothing proves it.
pub fn marginal(spares: &[Spare], limited: usize, limit: u64) -> Option<Vec<Vec<usize>>> {
    if !spares.iter().all(Spare::gains_fall) {
        return None;
    }
    let costs: Vec<u64> = spares.iter().map(|s| s.costs[limited]).collect();
    let gain = |i: usize, stock: usize| spares[i].quiet(stock + 1) - spares[i].quiet(stock);
    Some(by_margin(gain, &costs, limit))
}

/// The same of anything whose gain for one more falls: `gain(i, n)` is that of the next of the `i`-th
/// where there are `n`. The first of the counts is none of any.
pub fn by_margin(gain: impl Fn(usize, usize) -> f64, costs: &[u64], limit: u64) -> Vec<Vec<usize>> {
    let mut counts = vec![0; costs.len()];
    let mut path = vec![counts.clone()];
    let mut left = limit;
    loop {
        let next = (0..costs.len()).filter(|i| counts[*i] < MOST_OF_ONE);
        let next = next.map(|i| (i, gain(i, counts[i])));
        let next = next.filter(|(_, gain)| *gain > LEAST_GAIN);
        // Of equals the first.
        let best = next.reduce(|a, b| {
            let rate = |(i, gain): (usize, f64)| gain / costs[i] as f64;
            if rate(b) > rate(a) { b } else { a }
        });
        let Some((i, rest)) = best.and_then(|(i, _)| Some((i, left.checked_sub(costs[i])?))) else {
            return path;
        };
        left = rest;
        counts[i] += 1;
        path.push(counts.clone());
    }
}
