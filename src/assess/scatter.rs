//! How far a person's own readings of a level scatter, learned from readings of one level and from
//! what is left of a fall after its line.

use super::normal::quantile_two_sided;
use super::projection::{Dip, Fall};
use super::trend::LEVEL;

/// Degrees of freedom from which readings teach their own scatter (judgement).
const FEWEST: usize = 8;
/// What is learned stays between these shares of what is taken without learning (judgement): nobody
/// reads a stick to a hundredth, and no scatter excuses a fall of half the span.
const BOUNDS: (f64, f64) = (0.25, 2.0);

/// The scatter of readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scatter {
    /// Standard deviation of one reading, in the unit of the series.
    pub deviation: f64,
    /// Readings behind it.
    pub n: usize,
    degrees: usize,
}

impl Scatter {
    /// The scatter of readings, in any order: of those of one level, read again with no hour run
    /// between, where they are enough, else about the common fall of all; none below eight degrees of
    /// freedom.
    pub fn of(dips: &[Dip]) -> Option<Scatter> {
        let enough = |s: &Scatter| s.degrees >= FEWEST && s.deviation.is_finite();
        Scatter::of_one_level(dips).filter(enough).or_else(|| {
            let (squares, degrees) = Fall::left_over(dips)?;
            Some(Scatter::new(squares, degrees, dips.len())).filter(enough)
        })
    }

    fn of_one_level(dips: &[Dip]) -> Option<Scatter> {
        let mut dips = dips.to_vec();
        dips.sort_by(|a, b| a.filling.cmp(&b.filling).then(a.x.total_cmp(&b.x)));
        let again = dips.chunk_by(|a, b| a.filling == b.filling && a.x == b.x);
        let again: Vec<&[Dip]> = again.filter(|dips| dips.len() > 1).collect();
        let squares = again.iter().map(|dips| {
            let middle = dips.iter().map(|d| d.y).sum::<f64>() / dips.len() as f64;
            dips.iter()
                .map(|d| (d.y - middle) * (d.y - middle))
                .sum::<f64>()
        });
        let n: usize = again.iter().map(|dips| dips.len()).sum();
        (n > again.len()).then(|| Scatter::new(squares.sum(), n - again.len(), n))
    }

    fn new(squares: f64, degrees: usize, n: usize) -> Scatter {
        Scatter {
            deviation: (squares.max(0.0) / degrees.max(1) as f64).sqrt(),
            n,
            degrees,
        }
    }

    /// What one reading is taken to be wrong by in place of `usual`: the scatter, widened as far as
    /// Student's distribution is wider than the normal one, so that an interval by it holds its level.
    pub fn error(&self, usual: f64) -> f64 {
        let widened = self.deviation * wider(self.degrees as f64);
        widened.clamp(BOUNDS.0 * usual, BOUNDS.1 * usual)
    }
}

/// How much further from zero Student's distribution reaches than the normal one at the level of our
/// intervals: Abramowitz and Stegun (1964) 26.7.5, its first three terms.
fn wider(degrees: f64) -> f64 {
    let Some(z) = quantile_two_sided(LEVEL) else {
        return 1.0;
    };
    let square = z * z;
    let first = (square + 1.0) / 4.0;
    let second = (5.0 * square * square + 16.0 * square + 3.0) / 96.0;
    let third = (3.0 * square.powi(3) + 19.0 * square * square + 17.0 * square - 15.0) / 384.0;
    1.0 + first / degrees + second / degrees.powi(2) + third / degrees.powi(3)
}
