//! Leak rates, flow and use: drops counted, a bucket filled, oil added over hours run.
//!
//! A drop has no fixed size. Twenty to the millilitre is the usual convention (0.05 mL each); it
//! varies with the fluid and with what the drop falls from, so a range stands beside every figure.

/// Drops in a millilitre, by the usual convention of 0.05 mL.
pub const DROPS_PER_ML: f64 = 20.0;
/// The largest drops: so few make a millilitre (published spread).
pub const FEWEST_PER_ML: f64 = 10.0;
/// The smallest drops: so many make a millilitre (judgement within the published spread).
pub const MOST_PER_ML: f64 = 40.0;

/// A figure with the range in which it may lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// At the low end.
    pub low: f64,
    /// With 20 drops to the millilitre, the usual convention.
    pub nominal: f64,
    /// At the high end.
    pub high: f64,
}

impl Spread {
    /// Each of the three figures changed in the same rising way.
    pub fn map(self, change: impl Fn(f64) -> f64) -> Spread {
        Spread {
            low: change(self.low),
            nominal: change(self.nominal),
            high: change(self.high),
        }
    }
}

/// Drops per minute from a count whose clock starts with the first drop and ends with the last:
/// `drops` mark `drops - 1` intervals. None with fewer than two drops or no time between them.
pub fn drops_per_minute(drops: usize, seconds: f64) -> Option<f64> {
    let intervals = drops.checked_sub(1).filter(|n| *n > 0)?;
    (seconds > 0.0).then(|| intervals as f64 * 60.0 / seconds)
}

/// Millilitres per hour of so many drops per minute.
pub fn millilitres_per_hour(drops_per_minute: f64, drops_per_ml: f64) -> f64 {
    drops_per_minute * 60.0 / drops_per_ml
}

/// Millilitres per hour of so many drops per minute, over the sizes a drop may have.
pub fn drop_leak(drops_per_minute: f64) -> Spread {
    Spread {
        low: millilitres_per_hour(drops_per_minute, MOST_PER_ML),
        nominal: millilitres_per_hour(drops_per_minute, DROPS_PER_ML),
        high: millilitres_per_hour(drops_per_minute, FEWEST_PER_ML),
    }
}

/// Litres per day of millilitres per hour.
pub fn litres_per_day(millilitres_per_hour: f64) -> f64 {
    millilitres_per_hour * 24.0 / 1000.0
}

/// Hours in which a leak takes the oil from the high mark to the low one. None where nothing
/// leaks. `between_marks` in litres.
pub fn hours_to_low_mark(between_marks: f64, millilitres_per_hour: f64) -> Option<f64> {
    (millilitres_per_hour > 0.0).then(|| between_marks * 1000.0 / millilitres_per_hour)
}

/// Litres per hour of a bucket of so many litres filled in so many seconds. None without time.
pub fn flow(litres: f64, seconds: f64) -> Option<f64> {
    (seconds > 0.0).then(|| litres * 3600.0 / seconds)
}

/// Litres used per 100 running hours. None where the hours did not run.
pub fn use_per_100_hours(litres_added: f64, hours_run: f64) -> Option<f64> {
    (hours_run > 0.0).then(|| litres_added * 100.0 / hours_run)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_drop_starts_the_clock_and_counts_no_interval() {
        assert_eq!(drops_per_minute(0, 10.0), None);
        assert_eq!(drops_per_minute(1, 10.0), None);
        assert_eq!(drops_per_minute(2, 0.0), None);
        assert_eq!(drops_per_minute(2, 6.0), Some(10.0));
        assert_eq!(drops_per_minute(11, 60.0), Some(10.0));
    }

    #[test]
    fn small_drops_make_the_low_end() {
        let leak = drop_leak(10.0);
        assert_eq!((leak.low, leak.nominal, leak.high), (15.0, 30.0, 60.0));
        let days = leak.map(litres_per_day);
        assert!(days.low < days.nominal && days.nominal < days.high);
    }

    #[test]
    fn nothing_comes_of_nothing() {
        assert_eq!(hours_to_low_mark(1.5, 0.0), None);
        assert_eq!(flow(10.0, 0.0), None);
        assert_eq!(use_per_100_hours(1.0, 0.0), None);
    }
}
