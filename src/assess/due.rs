//! When recurring work is due: at the hours it was last done plus an interval, or at that date
//! plus months, whichever comes first. Months are counted from the original date, and a day the
//! month does not have is its last one.

use chrono::{DateTime, Duration, FixedOffset, Months};

use super::exposure::HORIZON_DAYS;
use crate::boat::Hours;

/// A machine that ran no more than this ...
pub const STANDING_HOURS: f64 = 1.0;
/// ... in so many months stood long, and its next interval is the shortened one (judgement).
pub const STANDING_MONTHS: u32 = 12;

/// How often: running hours, months, or both.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Interval {
    /// Running hours from one time to the next; none: hours do not bound it.
    pub hours: Option<Hours>,
    /// Calendar months from one time to the next; none: the calendar does not bound it.
    pub months: Option<u32>,
}

/// A moment and the running hours at it, added up across replaced meters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    /// When it was, with the offset it was noted in.
    pub at: DateTime<FixedOffset>,
    /// Running hours in all.
    pub total: Hours,
}

/// How a machine runs on after its last reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeterPace {
    /// The last reading; none where the meter was never read.
    pub from: Option<Moment>,
    /// Running hours a day from there on.
    pub per_day: f64,
}

impl MeterPace {
    /// When the machine has run to so many hours in all, or had: counted from the last reading, so
    /// that with no new one it stays the same day. None where it does not run that far, where it
    /// does not run and was never read, and beyond twenty years from `now` in either direction.
    fn reaches(&self, total: Hours, now: DateTime<FixedOffset>) -> Option<DateTime<FixedOffset>> {
        // Without any reading the hours of every moment are counted from there at the rate of use.
        let never_read = || Moment {
            at: DateTime::UNIX_EPOCH.fixed_offset(),
            total: Hours::ZERO,
        };
        let from = self.from.unwrap_or_else(never_read);
        let days = match total.since(from.total) {
            left if self.per_day > 0.0 => left / self.per_day,
            left if left <= 0.0 && self.from.is_some() => 0.0,
            _ => return None,
        };
        let ahead = Duration::try_seconds((days * 86_400.0) as i64)?;
        let at = from.at.with_timezone(now.offset());
        let at = at.checked_add_signed(ahead)?;
        let horizon = Duration::seconds((HORIZON_DAYS * 86_400.0) as i64);
        Some(at).filter(|at| (*at - now).abs() <= horizon)
    }
}

/// When something is due.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Due {
    /// At these running hours in all.
    pub total: Option<Hours>,
    /// Running hours left, negative when over.
    pub hours_left: Option<f64>,
    /// The day by the calendar: the last time plus the months; none without a bound in months.
    pub by_calendar: Option<DateTime<FixedOffset>>,
    /// When the hours will be run at the rate of use, or were; none where nothing tells, and beyond
    /// twenty years.
    pub by_use: Option<DateTime<FixedOffset>>,
    now: DateTime<FixedOffset>,
}

impl Due {
    /// Due from `begin` (last done, or fitted) after `interval`, as things stand `now`.
    pub fn after(begin: Moment, interval: Interval, now: Moment, pace: MeterPace) -> Due {
        let total = interval.hours.map(|hours| begin.total + hours);
        let by_calendar = interval
            .months
            .and_then(|months| begin.at.checked_add_months(Months::new(months)));
        Due::at(total, by_calendar, now, pace)
    }

    /// Due at stated running hours, at a stated time, or at whichever comes first.
    pub fn at(
        total: Option<Hours>,
        by_calendar: Option<DateTime<FixedOffset>>,
        now: Moment,
        pace: MeterPace,
    ) -> Due {
        let hours_left = total.map(|total| total.since(now.total));
        let by_use = total.and_then(|total| pace.reaches(total, now.at));
        Due {
            total,
            hours_left,
            by_calendar,
            by_use,
            now: now.at,
        }
    }

    /// The earlier of calendar and use, and whether it rests on the rate of use; none where neither
    /// gives a time, and none yet to come where the hours are run and nothing tells since when.
    pub fn first(&self) -> Option<(DateTime<FixedOffset>, bool)> {
        let known = self.by_use.is_some() || !self.is_due();
        let calendar = self.by_calendar.filter(|at| known || *at <= self.now);
        let calendar = calendar.map(|at| (at, false));
        let used = self.by_use.map(|at| (at, true));
        [calendar, used].into_iter().flatten().min()
    }

    /// Days until then, negative when over.
    pub fn days_left(&self) -> Option<f64> {
        let (first, _) = self.first()?;
        Some((first - self.now).num_seconds() as f64 / 86_400.0)
    }

    /// True once the hours are run or the time has come, to the second and the thousandth.
    pub fn is_due(&self) -> bool {
        self.hours_left.is_some_and(|left| left <= 0.0)
            || self.by_calendar.is_some_and(|at| at <= self.now)
    }
}

/// True where a machine stood long: a stretch of [`STANDING_MONTHS`] or more with at most
/// [`STANDING_HOURS`] run, which was still going on after `from` and was over by `to`. `readings`
/// are running hours in all, ascending by time.
pub fn stood_long(
    readings: &[(DateTime<FixedOffset>, Hours)],
    from: DateTime<FixedOffset>,
    to: DateTime<FixedOffset>,
) -> bool {
    let within = readings.iter().filter(|(at, _)| *at > from && *at <= to);
    let mut ends = within.map(|(at, hours)| {
        let begin = readings.partition_point(|(_, h)| hours.since(*h) > STANDING_HOURS);
        let since = readings.get(begin).map(|(at, _)| *at);
        let year = since.and_then(|s| s.checked_add_months(Months::new(STANDING_MONTHS)));
        year.is_some_and(|year| year <= *at)
    });
    ends.any(|long| long)
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    fn at(text: &str) -> DateTime<FixedOffset> {
        let full = match text.len() {
            10 => format!("{text}T08:00:00+02:00"),
            _ => text.to_owned(),
        };
        DateTime::parse_from_rfc3339(&full).expect("a time")
    }

    fn moment(text: &str, total: f64) -> Moment {
        Moment {
            at: at(text),
            total: hours(total),
        }
    }

    fn hours(h: f64) -> Hours {
        Hours::new(h).expect("hours")
    }

    /// Running on at a rate from a reading.
    fn pace(from: Moment, per_day: f64) -> MeterPace {
        let from = Some(from);
        MeterPace { from, per_day }
    }

    fn interval(hours: Option<u32>, months: Option<u32>) -> Interval {
        Interval {
            hours: hours.map(|h| Hours::from_thousandths(i64::from(h) * 1000)),
            months,
        }
    }

    #[test]
    fn months_end_with_the_month_and_count_from_the_original_date() {
        for (from, months, expected) in [
            ("2027-01-31", 1, "2027-02-28"),
            ("2028-01-31", 1, "2028-02-29"),
            ("2027-01-31", 2, "2027-03-31"),
            ("2027-01-31", 3, "2027-04-30"),
            ("2027-08-31", 6, "2028-02-29"),
            ("2028-02-29", 12, "2029-02-28"),
            ("2028-02-29", 48, "2032-02-29"),
            ("2027-12-31", 2, "2028-02-29"),
            ("2027-11-30", 3, "2028-02-29"),
            ("2027-05-03", 6, "2027-11-03"),
            ("2027-12-15", 1, "2028-01-15"),
            ("2096-02-29", 48, "2100-02-28"),
        ] {
            let begin = moment(from, 10.0);
            let due = Due::after(begin, interval(None, Some(months)), begin, pace(begin, 0.5));
            assert_eq!(due.by_calendar, Some(at(expected)), "{from} + {months}");
            assert_eq!(due.total, None);
        }
    }

    #[test]
    fn whichever_comes_first() {
        let begin = moment("2026-05-03", 1243.6);
        let both = interval(Some(100), Some(6));
        // 100 h at 2 h a day take 50 days: before the six months.
        let due = Due::after(begin, both, begin, pace(begin, 2.0));
        assert_eq!(due.first(), Some((at("2026-06-22"), true)));
        assert_eq!((due.hours_left, due.days_left()), (Some(100.0), Some(50.0)));
        // At a quarter of an hour a day the calendar comes first.
        let due = Due::after(begin, both, begin, pace(begin, 0.25));
        assert_eq!(due.first(), Some((at("2026-11-03"), false)));
        // A machine that does not run is due by the calendar alone, or never.
        let due = Due::after(begin, both, begin, pace(begin, 0.0));
        assert_eq!((due.by_use, due.days_left()), (None, Some(184.0)));
        let due = Due::after(begin, interval(Some(100), None), begin, pace(begin, 0.0));
        assert_eq!((due.first(), due.days_left()), (None, None));
    }

    #[test]
    fn the_boundary_is_kept_to_the_minute_and_the_tenth_of_an_hour() {
        let begin = moment("2026-05-03T07:40:00+02:00", 1243.6);
        let both = interval(Some(100), Some(6));
        let due = |now| Due::after(begin, both, now, pace(now, 0.5));
        let early = due(moment("2026-06-01", 1343.5));
        assert_eq!(early.hours_left, Some(0.1));
        assert!(!early.is_due());
        let now = due(moment("2026-06-01", 1343.6));
        assert_eq!(now.hours_left, Some(0.0));
        assert!(now.is_due());
        assert!(!due(moment("2026-11-03T07:39:00+02:00", 1300.0)).is_due());
        assert!(due(moment("2026-11-03T07:40:00+02:00", 1300.0)).is_due());
        // The same instant told elsewhere.
        assert!(due(moment("2026-11-03T05:40:00Z", 1300.0)).is_due());
    }

    #[test]
    fn what_is_over_fell_due_in_the_past() {
        let begin = moment("2026-05-03", 1000.0);
        let due = Due::after(
            begin,
            interval(Some(100), None),
            moment("2026-09-01", 1120.0),
            pace(moment("2026-09-01", 1120.0), 2.0),
        );
        assert_eq!(due.hours_left, Some(-20.0));
        assert_eq!(due.first(), Some((at("2026-08-22"), true)));
        let read = moment("2026-09-01", 1120.0);
        let still = |now| Due::after(begin, interval(Some(100), None), now, pace(read, 0.0));
        // She was over at that reading; the days since change nothing about it.
        for now in [read, moment("2026-11-01", 1120.0)] {
            assert_eq!(still(now).first(), Some((at("2026-09-01"), true)));
        }
        // A rate next to nothing is followed for twenty years and no further.
        let slow = Due::after(begin, interval(Some(100), None), begin, pace(begin, 1e-12));
        assert_eq!(slow.days_left(), None);
    }

    #[test]
    fn no_date_is_made_up_where_nothing_tells_it() {
        let now = moment("2026-05-03", 10_000.0);
        let at_hours = |total, pace| Due::at(Some(hours(total)), None, now, pace);
        let unread = |per_day| MeterPace {
            from: None,
            per_day,
        };
        // Never read and at rest: due, and no day on which it came due.
        let due = at_hours(0.0, unread(0.0));
        assert_eq!((due.by_use, due.days_left()), (None, None));
        assert!(due.is_due());
        // Never read and running: from the rate alone, within twenty years of now.
        assert_eq!(at_hours(100.0, unread(0.5)).first(), None);
        let soon = Due::at(Some(hours(10_300.0)), None, now, unread(0.5));
        assert_eq!(soon.first(), Some((at("2026-05-27T02:00:00+02:00"), true)));
        // A thousandth of an hour a month: run to 100 h centuries ago, or by a clamp.
        let slow = pace(now, 1e-5);
        let due = at_hours(100.0, slow);
        assert_eq!(due.first(), None);
        assert!(due.is_due());
        // To the day of twenty years, before and ahead.
        for days in [7304.0, -7304.0] {
            let edge = at_hours(10_000.0 + days, pace(now, 1.0));
            assert_eq!(edge.days_left(), Some(days));
            let beyond = at_hours(10_000.0 + days * 1.001, pace(now, 1.0));
            assert_eq!(beyond.days_left(), None);
        }
        // A day by the calendar that is yet to come is not told of hours that are run.
        let later = Due::at(Some(hours(100.0)), Some(at("2026-11-03")), now, slow);
        assert_eq!((later.first(), later.is_due()), (None, true));
        let over = Due::at(Some(hours(100.0)), Some(at("2026-05-02")), now, slow);
        assert_eq!(over.first(), Some((at("2026-05-02"), false)));
    }

    #[test]
    fn a_day_by_use_stands_still_while_the_days_go_by() {
        let begin = moment("2026-05-03", 1000.0);
        let read = moment("2026-05-20", 1003.7);
        let day = |later: i64| {
            let hours = 1003.7 + 0.013 * later as f64;
            let now = Moment {
                at: read.at + Duration::days(later),
                total: Hours::new(hours).expect("hours"),
            };
            let due = Due::after(begin, interval(Some(20), None), now, pace(read, 0.013));
            due.first()
        };
        let first = day(0);
        assert!(first.is_some());
        assert!((0..3000).all(|later| day(later) == first));
    }

    #[test]
    fn a_year_without_hours_is_long_standing() {
        let readings = |all: &[(&str, f64)]| -> Vec<_> {
            let reading = |(day, h): &(&str, f64)| (at(day), Hours::new(*h).expect("hours"));
            all.iter().map(reading).collect()
        };
        let stood = readings(&[
            ("2025-04-01", 480.0),
            ("2025-09-20", 500.0),
            ("2026-05-01", 500.4),
            ("2026-09-20", 500.9),
            ("2026-09-30", 520.0),
        ]);
        assert!(stood_long(&stood, at("2025-09-20"), at("2026-09-20")));
        // A day short, already over, or not yet begun to be a year.
        assert!(!stood_long(&stood, at("2025-09-20"), at("2026-09-19")));
        assert!(!stood_long(&stood, at("2026-09-20"), at("2026-09-30")));
        let short = readings(&[("2025-09-21", 500.0), ("2026-09-20", 500.0)]);
        assert!(!stood_long(&short, at("2025-01-01"), at("2026-09-20")));
        let ran = readings(&[("2025-09-20", 500.0), ("2026-09-20", 501.1)]);
        assert!(!stood_long(&ran, at("2025-01-01"), at("2026-09-20")));
        assert!(!stood_long(&[], at("2025-01-01"), at("2026-09-20")));
    }
}
