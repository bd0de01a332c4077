//! What putting defects right may cost: a low, a likely and a high figure for each, and what the
//! sum of them comes to.
//!
//! An estimate is a beta-PERT distribution between low and high with its mode at likely: shapes
//! a = 1 + 4 (likely − low) / (high − low) and b = 6 − a, mean (low + 4 likely + high) / 6, variance
//! (mean − low) (high − mean) / 7. The common ((high − low) / 6)² is an approximation and is not
//! used.
//!
//! Means add whatever the estimates have to do with each other; ranges do not. Two totals bound
//! what is usual: *independent*, where one job that turns out dear says nothing of the next, and
//! *dependent*, where all turn out dear together (each at the same quantile). The sum of the lows
//! and the sum of the highs are no 10–90 % range.

use std::f64::consts::PI;

use schemars::JsonSchema;
use serde::Serialize;

/// Sum of the two shapes of a beta-PERT distribution.
const SHAPES: f64 = 6.0;
/// Simulated totals. The tenth percentile then lies between the 9.6th and the 10.4th.
pub const DRAWS: usize = 20_000;
/// The largest amount of an estimate: far above any boat, far below where sums lose their cents.
pub const LARGEST: f64 = 1e9;

/// A low, a likely and a high figure, in one currency or one unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThreePoint {
    low: f64,
    likely: f64,
    high: f64,
}

/// A range that leaves out the lowest and the highest tenth. Part of the outside surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Range {
    /// One in ten is less.
    pub p10: f64,
    /// One in ten is more.
    pub p90: f64,
}

/// What several estimates come to together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Total {
    /// Sum of the lows.
    pub low: f64,
    /// Sum of the likely figures; less than the mean where the highs are far off.
    pub likely: f64,
    /// Sum of the highs.
    pub high: f64,
    /// Sum of the means.
    pub mean: f64,
    /// Where the estimates have nothing to do with each other.
    pub independent: Range,
    /// Where all of them turn out at the same quantile.
    pub dependent: Range,
}

impl ThreePoint {
    /// An estimate.
    ///
    /// # Errors
    /// The field at fault and what is wrong with it: each figure is finite, from 0 to [`LARGEST`],
    /// and none is below the one before it.
    pub fn new(low: f64, likely: f64, high: f64) -> Result<ThreePoint, (&'static str, String)> {
        for (field, value) in [("low", low), ("likely", likely), ("high", high)] {
            if !(0.0..=LARGEST).contains(&value) {
                return Err((field, format!("expected 0 to {LARGEST}")));
            }
        }
        if likely < low {
            return Err(("likely", format!("{likely} is less than low, {low}")));
        }
        if high < likely {
            return Err(("high", format!("{high} is less than likely, {likely}")));
        }
        Ok(ThreePoint { low, likely, high })
    }

    /// The least it may cost; at most [`Self::likely`].
    pub fn low(&self) -> f64 {
        self.low
    }

    /// What it most likely costs; between the other two.
    pub fn likely(&self) -> f64 {
        self.likely
    }

    /// The most it may cost; at least [`Self::likely`].
    pub fn high(&self) -> f64 {
        self.high
    }

    /// This and `times` another of the same job: both run low, likely and high together.
    #[must_use]
    pub fn plus(&self, other: &ThreePoint, times: f64) -> ThreePoint {
        ThreePoint {
            low: self.low + other.low * times,
            likely: self.likely + other.likely * times,
            high: self.high + other.high * times,
        }
    }

    /// The PERT mean, (low + 4 likely + high) / 6.
    pub fn mean(&self) -> f64 {
        (self.low + 4.0 * self.likely + self.high) / 6.0
    }

    /// The variance of the beta-PERT distribution.
    pub fn variance(&self) -> f64 {
        let mean = self.mean();
        (mean - self.low) * (self.high - mean) / (SHAPES + 1.0)
    }

    /// The figure below which the share `p` (0 to 1) lies.
    pub fn quantile(&self, p: f64) -> f64 {
        self.low + (self.high - self.low) * quantile(self.mode(), p)
    }

    /// Where the likely figure stands between low, 0, and high, 1.
    fn mode(&self) -> f64 {
        let width = self.high - self.low;
        if width > 0.0 {
            (self.likely - self.low) / width
        } else {
            0.0
        }
    }

    /// A figure drawn at random: uniform points under a lid at the peak of the density, until one
    /// lies under the curve. Exact, and at worst one in five does, since both shapes lie between 1
    /// and 5.
    fn draw(&self, rng: &mut fastrand::Rng) -> f64 {
        let width = self.high - self.low;
        if width <= 0.0 {
            return self.low;
        }
        let mode = self.mode();
        let curve = |x: f64| x.powf(4.0 * mode) * (1.0 - x).powf(4.0 * (1.0 - mode));
        let lid = curve(mode);
        loop {
            let x = rng.f64();
            if rng.f64() * lid < curve(x) {
                return self.low + width * x;
            }
        }
    }
}

/// What estimates come to together; `seed` fixes the simulation. The dependent range is exact. The
/// independent one is simulated, but for a single estimate with any width, where both are one.
pub fn total(estimates: &[ThreePoint], seed: u64) -> Total {
    let sum = |of: &dyn Fn(&ThreePoint) -> f64| estimates.iter().map(of).sum::<f64>();
    let dependent = Range {
        p10: sum(&|e| e.quantile(0.1)),
        p90: sum(&|e| e.quantile(0.9)),
    };
    let wide = estimates.iter().filter(|e| e.high > e.low).count();
    Total {
        low: sum(&|e| e.low),
        likely: sum(&|e| e.likely),
        high: sum(&|e| e.high),
        mean: sum(&ThreePoint::mean),
        independent: if wide < 2 {
            dependent
        } else {
            simulated(estimates, seed)
        },
        dependent,
    }
}

fn simulated(estimates: &[ThreePoint], seed: u64) -> Range {
    let mut totals = draws(estimates, seed);
    totals.sort_by(f64::total_cmp);
    Range {
        p10: at(&totals, 0.1),
        p90: at(&totals, 0.9),
    }
}

/// [`DRAWS`] totals of independent estimates, in the order drawn.
pub fn draws(estimates: &[ThreePoint], seed: u64) -> Vec<f64> {
    let mut rng = fastrand::Rng::with_seed(seed);
    let mut one = || estimates.iter().map(|e| e.draw(&mut rng)).sum();
    std::iter::repeat_with(&mut one).take(DRAWS).collect()
}

/// A percentile of sorted values, between neighbours in proportion.
fn at(sorted: &[f64], p: f64) -> f64 {
    let place = p * (sorted.len().saturating_sub(1)) as f64;
    let (below, share) = (place.floor() as usize, place.fract());
    let value = |n: usize| sorted.get(n).or(sorted.last()).copied().unwrap_or(0.0);
    value(below) + (value(below + 1) - value(below)) * share
}

/// The quantile of a beta-PERT distribution on 0 to 1, by bisection on its distribution function.
fn quantile(mode: f64, p: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if below(mode, middle) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    (low + high) / 2.0
}

/// The share of a beta-PERT distribution on 0 to 1 that lies below x.
fn below(mode: f64, x: f64) -> f64 {
    if x > 0.5 {
        // The series converges as powers of x.
        return 1.0 - below(1.0 - mode, 1.0 - x);
    }
    let a = 1.0 + 4.0 * mode;
    // NIST Digital Library of Mathematical Functions 8.17.8: all terms positive, nothing cancels.
    let (mut term, mut sum, mut n) = (1.0, 1.0, 0.0);
    while term > sum * 1e-17 {
        term *= (SHAPES + n) / (a + 1.0 + n) * x;
        sum += term;
        n += 1.0;
    }
    x.powf(a) * (1.0 - x).powf(SHAPES - a) * sum / (a * beta_function(a))
}

/// B(a, 6 − a) for a from 1 to 5, by the reflection formula of the gamma function: the product of
/// the distances to the other whole numbers, over 5! and over sin(πd)/(πd) of the distance d to the
/// nearest.
fn beta_function(a: f64) -> f64 {
    let nearest = a.round();
    let others = (1..=5).map(f64::from).filter(|n| *n != nearest);
    let product: f64 = others.map(|n| (n - a).abs()).product();
    let angle = PI * (a - nearest);
    let sinc = if angle == 0.0 {
        1.0
    } else {
        angle.sin() / angle
    };
    product / 120.0 / sinc
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_in_order_finite_and_not_negative() {
        let field = |l, m, h| ThreePoint::new(l, m, h).err().map(|(field, _)| field);
        assert_eq!(field(1.0, 2.0, 3.0), None);
        assert_eq!(field(2.0, 2.0, 2.0), None);
        assert_eq!(field(-1.0, 2.0, 3.0), Some("low"));
        assert_eq!(field(3.0, 2.0, 4.0), Some("likely"));
        assert_eq!(field(1.0, 3.0, 2.0), Some("high"));
        assert_eq!(field(f64::NAN, 3.0, 2.0), Some("low"));
        assert_eq!(field(1.0, 3.0, f64::INFINITY), Some("high"));
    }

    #[test]
    fn nothing_costs_nothing_and_one_estimate_has_one_range() {
        let none = total(&[], 1);
        assert_eq!((none.mean, none.independent.p90), (0.0, 0.0));
        let Ok(one) = ThreePoint::new(100.0, 150.0, 350.0) else {
            unreachable!("in order")
        };
        let Ok(fixed) = ThreePoint::new(50.0, 50.0, 50.0) else {
            unreachable!("in order")
        };
        let both = total(&[one, fixed], 1);
        assert_eq!(both.independent, both.dependent);
        assert_eq!(both.independent.p10, 50.0 + one.quantile(0.1));
    }

    #[test]
    fn the_same_seed_gives_the_same_total_and_another_does_not() {
        let Ok(one) = ThreePoint::new(100.0, 150.0, 350.0) else {
            unreachable!("in order")
        };
        let parts = [one; 3];
        assert_eq!(total(&parts, 7), total(&parts, 7));
        assert_ne!(total(&parts, 7).independent, total(&parts, 8).independent);
    }
}
