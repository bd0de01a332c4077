//! The Theil–Sen slope: the median of the slopes between all pairs of points, hardly moved by a few
//! wild readings (Theil 1950, Sen 1968), with its interval and the line through the medians.

use super::kendall::Kendall;
use super::normal::quantile_two_sided;
use super::select::Slopes;

/// Up to so many points all slopes are written down; above, they are counted.
const MOST_WRITTEN: usize = 120;
/// Coordinates beyond this are no readings; the arithmetic stays away from overflow.
const LARGEST: f64 = 1e100;

/// A robust line through points: the median of their slopes, through their medians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Value per unit of time.
    pub slope: f64,
    /// Lower bound of the slope; none for fewer than three points.
    pub low: Option<f64>,
    /// Upper bound of the slope.
    pub high: Option<f64>,
    /// Median of the times.
    pub x: f64,
    /// Median of the values.
    pub y: f64,
    /// Pairs of points whose times differ.
    pub slopes: u64,
}

/// How a bound is read off at a rank between two slopes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ranks {
    /// In proportion between the two, as in EPA 530/R-09-007 (2009).
    Interpolated,
    /// The slope of the nearest whole rank, half to even, as in Sen's example (1968).
    Nearest,
}

impl Line {
    /// The line of points `(time, value)` in any order, or `None` where no two times differ or a
    /// coordinate is not finite. The interval holds the slope with a chance of `level` by the
    /// normal approximation: ranks `(N - C) / 2` and `(N + C) / 2 + 1` of the N slopes, C being
    /// the quantile times the standard deviation of the Mann–Kendall S (Gilbert 1987), clamped to
    /// the slopes there are. None for a level outside 0 to 1.
    pub fn of(points: &[(f64, f64)], level: f64, ranks: Ranks) -> Option<Line> {
        let sorted = Sorted::of(points)?;
        let n = sorted.count();
        let bound = |rank: f64| {
            let rank = match ranks {
                Ranks::Interpolated => rank,
                Ranks::Nearest => rank.round_ties_even(),
            };
            sorted.at_rank(rank)
        };
        let kendall = Kendall::of(points).filter(|k| k.n > 2);
        let bounds = kendall.zip(quantile_two_sided(level)).map(|(k, quantile)| {
            let c = quantile * k.variance.sqrt();
            let n = n as f64;
            (bound((n - c) / 2.0), bound((n + c) / 2.0 + 1.0))
        });
        Some(Line {
            slope: sorted.at_rank((n as f64 + 1.0) / 2.0),
            low: bounds.map(|b| b.0),
            high: bounds.map(|b| b.1),
            x: median(points.iter().map(|p| p.0))?,
            y: median(points.iter().map(|p| p.1))?,
            slopes: n,
        })
    }

    /// Conover's intercept: median of the values less slope times median of the times.
    pub fn intercept(&self) -> f64 {
        self.y - self.slope * self.x
    }

    /// Value of the line at a time.
    pub fn at(&self, time: f64) -> f64 {
        self.y + self.slope * (time - self.x)
    }
}

/// The Theil–Sen slope in value per unit of time, or `None` where no two times differ or a
/// coordinate is not finite.
pub fn theil_sen(points: &[(f64, f64)]) -> Option<f64> {
    let sorted = Sorted::of(points)?;
    Some(sorted.at_rank((sorted.count() as f64 + 1.0) / 2.0))
}

/// The slopes of all pairs by rank: written down where they are few, counted where they are many.
enum Sorted {
    Written(Vec<f64>),
    Counted(Slopes),
}

impl Sorted {
    fn of(points: &[(f64, f64)]) -> Option<Sorted> {
        let meant = |v: f64| v.abs() <= LARGEST;
        if !points.iter().all(|p| meant(p.0) && meant(p.1)) {
            return None;
        }
        let sorted = if points.len() <= MOST_WRITTEN {
            Sorted::Written(pairwise_slopes(points))
        } else {
            Sorted::Counted(Slopes::of(points))
        };
        (sorted.count() > 0).then_some(sorted)
    }

    fn count(&self) -> u64 {
        match self {
            Sorted::Written(slopes) => slopes.len() as u64,
            Sorted::Counted(slopes) => slopes.pairs(),
        }
    }

    /// At a rank counted from 1, clamped to those there are, in proportion between two.
    fn at_rank(&self, rank: f64) -> f64 {
        let rank = rank.clamp(1.0, self.count() as f64) - 1.0;
        let (lower, upper) = match self {
            Sorted::Written(slopes) => {
                let lower = rank as usize;
                (slopes[lower], slopes[(lower + 1).min(slopes.len() - 1)])
            }
            Sorted::Counted(slopes) => slopes.two_at(rank as u64),
        };
        if rank.fract() == 0.0 {
            return lower;
        }
        lower + rank.fract() * (upper - lower)
    }
}

/// Slopes between all pairs of points `(time, value)` whose times differ, ascending.
pub fn pairwise_slopes(points: &[(f64, f64)]) -> Vec<f64> {
    let mut slopes = Vec::new();
    for (i, (time, value)) in points.iter().enumerate() {
        for (later, other) in &points[i + 1..] {
            if later != time {
                slopes.push((other - value) / (later - time));
            }
        }
    }
    slopes.sort_unstable_by(f64::total_cmp);
    slopes
}

/// The middle of values in any order, or the mean of the middle two; `None` of nothing.
pub fn median(values: impl IntoIterator<Item = f64>) -> Option<f64> {
    let mut values: Vec<f64> = values.into_iter().collect();
    values.sort_unstable_by(f64::total_cmp);
    median_of_sorted(&values)
}

/// The middle of ascending values, or the mean of the middle two; `None` of nothing.
pub fn median_of_sorted(values: &[f64]) -> Option<f64> {
    let upper = *values.get(values.len() / 2)?;
    if values.len() % 2 == 1 {
        return Some(upper);
    }
    let lower = values[values.len() / 2 - 1];
    Some(lower + (upper - lower) / 2.0)
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn points_at_one_time_have_no_slope() {
        assert_eq!(theil_sen(&[]), None);
        assert_eq!(theil_sen(&[(1.0, 2.0)]), None);
        assert_eq!(theil_sen(&[(1.0, 2.0), (1.0, 5.0)]), None);
        assert_eq!(theil_sen(&vec![(1.0, 2.0); 500]), None);
    }

    #[test]
    fn what_is_not_finite_has_no_slope() {
        for bad in [f64::NAN, f64::INFINITY, 1e300] {
            assert_eq!(theil_sen(&[(1.0, 2.0), (2.0, bad)]), None);
            assert_eq!(theil_sen(&[(1.0, 2.0), (bad, 2.0)]), None);
        }
    }

    #[test]
    fn one_wild_value_does_not_move_the_slope() {
        let mut points: Vec<_> = (0..11)
            .map(|i| (f64::from(i), 2.0 * f64::from(i)))
            .collect();
        points[10].1 = 1e6;
        assert_eq!(theil_sen(&points), Some(2.0));
    }

    #[test]
    fn two_points_have_a_slope_and_no_interval() {
        let line = Line::of(&[(0.0, 1.0), (2.0, 5.0)], 0.9, Ranks::Interpolated).expect("a line");
        assert_eq!((line.slope, line.low, line.high), (2.0, None, None));
        assert_eq!((line.intercept(), line.at(3.0)), (1.0, 7.0));
        let three = [(0.0, 1.0), (2.0, 5.0), (3.0, 6.0)];
        let line = |level| Line::of(&three, level, Ranks::Interpolated).expect("a line");
        assert_eq!((line(0.9).low, line(0.9).high), (Some(1.0), Some(2.0)));
        assert_eq!((line(0.0).low, line(1.0).high), (None, None));
    }

    /// Times and values as they come in a logbook: ties in both, duplicates, decimals, all alike.
    fn series() -> impl Strategy<Value = Vec<(f64, f64)>> {
        let coordinate = || {
            prop_oneof![
                (0..4_i32).prop_map(f64::from),
                (0..200_i32).prop_map(|t| f64::from(t) * 0.1),
                -1e6..1e6_f64,
            ]
        };
        let mixed = prop::collection::vec((coordinate(), coordinate()), 2..40);
        let even = (2..40_usize, -5..5_i32, 0..40_i32).prop_map(|(n, b, c)| {
            let at = |i: usize| f64::from(i as i32) * 0.1;
            (0..n)
                .map(|i| (at(i), f64::from(b) * at(i) + f64::from(c) * 0.01))
                .collect()
        });
        prop_oneof![mixed, even]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(150))]

        /// Counting and writing down give the same slope at every rank, up to the rounding of
        /// equal slopes.
        #[test]
        fn counted_slopes_are_the_written_ones(points in series()) {
            let written = pairwise_slopes(&points);
            let counted = Slopes::of(&points);
            prop_assert_eq!(counted.pairs(), written.len() as u64);
            for (rank, slope) in written.iter().enumerate().step_by(1 + written.len() / 40) {
                let (found, next) = counted.two_at(rank as u64);
                let after = written[(rank + 1).min(written.len() - 1)];
                for (found, slope) in [(found, *slope), (next, after)] {
                    prop_assert!((found - slope).abs() <= 1e-13 * slope.abs(), "{} not {}", found, slope);
                }
            }
        }
    }
}
