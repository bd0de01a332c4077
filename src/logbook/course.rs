//! The time at which a record counts.
//!
//! Clocks of small boats stand wrong by minutes, hours or years, and the order of the log does not
//! care. A record that speaks of the moment it was written (*live*) counts in the order of the log:
//! its time is the newest believed one up to there, so that a clock that went back moves nothing
//! behind what was seen before. A record that speaks of another time (*told*) counts at that time,
//! among the live ones, and at its writing where that time is still to come.

use chrono::{DateTime, Duration, FixedOffset};

use super::placed::Written;
use crate::safety::{Safety, stands};
use crate::walk::When;

/// A record within this of its own line speaks of the moment it was written: one clock gave both,
/// so it does not matter how wrong that clock is.
const LIVE: Duration = Duration::minutes(2);

/// Whole seconds above [`LIVE`].
const FAR: u64 = LIVE.num_seconds() as u64 + 1;

/// The times of a log, on the way through its records.
#[derive(Clone, Copy, Debug)]
pub(super) struct Course {
    /// The newest believed time so far; before the first one, that one.
    latest: Option<DateTime<FixedOffset>>,
}

impl Course {
    /// A course through these records from the first on.
    pub(super) fn of<'a>(written: impl IntoIterator<Item = &'a Written>) -> Course {
        let believed = |w: &&Written| w.trust.believed;
        Course {
            latest: written.into_iter().find(believed).map(|w| {
                let own = w.record.at().filter(|own| is_live(*own, w.at));
                own.map_or(w.at, |own| own.min(w.at))
            }),
        }
    }

    /// A course that goes on where another ended.
    pub(super) fn after(latest: Option<DateTime<FixedOffset>>) -> Course {
        Course { latest }
    }

    /// The newest believed time so far.
    pub(super) fn latest(&self) -> Option<DateTime<FixedOffset>> {
        self.latest
    }

    /// The moment of the next record, at a place in the order of the log.
    pub(super) fn next(&mut self, w: &Written, place: usize) -> When {
        let own = w.record.at().unwrap_or(w.at);
        let live = is_live(own, w.at);
        if w.trust.believed {
            let newest = if live { own } else { w.at };
            self.latest = Some(self.latest.map_or(newest, |latest| latest.max(newest)));
        }
        self.at_place((own, live), place)
    }

    /// The moment of the record at which the course stands, as it says or as it said.
    pub(super) fn moment(&self, w: &Written, place: usize) -> When {
        let own = w.record.at().unwrap_or(w.at);
        self.at_place((own, is_live(own, w.at)), place)
    }

    /// The moment at a place of what says a time, live or told.
    fn at_place(&self, (own, live): (DateTime<FixedOffset>, bool), place: usize) -> When {
        let at = match self.latest.filter(|_| stands(Safety::Place)) {
            Some(latest) if live => latest,
            // Nobody tells of what is still to come: a day typed wrong, or a clock that stood ahead.
            Some(latest) => own.min(latest),
            None => own,
        };
        When { at, place }
    }

    /// When something happened of which the last record tells beside its own time.
    pub(super) fn beside(&self, w: &Written, own: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
        let live = is_live(own, w.at);
        self.latest.filter(|_| live).unwrap_or(own)
    }
}

/// True where a record speaks of the moment it was written.
pub(super) fn is_live(own: DateTime<FixedOffset>, line: DateTime<FixedOffset>) -> bool {
    // Most say the very time of their line, or one that is far from it: both are told at once.
    let apart = own.timestamp().abs_diff(line.timestamp());
    own == line || apart <= FAR && (own - line).abs() <= LIVE
}
