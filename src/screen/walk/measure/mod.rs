//! Drops counted and seconds taken at an item: what was tapped when, and what follows from it.
//!
//! Times are the monotonic clock's, so a wall clock set meanwhile changes nothing. A stopped
//! program's clock runs on. A computer put to sleep may stop it: then the wall clock and this one
//! have gone apart, which is noted.

pub mod draw;
pub mod keys;

use std::time::Duration;

use chrono::{DateTime, FixedOffset};

use crate::assess::leak_rate;
use crate::boat::units::Volume;
use crate::walk::Spot;

/// A count shorter than this is too rough to go by (judgement).
pub const LEAST: Duration = Duration::from_secs(15);
/// A count ends by itself here, if it has [`FEWEST`] drops.
pub const LONGEST: Duration = Duration::from_secs(60);
/// Fewer drops than this are waited for beyond [`LONGEST`] (judgement).
pub const FEWEST: usize = 3;
/// No count is longer than this.
const END: Duration = Duration::from_secs(600);
/// Keys that come faster than this are one key held down.
const HELD: Duration = Duration::from_millis(70);
/// Wall and monotonic clock may part by this much before the count is in doubt.
const PARTED: i64 = 2000;

/// What is measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Gauge {
    /// Drops: one tap each.
    Drops,
    /// Seconds between two taps.
    Seconds,
    /// Seconds in which a bucket fills.
    Bucket(Volume),
}

/// A count or a clock, stopped or running.
#[derive(Clone, Debug)]
pub struct Measuring {
    /// Heading.
    pub title: String,
    /// Which item's.
    pub spot: Spot,
    /// What is measured.
    pub gauge: Gauge,
    taps: Vec<Duration>,
    /// The last key, counted or not.
    key: Option<Duration>,
    /// Wall time less monotonic time at the first tap, milliseconds.
    apart: Option<i64>,
    /// The clocks went apart while it ran.
    pub doubtful: bool,
    /// It was said that the count is short; the next acceptance takes it.
    pub warned: bool,
}

impl Measuring {
    /// Nothing tapped yet.
    pub fn new(title: String, spot: Spot, gauge: Gauge) -> Measuring {
        Measuring {
            title,
            spot,
            gauge,
            taps: Vec::new(),
            key: None,
            apart: None,
            doubtful: false,
            warned: false,
        }
    }

    /// A tap. False where it is not taken: a key held down, or a measurement that is over.
    pub fn tap(&mut self, now: Duration, wall: DateTime<FixedOffset>) -> bool {
        let held = self.key.is_some_and(|key| now.saturating_sub(key) < HELD);
        self.key = Some(now);
        if held || self.is_over(now) {
            return false;
        }
        let apart = wall.timestamp_millis() - i64::try_from(now.as_millis()).unwrap_or(i64::MAX);
        match self.apart {
            None => self.apart = Some(apart),
            Some(before) => self.doubtful |= (apart - before).abs() > PARTED,
        }
        self.taps.push(now);
        true
    }

    /// Takes the last tap back; false where there is none. A stopped clock runs on as if never
    /// stopped.
    pub fn untap(&mut self) -> bool {
        self.warned = false;
        let some = self.taps.pop().is_some();
        if self.taps.is_empty() {
            self.apart = None;
            self.doubtful = false;
        }
        some
    }

    /// Taps so far; of a drop count, drops.
    pub fn taps(&self) -> usize {
        self.taps.len()
    }

    /// True from the first tap until it is over.
    pub fn is_running(&self, now: Duration) -> bool {
        !self.taps.is_empty() && !self.is_over(now)
    }

    /// True where no tap is taken any more.
    pub fn is_over(&self, now: Duration) -> bool {
        let Some(first) = self.taps.first() else {
            return false;
        };
        let run = now.saturating_sub(*first);
        match self.gauge {
            Gauge::Drops => run >= END || (run >= LONGEST && self.taps.len() >= FEWEST),
            Gauge::Seconds | Gauge::Bucket(_) => self.taps.len() > 1,
        }
    }

    /// How long it ran: until now, or until it was over.
    pub fn elapsed(&self, now: Duration) -> Duration {
        let Some(first) = self.taps.first() else {
            return Duration::ZERO;
        };
        let run = now.saturating_sub(*first);
        match (self.gauge, self.taps.get(1)) {
            (Gauge::Drops, _) if self.is_over(now) => run.min(self.end()),
            (Gauge::Seconds | Gauge::Bucket(_), Some(second)) => second.saturating_sub(*first),
            _ => run,
        }
    }

    fn end(&self) -> Duration {
        if self.taps.len() < FEWEST {
            return END;
        }
        let run = self.interval();
        run.max(LONGEST)
    }

    /// From the first tap to the last.
    pub fn interval(&self) -> Duration {
        match (self.taps.first(), self.taps.last()) {
            (Some(first), Some(last)) => last.saturating_sub(*first),
            _ => Duration::ZERO,
        }
    }

    /// Drops a minute, from the first to the last.
    pub fn drops_per_minute(&self) -> Option<f64> {
        leak_rate::drops_per_minute(self.taps.len(), self.interval().as_secs_f64())
    }

    /// True where the last drop is far longer ago than the drops before it were apart.
    pub fn is_late(&self, now: Duration) -> bool {
        let Some(gaps) = self.taps.len().checked_sub(1).filter(|n| *n > 0) else {
            return false;
        };
        let since = self.elapsed(now).saturating_sub(self.interval());
        since.as_secs_f64() > 3.0 * self.interval().as_secs_f64() / gaps as f64
    }

    /// Until the figure shown changes; none while nothing runs. Tenths for ten minutes, then
    /// seconds.
    pub fn next_change(&self, now: Duration) -> Option<Duration> {
        if !self.is_running(now) {
            return None;
        }
        let elapsed = self.elapsed(now);
        let step = if elapsed < END { 100 } else { 1000 };
        let into = elapsed.as_micros() % (step * 1000);
        u64::try_from(step * 1000 - into)
            .ok()
            .map(Duration::from_micros)
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    const SPOT: Spot = Spot {
        phase: 0,
        row: 0,
        item: 0,
    };

    fn wall(at: Duration) -> DateTime<FixedOffset> {
        let start = DateTime::parse_from_rfc3339("2026-05-03T07:40:00+02:00").expect("a time");
        start + chrono::Duration::from_std(at).expect("short")
    }

    fn ms(ms: u64) -> Duration {
        Duration::from_millis(ms)
    }

    fn tapped(gauge: Gauge, at: &[u64]) -> Measuring {
        let mut measuring = Measuring::new(String::new(), SPOT, gauge);
        for at in at {
            assert!(measuring.tap(ms(*at), wall(ms(*at))), "{at}");
        }
        measuring
    }

    #[test]
    fn drops_are_counted_between_the_first_and_the_last() {
        let count = tapped(Gauge::Drops, &[5_000, 8_000, 11_000, 15_000]);
        assert_eq!(count.interval(), ms(10_000));
        assert_eq!(count.drops_per_minute(), Some(18.0));
        assert_eq!(count.elapsed(ms(20_000)), ms(15_000));
        assert!(!count.is_late(ms(20_000)));
        assert!(count.is_late(ms(26_000)), "no drop for 11 s");
    }

    #[test]
    fn a_key_held_down_is_no_shower() {
        let mut count = tapped(Gauge::Drops, &[0]);
        for at in (500..1500).step_by(33) {
            count.tap(ms(at), wall(ms(at)));
        }
        assert_eq!(count.taps(), 2, "the key, and the first of its repeats");
    }

    #[test]
    fn a_count_ends_by_itself_unless_drops_are_rare() {
        let often = tapped(Gauge::Drops, &[0, 20_000, 40_000]);
        assert!(often.is_running(ms(59_900)) && often.is_over(ms(60_000)));
        assert_eq!(often.elapsed(ms(90_000)), ms(60_000));
        let rare = tapped(Gauge::Drops, &[0, 45_000]);
        assert!(rare.is_running(ms(90_000)));
        assert!(rare.is_over(ms(600_000)));
        assert_eq!(rare.elapsed(ms(700_000)), ms(600_000));
        let third = tapped(Gauge::Drops, &[0, 45_000, 95_000]);
        assert!(third.is_over(ms(95_001)));
        assert_eq!(third.elapsed(ms(99_000)), ms(95_000));
        assert_eq!(third.next_change(ms(99_000)), None);
    }

    #[test]
    fn a_clock_is_started_stopped_and_taken_back() {
        let mut clock = tapped(Gauge::Seconds, &[1_000, 13_400]);
        assert_eq!(clock.elapsed(ms(60_000)), ms(12_400));
        assert!(clock.is_over(ms(60_000)) && !clock.tap(ms(60_000), wall(ms(60_000))));
        assert!(clock.untap());
        assert_eq!(clock.elapsed(ms(61_000)), ms(60_000), "as if never stopped");
        assert!(clock.untap() && !clock.untap());
        assert_eq!(clock.elapsed(ms(61_000)), Duration::ZERO);
    }

    #[test]
    fn it_is_drawn_anew_when_a_tenth_has_passed_and_rests_otherwise() {
        let mut clock = Measuring::new(String::new(), SPOT, Gauge::Seconds);
        assert_eq!(clock.next_change(ms(50)), None);
        clock.tap(ms(50), wall(ms(50)));
        assert_eq!(clock.next_change(ms(50)), Some(ms(100)));
        assert_eq!(clock.next_change(ms(320)), Some(ms(30)));
        assert_eq!(clock.next_change(ms(700_050)), Some(ms(1000)));
        clock.tap(ms(800_000), wall(ms(800_000)));
        assert_eq!(clock.next_change(ms(800_010)), None);
    }

    #[test]
    fn clocks_that_part_leave_a_doubt() {
        let mut clock = Measuring::new(String::new(), SPOT, Gauge::Seconds);
        clock.tap(ms(0), wall(ms(0)));
        clock.tap(ms(5_000), wall(ms(65_000)));
        assert!(clock.doubtful, "a minute asleep");
        clock.untap();
        clock.untap();
        assert!(!clock.doubtful);
        clock.tap(ms(90_000), wall(ms(90_000)));
        clock.tap(ms(95_000), wall(ms(95_100)));
        assert!(!clock.doubtful);
    }
}
