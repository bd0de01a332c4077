//! The Theil–Sen slope: the median of the slopes between all pairs of points, hardly moved by a few
//! wild readings (Theil 1950, Sen 1968), with its interval and the line through the medians.

use std::borrow::Cow;

use super::kendall::Kendall;
use super::normal::quantile_two_sided;

/// The line goes through all pairs of so many points; of more, through the medians of runs of
/// them (judgement: half a million pairs).
const MOST_PAIRED: usize = 1000;
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
    /// How many points it goes through: all, or the medians of runs of them.
    pub through: usize,
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
    ///
    /// Of more than a thousand points those of a run, three or another odd number, stand as one at
    /// the medians of their times and values: every reading counts, and a wild one is still alone.
    pub fn of(points: &[(f64, f64)], level: f64, ranks: Ranks) -> Option<Line> {
        if !are_meant(points) {
            return None;
        }
        let points = &*thinned(points);
        let mut slopes = pairwise_slopes(points);
        let n = slopes.len();
        Line::through(points, level, ranks, n, |rank| at_rank(&mut slopes, rank))
    }

    /// The same of points whose slopes stand by as they are, ascending: those between all pairs whose
    /// times differ. Of more than a thousand points it is not the same, and `None`.
    pub(super) fn of_slopes(
        points: &[(f64, f64)],
        slopes: &[f64],
        level: f64,
        ranks: Ranks,
    ) -> Option<Line> {
        let at_rank = |rank| at_rank_of_sorted(slopes, rank);
        (are_meant(points) && points.len() <= MOST_PAIRED)
            .then(|| Line::through(points, level, ranks, slopes.len(), at_rank))
            .flatten()
    }

    fn through(
        points: &[(f64, f64)],
        level: f64,
        ranks: Ranks,
        slopes: usize,
        mut at_rank: impl FnMut(f64) -> Option<f64>,
    ) -> Option<Line> {
        let n = slopes as f64;
        let slope = at_rank((n + 1.0) / 2.0)?;
        let mut bound = |rank: f64| match ranks {
            Ranks::Interpolated => at_rank(rank),
            Ranks::Nearest => at_rank(rank.round_ties_even()),
        };
        let kendall = Kendall::of(points).filter(|k| k.n > 2);
        let c = kendall
            .zip(quantile_two_sided(level))
            .map(|(k, quantile)| quantile * k.variance.sqrt());
        Some(Line {
            slope,
            low: c.and_then(|c| bound((n - c) / 2.0)),
            high: c.and_then(|c| bound((n + c) / 2.0 + 1.0)),
            x: median(points.iter().map(|p| p.0))?,
            y: median(points.iter().map(|p| p.1))?,
            through: points.len(),
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

/// True for points no coordinate of which is beyond what a reading can be.
fn are_meant(points: &[(f64, f64)]) -> bool {
    let meant = |v: f64| v.abs() <= LARGEST;
    points.iter().all(|p| meant(p.0) && meant(p.1))
}

/// The points, or where they are many the medians of runs of them by time.
fn thinned(points: &[(f64, f64)]) -> Cow<'_, [(f64, f64)]> {
    if points.len() <= MOST_PAIRED {
        return points.into();
    }
    let mut points = points.to_vec();
    points.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let run = points.len().div_ceil(MOST_PAIRED) | 1;
    let medians = |run: &[(f64, f64)]| {
        let time = median(run.iter().map(|p| p.0))?;
        Some((time, median(run.iter().map(|p| p.1))?))
    };
    points.chunks(run).filter_map(medians).collect()
}

/// Slopes between all pairs of points `(time, value)` whose times differ.
fn pairwise_slopes(points: &[(f64, f64)]) -> Vec<f64> {
    let mut slopes = Vec::with_capacity(points.len() * points.len().saturating_sub(1) / 2);
    for (i, point) in points.iter().enumerate() {
        slopes.extend(
            points[i + 1..]
                .iter()
                .filter_map(|later| between(*point, *later)),
        );
    }
    slopes
}

/// The slope from one point `(time, value)` to another; none where their times do not differ.
pub(super) fn between(one: (f64, f64), other: (f64, f64)) -> Option<f64> {
    (other.0 != one.0).then(|| (other.1 - one.1) / (other.0 - one.0))
}

/// The slope at a rank counted from 1, clamped to those there are, in proportion between two;
/// `None` of nothing. Leaves the slopes in another order.
fn at_rank(slopes: &mut [f64], rank: f64) -> Option<f64> {
    if slopes.is_empty() {
        return None;
    }
    let rank = rank.clamp(1.0, slopes.len() as f64) - 1.0;
    let (_, lower, above) = slopes.select_nth_unstable_by(rank as usize, f64::total_cmp);
    let upper = above.iter().copied().min_by(f64::total_cmp);
    let upper = upper.filter(|_| rank.fract() > 0.0).unwrap_or(*lower);
    Some(*lower + rank.fract() * (upper - *lower))
}

/// The same of ascending slopes.
fn at_rank_of_sorted(slopes: &[f64], rank: f64) -> Option<f64> {
    let rank = rank.clamp(1.0, slopes.len().max(1) as f64) - 1.0;
    let lower = *slopes.get(rank as usize)?;
    let upper = slopes.get(rank as usize + 1);
    let upper = upper.filter(|_| rank.fract() > 0.0).unwrap_or(&lower);
    Some(lower + rank.fract() * (upper - lower))
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

    fn slope(points: &[(f64, f64)]) -> Option<f64> {
        Line::of(points, 0.9, Ranks::Interpolated).map(|line| line.slope)
    }

    #[test]
    fn points_at_one_time_have_no_slope() {
        assert_eq!(slope(&[]), None);
        assert_eq!(slope(&[(1.0, 2.0)]), None);
        assert_eq!(slope(&[(1.0, 2.0), (1.0, 5.0)]), None);
        assert_eq!(slope(&vec![(1.0, 2.0); 2 * MOST_PAIRED]), None);
    }

    #[test]
    fn what_is_not_finite_has_no_slope() {
        for bad in [f64::NAN, f64::INFINITY, 1e300] {
            assert_eq!(slope(&[(1.0, 2.0), (2.0, bad)]), None);
            assert_eq!(slope(&[(1.0, 2.0), (bad, 2.0)]), None);
        }
    }

    #[test]
    fn one_wild_value_does_not_move_the_slope() {
        let mut points: Vec<_> = (0..11)
            .map(|i| (f64::from(i), 2.0 * f64::from(i)))
            .collect();
        points[10].1 = 1e6;
        assert_eq!(slope(&points), Some(2.0));
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

    /// Falling by 3, given from the last to the first; one reading in ten is wild, to either side.
    fn wild(n: usize) -> Vec<(f64, f64)> {
        let value = |i: usize| match i % 20 {
            0 => 1e6,
            10 => -1e6,
            _ => -3.0 * i as f64,
        };
        (0..n).rev().map(|i| (i as f64, value(i))).collect()
    }

    #[test]
    fn many_points_keep_the_line_of_all_their_pairs() {
        assert!(matches!(thinned(&wild(MOST_PAIRED)), Cow::Borrowed(_)));
        for n in [MOST_PAIRED + 1, 3 * MOST_PAIRED + 1, 10 * MOST_PAIRED] {
            let points = wild(n);
            let medians = thinned(&points).len();
            assert!((300..=MOST_PAIRED).contains(&medians), "{n}: {medians}");
            let line = Line::of(&points, 0.9, Ranks::Interpolated).expect("a line");
            assert!((line.slope + 3.0).abs() < 0.01, "{n}: {line:?}");
            assert!(line.low <= Some(line.slope) && line.high >= Some(line.slope));
            let middle = n as f64 / 2.0;
            let off = line.at(middle) + 3.0 * middle;
            assert!(off.abs() < 0.02 * n as f64, "{n}: {line:?}");
        }
    }
}
