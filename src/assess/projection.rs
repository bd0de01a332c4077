//! How fast a level falls and when it meets its low mark, by least squares over running hours with
//! an error of one reading that is known.
//!
//! A filling begins a new segment: each has a height of its own, and all fall alike. With the error
//! known the slope is exactly normal, so its interval holds its level from three readings on; what
//! is asked of a fall is only that a stick could show it, not that a test calls it.

use super::crossing::Crossing;
use super::normal::{quantile_two_sided, two_sided};

/// A fall counts from so many readings on.
const FEWEST: usize = 3;
/// And where it is greater than so many times the error of one reading (judgement).
const SHOWN: f64 = 2.0;

/// A reading of a level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dip {
    /// Running hours.
    pub x: f64,
    /// The level, in the unit of the series.
    pub y: f64,
    /// How often it was filled before this reading by an amount that is not known.
    pub filling: usize,
}

/// How a level falls.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fall {
    /// Change per running hour, negative where it falls.
    pub per_hour: f64,
    /// Readings behind it.
    pub n: usize,
    /// Error of one reading, a standard deviation in the unit of the series.
    error: f64,
    /// Squared running hours about the middle of each filling, summed.
    spread: f64,
    /// Running hours of the longest filling watched.
    longest: f64,
    /// Readings of the newest filling, and their middle.
    newest: (f64, f64, f64),
}

impl Fall {
    /// The common fall of the readings of all fillings, in any order, where one reading errs by
    /// `error`; none below three readings or one degree of freedom over all, where no filling was
    /// read at two times, and where a figure is not finite.
    pub fn of(dips: &[Dip], error: f64) -> Option<Fall> {
        let fillings = Filling::all(dips);
        let n = dips.len();
        let spread: f64 = fillings.iter().map(|f| f.spread).sum();
        let together: f64 = fillings.iter().map(|f| f.together).sum();
        let per_hour = together / spread;
        let is_known = n >= FEWEST.max(fillings.len() + 2) && per_hour.is_finite();
        let newest = fillings.last().filter(|_| is_known && error > 0.0)?;
        let longest = fillings.iter().map(|f| f.span).max_by(f64::total_cmp)?;
        Some(Fall {
            per_hour,
            n,
            error,
            spread,
            longest,
            newest: (newest.n, newest.x, newest.y),
        })
    }

    /// What is left of readings after their common fall: the squares summed, and the degrees of
    /// freedom; none where there is none.
    pub(super) fn left_over(dips: &[Dip]) -> Option<(f64, usize)> {
        let fillings = Filling::all(dips);
        let sum = |of: fn(&Filling) -> f64| fillings.iter().map(of).sum::<f64>();
        let (spread, together) = (sum(|f| f.spread), sum(|f| f.together));
        let degrees = dips.len().checked_sub(fillings.len() + 1)?;
        let left = sum(|f| f.scatter) - together * together / spread;
        (degrees > 0 && left.is_finite()).then(|| (left.max(0.0), degrees))
    }

    /// True where within one filling it fell by more than twice what the reading can show.
    pub fn counts(&self) -> bool {
        -self.per_hour * self.longest > SHOWN * self.error
    }

    /// The interval of [`Fall::per_hour`] at a level above 0 and below 1.
    pub fn interval(&self, level: f64) -> Option<(f64, f64)> {
        let half = quantile_two_sided(level)? * self.error / self.spread.sqrt();
        Some((self.per_hour - half, self.per_hour + half))
    }

    /// The level at so many running hours, by the newest filling.
    pub fn at(&self, x: f64) -> f64 {
        let (_, middle, height) = self.newest;
        height + self.per_hour * (x - middle)
    }

    /// Chance that the level has passed below a limit by so many running hours, from the error of
    /// height and slope; hours before the middle of the newest filling count as that. It never falls
    /// with the hours, as what was passed once is passed.
    pub fn chance_below(&self, limit: f64, x: f64) -> f64 {
        let (n, middle, height) = self.newest;
        let below = limit - height;
        // Below the limit already the line grows less sure ahead of it; there the surest counts.
        let surest = self.per_hour * self.spread / (n * -below);
        let ahead = (x - middle).max(0.0);
        let ahead = if below > 0.0 {
            ahead.min(surest)
        } else {
            ahead
        };
        let error = self.error * (1.0 / n + ahead * ahead / self.spread).sqrt();
        let z = (below - self.per_hour * ahead) / error;
        let tail = two_sided(z) / 2.0;
        if z > 0.0 { 1.0 - tail } else { tail }
    }

    /// When the line meets a limit, counted from `now`: the hours at which the level, with the error
    /// of height and slope, cannot be told from the limit (Fieller, 1954). None where it does not fall.
    pub fn meets(&self, limit: f64, now: f64, level: f64) -> Option<Crossing> {
        let (n, middle, height) = self.newest;
        let z = quantile_two_sided(level)?;
        if self.per_hour >= 0.0 {
            return None;
        }
        let above = height - limit;
        let (slope, square) = (self.per_hour, z * z * self.error * self.error);
        // Those hours u from the middle where (above + slope u)² <= z² error² (1/n + u²/spread).
        let a = slope * slope - square / self.spread;
        let c = above * above - square / n;
        let root = (slope * slope * square / n + square / self.spread * c)
            .max(0.0)
            .sqrt();
        let ahead = |u: f64| (middle + u - now).max(0.0);
        let half = -slope * above;
        let (not_before, not_after) = if a > 0.0 {
            ((half - root) / a, Some((half + root) / a))
        } else if c > 0.0 && above > 0.0 {
            // The slower bound never gets there; written so that no slope divides by nothing.
            (c / (half + root), None)
        } else {
            (f64::NEG_INFINITY, None)
        };
        Some(Crossing {
            limit,
            not_before: Some(ahead(not_before)),
            about: ahead(above / -slope),
            not_after: not_after.map(ahead),
        })
    }
}

/// The readings between two fillings.
struct Filling {
    n: f64,
    x: f64,
    y: f64,
    spread: f64,
    together: f64,
    /// Squares of the readings about their middle.
    scatter: f64,
    span: f64,
}

impl Filling {
    fn all(dips: &[Dip]) -> Vec<Filling> {
        let mut dips: Vec<Dip> = dips.to_vec();
        dips.sort_by(|a, b| {
            (a.filling, a.x)
                .partial_cmp(&(b.filling, b.x))
                .unwrap_or(std::cmp::Ordering::Equal)
        });
        let fillings = dips.chunk_by(|a, b| a.filling == b.filling);
        fillings.map(Filling::of).collect()
    }

    fn of(dips: &[Dip]) -> Filling {
        let n = dips.len() as f64;
        let x = dips.iter().map(|d| d.x).sum::<f64>() / n;
        let y = dips.iter().map(|d| d.y).sum::<f64>() / n;
        let first = dips.first().map_or(x, |d| d.x);
        let last = dips.last().map_or(x, |d| d.x);
        Filling {
            n,
            x,
            y,
            spread: dips.iter().map(|d| (d.x - x) * (d.x - x)).sum(),
            together: dips.iter().map(|d| (d.x - x) * (d.y - y)).sum(),
            scatter: dips.iter().map(|d| (d.y - y) * (d.y - y)).sum(),
            span: last - first,
        }
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    fn dips(points: &[(usize, f64, f64)]) -> Vec<Dip> {
        let dip = |&(filling, x, y): &(usize, f64, f64)| Dip { x, y, filling };
        points.iter().map(dip).collect()
    }

    #[test]
    fn three_readings_and_one_degree_of_freedom_are_needed() {
        let fall = |points: &[(usize, f64, f64)]| Fall::of(&dips(points), 10.0);
        assert!(fall(&[(0, 0.0, 80.0), (0, 5.0, 60.0)]).is_none());
        assert!(fall(&[(0, 0.0, 80.0), (0, 5.0, 60.0), (1, 6.0, 90.0)]).is_none());
        let two_and_two = [
            (0, 0.0, 80.0),
            (0, 5.0, 60.0),
            (1, 6.0, 90.0),
            (1, 11.0, 70.0),
        ];
        let common = fall(&two_and_two).expect("one degree of freedom");
        assert!((common.per_hour + 4.0).abs() < 1e-12);
        assert!(
            (common.at(11.0) - 70.0).abs() < 1e-12,
            "by the newest filling"
        );
        assert!(fall(&[(0, 3.0, 80.0), (0, 3.0, 60.0), (0, 3.0, 40.0)]).is_none());
        assert!(fall(&[(0, 0.0, 80.0), (0, 5.0, f64::NAN), (0, 6.0, 9.0)]).is_none());
    }

    #[test]
    fn a_fall_counts_from_twice_what_the_stick_shows() {
        let fall = |last: f64| {
            let points = [
                (0, 0.0, 80.0),
                (0, 5.0, (80.0 + last) / 2.0),
                (0, 10.0, last),
            ];
            Fall::of(&dips(&points), 10.0).expect("a line")
        };
        assert!(!fall(60.0).counts() && fall(59.0).counts() && !fall(120.0).counts());
    }

    #[test]
    fn what_is_passed_stays_passed() {
        for height in [-40.0, -5.0, 0.0, 5.0, 60.0] {
            let points = [
                (0, 0.0, height + 20.0),
                (0, 5.0, height + 10.0),
                (0, 10.0, height),
            ];
            let fall = Fall::of(&dips(&points), 10.0).expect("a line");
            let chances: Vec<f64> = (0..200)
                .map(|h| fall.chance_below(0.0, f64::from(h)))
                .collect();
            assert!(chances.is_sorted(), "from {height}: {chances:?}");
            assert!(chances.iter().all(|c| (0.0..=1.0).contains(c)));
        }
    }

    #[test]
    fn an_unsure_fall_has_no_latest_and_a_flat_one_no_crossing() {
        let unsure = Fall::of(
            &dips(&[(0, 0.0, 60.0), (0, 5.0, 55.0), (0, 10.0, 50.0)]),
            10.0,
        );
        let met = unsure
            .expect("a line")
            .meets(0.0, 10.0, 0.9)
            .expect("it falls");
        assert!((met.about - 50.0).abs() < 1e-9);
        assert!(met.not_before.is_some_and(|h| h > 0.0 && h < 50.0));
        assert_eq!(met.not_after, None);
        let flat = Fall::of(
            &dips(&[(0, 0.0, 60.0), (0, 5.0, 60.0), (0, 10.0, 60.0)]),
            10.0,
        );
        assert_eq!(flat.expect("a line").meets(0.0, 10.0, 0.9), None);
    }
}
