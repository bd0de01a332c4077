//! Theil–Sen lines and Mann–Kendall tests of published examples, and of seeded series by SciPy.

use handlamp::assess::kendall::{Kendall, PMethod, exact_one_sided};
use handlamp::assess::normal::two_sided;
use handlamp::assess::slope::{Line, Ranks};
use handlamp::assess::trend::{Direction, LEVEL, Point, Trend};
use serde::Deserialize;

fn points(times: &[f64], values: &[f64]) -> Vec<(f64, f64)> {
    assert_eq!(times.len(), values.len());
    times.iter().copied().zip(values.iter().copied()).collect()
}

fn line(points: &[(f64, f64)], level: f64, ranks: Ranks) -> Line {
    Line::of(points, level, ranks).expect("times differ")
}

fn kendall(points: &[(f64, f64)]) -> Kendall {
    Kendall::of(points).expect("two points or more")
}

#[track_caller]
fn near(found: impl Into<Option<f64>>, published: f64, within: f64) {
    let found = found.into().expect("a figure");
    assert!(
        (found - published).abs() <= within,
        "{found} is not {published}"
    );
}

/// Sulfate, ppm, of EPA 530/R-09-007 (2009), Example 17-6, page 17-33; times as printed.
fn sulfate() -> Vec<(f64, f64)> {
    points(
        &[
            89.6, 89.8, 90.1, 90.3, 90.6, 90.8, 91.1, 91.3, 91.6, 91.8, 92.1, 92.6, 93.1, 93.6,
            94.1, 94.6, 95.1, 95.6, 95.8, 96.1, 96.3, 96.6, 96.8,
        ],
        &[
            480.0, 450.0, 490.0, 520.0, 485.0, 510.0, 510.0, 530.0, 510.0, 560.0, 560.0, 540.0,
            590.0, 550.0, 600.0, 700.0, 570.0, 610.0, 650.0, 620.0, 830.0, 720.0, 590.0,
        ],
    )
}

/// EPA 530/R-09-007 (2009), Example 17-6, as EnvStats (commit 03583907, kendallTrendTest) prints
/// it: tau-a 0.7667984, z 5.107322, p 3.267574e-07, slope 26.6666667, intercept -1909.3333333,
/// 95 % bounds 20.00000 and 35.71182. S 194 and its variance 1428 follow from the data.
#[test]
fn the_sulfate_example_of_the_epa() {
    let sulfate = sulfate();
    let test = kendall(&sulfate);
    assert_eq!((test.n, test.s, test.p_method), (23, 194, PMethod::Normal));
    near(test.variance, 1428.0, 1e-9);
    near(test.tau_a(), 0.766_798_4, 1e-7);
    near(test.tau_b(), 0.774_489_669, 1e-9);
    near(test.z, 5.107_322, 1e-6);
    near(test.p, 3.267_574e-7, 1e-13);
    let line95 = line(&sulfate, 0.95, Ranks::Interpolated);
    near(line95.slope, 26.666_666_7, 1e-7);
    near(line95.intercept(), -1_909.333_333_3, 1e-6);
    near(line95.low, 20.0, 1e-6);
    near(line95.high, 35.711_82, 5e-6);
}

/// The same: the nearest rank gives an upper bound of 35.849057, which is not the published one.
#[test]
fn the_published_bound_is_the_interpolated_one() {
    let nearest = line(&sulfate(), 0.95, Ranks::Nearest);
    near(nearest.low, 20.0, 1e-6);
    near(nearest.high, 35.849_057, 1e-6);
}

/// EPA 530/R-09-007 (2009), Example 17-7, sodium, page 17-36: data as in EnvStats; S, variance, z,
/// slope and bounds computed from them with exact fractions. Without ties and with ten readings
/// our p is the exact one: 2 P(S >= 25), counted over all 10! orders.
#[test]
fn the_sodium_example_of_the_epa() {
    let sodium = points(
        &[89.6, 90.1, 90.8, 91.1, 92.1, 93.1, 94.1, 95.6, 96.1, 96.3],
        &[56.0, 53.0, 51.0, 55.0, 52.0, 60.0, 62.0, 59.0, 61.0, 63.0],
    );
    let test = kendall(&sodium);
    assert_eq!((test.s, test.p_method), (25, PMethod::Exact));
    near(test.variance, 125.0, 1e-9);
    near(test.tau_b(), 0.555_555_6, 1e-7);
    near(test.z, 2.146_625_3, 1e-7);
    near(test.p, 2.0 * exact_one_sided(10, 25), 1e-15);
    // The normal approximation gives 0.0318231, the count 0.0286.
    near(two_sided(test.z), 0.031_823_1, 1e-7);
    near(test.p, 0.028_609_5, 1e-7);
    let line95 = line(&sodium, 0.95, Ranks::Interpolated);
    near(line95.slope, 4.0 / 3.0, 1e-12);
    near(line95.intercept(), -65.966_667, 1e-6);
    near(line95.low, 0.399_208, 1e-6);
    near(line95.high, 2.333_333, 1e-6);
}

/// Helsel and Hirsch, Appendix C2, Conecuh River annual flow 1941 to 1960, as smwrStats (commit
/// dbd276f0, Trends.pdf page 4) prints it: tau -0.12137 (tie-corrected), p 0.4751, slope -8.875,
/// medians 581 and 1950.5. Nothing to cry wolf about.
#[test]
fn the_conecuh_river_has_no_trend() {
    let years: Vec<_> = (1941..=1960).map(f64::from).collect();
    let flow = [
        369.0, 683.0, 923.0, 1193.0, 413.0, 1025.0, 894.0, 859.0, 1157.0, 524.0, 327.0, 574.0,
        762.0, 578.0, 379.0, 374.0, 581.0, 581.0, 530.0, 929.0,
    ];
    let river = points(&years, &flow);
    let test = kendall(&river);
    assert_eq!(test.s, -23);
    near(test.variance, 949.0, 1e-9);
    near(test.tau_b(), -0.121_37, 5e-6);
    near(test.tau_a(), -0.121_052_6, 1e-7);
    near(test.p, 0.475_1, 5e-5);
    let line95 = line(&river, 0.95, Ranks::Interpolated);
    assert_eq!((line95.slope, line95.x, line95.y), (-8.875, 1950.5, 581.0));
    near(line95.intercept(), 17_891.687_5, 1e-9);
    near(line95.low, -38.188_486, 1e-6);
    near(line95.high, 12.556_186, 1e-6);
    let point = |(x, y): &(f64, f64)| Point {
        day: x * 365.25,
        x: *x,
        y: *y,
    };
    let yearly: Vec<Point> = river.iter().map(point).collect();
    let trend = Trend::of(&yearly, LEVEL);
    assert_eq!((trend.direction, trend.is_sure()), (Direction::None, false));
}

/// Sen (1968), J. Am. Stat. Assoc. 63, as SciPy's tests hold it: slope 4, intercept 4, 93 % bounds
/// 3.71 and 4.38, the 4th and 18th of the 21 slopes. Interpolated they would be 3.730995 and
/// 4.284619.
#[test]
fn the_example_of_sen() {
    let sen = points(
        &[1.0, 2.0, 3.0, 4.0, 10.0, 12.0, 18.0],
        &[9.0, 15.0, 19.0, 20.0, 45.0, 55.0, 78.0],
    );
    let nearest = line(&sen, 0.93, Ranks::Nearest);
    assert_eq!((nearest.slope, nearest.intercept()), (4.0, 4.0));
    near(nearest.low, 26.0 / 7.0, 1e-12);
    near(nearest.high, 35.0 / 8.0, 1e-12);
    let between = line(&sen, 0.93, Ranks::Interpolated);
    near(between.low, 3.730_995, 1e-6);
    near(between.high, 4.284_619, 1e-6);
    assert_eq!((kendall(&sen).s, kendall(&sen).tau_b()), (21, Some(1.0)));
}

/// SciPy 1.17.1, stats/tests/test_mstats_basic.py: small cases beside Sen's.
#[test]
fn small_cases() {
    let bent = line(
        &[(0.0, 0.0), (1.0, 1.0), (2.0, 1.0)],
        0.9,
        Ranks::Interpolated,
    );
    assert_eq!((bent.slope, bent.intercept()), (0.5, 0.5));
    let gap = line(
        &[(0.0, 0.0), (1.0, 1.0), (3.0, 1.0)],
        0.9,
        Ranks::Interpolated,
    );
    near(gap.slope, 1.0 / 3.0, 1e-15);
    near(gap.intercept(), 2.0 / 3.0, 1e-15);
    let at_once = [(1.0, 0.0), (1.0, 5.0), (1.0, 2.0)];
    assert_eq!(Line::of(&at_once, 0.9, Ranks::Interpolated), None);
    let level = line(&[(0.0, 2.0), (1.0, 2.0)], 0.9, Ranks::Interpolated);
    assert_eq!((level.slope, level.low, level.high), (0.0, None, None));
}

/// smwrStats, tests/testthat/test_tests.R, n = 16: tau 0.483333333. Its p of 0.00595 is adjusted for
/// serial correlation, which ours is not; unadjusted figures computed from the data.
#[test]
fn sixteen_values() {
    let values = [
        3.0, 2.0, 13.0, 6.0, 1.0, 5.0, 15.0, 7.0, 10.0, 4.0, 9.0, 11.0, 8.0, 12.0, 14.0, 16.0,
    ];
    let times: Vec<_> = (1..=16).map(f64::from).collect();
    let sixteen = points(&times, &values);
    let test = kendall(&sixteen);
    assert_eq!((test.s, test.p_method), (58, PMethod::Normal));
    near(test.tau_b(), 0.483_333_333, 1e-9);
    near(test.variance, 493.333_333, 1e-6);
    near(test.z, 2.566_283_5, 1e-7);
    near(test.p, 0.010_279_5, 1e-7);
    near(2.0 * exact_one_sided(16, 58), 0.008_594_667_6, 1e-10);
    let line95 = line(&sixteen, 0.95, Ranks::Interpolated);
    near(line95.slope, 0.781_746_031_7, 1e-10);
    near(line95.intercept(), 1.855_158_7, 1e-7);
    near(line95.low, 0.25, 1e-9);
    near(line95.high, 1.0, 1e-9);
}

/// One-sided chances without ties, from the recurrence over falling pairs; the same figures are
/// tabulated by Gilbert (1987), Table A18.
#[test]
fn the_exact_table() {
    #[rustfmt::skip]
    let table = [
        (4, 2, 0.375), (4, 4, 0.166_667), (4, 6, 0.041_667),
        (5, 2, 0.408_333), (5, 4, 0.241_667), (5, 6, 0.116_667), (5, 8, 0.041_667), (5, 10, 0.008_333),
        (6, 5, 0.234_722), (6, 7, 0.136_111), (6, 9, 0.068_056), (6, 11, 0.027_778), (6, 13, 0.008_333), (6, 15, 0.001_389),
        (7, 7, 0.190_675), (7, 9, 0.119_444), (7, 11, 0.068_056), (7, 13, 0.034_524), (7, 15, 0.015_079), (7, 17, 0.005_357), (7, 19, 0.001_389), (7, 21, 0.000_198),
        (8, 10, 0.137_55), (8, 12, 0.089_435), (8, 14, 0.054_34), (8, 16, 0.030_506), (8, 18, 0.015_575), (8, 20, 0.007_068), (8, 22, 0.002_753), (8, 24, 0.000_868),
    ];
    for (n, s, p) in table {
        near(exact_one_sided(n, s), p, 6e-7);
    }
}

/// Exact up to ten points without ties, normal from eleven on or with a tie (the policy of
/// Gilbert's table); four points never call a trend, the smallest p being 0.083.
#[test]
fn exact_ends_at_ten_points_and_at_a_tie() {
    let rising = |n: u32| -> Vec<_> { (0..n).map(|i| (f64::from(i), f64::from(i))).collect() };
    assert_eq!(kendall(&rising(10)).p_method, PMethod::Exact);
    assert_eq!(kendall(&rising(11)).p_method, PMethod::Normal);
    let mut tied = rising(8);
    tied[3].1 = 2.0;
    assert_eq!(kendall(&tied).p_method, PMethod::Normal);
    let mut tied = rising(8);
    tied[3].0 = 2.0;
    assert_eq!(kendall(&tied).p_method, PMethod::Normal);
    near(kendall(&rising(4)).p, 1.0 / 12.0, 1e-15);
}

/// The last sulfate value times a hundred leaves the slope within its own 95 % bounds, while a line
/// by least squares would rise beyond a thousand; time turned round negates slope and S; a constant
/// moves the intercept alone.
#[test]
fn robustness_and_symmetry() {
    let sulfate = sulfate();
    let plain = line(&sulfate, 0.9, Ranks::Interpolated);
    let mut wild = sulfate.clone();
    wild[22].1 *= 100.0;
    let slope = line(&wild, 0.9, Ranks::Interpolated).slope;
    assert!((20.0..35.711_82).contains(&slope), "{slope}");
    let sum = |of: fn(&(f64, f64)) -> f64| wild.iter().map(of).sum::<f64>();
    let (n, x, y) = (wild.len() as f64, sum(|p| p.0), sum(|p| p.1));
    let least_squares = (n * sum(|p| p.0 * p.1) - x * y) / (n * sum(|p| p.0 * p.0) - x * x);
    assert!(least_squares > 1000.0, "{least_squares}");
    let turned: Vec<_> = sulfate.iter().map(|(x, y)| (-x, *y)).collect();
    let back = line(&turned, 0.9, Ranks::Interpolated);
    near(back.slope, -plain.slope, 1e-12);
    near(back.low, -plain.high.expect("a bound"), 1e-9);
    assert_eq!(kendall(&turned).s, -kendall(&sulfate).s);
    let raised: Vec<_> = sulfate.iter().map(|(x, y)| (*x, y + 1024.0)).collect();
    let raised = line(&raised, 0.9, Ranks::Interpolated);
    assert_eq!((raised.slope, raised.low), (plain.slope, plain.low));
    near(raised.intercept(), plain.intercept() + 1024.0, 1e-9);
}

#[derive(Deserialize)]
struct Reference {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    kind: String,
    x: Vec<f64>,
    y: Vec<f64>,
    slope: f64,
    intercept: f64,
    low: f64,
    high: f64,
    tau: f64,
    /// |S| / sqrt(variance), without continuity correction.
    score: f64,
    exact_p: Option<f64>,
}

/// SciPy 1.17.1 on seeded series (`trend_reference.py`), with the bridges its head names.
#[test]
fn seventy_series_by_scipy() {
    let text = include_str!("trend_reference.json");
    let reference: Reference = serde_json::from_str(text).expect("JSON");
    assert_eq!(reference.cases.len(), 70);
    let mut exact = 0;
    for case in &reference.cases {
        let points = points(&case.x, &case.y);
        let name = format!("{} of {}", case.kind, points.len());
        let close = |found: f64, theirs: f64, what: &str| {
            let off = (found - theirs).abs();
            assert!(
                off <= 1e-9 * theirs.abs().max(1.0),
                "{name}: {what} {found}, not {theirs}"
            );
        };
        let nearest = line(&points, 0.9, Ranks::Nearest);
        close(nearest.slope, case.slope, "slope");
        close(nearest.intercept(), case.intercept, "intercept");
        if case.kind != "ties-in-both" {
            close(nearest.low.expect("a bound"), case.low, "lower bound");
            close(nearest.high.expect("a bound"), case.high, "upper bound");
        }
        let test = kendall(&points);
        close(test.tau_b().expect("a tau"), case.tau, "tau");
        let score = (test.s as f64).abs() / test.variance.sqrt();
        close(score, case.score, "score");
        if let (PMethod::Exact, Some(p)) = (test.p_method, case.exact_p) {
            close(test.p, p, "exact p");
            exact += 1;
        }
    }
    assert!(exact >= 16, "only {exact} exact cases");
}
