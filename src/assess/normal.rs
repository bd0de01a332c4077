//! The standard normal distribution: tail and quantile.

use std::f64::consts::{FRAC_2_SQRT_PI, SQRT_2};

/// Below this the error function is summed as a series, above it the continued fraction converges
/// fast; both hold some fourteen digits where they meet.
const SERIES_UP_TO: f64 = 2.5;

/// Chance that a standard normal variable lies further from zero than `z`, either way.
pub fn two_sided(z: f64) -> f64 {
    erfc(z.abs() / SQRT_2)
}

/// The levels that are asked for nearly always, and how far from zero each reaches: what
/// [`halved`] finds of them, to the last digit.
const KNOWN: [(f64, f64); 3] = [
    (0.9, 1.644_853_626_951_472_6),
    (0.95, 1.959_963_984_540_054_7),
    (0.99, 2.575_829_303_548_894),
];

/// How far from zero a standard normal variable stays with a chance of `level`; none unless
/// `0 < level < 1`.
pub fn quantile_two_sided(level: f64) -> Option<f64> {
    if !(level > 0.0 && level < 1.0) {
        return None;
    }
    let known = KNOWN.iter().find(|(known, _)| *known == level);
    Some(known.map_or_else(|| halved(level), |(_, distance)| *distance))
}

/// That distance, by halving.
fn halved(level: f64) -> f64 {
    let (mut near, mut far) = (0.0, 40.0);
    // The tail falls steadily, so halving finds it to the last digit.
    while far - near > f64::EPSILON * far {
        let middle = near + (far - near) / 2.0;
        if middle <= near || middle >= far {
            break;
        }
        if two_sided(middle) > 1.0 - level {
            near = middle;
        } else {
            far = middle;
        }
    }
    far
}

/// Complementary error function of `x >= 0`: the series of positive terms of Abramowitz and Stegun
/// (1964) 7.1.6 near zero, their continued fraction 7.1.14 further out.
fn erfc(x: f64) -> f64 {
    if x < SERIES_UP_TO {
        let (mut term, mut sum, mut n) = (x, x, 0.0);
        while term > sum * f64::EPSILON * 0.1 {
            n += 1.0;
            term *= 2.0 * x * x / (2.0 * n + 1.0);
            sum += term;
        }
        return 1.0 - FRAC_2_SQRT_PI * (-x * x).exp() * sum;
    }
    // From the far end of the fraction inwards; sixty steps are more than enough from 2.5 on.
    let fraction = (1..=60).rev().fold(x, |f, k| x + 0.5 * f64::from(k) / f);
    0.5 * FRAC_2_SQRT_PI * (-x * x).exp() / fraction
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    /// Two-sided tails, computed with mpmath 1.3.0 at 50 digits.
    #[test]
    fn tails_keep_their_digits() {
        for (z, p) in [
            (0.0, 1.0),
            (0.5, 0.617_075_077_451_973_8),
            (1.959_963_984_540_054, 0.05),
            (3.5, 4.652_581_580_710_501e-4),
            (3.6, 3.182_171_803_150_677_6e-4),
            (6.0, 1.973_175_290_075_396e-9),
            (12.0, 3.552_964_224_155_36e-33),
        ] {
            let found = two_sided(z);
            assert!((found / p - 1.0).abs() < 1e-12, "{z}: {found:e} not {p:e}");
            assert_eq!(two_sided(-z), found);
        }
    }

    #[test]
    fn a_level_gives_back_its_distance() {
        for (level, z) in [
            (0.9, 1.644_853_626_951_472_7),
            (0.95, 1.959_963_984_540_054),
            (0.99, 2.575_829_303_548_900_4),
        ] {
            let found = quantile_two_sided(level).expect("a level");
            assert!((found - z).abs() < 1e-13, "{level}: {found}");
            let searched = halved(level);
            assert!((found - searched).abs() < 1e-15, "{level}: {searched:?}");
        }
        for none in [0.0, 1.0, -1.0, f64::NAN] {
            assert_eq!(quantile_two_sided(none), None);
        }
    }
}
