//! What looks teach: the published worked example of the update, and chains of known rates looked
//! at as on a boat.

use fastrand::Rng;
use handlamp::assess::{Dwell, LeavingRate, Taught, gamma};
use handlamp::checklist::Grade;

fn close(ours: f64, published: f64, digits: f64) {
    assert!((ours - published).abs() <= digits, "{ours} {published}");
}

/// NIST/SEMATECH e-Handbook 8.2.5, the 50/95 method: an even chance of more than 600 h and 95 in a
/// hundred of more than 250 h give a prior of shape 2.863 and rate 1522.46 h.
#[test]
fn the_prior_of_two_judgements() {
    let shape = 2.863_055;
    let ratio = gamma::quantile(shape, 0.95) / gamma::quantile(shape, 0.5);
    close(ratio, 600.0 / 250.0, 1e-6);
    close(gamma::quantile(shape, 0.5) * 600.0, 1522.506, 1e-3);
    close(gamma::below(2.863, 0.001_667 * 1522.46), 0.500_123_2, 5e-8);
    close(gamma::below(2.863, 0.004 * 1522.46), 0.949_996_3, 5e-8);
}

/// NIST/SEMATECH e-Handbook 8.4.6: a prior of shape 2 and 1400 h, then two failures in 1909 h.
#[test]
fn the_update_and_its_quantiles() {
    // Our prior has shape 2 and rate 2 m, so a judgement of 700 h is the prior of the example.
    let rate = LeavingRate::of(700.0, 2, 1909.0);
    assert_eq!((rate.shape, rate.time), (4.0, 3309.0));
    let published = [
        (0.9, 495.301_2),
        (0.8, 599.995),
        (0.5, 901.128_9),
        (0.1, 1896.526),
    ];
    for (share, hours) in published {
        close(rate.dwell_exceeded(share), hours, 1e-3);
    }
    assert_eq!(rate.dwell(), 827.25);
    close(
        gamma::below(rate.shape, rate.time / rate.dwell()),
        0.566_529_9,
        5e-8,
    );
    // The dwell used is on the careful side of the median.
    assert!(rate.dwell() < rate.dwell_exceeded(0.5));
    let [low, high] = rate.range();
    assert!(low < 599.995 && high > 1896.526);
}

const TRUE: [f64; 4] = [1500.0, 600.0, 250.0, 60.0];

/// Chains of the true dwells, each looked at every so many wear hours until it is seen failed, then
/// renewed, over so many lives.
fn watched(every: f64, lives: usize, rng: &mut Rng) -> Taught {
    let mut taught = Taught::default();
    for _ in 0..lives {
        let mut reached = [0.0; 5];
        for rung in 0..4 {
            reached[rung + 1] = reached[rung] - TRUE[rung] * (1.0 - rng.f64()).ln();
        }
        let rung_at = |t: f64| reached[1..].iter().take_while(|edge| **edge <= t).count();
        let mut seen = Grade::Sound;
        // The first look comes some time after fitting.
        let (mut before, mut at) = (0.0, rng.f64() * every);
        while seen != Grade::Failed {
            let found = Grade::from_rung(rung_at(at)).expect("a rung");
            taught.add_looks(seen, found, at - before);
            seen = found;
            (before, at) = (at, at + every);
        }
    }
    taught
}

/// The dwells of a chain found again. What the even split does to the last dwell is the bias that
/// is told wherever it matters: a few per cent for looks every 3 to 25 h, about 6 % at 50 h, about
/// 26 % at 100 h.
#[test]
fn known_rates_are_found_again_with_the_bias_told() {
    let mut rng = Rng::with_seed(20_260_503);
    for (every, told, within) in [
        (3.0, 0.0, 0.05),
        (10.0, 0.0, 0.05),
        (25.0, 0.02, 0.05),
        (50.0, 0.06, 0.05),
        (100.0, 0.26, 0.06),
    ] {
        let taught = watched(every, 4000, &mut rng);
        let found: Vec<f64> = (0..4)
            .map(|rung| taught.time[rung] / f64::from(taught.moves[rung]) / TRUE[rung] - 1.0)
            .collect();
        assert!(
            (found[3] - told).abs() < within,
            "every {every} h: {found:?}"
        );
        assert!(
            found[..3].iter().all(|bias| bias.abs() < 0.08),
            "every {every} h: {found:?}"
        );
    }
}

/// Several hundred things on a boat whose seals last half as long as the judgement: what is learned
/// comes to lie within four standard errors of the truth, whatever was believed first.
#[test]
fn the_boat_outweighs_a_wrong_judgement() {
    let judgement = Dwell::new(0.5, TRUE.map(|m| 2.0 * m)).expect("good figures");
    let taught = watched(10.0, 400, &mut Rng::with_seed(7));
    assert_eq!(taught.moves, [400; 4]);
    let learned = taught.dwell(&judgement);
    for (rung, truth) in TRUE.iter().enumerate() {
        let share = learned.means()[rung] / truth;
        // A mean of 400 exponential dwells strays by 5 %; the split adds a few per cent at the end.
        assert!((share - 1.0).abs() < 4.0 * 0.05, "rung {rung}: {share}");
        let [low, high] = taught.rate(rung, &judgement).range();
        assert!(low < learned.means()[rung] && learned.means()[rung] < high);
    }
}
