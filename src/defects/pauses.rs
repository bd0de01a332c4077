//! Long times in which nothing was read.

/// Fewer readings than these have no usual time between two.
const LEAST: usize = 4;
/// So many times the usual time between two readings is long (judgement).
const TIMES: f64 = 6.0;
/// Fewer days than these are never long (judgement).
const DAYS: f64 = 28.0;
/// Such a share of the whole axis is long, whatever is usual (judgement).
const SHARE: f64 = 0.25;

/// The places of the readings after which nothing was read for long, ascending. Each reading is its
/// day and where it lies on the axis, by time.
pub fn pauses(readings: &[(f64, f64)]) -> Vec<usize> {
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
        return Vec::new();
    };
    if readings.len() < LEAST {
        return Vec::new();
    }
    let gaps = || {
        let pairs = readings.windows(2);
        pairs.map(|pair| (pair[1].0 - pair[0].0, pair[1].1 - pair[0].1))
    };
    let mut days: Vec<f64> = gaps().map(|(days, _)| days).collect();
    let middle = days.len() / 2;
    let (_, usual, _) = days.select_nth_unstable_by(middle, f64::total_cmp);
    let long = (TIMES * *usual).max(DAYS);
    let whole = last.1 - first.1;
    let is_long =
        |(days, along): (f64, f64)| days >= long || (whole > 0.0 && along >= SHARE * whole);
    let at = gaps().enumerate().filter(|(_, gap)| is_long(*gap));
    at.map(|(at, _)| at).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_winter_is_long_among_weeks_and_usual_among_winters() {
        let weekly = |days: &[f64]| -> Vec<(f64, f64)> { days.iter().map(|d| (*d, *d)).collect() };
        let season = [0.0, 7.0, 14.0, 21.0, 28.0, 180.0, 187.0, 194.0];
        assert_eq!(pauses(&weekly(&season)), [4]);
        let winters = [0.0, 180.0, 360.0, 540.0, 720.0, 900.0];
        assert!(pauses(&weekly(&winters)).is_empty());
        assert!(pauses(&weekly(&season[3..6])).is_empty(), "too few");
        // A month is long for whoever looks every morning, four weeks of a week's rhythm are not.
        let daily: Vec<(f64, f64)> = (0..20).map(|n| (f64::from(n), 0.0)).collect();
        assert!(pauses(&daily).is_empty());
        let fortnight = [daily.clone(), vec![(33.0, 0.0)]].concat();
        assert!(pauses(&fortnight).is_empty(), "two weeks are not long");
        let away = [daily, vec![(48.0, 0.0), (49.0, 0.0)]].concat();
        assert_eq!(pauses(&away), [19]);
    }

    #[test]
    fn hours_run_without_a_reading_are_long_by_their_share() {
        let passage = [
            (0.0, 0.0),
            (1.0, 4.0),
            (2.0, 8.0),
            (3.0, 120.0),
            (4.0, 124.0),
        ];
        assert_eq!(pauses(&passage), [2]);
        assert!(pauses(&[]).is_empty());
    }
}
