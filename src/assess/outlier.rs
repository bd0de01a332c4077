//! Readings that stand apart from the rest: flagged, never dropped.

use super::slope::{Line, median};

/// A residual beyond so many robust standard deviations stands apart (judgement, after Iglewicz and
/// Hoaglin 1993, How to Detect and Handle Outliers).
const APART: f64 = 3.5;
/// Fewer points than this say nothing about the spread (judgement).
const FEWEST: usize = 5;
/// The standard deviation of a normal variable over its median absolute deviation.
const OF_MEDIAN: f64 = 1.482_602_218_505_602;
/// The same over its mean absolute deviation, which serves where more than half lie on the line.
const OF_MEAN: f64 = 1.253_314_137_315_500_3;

/// Which points `(time, value)` stand apart from their line.
pub fn outliers(points: &[(f64, f64)], line: &Line) -> Vec<bool> {
    let residuals: Vec<f64> = points.iter().map(|(x, y)| y - line.at(*x)).collect();
    let none = vec![false; points.len()];
    let Some(centre) = median(residuals.iter().copied()).filter(|_| points.len() >= FEWEST) else {
        return none;
    };
    let off = || residuals.iter().map(|r| (r - centre).abs());
    // What rounding leaves on a line is no spread.
    let scale = points.iter().map(|p| p.1.abs()).fold(0.0, f64::max);
    let by_median = median(off()).unwrap_or(0.0) * OF_MEDIAN;
    let spread = if by_median > scale * 1e-9 {
        by_median
    } else {
        off().sum::<f64>() / points.len() as f64 * OF_MEAN
    };
    if spread <= scale * 1e-9 {
        return none;
    }
    off().map(|off| off > APART * spread).collect()
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use crate::assess::slope::Ranks;

    fn flagged(values: &[f64]) -> Vec<usize> {
        let points: Vec<_> = (0..).map(f64::from).zip(values.iter().copied()).collect();
        let line = Line::of(&points, 0.9, Ranks::Interpolated).expect("a line");
        let flags = outliers(&points, &line).into_iter().enumerate();
        flags.filter(|(_, apart)| *apart).map(|(i, _)| i).collect()
    }

    #[test]
    fn a_wild_reading_is_flagged_and_its_neighbours_are_not() {
        assert_eq!(flagged(&[1.0, 2.1, 2.9, 4.0, 50.0, 6.1, 6.9]), [4]);
        assert_eq!(flagged(&[5.0, 5.0, 5.0, 5.0, 50.0, 5.0]), [4]);
    }

    #[test]
    fn few_or_even_readings_are_never_flagged() {
        assert!(flagged(&[1.0, 2.0, 50.0, 4.0]).is_empty());
        assert!(flagged(&[0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7]).is_empty());
        assert!(flagged(&[3.0; 8]).is_empty());
        assert!(flagged(&[1.0, 2.2, 2.9, 4.1, 4.9, 6.2]).is_empty());
    }
}
