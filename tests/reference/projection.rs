//! Falling levels: slope, interval, crossing and chance against NumPy and SciPy, and against
//! simulated falls whose truth is known.

use std::f64::consts::TAU;

use handlamp::assess::projection::{Dip, Fall};
use handlamp::assess::scatter::Scatter;
use serde::Deserialize;

#[derive(Deserialize)]
struct Reference {
    made_with: String,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    dips: Vec<(usize, f64, f64)>,
    error: f64,
    slope: f64,
    low: f64,
    high: f64,
    not_before: f64,
    about: f64,
    not_after: Option<f64>,
    chances: Vec<(f64, f64)>,
}

#[track_caller]
fn near(found: f64, expected: f64) {
    let within = 1e-6 * expected.abs().max(1.0);
    assert!((found - expected).abs() < within, "{found} not {expected}");
}

#[test]
fn falls_agree_with_a_linear_model_by_numpy_and_scipy() {
    let text = include_str!("projection_reference.json");
    let reference: Reference = serde_json::from_str(text).expect("a reference");
    assert_eq!(reference.made_with, "scipy 1.17.1");
    assert!(reference.cases.iter().any(|c| c.not_after.is_none()));
    assert!(reference.cases.iter().any(|c| c.not_after.is_some()));
    for case in &reference.cases {
        let dip = |&(filling, x, y): &(usize, f64, f64)| Dip { x, y, filling };
        let dips: Vec<Dip> = case.dips.iter().map(dip).collect();
        let now = dips.last().expect("dips").x;
        let fall = Fall::of(&dips, case.error).expect("a fall");
        near(fall.per_hour, case.slope);
        let (low, high) = fall.interval(0.9).expect("a level");
        near(low, case.low);
        near(high, case.high);
        let met = fall.meets(0.0, now, 0.9).expect("it falls");
        near(met.about, case.about);
        near(met.not_before.expect("an earliest"), case.not_before);
        assert_eq!(met.not_after.is_some(), case.not_after.is_some());
        if let Some((found, expected)) = met.not_after.zip(case.not_after) {
            near(found, expected);
        }
        for &(ahead, chance) in &case.chances {
            near(fall.chance_below(0.0, now + ahead), chance);
        }
    }
}

/// A standard normal draw by Box and Muller (1958).
fn normal(rng: &mut fastrand::Rng) -> f64 {
    let (a, b) = (1.0 - rng.f64(), rng.f64());
    (-2.0 * a.ln()).sqrt() * (TAU * b).cos()
}

const ERROR: f64 = 10.0;
/// Steep enough that next to no three readings of it fail to fall.
const PER_HOUR: f64 = -6.0;
const HEIGHT: f64 = 80.0;

/// A morning every three hours, read with an error of `scatter`.
fn mornings(rng: &mut fastrand::Rng, n: u32, per_hour: f64, scatter: f64) -> Vec<Dip> {
    let dip = |n| {
        let x = 3.0 * f64::from(n);
        let y = HEIGHT + per_hour * x + scatter * normal(rng);
        Dip { x, y, filling: 0 }
    };
    (0..n).map(dip).collect()
}

/// Shares of 10 000 simulated falls whose interval of slope, and of the crossing, holds the truth.
fn coverage(n: u32, scatter: f64) -> [f64; 2] {
    let mut rng = fastrand::Rng::with_seed(u64::from(n));
    let [mut slopes, mut crossings] = [0.0, 0.0];
    for _ in 0..10_000 {
        let dips = mornings(&mut rng, n, PER_HOUR, scatter);
        let fall = Fall::of(&dips, ERROR).expect("a fall");
        let (low, high) = fall.interval(0.9).expect("a level");
        slopes += f64::from(u8::from((low..=high).contains(&PER_HOUR)));
        // Asked from long before, so that nothing of the interval is cut off as past.
        let before = -1e6;
        let truth = HEIGHT / -PER_HOUR - before;
        let holds = match fall.meets(0.0, before, 0.9) {
            Some(met) => {
                met.not_before.is_some_and(|early| truth >= early)
                    && met.not_after.is_none_or(|late| truth <= late)
            }
            None => false,
        };
        crossings += f64::from(u8::from(holds));
    }
    [slopes, crossings].map(|held| held / 10_000.0)
}

/// At exactly the error assumed the intervals hold within two points of their level; where the
/// stick is read twice as well or half as well as assumed, what they hold is printed.
#[test]
fn intervals_hold_their_level_over_simulated_falls() {
    for n in [3, 5, 14] {
        let told = coverage(n, ERROR);
        assert!(told.iter().all(|c| (c - 0.9).abs() < 0.02), "{n}: {told:?}");
        let [half, double] = [0.5, 2.0].map(|times| coverage(n, times * ERROR));
        println!("{n} readings: half the error {half:?}, double {double:?}");
        assert!(half[0] > told[0] && double[0] < told[0]);
    }
}

/// The chance is calibrated: of simulated levels whose height and slope are drawn about what was
/// read, as many lie below the mark as the chance says.
#[test]
fn the_chance_to_pass_the_mark_is_that_of_simulation() {
    let mut rng = fastrand::Rng::with_seed(3);
    for n in [3, 5, 14] {
        let dips = mornings(&mut rng, n, PER_HOUR / 2.0, ERROR);
        let fall = Fall::of(&dips, ERROR).expect("a fall");
        let last = dips.last().expect("dips").x;
        for ahead in [2.0, 10.0, 30.0] {
            let truly = || {
                let redrawn: Vec<Dip> = dips
                    .iter()
                    .map(|d| Dip {
                        y: fall.at(d.x) + ERROR * normal(&mut rng),
                        ..*d
                    })
                    .collect();
                Fall::of(&redrawn, ERROR).expect("a fall").at(last + ahead)
            };
            let below = std::iter::repeat_with(truly).take(10_000);
            let share = below.filter(|level| *level < 0.0).count() as f64 / 10_000.0;
            let chance = fall.chance_below(0.0, last + ahead);
            assert!(
                (share - chance).abs() < 0.02,
                "{n}, {ahead} h: {share} not {chance}"
            );
        }
    }
}

/// A steady level that is read with scatter, begun anew and watched for sixty mornings, is called
/// falling on fewer than one of them, taken over two thousand owners.
#[test]
fn a_steady_level_draws_less_than_one_false_word_in_sixty_mornings() {
    let mut rng = fastrand::Rng::with_seed(60);
    let owners = 2_000;
    let mut words = 0;
    for _ in 0..owners {
        let dips = mornings(&mut rng, 60, 0.0, ERROR);
        let known = (3..=dips.len()).filter_map(|n| Fall::of(dips.get(..n)?, ERROR));
        words += known.filter(Fall::counts).count();
    }
    let each = f64::from(u32::try_from(words).expect("few")) / f64::from(owners);
    assert!(each < 1.0, "{each} false words in sixty mornings");
    println!("{each} false words in sixty mornings");
}

/// The error learned from so many readings, or the usual one where they teach none.
fn learned(dips: &[Dip]) -> f64 {
    Scatter::of(dips).map_or(ERROR, |scatter| scatter.error(ERROR))
}

/// Student's quantiles at 0.95, from SciPy 1.17.1's `t.ppf`, over that of the normal distribution.
#[test]
fn a_learned_error_is_as_much_wider_as_student_s_distribution() {
    let mut rng = fastrand::Rng::with_seed(8);
    for (n, quantile) in [
        (10, 1.859_548),
        (14, 1.782_288),
        (22, 1.724_718),
        (62, 1.670_649),
    ] {
        let dips = mornings(&mut rng, n, PER_HOUR, ERROR);
        let scatter = Scatter::of(&dips).expect("enough");
        let wider = scatter.error(ERROR) / scatter.deviation;
        assert!((wider - quantile / 1.644_854).abs() < 5e-4, "{n}: {wider}");
    }
    let few = mornings(&mut rng, 9, PER_HOUR, ERROR);
    assert_eq!(Scatter::of(&few), None, "seven degrees of freedom");
}

/// Where the true error is not the one assumed, ten readings and more teach it, and the interval
/// holds its level by what they taught.
#[test]
fn intervals_by_a_learned_error_hold_their_level() {
    for (n, scatter) in [(10, 4.0), (14, 4.0), (14, 15.0), (30, 6.0)] {
        let mut rng = fastrand::Rng::with_seed(u64::from(n));
        let mut held = 0.0;
        for _ in 0..10_000 {
            let dips = mornings(&mut rng, n, PER_HOUR, scatter);
            let fall = Fall::of(&dips, learned(&dips)).expect("a fall");
            let (low, high) = fall.interval(0.9).expect("a level");
            held += f64::from(u8::from((low..=high).contains(&PER_HOUR)));
        }
        let held: f64 = held / 10_000.0;
        assert!((held - 0.9).abs() < 0.02, "{n}, {scatter}: {held}");
    }
}

/// One level read again with no hour run between teaches by itself, however it falls between.
#[test]
fn readings_of_one_level_teach_their_scatter_apart_from_any_fall() {
    let twice = |n: u32| {
        let (x, y) = (f64::from(n), if n < 5 { 80.0 } else { 20.0 });
        [y - 3.0, y + 3.0].map(|y| Dip { x, y, filling: 0 })
    };
    let dips: Vec<Dip> = (0..10).flat_map(twice).collect();
    let scatter = Scatter::of(&dips).expect("ten degrees of freedom");
    // Squares of 3 and 3 in each of ten pairs, one degree of freedom each.
    assert!((scatter.deviation - 18_f64.sqrt()).abs() < 1e-12);
    assert_eq!(scatter.n, 20);
    let sane: Vec<Dip> = dips.iter().map(|d| Dip { y: 50.0, ..*d }).collect();
    let none = Scatter::of(&sane).expect("as many");
    assert_eq!(none.error(10.0), 2.5, "nobody reads a stick without error");
    let wild = |d: &Dip| Dip {
        y: 20.0 * d.y,
        ..*d
    };
    let wild: Vec<Dip> = dips.iter().map(wild).collect();
    assert_eq!(Scatter::of(&wild).expect("as many").error(10.0), 20.0);
}

/// The false words of a steady level stay under one in sixty mornings where its scatter is learned.
#[test]
fn a_learned_error_draws_no_more_false_words() {
    for scatter in [3.0, ERROR] {
        let mut rng = fastrand::Rng::with_seed(61);
        let owners = 500;
        let mut words = 0;
        for _ in 0..owners {
            let dips = mornings(&mut rng, 60, 0.0, scatter);
            let until = (3..=dips.len()).filter_map(|n| dips.get(..n));
            let known = until.filter_map(|dips| Fall::of(dips, learned(dips)));
            words += known.filter(Fall::counts).count();
        }
        let each = f64::from(u32::try_from(words).expect("few")) / f64::from(owners);
        assert!(
            each < 1.0,
            "{scatter}: {each} false words in sixty mornings"
        );
    }
}
