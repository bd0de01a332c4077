//! Times to failure in stages: the NIST/SEMATECH e-Handbook's gamma example and hypoexponential
//! closed forms.

use handlamp::assess::chain::chance_failed;
use handlamp::assess::uniformize::spread;
use handlamp::checklist::Grade;

/// NIST/SEMATECH e-Handbook 8.1.6.5: two exponential stages of mean 30 (gamma, shape 2, rate
/// 1/30) at t = 24: CDF 0.19121, reliability 0.80879. Closed form 1 - 1.8 exp(-0.8).
#[test]
fn two_equal_stages_are_the_gamma_example_of_nist() {
    let means = [1.0, 1.0, 30.0, 30.0];
    let chance = chance_failed(&means, Grade::Worn, 24.0);
    assert!((chance - 0.19121).abs() < 5e-6);
    assert!((1.0 - chance - 0.80879).abs() < 5e-6);
    let closed = 1.0 - 1.8 * f64::exp(-0.8);
    assert!((chance / closed - 1.0).abs() < 1e-13);
    // PDF 0.01198 is the rate out of the last stage, and the failure rate 0.01481 its share of
    // the survivors.
    let [_, last, _] = two_stages(1.0 / 30.0, 1.0 / 30.0, 24.0);
    assert!((last / 30.0 - 0.01198).abs() < 5e-6);
    assert!((last / 30.0 / (1.0 - chance) - 0.01481).abs() < 5e-6);
}

fn two_stages(first: f64, second: f64, time: f64) -> [f64; 3] {
    let generator = [[0.0, first, 0.0], [0.0, 0.0, second], [0.0, 0.0, 0.0]];
    spread(&generator, &[1.0, 0.0, 0.0], time)
}

/// Closed forms of the hypoexponential distribution, ten digits.
#[test]
fn unequal_stages_are_hypoexponential() {
    let two = [
        (1.0 / 30.0, 1.0 / 20.0, 24.0, 0.2544015315),
        (0.5, 1.0, 2.0, 0.3995764009),
    ];
    for (first, second, time, closed) in two {
        let [_, _, failed] = two_stages(first, second, time);
        assert!((failed - closed).abs() < 6e-11, "{failed}");
    }
    let means = [1.0, 10.0, 5.0, 2.5];
    let three = chance_failed(&means, Grade::Early, 10.0);
    assert!((three - 0.2835535104).abs() < 6e-11, "{three}");
}

/// Partial fractions divide by the difference of the rates; uniformization does not notice it.
#[test]
fn nearly_equal_rates_approach_equal_ones() {
    let equal = 1.0 - 1.8 * f64::exp(-0.8);
    for gap in [1e-9, 1e-12, 1e-15] {
        let [_, _, failed] = two_stages(1.0 / 30.0, 1.0 / 30.0 + gap, 24.0);
        assert!(
            (failed - equal).abs() < 30.0 * gap + 1e-14,
            "{gap}: {failed}"
        );
    }
}
