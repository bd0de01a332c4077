//! How an item moves down its ladder: a progressive continuous-time Markov chain with one rung per
//! state and failed absorbing, as used for graded bridge inspections. Dwells on a rung are
//! exponential, so the time to failure is hypoexponential.

use super::uniformize::spread;
use crate::checklist::Grade;

/// Probability of standing on each rung, sound first, failed last.
pub type Distribution = [f64; 5];

/// A mean shorter than this many hours counts as this many, so that no rate is infinite.
const SHORTEST_MEAN: f64 = 1e-3;

/// The distribution over rungs `wear_hours` after an item was seen at `from`, for mean dwells on
/// sound, early, worn and failing in wear hours.
///
/// Each entry keeps a relative error below 1e-9 for means from 1 to 1e5 and wear up to 1e6; the
/// entries sum to one. Negative wear counts as none.
pub fn distribution(means: &[f64; 4], from: Grade, wear_hours: f64) -> Distribution {
    let mut start = [0.0; 5];
    start[from.rung()] = 1.0;
    distribution_from(means, &start, wear_hours)
}

/// As [`distribution`], for a start known only as shares over the rungs.
pub fn distribution_from(means: &[f64; 4], start: &Distribution, wear_hours: f64) -> Distribution {
    let mut generator = [[0.0; 5]; 5];
    for (rung, mean) in means.iter().enumerate() {
        generator[rung][rung + 1] = 1.0 / mean.max(SHORTEST_MEAN);
    }
    let mut shares = spread(&generator, start, wear_hours);
    // Near certainty the survivors are the small, accurate side.
    let survivors: f64 = shares[..4].iter().sum();
    if shares[4] > 0.5 {
        shares[4] = 1.0 - survivors;
    }
    shares
}

/// The chance that an item seen at `from` has failed after `wear_hours`.
pub fn chance_failed(means: &[f64; 4], from: Grade, wear_hours: f64) -> f64 {
    distribution(means, from, wear_hours)[4]
}

#[cfg(test)]
mod tests {
    use super::*;

    const MEANS: [f64; 4] = [1500.0, 600.0, 250.0, 60.0];

    #[test]
    fn no_wear_changes_nothing_and_failed_stays_failed() {
        for (rung, grade) in Grade::ALL.iter().enumerate() {
            let mut still = [0.0; 5];
            still[rung] = 1.0;
            assert_eq!(distribution(&MEANS, *grade, 0.0), still);
            assert_eq!(distribution(&MEANS, *grade, -1.0), still);
        }
        assert_eq!(chance_failed(&MEANS, Grade::Failed, 1e6), 1.0);
    }

    #[test]
    fn the_last_dwell_alone_is_an_exponential() {
        for wear in [1e-9, 1e-3, 1.0, 59.0, 300.0, 5e3] {
            let exact = -f64::exp_m1(-wear / 60.0);
            let chance = chance_failed(&MEANS, Grade::Failing, wear);
            assert!((chance / exact - 1.0).abs() < 1e-13, "{wear}: {chance}");
        }
    }

    #[test]
    fn odd_figures_give_no_nonsense() {
        let strange = [0.0, -3.0, 1e300, f64::NAN];
        for wear in [0.0, 1e-300, 1.0, 1e300, f64::INFINITY, f64::NAN] {
            for grade in Grade::ALL {
                for means in [MEANS, strange] {
                    let shares = distribution(&means, *grade, wear);
                    assert!(shares.iter().all(|p| (0.0..=1.0).contains(p)), "{shares:?}");
                    assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
                }
            }
        }
    }
}
