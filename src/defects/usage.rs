//! Running hours of a machine at any time: read where a record says them, between records in
//! proportion, after the last one at the rate of use.

use chrono::{DateTime, FixedOffset};

use crate::boat::Hours;

/// A machine's use in time.
#[derive(Clone, Debug)]
pub struct Usage {
    readings: Vec<(DateTime<FixedOffset>, Hours)>,
    /// Running hours a day.
    rate: f64,
    /// From a day before the first reading to a day after the last.
    bounded: Option<(DateTime<FixedOffset>, DateTime<FixedOffset>)>,
}

/// Running hours at a time, and whether a meter said so.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoursAt {
    /// Running hours in all, added up across replaced meters.
    pub hours: f64,
    /// True where no meter reading belongs to this time.
    pub estimated: bool,
}

impl Usage {
    /// From readings in time order (total hours across replaced meters) and the rate of use.
    pub fn new(readings: Vec<(DateTime<FixedOffset>, Hours)>, rate_per_day: f64) -> Usage {
        Usage {
            bounded: bounded(&readings),
            readings,
            rate: rate_per_day.max(0.0),
        }
    }

    /// Carries on by readings that come after those there are, at another rate of use.
    pub(super) fn carry_on(
        &mut self,
        readings: &[(DateTime<FixedOffset>, Hours)],
        rate_per_day: f64,
    ) {
        self.readings.extend(readings);
        self.bounded = bounded(&self.readings);
        self.rate = rate_per_day.max(0.0);
    }

    /// True where what the readings say of a time stays as it is, whatever comes after them.
    pub(super) fn is_fixed(&self, at: DateTime<FixedOffset>) -> bool {
        let ends = self.readings.first().zip(self.readings.last());
        ends.is_some_and(|((first, _), (last, _))| *first <= at && at <= *last)
    }

    /// Running hours a day.
    pub fn rate(&self) -> f64 {
        self.rate
    }

    /// Every reading, by time.
    pub fn readings(&self) -> &[(DateTime<FixedOffset>, Hours)] {
        &self.readings
    }

    /// The last reading, if there is one.
    pub fn last(&self) -> Option<(DateTime<FixedOffset>, Hours)> {
        self.readings.last().copied()
    }

    /// Total running hours at a time. Without any reading the count starts at zero at the time
    /// asked, so that differences still follow the rate.
    pub fn at(&self, at: DateTime<FixedOffset>) -> HoursAt {
        let after = self.readings.partition_point(|(t, _)| *t <= at);
        let before = after.checked_sub(1).and_then(|i| self.readings.get(i));
        let next = self.readings.get(after);
        let estimate = |hours: f64| HoursAt {
            hours,
            estimated: true,
        };
        match (before, next) {
            (Some((t, h)), _) if *t == at => HoursAt {
                hours: h.get(),
                estimated: false,
            },
            (Some((t0, h0)), Some((t1, h1))) => {
                let share = days(*t0, at) / days(*t0, *t1).max(f64::MIN_POSITIVE);
                estimate(h0.get() + share * h1.since(*h0))
            }
            (Some((t, h)), None) => estimate(h.get() + self.rate * days(*t, at)),
            (None, Some((t, h))) => estimate((h.get() - self.rate * days(at, *t)).max(0.0)),
            (None, None) => estimate(self.rate * at.timestamp() as f64 / 86_400.0),
        }
    }

    /// True where meter readings bound the running hours at a time: none is more than a day away
    /// that would have to be carried on at the rate of use.
    pub fn bounds(&self, at: DateTime<FixedOffset>) -> bool {
        self.bounded
            .is_some_and(|(first, last)| first <= at && at <= last)
    }

    /// Running hours from one time to another, never negative, and whether either end is estimated.
    pub fn between(&self, from: DateTime<FixedOffset>, to: DateTime<FixedOffset>) -> HoursAt {
        let (a, b) = (self.at(from), self.at(to));
        HoursAt {
            hours: (b.hours - a.hours).max(0.0),
            estimated: a.estimated || b.estimated,
        }
    }
}

/// From a day before the first of some readings to a day after the last.
fn bounded(
    readings: &[(DateTime<FixedOffset>, Hours)],
) -> Option<(DateTime<FixedOffset>, DateTime<FixedOffset>)> {
    let day = chrono::Duration::days(1);
    let ((first, _), (last, _)) = readings.first().zip(readings.last())?;
    Some((*first - day, *last + day))
}

/// What wears an item: a machine's use, and standing.
#[derive(Clone, Copy, Debug)]
pub struct Wearing<'a> {
    /// Running hours in time.
    pub usage: &'a Usage,
    /// Wear hours of a day at rest.
    pub standing: f64,
}

impl Wearing<'_> {
    /// When so many wear hours have passed since a time, and stay passed; none where that takes more
    /// than a century or never comes. Where a meter went back, the last time counts.
    ///
    /// With no new reading the answer stays the same to the millisecond, whatever the day it is asked.
    pub fn reached(
        &self,
        since: DateTime<FixedOffset>,
        wear: f64,
    ) -> Option<DateTime<FixedOffset>> {
        if wear <= 0.0 {
            return Some(since);
        }
        let begun = self.usage.at(since).hours;
        let worn = |at: DateTime<FixedOffset>, hours: f64| {
            (hours - begun).max(0.0) + self.standing * days(since, at)
        };
        let after = self.usage.readings.partition_point(|(at, _)| *at <= since);
        let ahead = self.usage.readings.get(after..).unwrap_or_default();
        let mut crossed = None;
        let (mut last, mut so_far) = (since, 0.0);
        for (at, hours) in ahead {
            let then = worn(*at, hours.get());
            if so_far < wear && then >= wear {
                let share = (wear - so_far) / (then - so_far);
                crossed = Some((last, share * days(last, *at)));
            }
            (last, so_far) = (*at, then);
        }
        let per_day = self.usage.rate + self.standing;
        let (from, ahead) = match crossed.filter(|_| so_far >= wear) {
            Some(crossed) => crossed,
            None if per_day > 0.0 => (last, (wear - so_far) / per_day),
            None => return None,
        };
        if !(0.0..=CENTURY_DAYS).contains(&ahead) {
            return None;
        }
        let ahead = chrono::Duration::try_milliseconds((ahead * 86_400_000.0) as i64)?;
        from.checked_add_signed(ahead)
    }
}

/// No moment is looked for further ahead of the last reading than this.
const CENTURY_DAYS: f64 = 36_525.0;

/// Days from one time to another, with their fraction.
pub fn days(from: DateTime<FixedOffset>, to: DateTime<FixedOffset>) -> f64 {
    let milliseconds = match (from.timestamp_subsec_nanos(), to.timestamp_subsec_nanos()) {
        // Nearly every time is on record to the second.
        (0, 0) => (to.timestamp() - from.timestamp()) * 1000,
        _ => (to - from).num_milliseconds(),
    };
    milliseconds as f64 / 86_400_000.0
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    fn at(text: &str) -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339(text).expect("a time")
    }

    fn hours(h: f64) -> Hours {
        Hours::new(h).expect("hours")
    }

    #[test]
    fn hours_are_read_shared_out_and_carried_on() {
        let usage = Usage::new(
            vec![
                (at("2026-05-01T08:00:00Z"), hours(100.0)),
                (at("2026-05-11T08:00:00Z"), hours(120.0)),
            ],
            0.5,
        );
        assert_eq!(
            usage.at(at("2026-05-11T08:00:00Z")),
            HoursAt {
                hours: 120.0,
                estimated: false
            }
        );
        assert!((usage.at(at("2026-05-06T08:00:00Z")).hours - 110.0).abs() < 1e-9);
        assert!((usage.at(at("2026-05-21T08:00:00Z")).hours - 125.0).abs() < 1e-9);
        assert!(usage.at(at("2026-05-21T08:00:00Z")).estimated);
        assert!((usage.at(at("2026-04-29T08:00:00Z")).hours - 99.0).abs() < 1e-9);
        let none = Usage::new(Vec::new(), 0.5);
        let ten_days = none.between(at("2026-05-01T08:00:00Z"), at("2026-05-11T08:00:00Z"));
        assert!((ten_days.hours - 5.0).abs() < 1e-9 && ten_days.estimated);
    }
}
