//! Demand for spares over a passage, as independent failures have it: a Poisson distribution.

/// No stock is reckoned larger.
pub const MOST_SPARES: usize = 400;

/// Expected demand of one position from the chance that it fails, so that the chance of no demand at
/// all is exactly 1 less that chance; finite. Demands of several positions add up.
pub fn demand(chance: f64) -> f64 {
    -(-chance.clamp(0.0, 1.0 - 1e-12)).ln_1p()
}

/// Chance that demand is exactly `count` where `mean` is expected.
fn exactly(count: usize, mean: f64) -> f64 {
    let mut each = (-mean).exp();
    for n in 1..=count {
        each *= mean / n as f64;
    }
    each
}

/// Chance that demand is no more than a stock: its protection. `mean` is 0 or more and below 700.
pub fn protection(stock: usize, mean: f64) -> f64 {
    let mut each = (-mean).exp();
    let mut sum = each;
    for n in 1..=stock {
        each *= mean / n as f64;
        sum += each;
    }
    sum.min(1.0)
}

/// The smallest stock whose protection is at least `wanted`, below 1; none where even
/// [`MOST_SPARES`] do not reach it.
pub fn stock_for(wanted: f64, mean: f64) -> Option<usize> {
    (0..=MOST_SPARES).find(|stock| protection(*stock, mean) >= wanted)
}

/// Expected number of demands that a stock leaves waiting.
pub fn backorders(stock: usize, mean: f64) -> f64 {
    let met: f64 = (0..stock).map(|n| 1.0 - protection(n, mean)).sum();
    (mean - met).max(0.0)
}

/// Chance of more demand than a stock, without cancelling where it is small.
pub fn beyond(stock: usize, mean: f64) -> f64 {
    if mean <= 0.0 {
        return 0.0;
    }
    let protected = protection(stock, mean);
    if protected < 0.9 {
        return 1.0 - protected;
    }
    let mut each = exactly(stock + 1, mean);
    let mut sum = 0.0;
    let mut n = stock + 1;
    while each > sum * f64::EPSILON && n < stock + MOST_SPARES {
        sum += each;
        n += 1;
        each *= mean / n as f64;
    }
    sum
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    #[test]
    fn no_demand_is_as_likely_as_no_failure() {
        for chance in [0.0, 1e-9, 0.157, 0.85] {
            assert!((protection(0, demand(chance)) - (1.0 - chance)).abs() < 1e-15);
        }
        assert!(demand(1.0).is_finite());
    }

    #[test]
    fn what_is_beyond_a_stock_is_what_it_does_not_protect() {
        for mean in [0.001, 0.5, 3.0, 8.0] {
            for stock in 0..12 {
                let sum = beyond(stock, mean) + protection(stock, mean);
                assert!((sum - 1.0).abs() < 1e-14, "{mean} {stock}");
            }
        }
        assert_eq!(beyond(0, 0.0), 0.0);
        // 0.001^3 / 3! less a thousandth of three quarters of it: nothing cancels.
        let small = beyond(2, 0.001);
        assert!((small / (1e-9 / 6.0 * (1.0 - 0.75e-3)) - 1.0).abs() < 1e-6);
    }

    #[test]
    fn carrying_the_mean_protects_little() {
        assert_eq!(stock_for(0.5, 3.0), Some(3));
        assert!((protection(3, 3.0) - 0.6472).abs() < 1e-4);
        assert_eq!(stock_for(0.95, 600.0), None);
    }
}
