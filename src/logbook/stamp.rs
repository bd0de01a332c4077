//! Time marks that give records one order on every device.
//!
//! A hybrid logical clock (Kulkarni and others, 2014): marks stay near wall time, a record made
//! after reading another always sorts after it, and a clock that is set back does no harm.

use serde::{Deserialize, Serialize};

/// How far ahead of the wall clock a mark from elsewhere may be and still be believed: 48 hours,
/// wide enough for any zone mistake. This project's own figure.
pub const AHEAD_MS: u64 = 48 * 60 * 60 * 1000;

/// The highest count given out within a millisecond: what comes after it takes the next one, so that
/// a mark has room in a seal (15 bits). Records made before that rule may count higher.
const MOST: u32 = (1 << 15) - 1;

/// Milliseconds since 1970 and a counter for records within the same millisecond.
/// In JSON: `[ms, counter]`.
#[derive(
    Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub struct Stamp(pub u64, pub u32);

impl Stamp {
    /// Whether the mark is further ahead of the wall clock than can be believed.
    #[must_use]
    pub fn is_ahead(self, wall_ms: u64) -> bool {
        self.0 > wall_ms.saturating_add(AHEAD_MS)
    }

    /// The mark right after it; a full counter carries into the milliseconds.
    pub(crate) fn next(self) -> Stamp {
        match self.1 < MOST {
            true => Stamp(self.0, self.1 + 1),
            false => Stamp(self.0.saturating_add(1), 0),
        }
    }
}

/// Gives out strictly increasing marks.
#[derive(Debug, Clone, Copy, Default)]
pub struct StampClock {
    last: Stamp,
}

impl StampClock {
    /// A clock whose first mark comes after `newest`, whatever the wall clock says. The reader of
    /// the log has already left out marks too far ahead.
    #[must_use]
    pub fn after(newest: Stamp) -> Self {
        Self { last: newest }
    }

    /// The last mark given out or taken in.
    #[must_use]
    pub fn last(&self) -> Stamp {
        self.last
    }

    /// Take in a mark made elsewhere, so that the next of our own sorts after it. Further ahead
    /// than [`AHEAD_MS`] it counts as that far ahead: one wild clock must not drag all others.
    pub fn observe(&mut self, seen: Stamp, wall_ms: u64) {
        let seen = if seen.is_ahead(wall_ms) {
            Stamp(wall_ms.saturating_add(AHEAD_MS), 0)
        } else {
            seen
        };
        self.last = self.last.max(seen);
    }

    /// The next mark: the wall time if that is later than all before, else one count more.
    pub fn next(&mut self, wall_ms: u64) -> Stamp {
        self.last = if wall_ms > self.last.0 {
            Stamp(wall_ms, 0)
        } else {
            self.last.next()
        };
        self.last
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_full_counter_carries_into_the_milliseconds() {
        for full in [MOST, MOST + 1, u32::MAX] {
            let mut clock = StampClock::after(Stamp(7, full));
            assert_eq!(clock.next(3), Stamp(8, 0));
            assert_eq!(clock.next(8), Stamp(8, 1), "the wall may come up to it");
        }
        let mut clock = StampClock::after(Stamp(7, MOST - 1));
        assert_eq!(clock.next(7), Stamp(7, MOST));
    }

    #[test]
    fn a_foreign_mark_is_followed_up_to_48_hours_ahead() {
        let mut clock = StampClock::default();
        clock.observe(Stamp(1000 + AHEAD_MS, 5), 1000);
        assert_eq!(clock.next(1000), Stamp(1000 + AHEAD_MS, 6));
        clock.observe(Stamp(u64::MAX, 5), 2000);
        assert_eq!(clock.next(2000), Stamp(2000 + AHEAD_MS, 1));
    }

    proptest! {
        #[test]
        fn marks_increase_under_any_clock(
            steps in prop::collection::vec((0..1u64 << 52, prop::option::of((0..1u64 << 53, any::<u32>()))), 1..60)
        ) {
            let mut clock = StampClock::default();
            let mut before = None;
            for (wall, seen) in steps {
                if let Some((ms, counter)) = seen {
                    clock.observe(Stamp(ms, counter), wall);
                }
                let mark = clock.next(wall);
                prop_assert!(Some(mark) > before);
                prop_assert!(mark.0 >= wall && mark.1 <= MOST);
                before = Some(mark);
            }
        }
    }
}
