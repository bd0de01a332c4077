//! Telling a paste from typing when the terminal does not mark pastes.

use std::collections::VecDeque;
use std::time::{Duration, Instant};

/// More keys than this within [`WINDOW`] are no hand's work: key repeat gives two or three.
pub const KEYS: usize = 30;
/// The time over which keys are counted; also the silence that ends a burst.
pub const WINDOW: Duration = Duration::from_millis(50);

/// Watches when keys arrive and remembers the latest burst.
#[derive(Debug, Default)]
pub struct Burst {
    recent: VecDeque<Instant>,
    span: Option<(Instant, Instant)>,
}

impl Burst {
    /// Notes a key read at `at`; times never go back. True when this key begins a burst, which
    /// then reaches back over the keys that led to it.
    pub fn note(&mut self, at: Instant) -> bool {
        if let Some((_, last)) = &mut self.span
            && at.duration_since(*last) <= WINDOW
        {
            *last = at;
            return false;
        }
        self.recent.push_back(at);
        while self
            .recent
            .front()
            .is_some_and(|t| at.duration_since(*t) > WINDOW)
        {
            self.recent.pop_front();
        }
        if self.recent.len() <= KEYS {
            return false;
        }
        let first = self.recent.front().copied().unwrap_or(at);
        self.recent.clear();
        self.span = Some((first, at));
        true
    }

    /// Whether a key read at `at` belongs to the latest burst.
    pub fn covers(&self, at: Instant) -> bool {
        self.span
            .is_some_and(|(first, last)| (first..=last).contains(&at))
    }

    /// Whether the latest burst, if there was one, is over at `now`.
    pub fn quiet_at(&self, now: Instant) -> bool {
        self.span
            .is_none_or(|(_, last)| now.saturating_duration_since(last) > WINDOW)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at_ms(start: Instant, ms: u64) -> Instant {
        start + Duration::from_millis(ms)
    }

    #[test]
    fn thirty_keys_at_once_are_typing_and_thirty_one_are_not() {
        let now = Instant::now();
        let mut burst = Burst::default();
        assert!((0..KEYS).all(|_| !burst.note(now)));
        assert!(!burst.covers(now));
        assert!(burst.note(now));
        assert!(
            burst.covers(now),
            "the keys before the thirty-first belong to it too"
        );
    }

    #[test]
    fn fast_typing_and_key_repeat_are_left_alone() {
        let start = Instant::now();
        let mut burst = Burst::default();
        assert!((0..1000).all(|n| !burst.note(at_ms(start, n * 2))));
        assert!(!burst.covers(at_ms(start, 100)));
    }

    #[test]
    fn a_burst_goes_on_until_a_silence() {
        let start = Instant::now();
        let mut burst = Burst::default();
        let begun = (0..200).filter(|n| burst.note(at_ms(start, n / 4))).count();
        assert_eq!(begun, 1);
        assert!(!burst.note(at_ms(start, 90)));
        assert!(burst.covers(at_ms(start, 90)));
        assert!(!burst.note(at_ms(start, 141)));
        assert!(!burst.covers(at_ms(start, 141)));
        assert!(
            burst.covers(at_ms(start, 60)),
            "keys still queued stay covered"
        );
        assert!(!burst.quiet_at(at_ms(start, 140)) && burst.quiet_at(at_ms(start, 141)));
    }
}
