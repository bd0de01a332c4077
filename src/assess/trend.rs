//! Whether a series rises or falls: the robust line through all its points, and the test on their
//! weekly medians, since looks crowded together say the same thing twice.

use super::exposure::Exposure;
use super::kendall::Kendall;
use super::slope::{Line, Ranks, median};
use crate::text::words;

/// The level of the interval that is shown.
pub const LEVEL: f64 = 0.9;
/// A trend is called from so many tested points on.
const FEWEST: usize = 5;
/// A trend is called below this chance when it is asked about.
const CALLED_BELOW: f64 = 0.10;
/// It is named unasked only below this.
const NAMED_BELOW: f64 = 0.01;

words! {
    /// Which way a series goes, where a trend is called.
    Direction, "direction of a trend" {
        /// The values go up, whether that is better or worse.
        Rising = "rising",
        /// The values go down, whether that is better or worse.
        Falling = "falling",
        /// No trend is called.
        None = "none",
    }
}

/// A point of a series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// When, in days from any fixed day: decides which points share a week.
    pub day: f64,
    /// Running hours or days.
    pub x: f64,
    /// The value, in the unit of the series.
    pub y: f64,
}

/// What a series says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trend {
    /// Points of the line.
    pub n: usize,
    /// The line; none where no two times differ.
    pub line: Option<Line>,
    /// The test on the weekly medians; none for fewer than two.
    pub test: Option<Kendall>,
    /// Rising or falling where five tested points or more and a chance under 0.10 call it.
    pub direction: Direction,
}

impl Trend {
    /// The trend of a series in any order, its slope's interval at a level. Points with a
    /// coordinate that is not finite are left out.
    pub fn of(points: &[Point], level: f64) -> Trend {
        let finite = |p: &&Point| p.day.is_finite() && p.x.is_finite() && p.y.is_finite();
        let points: Vec<Point> = points.iter().filter(finite).copied().collect();
        let all: Vec<(f64, f64)> = points.iter().map(|p| (p.x, p.y)).collect();
        let line = Line::of(&all, level, Ranks::Interpolated);
        let test = Kendall::of(&weekly(&points));
        let called = test.filter(|t| line.is_some() && t.n >= FEWEST && t.p < CALLED_BELOW);
        let direction = match called {
            Some(test) if test.s > 0 => Direction::Rising,
            Some(test) if test.s < 0 => Direction::Falling,
            _ => Direction::None,
        };
        Trend {
            n: points.len(),
            line,
            test,
            direction,
        }
    }

    /// True where a trend is sure enough to be named without being asked about. It is worth naming
    /// where its crossing falls within the plan.
    pub fn is_sure(&self) -> bool {
        self.direction != Direction::None && self.test.is_some_and(|t| t.p < NAMED_BELOW)
    }
}

/// True where a crossing so far ahead falls within a plan; hours or days that are not known count
/// for nothing.
pub fn within(plan: Exposure, hours: Option<f64>, days: Option<f64>) -> bool {
    hours.is_some_and(|hours| hours <= plan.hours) || days.is_some_and(|days| days <= plan.days)
}

/// The medians of the points of each week, as `(x, y)` by time. Weeks are counted from the first
/// point.
pub fn weekly(points: &[Point]) -> Vec<(f64, f64)> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.day.total_cmp(&b.day));
    let first = sorted.first().map_or(0.0, |p| p.day);
    let week = |p: &Point| ((p.day - first) / 7.0).floor();
    let medians = |week: &[Point]| {
        let x = median(week.iter().map(|p| p.x))?;
        Some((x, median(week.iter().map(|p| p.y))?))
    };
    let weeks = sorted.chunk_by(|a, b| week(a) == week(b));
    weeks.filter_map(medians).collect()
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    fn points(days: &[f64], values: &[f64]) -> Vec<Point> {
        let point = |(day, y): (&f64, &f64)| Point {
            day: *day,
            x: *day,
            y: *y,
        };
        days.iter().zip(values).map(point).collect()
    }

    #[test]
    fn a_week_counts_once() {
        let crowded = points(
            &[0.0, 0.5, 1.0, 6.9, 7.0, 13.9, 21.0],
            &[1.0, 9.0, 2.0, 3.0, 4.0, 6.0, 7.0],
        );
        assert_eq!(weekly(&crowded), [(0.75, 2.5), (10.45, 5.0), (21.0, 7.0)]);
        assert!(weekly(&[]).is_empty());
    }

    #[test]
    fn a_trend_takes_five_weeks() {
        let days: Vec<f64> = (0..5).map(|w| 7.0 * f64::from(w)).collect();
        let rising = Trend::of(&points(&days, &[1.0, 2.0, 3.0, 4.0, 5.0]), LEVEL);
        assert_eq!(rising.direction, Direction::Rising);
        assert!(!rising.is_sure(), "p is {:?}", rising.test);
        let falling = Trend::of(&points(&days, &[5.0, 4.0, 3.0, 2.0, 1.0]), LEVEL);
        assert_eq!(falling.direction, Direction::Falling);
        let four = Trend::of(&points(&days[..4], &[1.0, 2.0, 3.0, 4.0]), LEVEL);
        assert_eq!(four.direction, Direction::None);
        // A hundred looks of one week are one.
        let crowded: Vec<f64> = (0..100).map(|n| f64::from(n) / 20.0).collect();
        let crowded = Trend::of(&points(&crowded, &crowded), LEVEL);
        assert_eq!((crowded.direction, crowded.test), (Direction::None, None));
        assert_eq!(crowded.line.map(|l| l.slope), Some(1.0));
    }

    #[test]
    fn what_says_nothing_calls_nothing() {
        for (days, values) in [
            (&[][..], &[][..]),
            (&[1.0], &[2.0]),
            (&[1.0; 6], &[1.0, 2.0, 3.0, 4.0, 5.0, 6.0]),
            (&[f64::NAN, 1.0], &[1.0, f64::INFINITY]),
        ] {
            let trend = Trend::of(&points(days, values), LEVEL);
            assert_eq!((trend.line, trend.direction), (None, Direction::None));
        }
        let level: Vec<f64> = (0..9).map(|w| 7.0 * f64::from(w)).collect();
        let flat = Trend::of(&points(&level, &[3.0; 9]), LEVEL);
        assert_eq!(flat.line.map(|l| l.slope), Some(0.0));
        assert_eq!(flat.direction, Direction::None);
    }

    #[test]
    fn a_crossing_in_hours_or_days_falls_within_a_plan() {
        let plan = Exposure {
            hours: 50.0,
            days: 30.0,
        };
        assert!(within(plan, Some(50.0), None) && within(plan, Some(90.0), Some(30.0)));
        assert!(!within(plan, Some(51.0), Some(31.0)) && !within(plan, None, None));
    }
}
