//! Where time comes from. Everything that needs the time is handed a [`Clock`], so any output can
//! be made again with the time fixed.

use std::cell::Cell;
use std::time::Duration;

use chrono::{DateTime, FixedOffset, Local};

/// Wall time for people and dates, monotonic time for durations.
pub trait Clock {
    /// The wall time with the local offset. It may jump either way.
    fn now(&self) -> DateTime<FixedOffset>;

    /// The latest time that may have come: what is marked later was written by a wrong clock.
    fn horizon(&self) -> DateTime<FixedOffset> {
        self.now()
    }

    /// Time since some fixed moment; it never goes back, and counts while the computer sleeps
    /// where the system can tell.
    fn monotonic(&self) -> Duration;
}

/// Milliseconds since 1970 by the wall clock; 0 for earlier times.
#[must_use]
pub fn wall_ms(clock: &dyn Clock) -> u64 {
    u64::try_from(clock.now().timestamp_millis()).unwrap_or(0)
}

/// Milliseconds since 1970 of the latest time that may have come; 0 for earlier times.
#[must_use]
pub(crate) fn horizon_ms(clock: &dyn Clock) -> u64 {
    u64::try_from(clock.horizon().timestamp_millis()).unwrap_or(0)
}

/// The computer's clock, in the local zone, or in UTC when the zone is unknown.
#[derive(Debug, Clone, Copy)]
pub struct SystemClock {
    #[cfg(not(any(target_os = "linux", target_os = "android")))]
    started: std::time::Instant,
}

impl SystemClock {
    /// The computer's clock.
    #[must_use]
    pub fn new() -> Self {
        Self {
            #[cfg(not(any(target_os = "linux", target_os = "android")))]
            started: std::time::Instant::now(),
        }
    }
}

impl Default for SystemClock {
    fn default() -> Self {
        Self::new()
    }
}

impl Clock for SystemClock {
    fn now(&self) -> DateTime<FixedOffset> {
        Local::now().fixed_offset()
    }

    #[cfg(any(target_os = "linux", target_os = "android"))]
    fn monotonic(&self) -> Duration {
        let now = rustix::time::clock_gettime(rustix::time::ClockId::Boottime);
        let seconds = u64::try_from(now.tv_sec).unwrap_or(0);
        Duration::new(seconds, u32::try_from(now.tv_nsec).unwrap_or(0))
    }

    #[cfg(not(any(target_os = "linux", target_os = "android")))]
    fn monotonic(&self) -> Duration {
        self.started.elapsed()
    }
}

/// A clock that stands where it is put.
#[derive(Debug, Clone)]
pub struct FixedClock {
    wall: Cell<DateTime<FixedOffset>>,
    /// What has come by then all the same, where that is later.
    come: Option<DateTime<FixedOffset>>,
    monotonic: Cell<Duration>,
}

impl FixedClock {
    /// A clock that shows `wall` until it is set again.
    #[must_use]
    pub fn new(wall: DateTime<FixedOffset>) -> Self {
        Self {
            wall: Cell::new(wall),
            come: None,
            monotonic: Cell::new(Duration::ZERO),
        }
    }

    /// A clock for an answer as of a time: what was recorded up to today is not of the future for
    /// it, though it may lie after the time asked.
    #[must_use]
    pub fn as_of(wall: DateTime<FixedOffset>) -> Self {
        Self {
            come: Some(SystemClock::new().now()),
            ..Self::new(wall)
        }
    }

    /// Put the wall time anywhere, as a user or a flat battery may; monotonic time stays.
    pub fn set(&self, wall: DateTime<FixedOffset>) {
        self.wall.set(wall);
    }

    /// Let `by` pass on both clocks. Wall time stays where it is at the end of the calendar.
    pub fn advance(&self, by: Duration) {
        let later = chrono::Duration::from_std(by)
            .ok()
            .and_then(|by| self.wall.get().checked_add_signed(by));
        self.wall.set(later.unwrap_or(self.wall.get()));
        self.monotonic.set(self.monotonic.get().saturating_add(by));
    }
}

impl Clock for FixedClock {
    fn now(&self) -> DateTime<FixedOffset> {
        self.wall.get()
    }

    fn horizon(&self) -> DateTime<FixedOffset> {
        let wall = self.wall.get();
        self.come.map_or(wall, |come| come.max(wall))
    }

    fn monotonic(&self) -> Duration {
        self.monotonic.get()
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    #[test]
    fn a_fixed_clock_moves_only_when_told() {
        let start = DateTime::parse_from_rfc3339("2026-11-25T07:21:27+01:00").expect("time");
        let clock = FixedClock::new(start);
        assert_eq!(clock.now(), start);
        clock.advance(Duration::from_secs(90));
        assert_eq!((clock.now() - start).num_seconds(), 90);
        assert_eq!(clock.monotonic(), Duration::from_secs(90));
        clock.set(start);
        assert_eq!(clock.now(), start);
        assert_eq!(clock.monotonic(), Duration::from_secs(90));
    }

    #[test]
    fn time_before_1970_counts_as_zero() {
        let early = DateTime::parse_from_rfc3339("1969-12-31T00:00:00+00:00").expect("time");
        assert_eq!(wall_ms(&FixedClock::new(early)), 0);
    }
}
