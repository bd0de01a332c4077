//! Three-point estimates: a published table, SciPy's beta distribution, and a simulation.

use handlamp::assess::cost::{DRAWS, ThreePoint, draws, total};
use serde::Deserialize;

fn estimate(points: [f64; 3]) -> ThreePoint {
    ThreePoint::new(points[0], points[1], points[2]).expect("in order")
}

/// The answer table of a published exercise in project planning: PERT means rounded to hundredths.
#[test]
fn the_means_of_a_published_table() {
    let table = [
        ([5.0, 5.0, 7.0], 5.33),
        ([1.0, 2.0, 5.0], 2.33),
        ([5.0, 5.0, 5.0], 5.00),
        ([4.0, 8.0, 13.0], 8.17),
        ([1.0, 10.0, 17.0], 9.67),
        ([1.0, 5.0, 7.0], 4.67),
        ([2.0, 6.0, 9.0], 5.83),
        ([4.0, 4.0, 6.0], 4.33),
        ([2.0, 7.0, 10.0], 6.67),
        ([2.0, 4.0, 7.0], 4.17),
        ([6.0, 10.0, 13.0], 9.83),
        ([2.0, 6.0, 6.0], 5.33),
        ([2.0, 2.0, 3.0], 2.17),
        ([7.0, 7.0, 12.0], 7.83),
    ];
    let mut sum = 0.0;
    for (points, printed) in table {
        let mean = estimate(points).mean();
        assert!((mean - printed).abs() < 0.005 + 1e-9, "{points:?}: {mean}");
        sum += mean;
    }
    let all: Vec<_> = table.iter().map(|(points, _)| estimate(*points)).collect();
    assert!((total(&all, 1).mean - sum).abs() < 1e-9, "means add");
}

/// (100, 150, 350) worked by hand: shapes 1.8 and 4.2, mean 175. The common ((high − low) / 6)²
/// would be 1736.1; the distribution's variance is 1875.
#[test]
fn the_variance_is_that_of_the_distribution() {
    let one = estimate([100.0, 150.0, 350.0]);
    assert_eq!(one.mean(), 175.0);
    assert!((one.variance() - 1875.0).abs() < 1e-9, "{}", one.variance());
    for (p, x) in [
        (0.1, 122.4755),
        (0.5, 169.1681),
        (0.8, 212.5647),
        (0.9, 236.3335),
    ] {
        assert!((one.quantile(p) - x).abs() < 5e-5, "{p}");
    }
}

#[derive(Deserialize)]
struct Reference {
    single: Vec<Single>,
    sums: Vec<Sum>,
}

#[derive(Deserialize)]
struct Single {
    points: [f64; 3],
    mean: f64,
    variance: f64,
    quantiles: std::collections::BTreeMap<String, f64>,
}

#[derive(Deserialize)]
struct Sum {
    points: Vec<[f64; 3]>,
    p10: f64,
    p90: f64,
}

/// SciPy 1.17.1, by `pert_reference.py`.
fn reference() -> Reference {
    serde_json::from_str(include_str!("pert_reference.json")).expect("JSON")
}

#[test]
fn mean_variance_and_quantiles_are_those_of_scipy() {
    for single in reference().single {
        let own = estimate(single.points);
        let width = own.high() - own.low();
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9 * width;
        assert!(near(own.mean(), single.mean), "{:?}", single.points);
        let relative = own.variance() / single.variance - 1.0;
        assert!(relative.abs() < 1e-12, "{:?}: {relative}", single.points);
        for (p, x) in &single.quantiles {
            let quantile = own.quantile(p.parse().expect("a share"));
            assert!(
                near(quantile, *x),
                "{:?} at {p}: {quantile}, not {x}",
                single.points
            );
        }
    }
}

/// With 20 000 draws the share below the tenth percentile has a standard error of 0.0021; four of
/// them, by the density there, are well under a thirtieth of the range.
#[test]
fn independent_totals_are_those_of_a_convolution() {
    for sum in reference().sums {
        let parts: Vec<_> = sum.points.iter().map(|p| estimate(*p)).collect();
        let found = total(&parts, 20_260_503);
        let allowed = (sum.p90 - sum.p10) / 30.0;
        for (own, theirs) in [
            (found.independent.p10, sum.p10),
            (found.independent.p90, sum.p90),
        ] {
            assert!((own - theirs).abs() < allowed, "{own}, not {theirs}");
        }
    }
}

/// Five standard errors: of the mean, and of the variance of distributions with light tails.
#[test]
fn a_simulation_has_the_closed_mean_and_variance() {
    for sum in reference().sums {
        let parts: Vec<_> = sum.points.iter().map(|p| estimate(*p)).collect();
        let totals = draws(&parts, 11);
        assert_eq!(totals.len(), DRAWS);
        let n = DRAWS as f64;
        let mean = totals.iter().sum::<f64>() / n;
        let variance = totals.iter().map(|t| (t - mean).powi(2)).sum::<f64>() / (n - 1.0);
        let closed_mean: f64 = parts.iter().map(ThreePoint::mean).sum();
        let closed: f64 = parts.iter().map(ThreePoint::variance).sum();
        assert!((mean - closed_mean).abs() < 5.0 * (closed / n).sqrt());
        assert!(
            (variance / closed - 1.0).abs() < 5.0 * (2.0 / n).sqrt(),
            "{variance}, not {closed}"
        );
    }
}

/// Jobs that turn out dear together spread wider than jobs that do not, and even they stay within
/// the sums of lows and highs.
#[test]
fn the_dependent_range_is_the_wider_and_within_the_ends() {
    for sum in reference().sums {
        let parts: Vec<_> = sum.points.iter().map(|p| estimate(*p)).collect();
        let found = total(&parts, 3);
        let (free, bound) = (found.independent, found.dependent);
        assert!(found.low < bound.p10 && bound.p10 < free.p10);
        assert!(free.p90 < bound.p90 && bound.p90 < found.high);
        let added: f64 = parts.iter().map(|p| p.quantile(0.9)).sum();
        assert_eq!(bound.p90, added);
    }
}
