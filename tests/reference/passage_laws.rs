//! Laws of what is chosen before leaving, on random jobs and spares, and against trying every choice.

use handlamp::passage::plan::{AS_SAID, LONGER, taken_away, trouble_left};
use handlamp::passage::spares::{Spare, best as best_spares, marginal, trouble};
use handlamp::passage::{Access, Call, Costs, Job, Knapsack, LIMITS, Means, Thing, plan};
use proptest::prelude::*;

const ACCESSES: usize = 3;

fn job(n: usize) -> impl Strategy<Value = Job> {
    let chances = (0.0..0.9_f64, 0.0..0.02_f64);
    let behind = proptest::option::of(0..ACCESSES);
    // On the grid of five minutes and off it.
    let minutes = prop_oneof![(1..60_u32).prop_map(|m| 5 * m), 1..300_u32];
    let all = (chances, minutes, 0..30_000_u64, 0..4_usize, behind);
    all.prop_map(
        move |((trouble, mended), minutes, money, hands, access)| Job {
            id: format!("job-{n:02}"),
            trouble,
            mended: mended.min(trouble),
            minutes,
            money,
            hands,
            access,
            call: Call::Free,
        },
    )
}

fn jobs(most: usize) -> impl Strategy<Value = Vec<Job>> {
    (0..=most).prop_flat_map(|n| (0..n).map(job).collect::<Vec<_>>())
}

fn accesses() -> impl Strategy<Value = Vec<Access>> {
    prop::collection::vec((0..60_u32).prop_map(|minutes| Access { minutes }), ACCESSES)
}

fn means() -> impl Strategy<Value = Means> {
    let minutes = proptest::option::weighted(0.9, 0..1500_u32);
    let money = proptest::option::weighted(0.4, 0..100_000_u64);
    let hand = || proptest::option::weighted(0.2, 0..600_u32);
    (minutes, money, hand(), hand()).prop_map(|(minutes, money, owner, mechanic)| Means {
        minutes,
        money,
        hands: [owner, mechanic, None, None],
    })
}

/// The least trouble by trying every choice.
fn by_trying(jobs: &[Job], accesses: &[Access], means: &Means) -> f64 {
    let mut least = f64::INFINITY;
    for bits in 0..1_u32 << jobs.len() {
        let done: Vec<usize> = (0..jobs.len()).filter(|i| bits >> i & 1 == 1).collect();
        let behind = |a: usize| done.iter().any(|i| jobs[*i].access == Some(a));
        let opened = (0..accesses.len()).filter(|a| behind(*a));
        let opened: u32 = opened.map(|a| accesses[a].minutes).sum();
        let sum = |hands: Option<usize>| {
            let these = done.iter().map(|i| &jobs[*i]);
            let these = these.filter(|j| hands.is_none_or(|h| j.hands == h));
            these.map(|j| j.minutes).sum::<u32>()
        };
        let money = done.iter().map(|i| jobs[*i].money).sum::<u64>();
        let hands = means.hands.iter().enumerate();
        let mut hands = hands.filter_map(|(h, limit)| Some((h, (*limit)?)));
        let fits = means
            .minutes
            .is_none_or(|limit| sum(None) + opened <= limit)
            && means.money.is_none_or(|limit| money <= limit)
            && hands.all(|(h, limit)| sum(Some(h)) <= limit);
        if fits {
            least = least.min(trouble_left(jobs, &done));
        }
    }
    least
}

fn as_good(found: f64, least: f64) -> bool {
    (found - least).abs() < 1e-9
}

fn ids(jobs: &[Job], chosen: &[usize]) -> Vec<String> {
    let mut ids: Vec<String> = chosen.iter().map(|i| jobs[*i].id.clone()).collect();
    ids.sort();
    ids
}

fn spare(limited: usize) -> impl Strategy<Value = Spare> {
    let costs = prop::collection::vec(1..6_u64, limited);
    (0.0..5.0_f64, 0.05..=1.0_f64, costs).prop_map(|(demand, beta, of)| Spare {
        demand,
        beta,
        aboard: 0,
        costs: std::array::from_fn(|d| of.get(d).copied().unwrap_or(0)),
    })
}

/// Every choice of counts that takes no more than so much of the first limit.
fn for_each_choice(spares: &[Spare], room: u64, told: &mut impl FnMut(&[usize])) {
    fn go(spares: &[Spare], room: u64, counts: &mut Vec<usize>, told: &mut impl FnMut(&[usize])) {
        let Some(spare) = spares.get(counts.len()) else {
            return told(counts);
        };
        for stock in 0..=(room / spare.costs[0]) {
            counts.push(stock as usize);
            go(spares, room - stock * spare.costs[0], counts, told);
            counts.pop();
        }
    }
    go(spares, room, &mut Vec::new(), told);
}

fn spares(limited: usize) -> impl Strategy<Value = Vec<Spare>> {
    prop::collection::vec(spare(limited), 1..5)
}

fn limits(of: &[u64]) -> [Option<u64>; LIMITS] {
    std::array::from_fn(|d| of.get(d).copied())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn no_choice_is_better(jobs in jobs(9), accesses in accesses(), means in means()) {
        let found = plan(&jobs, &accesses, &means, AS_SAID);
        prop_assert!(found.proved);
        let least = by_trying(&jobs, &accesses, &means);
        prop_assert!(as_good(found.after, least), "{} for {least}", found.after);
    }

    #[test]
    fn more_time_and_money_are_never_worse(
        jobs in jobs(20), accesses in accesses(), means in means(), more in 0..300_u32
    ) {
        let richer = Means {
            minutes: means.minutes.map(|m| m + more),
            money: means.money.map(|m| m + u64::from(more) * 50),
            hands: means.hands.map(|h| h.map(|m| m + more)),
        };
        let (less, more) = (
            plan(&jobs, &accesses, &means, AS_SAID),
            plan(&jobs, &accesses, &richer, AS_SAID),
        );
        prop_assert!(more.after <= less.after + 1e-12);
        // Nor is time that goes less far any better.
        let longer = plan(&jobs, &accesses, &means, LONGER);
        prop_assert!(longer.after >= less.after - 1e-12);
    }

    #[test]
    fn what_is_mended_stays_so_where_it_is_worse(
        jobs in jobs(20), accesses in accesses(), means in means(), which in any::<prop::sample::Index>(),
        worse in 0.001..0.09_f64
    ) {
        let found = plan(&jobs, &accesses, &means, AS_SAID);
        if !found.chosen.is_empty() {
            let at = found.chosen[which.index(found.chosen.len())];
            let mut others = jobs.clone();
            others[at].trouble += worse;
            let then = plan(&others, &accesses, &means, AS_SAID);
            prop_assert!(then.chosen.contains(&at));
        }
    }

    #[test]
    fn the_order_by_gain_and_the_bound_hold_the_plan_between_them(
        jobs in jobs(20), accesses in accesses(), means in means()
    ) {
        let found = plan(&jobs, &accesses, &means, AS_SAID);
        prop_assert!(found.after <= found.by_order + 1e-12);
        prop_assert!(found.at_least <= found.after + 1e-12);
        prop_assert!(found.after <= found.before + 1e-12);
        let share = taken_away(&jobs, &found.chosen);
        prop_assert!((0.0..=1.0).contains(&share));
        let minutes = means.minutes.map_or(u64::MAX, u64::from);
        prop_assert!(found.minutes <= minutes);
        prop_assert!(found.money <= means.money.unwrap_or(u64::MAX));
    }

    #[test]
    fn what_gains_nothing_changes_nothing(
        jobs in jobs(20), accesses in accesses(), means in means(), idle in job(99)
    ) {
        let mut more = jobs.clone();
        more.push(Job { mended: idle.trouble, ..idle });
        let (without, with) = (
            plan(&jobs, &accesses, &means, AS_SAID),
            plan(&more, &accesses, &means, AS_SAID),
        );
        prop_assert_eq!(ids(&jobs, &without.chosen), ids(&more, &with.chosen));
    }

    #[test]
    fn the_order_in_which_jobs_come_changes_nothing(
        (jobs, mixed) in jobs(20).prop_flat_map(|jobs| (Just(jobs.clone()), Just(jobs).prop_shuffle())),
        accesses in accesses(), means in means()
    ) {
        let (one, other) = (
            plan(&jobs, &accesses, &means, AS_SAID),
            plan(&mixed, &accesses, &means, AS_SAID),
        );
        prop_assert_eq!(ids(&jobs, &one.chosen), ids(&mixed, &other.chosen));
        prop_assert!((one.after - other.after).abs() < 1e-12);
    }

    #[test]
    fn what_must_be_done_takes_its_time_first_and_is_never_traded(
        jobs in jobs(12), accesses in accesses(), means in means(), which in any::<prop::sample::Index>()
    ) {
        if !jobs.is_empty() {
            let mut jobs = jobs;
            let at = which.index(jobs.len());
            jobs[at].call = Call::Must;
            let found = plan(&jobs, &accesses, &means, AS_SAID);
            prop_assert!(!found.chosen.contains(&at));
            let opening = jobs[at].access.map_or(0, |a| accesses[a].minutes);
            prop_assert_eq!(found.must_minutes, u64::from(jobs[at].minutes + opening));
            if let Some(minutes) = means.minutes.map(u64::from) {
                prop_assert!(found.minutes + found.must_minutes <= minutes + found.short_of_minutes);
            }
        }
    }

    #[test]
    fn room_for_one_more_spare_is_at_least_as_good_as_that_spare(
        spares in (1..3_usize).prop_flat_map(spares), room in prop::collection::vec(0..16_u64, 2),
        which in any::<prop::sample::Index>()
    ) {
        let found = best_spares(&spares, &limits(&room));
        let at = which.index(spares.len());
        let roomier: Vec<u64> = room.iter().zip(spares[at].costs).map(|(r, c)| r + c).collect();
        let then = best_spares(&spares, &limits(&roomier));
        let mut with_one = found.counts.clone();
        with_one[at] += 1;
        prop_assert!(then.trouble <= trouble(&spares, &with_one) + 1e-12);
        let within = (0..2).all(|d| {
            found.counts.iter().zip(&spares).map(|(n, s)| *n as u64 * s.costs[d]).sum::<u64>() <= room[d]
        });
        prop_assert!(within);
    }

    #[test]
    fn what_is_aboard_is_as_if_it_had_been_taken_and_takes_nothing(
        spares in spares(1), room in 0..20_u64, which in any::<prop::sample::Index>(), there in 0..4_usize
    ) {
        let at = which.index(spares.len());
        let mut some = spares.clone();
        some[at].aboard = there;
        let found = best_spares(&some, &limits(&[room]));
        let mut all = found.counts.clone();
        all[at] += there;
        prop_assert!((found.trouble - trouble(&spares, &all)).abs() < 1e-12);
        // Every choice of counts, with what is there: none is better.
        let mut least = f64::INFINITY;
        for_each_choice(&some, room, &mut |counts| least = least.min(trouble(&some, counts)));
        prop_assert!(found.proved && (found.trouble - least).abs() < 1e-9);
        // Nor is it worse than without it.
        prop_assert!(found.trouble <= best_spares(&spares, &limits(&[room])).trouble + 1e-12);
    }

    #[test]
    fn each_point_of_marginal_analysis_is_the_best_for_what_it_takes(
        spares in spares(1), room in 0..25_u64
    ) {
        match marginal(&spares, 0, room) {
            None => prop_assert!(spares.iter().any(|s| s.beta < 1.0 && s.demand > 2.0)),
            Some(path) => for counts in path {
                let takes = counts.iter().zip(&spares).map(|(n, s)| *n as u64 * s.costs[0]).sum();
                let found = best_spares(&spares, &limits(&[takes]));
                prop_assert!((found.trouble - trouble(&spares, &counts)).abs() < 1e-9);
            },
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(20))]

    #[test]
    fn no_choice_of_sixteen_is_better(
        jobs in (0..16_usize).map(job).collect::<Vec<_>>(), accesses in accesses(), means in means()
    ) {
        let found = plan(&jobs, &accesses, &means, AS_SAID);
        let least = by_trying(&jobs, &accesses, &means);
        prop_assert!(as_good(found.after, least), "{} for {least}", found.after);
    }
}

/// Where the gain of one more spare grows at first, going on by the best next one has no proof, and the
/// choice over counts is right all the same.
#[test]
fn gains_that_grow_at_first_are_chosen_by_counts() {
    let spare = Spare {
        demand: 6.0,
        beta: 0.5,
        aboard: 0,
        costs: [1, 0, 0, 0, 0, 0],
    };
    assert!(!spare.gains_fall());
    assert!(marginal(&[spare], 0, 9).is_none());
    let step = |n: usize| spare.gain(n + 1) - spare.gain(n);
    assert!(step(2) > step(1), "the second gains more than the first");
    assert_eq!(
        best_spares(&[spare, spare], &limits(&[9]))
            .counts
            .iter()
            .sum::<usize>(),
        9
    );
}

/// A hundred and twenty jobs on a grid of five minutes for forty hours stay within a moment, and so do
/// they within three limits.
#[test]
fn many_jobs_are_weighed_at_once() {
    let chance = |n: usize| ((n * 37) % 101) as f64 / 120.0 + 0.003;
    let thing = |n: usize| Thing {
        gain: chance(n),
        costs: [
            5 * (3 + (n as u64 * 53) % 60),
            (n as u64 * 97) % 400,
            0,
            0,
            0,
            0,
        ],
        opening: n.is_multiple_of(4).then_some(n % 5),
    };
    let opening: Costs = [15, 0, 0, 0, 0, 0];
    let knapsack = |limits| Knapsack {
        things: (0..120).map(thing).collect(),
        openings: vec![opening; 5],
        limits,
    };
    let one = knapsack(limits(&[40 * 60]));
    let started = std::time::Instant::now();
    let found = one.best();
    let took = started.elapsed();
    assert!(found.proved && found.things.len() < 120);
    let lists = one.by_lists();
    assert!((found.gain - lists.gain).abs() < 1e-9);
    // Without optimisation; with it a hundredth of this.
    assert!(took.as_millis() < 2_000, "{took:?}");
    let two = knapsack(limits(&[40 * 60, 8_000])).best();
    assert!(two.proved && two.gain <= found.gain + 1e-9);
}
