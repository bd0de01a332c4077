//! The progressive chain against 50-digit arithmetic (`chain_reference.py`, mpmath 1.3.0), and the
//! uniformization behind it against published transition probabilities.

use handlamp::assess::chain::{chance_failed, distribution};
use handlamp::assess::uniformize::{spread, transition};
use handlamp::assess::{Dwells, Level};
use handlamp::checklist::{Grade, Kind};

#[derive(serde::Deserialize)]
struct Group {
    means: [f64; 4],
    /// Start rung, wear hours, chance as decimal text.
    cases: Vec<(usize, f64, String)>,
}

fn groups() -> Vec<Group> {
    serde_json::from_str(include_str!("chain_reference.json")).expect("the reference file")
}

fn case_values(group: &Group) -> impl Iterator<Item = (Grade, f64, f64)> {
    group.cases.iter().map(|(rung, wear, chance)| {
        let grade = Grade::from_rung(*rung).expect("a rung");
        (grade, *wear, chance.parse().expect("a number"))
    })
}

#[test]
fn chances_keep_nine_digits_down_to_1e_15() {
    let (mut held, mut worst) = (0, 0.0_f64);
    for group in groups() {
        for (grade, wear, exact) in case_values(&group) {
            let chance = chance_failed(&group.means, grade, wear);
            // The promise ends at 1e-15; below, uniformization happens to keep its digits too.
            let error = (chance / exact - 1.0).abs();
            assert!(
                error <= 1e-9,
                "{:?} from {grade} after {wear} h: {chance:e}, exactly {exact:e}",
                group.means
            );
            worst = worst.max(error);
            held += usize::from(exact >= 1e-15);
        }
    }
    assert!(held >= 400, "only {held} cases at 1e-15 or above");
    println!("largest relative error {worst:e}");
}

#[test]
fn survivors_keep_their_digits_where_failure_is_near_certain() {
    // Exact: the failing dwell alone survives with exp(-x / m3).
    for wear in [50.0, 500.0, 5e3, 3e4] {
        let [_, _, _, survives, _] = distribution(&[1.0, 1.0, 1.0, 60.0], Grade::Failing, wear);
        let exact = f64::exp(-wear / 60.0);
        assert!(
            (survives / exact - 1.0).abs() < 1e-9,
            "{wear}: {survives:e}"
        );
    }
}

#[test]
fn shares_sum_to_one() {
    for group in groups() {
        for (grade, wear, _) in case_values(&group) {
            let total: f64 = distribution(&group.means, grade, wear).iter().sum();
            assert!((total - 1.0).abs() <= 1e-12, "{total}");
        }
    }
}

#[test]
fn the_chance_never_falls_with_time_nor_with_a_worse_start() {
    for group in groups() {
        let mut before = [0.0; 5];
        let mut wear = 1e-3;
        while wear < 2e6 {
            let now = [0, 1, 2, 3, 4].map(|rung| {
                let grade = Grade::from_rung(rung).expect("a rung");
                chance_failed(&group.means, grade, wear)
            });
            for rung in 0..5 {
                assert!(now[rung] >= before[rung], "{:?} {rung} {wear}", group.means);
            }
            assert!(now.windows(2).all(|pair| pair[0] <= pair[1]), "{now:?}");
            before = now;
            wear *= 1.3;
        }
    }
}

/// Starting values of the project kept as they are: a seal after 50 wear hours, level A to D.
#[test]
fn a_seal_shows_how_rungs_become_levels() {
    let seal = Dwells::judgement()
        .of(Kind::Seal)
        .expect("seals have a chain");
    let cases = [
        (Grade::Failing, 0.565, 5e-4, Level::A),
        (Grade::Worn, 0.0600, 5e-5, Level::B),
        (Grade::Early, 0.00177, 5e-6, Level::C),
        (Grade::Sound, 1.54e-5, 5e-8, Level::D),
    ];
    for (grade, printed, half_digit, level) in cases {
        let chance = chance_failed(seal.means(), grade, 50.0);
        assert!((chance - printed).abs() <= half_digit, "{grade}: {chance}");
        assert_eq!(Level::of_chance(chance), level);
    }
}

fn assert_near<const N: usize>(found: &[[f64; N]; N], printed: &[[f64; N]; N], tolerance: f64) {
    for (row, wanted) in found.iter().zip(printed) {
        for (entry, value) in row.iter().zip(wanted) {
            assert!((entry - value).abs() <= tolerance, "{found:?}");
        }
        assert!((row.iter().sum::<f64>() - 1.0).abs() <= 1e-12);
    }
}

/// The msm manual, sections 2.5 to 2.9 (J. Stat. Soft. 38(8), 2011): fitted
/// intensities per year of the CAV data, five decimals, and the published P(10 years).
#[test]
fn ten_year_probabilities_of_the_msm_manual() {
    let generator = [
        [-0.17037, 0.12787, 0.0, 0.04250],
        [0.22512, -0.60794, 0.34261, 0.04021],
        [0.0, 0.13062, -0.43710, 0.30648],
        [0.0, 0.0, 0.0, 0.0],
    ];
    let published = [
        [0.30940656, 0.09750021, 0.08787255, 0.5052207],
        [0.17165172, 0.06552639, 0.07794394, 0.6848780],
        [0.05898093, 0.02971653, 0.04665485, 0.8646477],
        [0.0, 0.0, 0.0, 1.0],
    ];
    assert_near(&transition(&generator, 10.0), &published, 1e-5);

    let mut unit = [[0.0; 4]; 4];
    for (i, row) in unit.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    assert_near(&transition(&generator, 0.0), &unit, 0.0);

    // Chapman and Kolmogorov: P(s + t) = P(s) P(t), one row at a time, short and long.
    for (s, t) in [(3.0, 7.0), (40.0, 60.0)] {
        let whole = transition(&generator, s + t);
        for (start, row) in unit.iter().zip(&whole) {
            let halfway = spread(&generator, start, s);
            let twice = spread(&generator, &halfway, t);
            assert!(row.iter().zip(&twice).all(|(a, b)| (a - b).abs() < 1e-12));
        }
    }
}

/// The matrix `twoway4.q` of the msm package's own tests; P(1) by exact arithmetic to 8 decimals.
#[test]
fn one_year_probabilities_of_the_msm_test_matrix() {
    let generator = [
        [-0.5, 0.25, 0.0, 0.25],
        [0.166, -0.498, 0.166, 0.166],
        [0.0, 0.25, -0.5, 0.25],
        [0.0, 0.0, 0.0, 0.0],
    ];
    let exact = [
        [0.61921193, 0.15389281, 0.01268127, 0.21421399],
        [0.10218483, 0.63312434, 0.10218483, 0.16250601],
        [0.01268127, 0.15389281, 0.61921193, 0.21421399],
        [0.0, 0.0, 0.0, 1.0],
    ];
    assert_near(&transition(&generator, 1.0), &exact, 6e-9);
}
