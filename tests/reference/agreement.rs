//! Agreement of two gradings: published kappa values and Wilson intervals.

use handlamp::assess::agreement::{NoKappa, kappa, rungs_apart, wilson};

fn pairs_of(table: &[&[usize]]) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    for (a, row) in table.iter().enumerate() {
        for (b, n) in row.iter().enumerate() {
            pairs.extend(std::iter::repeat_n((a, b), *n));
        }
    }
    pairs
}

fn equal(a: usize, b: usize) -> f64 {
    f64::from(u8::from(a != b))
}

fn squared(a: usize, b: usize) -> f64 {
    rungs_apart(a, b).powi(2)
}

fn close(found: Result<f64, NoKappa>, printed: f64, digits: f64) {
    let found = found.expect("a kappa");
    assert!((found - printed).abs() < digits, "{found}, not {printed}");
}

/// A printout of a statistics package, kept by statsmodels as `stats/tests/test_inter_rater.py`:
/// 0.4842 and 0.4701 printed; the longer figures from exact fractions.
#[test]
fn a_three_by_three_table() {
    let pairs = pairs_of(&[&[0, 4, 1], &[0, 8, 0], &[0, 1, 5]]);
    close(kappa(&pairs, equal), 0.484_162_896, 1e-9);
    close(kappa(&pairs, rungs_apart), 0.470_119_522, 1e-9);
    close(kappa(&pairs, squared), 0.450_160_772, 1e-9);
}

/// Ratings of anxiety, R package irr, in the same file: 20 items, 3 raters, grades 1 to 6.
const ANXIETY: [&str; 20] = [
    "332", "361", "344", "464", "523", "542", "221", "346", "531", "231", "221", "632", "133",
    "533", "221", "221", "113", "233", "432", "342",
];

fn anxiety(a: usize, b: usize) -> Vec<(usize, usize)> {
    let digit = |row: &str, n: usize| usize::from(row.as_bytes()[n] - b'0');
    ANXIETY
        .iter()
        .map(|row| (digit(row, a), digit(row, b)))
        .collect()
}

/// The published figures drop grade 5, which neither of these raters used, so that 4 and 6 are
/// neighbours in them.
#[test]
fn twenty_items_as_published_with_an_unused_grade_dropped() {
    let rank = |grade: usize| if grade == 6 { 5 } else { grade };
    let pairs: Vec<_> = anxiety(1, 2)
        .into_iter()
        .map(|(a, b)| (rank(a), rank(b)))
        .collect();
    close(kappa(&pairs, equal), -0.006_289_308, 1e-9);
    close(kappa(&pairs, rungs_apart), 0.145_907_5, 1e-7);
    close(kappa(&pairs, squared), 0.252_032_5, 1e-7);
}

/// The program keeps the whole ladder: 4 and 6 are two apart though nobody said 5. By exact
/// fractions.
#[test]
fn twenty_items_on_the_whole_scale() {
    let pairs = anxiety(1, 2);
    close(kappa(&pairs, rungs_apart), 0.126_213_592, 1e-9);
    close(kappa(&pairs, squared), 0.229_797_980, 1e-9);
    let others = anxiety(0, 1);
    close(kappa(&others, equal), 0.119_496_855, 1e-9);
    close(kappa(&others, rungs_apart), 0.189_189_189, 1e-9);
    close(kappa(&others, squared), 0.296_765_120, 1e-9);
}

/// 95 % intervals as R's binom prints them, kept by statsmodels as `results_proportion.py`.
#[test]
fn wilson_intervals() {
    let table = [
        (18, 20, 0.698_966_354_8, 0.972_133_518_8),
        (4, 20, 0.080_657_662_6, 0.416_017_432_3),
        (4, 200, 0.007_804_426_4, 0.050_287_086_9),
        (190, 200, 0.910_421_851_9, 0.972_617_354_4),
        (1, 30, 0.005_908_59, 0.166_703_91),
        (0, 30, 0.0, 0.113_513_39),
        (30, 30, 0.886_486_6, 1.0),
        (19, 38, 0.348_499_283_643_951, 0.651_500_716_356_049),
    ];
    for (hits, of, low, high) in table {
        let found = wilson(hits, of).expect("an interval");
        assert!((found.0 - low).abs() < 5e-8, "{hits}/{of}: {found:?}");
        assert!((found.1 - high).abs() < 5e-8, "{hits}/{of}: {found:?}");
    }
    for (hits, of) in [(38, 38), (0, 77)] {
        let (low, high) = wilson(hits, of).expect("an interval");
        assert!((0.0..=1.0).contains(&low) && (0.0..=1.0).contains(&high));
    }
}
