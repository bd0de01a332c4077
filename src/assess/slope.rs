//! The Theil–Sen slope: the median of the slopes between all pairs of points, hardly moved by a few
//! wild readings (Theil 1950, Sen 1968).

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
    slopes.sort_by(f64::total_cmp);
    slopes
}

/// The Theil–Sen slope in value per unit of time, or `None` where no two times differ. The work
/// grows with the square of the number of points.
pub fn theil_sen(points: &[(f64, f64)]) -> Option<f64> {
    median_of_sorted(&pairwise_slopes(points))
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
mod tests {
    use super::*;

    #[test]
    fn points_at_one_time_have_no_slope() {
        assert_eq!(theil_sen(&[]), None);
        assert_eq!(theil_sen(&[(1.0, 2.0)]), None);
        assert_eq!(theil_sen(&[(1.0, 2.0), (1.0, 5.0)]), None);
    }

    #[test]
    fn one_wild_value_does_not_move_the_slope() {
        let mut points: Vec<_> = (0..11)
            .map(|i| (f64::from(i), 2.0 * f64::from(i)))
            .collect();
        points[10].1 = 1e6;
        assert_eq!(theil_sen(&points), Some(2.0));
    }
}
