//! The rate of use: running hours per day.

use chrono::NaiveDate;

use super::slope::{Line, Ranks, between};
use super::trend::LEVEL;
use crate::boat::Hours;
use crate::text::words;

/// Readings more than so many days older than the newest count only where newer ones say too little
/// (judgement).
const RECENT_DAYS: i64 = 180;

/// Readings must span at least this many days before they outrank the profile: two mornings of one
/// cruise say nothing about the year (judgement).
const LEAST_SPAN_DAYS: i64 = 7;

/// Mean days of a month: 365.25 / 12.
pub const DAYS_PER_MONTH: f64 = 30.4375;

/// How much a machine runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RateOfUse {
    /// Running hours per day, 0 to 24.
    pub per_day: f64,
    /// Lower bound of the slope behind it at a level of 90 %; none where the profile speaks or
    /// two readings alone.
    pub low: Option<f64>,
    /// Upper bound at the same level; none where there is no lower one.
    pub high: Option<f64>,
    /// Where the figure comes from.
    pub found: RateSource,
}

words! {
    /// Where a rate of use comes from.
    RateSource, "source of a rate of use" {
        /// Meter readings of the 180 days up to the newest.
        Recent = "recent",
        /// All meter readings, where those 180 days span less than a week.
        All = "all",
        /// The hours of a usual month in the profile.
        Profile = "profile",
    }
}

/// The rate of use from meter readings as `(date, total running hours)` in any order: Theil–Sen
/// slope over the 180 days up to the newest reading, else over all, else the profile's hours per
/// month. It asks for no today: with no new reading the rate stays as it is.
///
/// Equal readings of one day are one reading told again, by each of six services done that day; the
/// same figure on another day says that she did not run.
pub fn rate_of_use(readings: &[(NaiveDate, Hours)], usual_hours_per_month: f64) -> RateOfUse {
    let mut all = readings.to_vec();
    all.sort_unstable();
    all.dedup();
    let newest = all.last().map(|(date, _)| *date);
    let old = |date: NaiveDate| newest.is_some_and(|n| (n - date).num_days() > RECENT_DAYS);
    let recent = all.partition_point(|(date, _)| old(*date));
    let found = |part, found| line(part).map(|line| (line, found));
    let line = found(&all[recent..], RateSource::Recent).or_else(|| found(&all, RateSource::All));
    RateOfUse::by(line, usual_hours_per_month)
}

impl RateOfUse {
    /// By a line, or by the hours of a usual month where there is none.
    fn by(line: Option<(Line, RateSource)>, usual_hours_per_month: f64) -> RateOfUse {
        let within = |per_day: f64| per_day.clamp(0.0, 24.0);
        match line {
            Some((line, found)) => RateOfUse {
                per_day: within(line.slope),
                low: line.low.map(within),
                high: line.high.map(within),
                found,
            },
            None => RateOfUse {
                per_day: within(usual_hours_per_month / DAYS_PER_MONTH),
                low: None,
                high: None,
                found: RateSource::Profile,
            },
        }
    }
}

/// The line of ascending readings, where they span long enough.
fn line(readings: &[(NaiveDate, Hours)]) -> Option<Line> {
    Line::of(&points(readings)?, LEVEL, Ranks::Interpolated)
}

/// Ascending readings as points from the first day on, where they span long enough.
fn points(readings: &[(NaiveDate, Hours)]) -> Option<Vec<(f64, f64)>> {
    let (first, last) = (readings.first()?.0, readings.last()?.0);
    if (last - first).num_days() < LEAST_SPAN_DAYS {
        return None;
    }
    let point =
        |(date, hours): &(NaiveDate, Hours)| ((*date - first).num_days() as f64, hours.get());
    Some(readings.iter().map(point).collect())
}

/// The rate of use of readings that come one after another: each takes a step over those of the last
/// 180 days, where [`rate_of_use`] goes over all their pairs.
#[derive(Clone, Debug, Default)]
pub struct RateInTime {
    /// All readings, ascending, none twice.
    readings: Vec<(NaiveDate, Hours)>,
    /// Where those of the last 180 days begin.
    recent: usize,
    /// The slopes between them, ascending.
    slopes: Vec<f64>,
}

impl RateInTime {
    /// Takes in a reading.
    pub fn put(&mut self, reading: (NaiveDate, Hours)) {
        match self.readings.last() {
            Some(last) if *last == reading => return,
            Some(last) if *last > reading => {
                let mut all = std::mem::take(self).readings;
                all.push(reading);
                all.sort_unstable();
                return all.into_iter().for_each(|reading| self.put(reading));
            }
            _ => {}
        }
        let old = |known: &(NaiveDate, Hours)| (reading.0 - known.0).num_days() > RECENT_DAYS;
        let window = self.readings.get(self.recent..).unwrap_or_default();
        let gone = window.partition_point(old);
        let (out, kept) = window.split_at(gone);
        let mut lost: Vec<f64> = Vec::new();
        for (n, one) in out.iter().enumerate() {
            let later = out.iter().skip(n + 1).chain(kept);
            lost.extend(later.filter_map(|later| slope(*one, *later)));
        }
        let mut new: Vec<f64> = kept.iter().filter_map(|k| slope(*k, reading)).collect();
        lost.sort_unstable_by(f64::total_cmp);
        new.sort_unstable_by(f64::total_cmp);
        self.slopes = changed(&self.slopes, &lost, &new);
        self.recent += gone;
        self.readings.push(reading);
    }

    /// The rate by what was taken in, as [`rate_of_use`] finds it.
    pub fn now(&self, usual_hours_per_month: f64) -> RateOfUse {
        let recent = self.readings.get(self.recent..).unwrap_or_default();
        let of_slopes = |points: Vec<(f64, f64)>| {
            Line::of_slopes(&points, &self.slopes, LEVEL, Ranks::Interpolated)
        };
        match points(recent).and_then(of_slopes) {
            Some(line) => RateOfUse::by(Some((line, RateSource::Recent)), usual_hours_per_month),
            None => rate_of_use(&self.readings, usual_hours_per_month),
        }
    }
}

/// Hours a day from one reading to a later one; none within a day.
fn slope(one: (NaiveDate, Hours), later: (NaiveDate, Hours)) -> Option<f64> {
    let days = (later.0 - one.0).num_days() as f64;
    between((0.0, one.1.get()), (days, later.1.get()))
}

/// Ascending values without some of them and with others, both ascending. What stands between two that
/// go or come is taken over as it is: a step changes few of many.
fn changed(values: &[f64], without: &[f64], with: &[f64]) -> Vec<f64> {
    let mut all = Vec::with_capacity(values.len() + with.len());
    let (mut rest, mut without, mut with) = (values, without, with);
    loop {
        let (next, goes) = match (without.first(), with.first()) {
            (Some(gone), Some(new)) if gone.total_cmp(new).is_gt() => (new, false),
            (Some(gone), _) => (gone, true),
            (None, Some(new)) => (new, false),
            (None, None) => break,
        };
        let run = rest.partition_point(|value| value.total_cmp(next).is_lt());
        let (before, from) = rest.split_at(run);
        all.extend_from_slice(before);
        rest = from;
        if goes {
            rest = rest.get(1..).unwrap_or_default();
            without = &without[1..];
        } else {
            all.push(*next);
            with = &with[1..];
        }
    }
    all.extend_from_slice(rest);
    all
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn day(days: i64) -> NaiveDate {
        NaiveDate::default() + chrono::Days::new(days as u64)
    }

    fn reading(days: i64, hours: f64) -> (NaiveDate, Hours) {
        (day(days), Hours::new(hours).expect("hours"))
    }

    #[test]
    fn recent_readings_outrank_old_ones_and_both_outrank_the_profile() {
        let old = [reading(0, 100.0), reading(10, 110.0), reading(20, 120.0)];
        let found = rate_of_use(&old, 30.4375);
        assert_eq!((found.per_day, found.found), (1.0, RateSource::Recent));

        let mut both = old.to_vec();
        both.extend([reading(390, 300.0), reading(400, 320.0)]);
        let found = rate_of_use(&both, 30.4375);
        assert_eq!((found.per_day, found.found), (2.0, RateSource::Recent));

        let found = rate_of_use(&old[..1], 30.4375);
        assert_eq!((found.per_day, found.found), (1.0, RateSource::Profile));
    }

    #[test]
    fn a_week_apart_is_the_least() {
        let short = [reading(0, 0.0), reading(6, 60.0)];
        assert_eq!(rate_of_use(&short, 0.0).found, RateSource::Profile);
        let long = [reading(7, 70.0), reading(0, 0.0)];
        assert_eq!(rate_of_use(&long, 0.0).per_day, 10.0);
    }

    #[test]
    fn a_rate_lies_between_rest_and_round_the_clock() {
        let back = [reading(0, 100.0), reading(10, 50.0)];
        assert_eq!(rate_of_use(&back, 0.0).per_day, 0.0);
        let fast = [reading(0, 0.0), reading(10, 1000.0)];
        assert_eq!(rate_of_use(&fast, 0.0).per_day, 24.0);
    }

    #[test]
    fn a_rate_has_an_interval_where_three_readings_speak() {
        let two = [reading(0, 0.0), reading(10, 10.0)];
        let found = rate_of_use(&two, 0.0);
        assert_eq!((found.per_day, found.low, found.high), (1.0, None, None));
        let uneven = [reading(0, 0.0), reading(10, 10.0), reading(20, 40.0)];
        let found = rate_of_use(&uneven, 0.0);
        assert_eq!(
            (found.low, found.per_day, found.high),
            (Some(1.0), 2.0, Some(3.0))
        );
        let profile = rate_of_use(&[], 30.4375);
        assert_eq!((profile.low, profile.per_day), (None, 1.0));
    }

    /// A season at half an hour a day, and a day on which six services each tell the one reading
    /// taken that day.
    #[test]
    fn one_reading_told_six_times_counts_once() {
        let read = [(0, 0.0), (20, 10.0), (40, 21.0), (60, 48.0)];
        let mut told: Vec<_> = read.iter().map(|(d, h)| reading(*d, *h)).collect();
        let once = rate_of_use(&told, 0.0);
        told.extend([reading(60, 48.0); 5]);
        assert_eq!(rate_of_use(&told, 0.0), once);
        // Another figure on the same day is another reading.
        told.push(reading(60, 49.0));
        assert_ne!(rate_of_use(&told, 0.0), once);
    }

    /// By hand: the slopes of the pairs are 0, 0, 0, 1/3, 1/2 and 1, the middle of them 1/6.
    #[test]
    fn the_same_figure_on_another_day_says_that_she_did_not_run() {
        let ran = [reading(0, 0.0), reading(20, 20.0)];
        assert_eq!(rate_of_use(&ran, 0.0).per_day, 1.0);
        let stood = [ran[0], ran[1], reading(40, 20.0), reading(60, 20.0)];
        assert_eq!(rate_of_use(&stood, 0.0).per_day, 1.0 / 6.0);
    }

    fn told() -> impl Strategy<Value = Vec<(NaiveDate, Hours)>> {
        // Days apart, most a few and now and then a winter; hours run, most days none or few; a reading
        // now and then told again or told late.
        let apart = prop_oneof![8 => 0..4_i64, 1 => 30..200_i64];
        let one = (apart, 0..60_i64, 0..12_u8);
        prop::collection::vec(one, 0..60).prop_map(|all| {
            let (mut on, mut hours) = (0, 100.0);
            let mut told: Vec<(NaiveDate, Hours)> = Vec::new();
            for (apart, tenths, how) in all {
                match (how, told.last()) {
                    (0, Some(last)) => told.push(*last),
                    (1, _) => told.push(reading(on / 2, hours / 2.0)),
                    _ => {
                        on += apart;
                        hours += tenths as f64 / 10.0;
                        told.push(reading(on, hours));
                    }
                }
            }
            told
        })
    }

    proptest! {
        #[test]
        fn a_rate_taken_step_by_step_is_that_of_all(told in told(), usual in 0.0..100.0_f64) {
            let mut in_time = RateInTime::default();
            for n in 0..told.len() {
                in_time.put(told[n]);
                prop_assert_eq!(in_time.now(usual), rate_of_use(&told[..=n], usual), "{}", n);
            }
        }
    }

    /// A cruise in spring, then two readings months apart: the window counts back from the newest
    /// reading, so that the cruise leaves it by a reading and never overnight. By hand: day 0 is 190
    /// days old, so 6, 61/180 and 1/170 are left; at 201 the last two readings alone.
    #[test]
    fn the_window_counts_back_from_the_newest_reading() {
        let cruise = [reading(0, 0.0), reading(10, 60.0), reading(20, 120.0)];
        let mut all = cruise.to_vec();
        all.push(reading(190, 121.0));
        let found = rate_of_use(&all, 0.0);
        assert_eq!(
            (found.per_day, found.found),
            (61.0 / 180.0, RateSource::Recent)
        );
        all.push(reading(201, 122.0));
        let found = rate_of_use(&all, 0.0);
        assert_eq!(
            (found.per_day, found.found),
            (1.0 / 11.0, RateSource::Recent)
        );
    }

    /// By hand: the slopes of the three pairs are 1/170, 2/180 and 1/10; of the last two readings alone
    /// 1/11.
    #[test]
    fn a_reading_of_180_days_before_the_newest_counts_and_one_of_181_does_not() {
        let told = [reading(20, 120.0), reading(190, 121.0)];
        let rate = |newest| rate_of_use(&[told[0], told[1], newest], 0.0);
        let found = rate(reading(200, 122.0));
        assert_eq!(
            (found.per_day, found.found),
            (1.0 / 90.0, RateSource::Recent)
        );
        let found = rate(reading(201, 122.0));
        assert_eq!(
            (found.per_day, found.found),
            (1.0 / 11.0, RateSource::Recent)
        );
    }

    #[test]
    fn ten_years_of_readings_count_by_the_last_half_year() {
        let many: Vec<_> = (0..1000).map(|i| reading(i, i as f64 * 0.5)).collect();
        let found = rate_of_use(&many, 0.0);
        assert_eq!((found.per_day, found.found), (0.5, RateSource::Recent));
        // Two mornings beside each other say too little: then all count.
        let mut gap = many[..300].to_vec();
        gap.push(reading(900, 450.0));
        let found = rate_of_use(&gap, 0.0);
        assert_eq!((found.per_day, found.found), (0.5, RateSource::All));
    }
}
