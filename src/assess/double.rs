//! `y - b x` to some thirty digits, as the unevaluated sum of two floats (Dekker 1971, Numerische
//! Mathematik 18): enough to tell which of two such values is the smaller.

use std::cmp::Ordering;

/// `2^27 + 1`, which splits a float into two halves.
const SPLITTER: f64 = 134_217_729.0;

/// A sum of two floats, the second too small to change the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Double(f64, f64);

impl Double {
    /// `y - b x`. The magnitudes stay below 1e100, so that nothing overflows.
    pub(super) fn residual(y: f64, b: f64, x: f64) -> Double {
        let (product, lost) = product(b, x);
        let sum = y - product;
        let back = sum - y;
        let error = (y - (sum - back)) - (product + back);
        let rest = error - lost;
        let high = sum + rest;
        Double(high, rest - (high - sum))
    }

    /// A float as it is.
    pub(super) fn plain(value: f64) -> Double {
        Double(value, 0.0)
    }

    /// Smaller, equal or larger.
    pub(super) fn compare(&self, other: &Double) -> Ordering {
        if self.below(other) {
            Ordering::Less
        } else if other.below(self) {
            Ordering::Greater
        } else {
            Ordering::Equal
        }
    }

    /// Strictly smaller.
    pub(super) fn below(&self, other: &Double) -> bool {
        self.0 < other.0 || (self.0 == other.0 && self.1 < other.1)
    }
}

/// A product and what rounding took from it.
fn product(a: f64, b: f64) -> (f64, f64) {
    let product = a * b;
    let ((a, a_low), (b, b_low)) = (split(a), split(b));
    let lost = ((a * b - product) + a * b_low + a_low * b) + a_low * b_low;
    (product, lost)
}

fn split(a: f64) -> (f64, f64) {
    let scaled = SPLITTER * a;
    let high = scaled - (scaled - a);
    (high, a - high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_one_float_cannot_tell_two_can() {
        // (1 + e)(1 - e) = 1 - e^2, which rounds to 1.
        let e = 2.0_f64.powi(-40);
        let residual = Double::residual(1.0, 1.0 + e, 1.0 - e);
        assert_eq!(residual, Double(e * e, 0.0));
        assert!(Double::plain(0.0).below(&residual));
        assert_eq!(residual.compare(&Double::plain(0.0)), Ordering::Greater);
    }
}
