//! Jobs before leaving: what must be done first, which of the others to do in the time and for the money
//! left, and whether that choice still stands when work takes longer.

use super::knapsack::{Costs, Knapsack, LIMITS, Thing};
use super::trouble::{any, gain, quiet};

/// So many pairs of hands can have hours of their own.
pub const HANDS: usize = LIMITS - 2;

/// Work takes half as long again: estimates of it are poor.
pub const LONGER: Stretch = Stretch { by: 3, of: 2 };
/// Work takes as long as said.
pub const AS_SAID: Stretch = Stretch { by: 1, of: 1 };

/// By how much work takes longer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    by: u64,
    of: u64,
}

/// What may be done with a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Call {
    /// It is weighed against the others.
    Free,
    /// It is done, whatever it takes.
    Must,
    /// It is done by somebody who is not counted here.
    MustByOthers,
    /// It is not done.
    Out,
}

/// A job.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// What it is known by; jobs are weighed in the order of it, whatever order they come in.
    pub id: String,
    /// Chance of trouble over the passage as it is, 0 to 1.
    pub trouble: f64,
    /// The same once mended.
    pub mended: f64,
    /// Minutes of work, without opening.
    pub minutes: u32,
    /// Money, in hundredths.
    pub money: u64,
    /// Whose hands, below [`HANDS`].
    pub hands: usize,
    /// What has to be opened for it, by its place among the accesses.
    pub access: Option<usize>,
    /// What may be done with it.
    pub call: Call,
}

/// What is opened once for all jobs behind it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Access {
    /// Minutes to open it and to close it again.
    pub minutes: u32,
}

/// What there is; what is none is without limit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Means {
    /// Minutes in all, one job after another.
    pub minutes: Option<u32>,
    /// Money, in hundredths.
    pub money: Option<u64>,
    /// Minutes of each pair of hands, opening not counted.
    pub hands: [Option<u32>; HANDS],
}

/// A plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The free jobs to do, by their place.
    pub chosen: Vec<usize>,
    /// Chance of any trouble once what must be done is done.
    pub before: f64,
    /// The same once what is chosen is done too.
    pub after: f64,
    /// The same for the choice by gain for minutes alone.
    pub by_order: f64,
    /// No choice brings it lower.
    pub at_least: f64,
    /// Minutes of what must be done, opening included.
    pub must_minutes: u64,
    /// Minutes of what is chosen, opening included.
    pub minutes: u64,
    /// Money for what must be done, hundredths.
    pub must_money: u64,
    /// Money for what is chosen, hundredths.
    pub money: u64,
    /// Minutes by which what must be done alone goes beyond what there is.
    pub short_of_minutes: u64,
    /// Money, hundredths, by which it does.
    pub short_of_money: u64,
    /// True where no other choice is better.
    pub proved: bool,
}

impl Job {
    /// What doing it gains.
    pub fn gain(&self) -> f64 {
        gain(self.trouble, self.mended)
    }

    fn costs(&self) -> Costs {
        let minutes = u64::from(self.minutes);
        let mut costs = [0; LIMITS];
        costs[0] = minutes;
        costs[1] = self.money;
        if let Some(hands) = costs[2..].get_mut(self.hands) {
            *hands = minutes;
        }
        costs
    }
}

/// Chance of any trouble where what must be done and some free jobs are done.
pub fn trouble_left(jobs: &[Job], done: &[usize]) -> f64 {
    any(quiet_left(jobs, done))
}

/// Logarithm of the chance of none.
fn quiet_left(jobs: &[Job], done: &[usize]) -> f64 {
    let each = jobs.iter().enumerate().map(|(i, job)| {
        let must = matches!(job.call, Call::Must | Call::MustByOthers);
        match must || done.contains(&i) {
            true => quiet(job.mended.min(job.trouble)),
            false => quiet(job.trouble),
        }
    });
    each.sum()
}

/// The share of the trouble left beside what must be done that some free jobs take away, 0 to 1.
pub fn taken_away(jobs: &[Job], done: &[usize]) -> f64 {
    let before = trouble_left(jobs, &[]);
    match before > 0.0 {
        true => ((before - trouble_left(jobs, done)) / before).clamp(0.0, 1.0),
        false => 0.0,
    }
}

/// The best plan with what there is, where work takes so much longer than said.
pub fn plan(jobs: &[Job], accesses: &[Access], means: &Means, stretch: Stretch) -> Plan {
    let mut order: Vec<usize> = (0..jobs.len()).collect();
    order.sort_by(|a, b| jobs[*a].id.cmp(&jobs[*b].id));
    let mut openings: Vec<Costs> = accesses.iter().map(|a| opening(a, stretch)).collect();
    // What must be done comes first, and what it opens stands open for the others.
    let mut must: Costs = [0; LIMITS];
    for job in jobs.iter().filter(|job| job.call == Call::Must) {
        let costs = stretched(&job.costs(), stretch);
        must = add(&must, &costs);
        if let Some(opened) = job.access.and_then(|a| openings.get_mut(a)) {
            must = add(&must, opened);
            *opened = [0; LIMITS];
        }
    }
    let limits = limits(means, stretch);
    let free: Vec<usize> = order
        .into_iter()
        .filter(|i| jobs[*i].call == Call::Free)
        .collect();
    let thing = |i: &usize| Thing {
        gain: jobs[*i].gain(),
        costs: stretched(&jobs[*i].costs(), stretch),
        opening: jobs[*i].access.filter(|a| *a < openings.len()),
    };
    let knapsack = Knapsack {
        things: free.iter().map(thing).collect(),
        limits: std::array::from_fn(|d| limits[d].map(|limit| limit.saturating_sub(must[d]))),
        openings,
    };
    let best = knapsack.best();
    let begun = quiet_left(jobs, &[]);
    let with = |gain: f64| any(begun + gain).max(0.0);
    let mut chosen: Vec<usize> = best.things.iter().map(|n| free[*n]).collect();
    chosen.sort_unstable();
    let short = |d: usize| limits[d].map_or(0, |limit| must[d].saturating_sub(limit));
    let in_minutes = |units: u64| units.div_ceil(stretch.of);
    Plan {
        after: trouble_left(jobs, &chosen),
        by_order: with(knapsack.greedy().gain),
        at_least: with(knapsack.bound()),
        must_minutes: in_minutes(must[0]),
        minutes: in_minutes(best.costs[0]),
        must_money: must[1] / stretch.of,
        money: best.costs[1] / stretch.of,
        short_of_minutes: in_minutes(
            (0..LIMITS)
                .filter(|d| *d != 1)
                .map(short)
                .max()
                .unwrap_or(0),
        ),
        short_of_money: short(1) / stretch.of,
        proved: best.proved,
        before: any(begun),
        chosen,
    }
}

fn limits(means: &Means, stretch: Stretch) -> [Option<u64>; LIMITS] {
    let minutes = |m: Option<u32>| m.map(u64::from);
    let [a, b, c, d] = means.hands;
    let all = [
        minutes(means.minutes),
        means.money,
        minutes(a),
        minutes(b),
        minutes(c),
        minutes(d),
    ];
    all.map(|limit| limit.map(|l| l.saturating_mul(stretch.of)))
}

/// Costs in the units of a stretch: minutes go by it, money does not.
fn stretched(costs: &Costs, stretch: Stretch) -> Costs {
    std::array::from_fn(|d| costs[d].saturating_mul(if d == 1 { stretch.of } else { stretch.by }))
}

fn opening(access: &Access, stretch: Stretch) -> Costs {
    let mut costs = [0; LIMITS];
    costs[0] = u64::from(access.minutes);
    stretched(&costs, stretch)
}

fn add(a: &Costs, b: &Costs) -> Costs {
    std::array::from_fn(|d| a[d].saturating_add(b[d]))
}
