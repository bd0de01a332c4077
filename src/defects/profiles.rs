//! What the records say of the boat's profile: the one in force, and how it came about.

use chrono::{DateTime, FixedOffset};

use super::doubt::Doubt;
use super::history::Stamped;
use crate::boat::fold::{Changed, replay};
use crate::boat::{Boat, Machine, PassedStop, Waters};
use crate::walk::When;

/// The profile as the records give it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Profiles {
    /// The profile in force; none where no record sets one.
    pub boat: Option<Boat>,
    /// What each record changed of it, in the order of the log.
    pub steps: Vec<Stamped<Changed>>,
    /// Ids of the records the next change is made from.
    pub heads: Vec<String>,
    /// Her waters from when on, in the order of the log.
    pub waters: Vec<(DateTime<FixedOffset>, Waters)>,
    /// Stops that went out of sight with a written reason.
    pub passed: Vec<Passed>,
    /// Machines that left and did not come back, with what the profile last said of each; in the
    /// order of the log.
    pub left: Vec<(DateTime<FixedOffset>, Machine)>,
    /// What of it answers have to say; see [`aboard`](super::aboard::aboard).
    pub doubts: Vec<Doubt>,
}

/// Stops that went out of sight with a written reason.
#[derive(Clone, Debug, PartialEq)]
pub struct Passed {
    /// When the reason was given.
    pub at: DateTime<FixedOffset>,
    /// The reason, as written.
    pub why: String,
    /// The stops it is given for, and no other.
    pub stops: Vec<PassedStop>,
}

impl Profiles {
    /// What was known of it at a moment. Before the first profile stands that one: what is told of
    /// an earlier day is told of this boat.
    pub fn known_at(&self, cut: When) -> Profiles {
        let mut then = self.clone();
        then.steps.retain(|step| step.when().is_known_at(cut));
        then.steps.extend(match then.steps.is_empty() {
            true => self.steps.first().cloned(),
            false => None,
        });
        if then.steps.len() < self.steps.len() {
            let known = replay(then.steps.iter().map(|step| &step.rec));
            then.boat = known.or(then.boat);
        }
        then.waters.retain(|(from, _)| *from <= cut.at);
        then.passed.retain(|passed| passed.at <= cut.at);
        then.left.retain(|(left, _)| *left <= cut.at);
        then
    }

    /// How many of its changes were known at a moment, which says which they are; none where they
    /// were not told in the order of time.
    pub(super) fn steps_known(&self, cut: When) -> Option<usize> {
        let in_order = self.steps.is_sorted_by_key(|step| step.at);
        let known = self
            .steps
            .iter()
            .filter(|step| step.when().is_known_at(cut));
        in_order.then(|| known.count().max(1))
    }

    /// Why a stop went out of sight, where a reason is on record by a time.
    pub fn reason(&self, stop: &PassedStop, by: DateTime<FixedOffset>) -> Option<&Passed> {
        let names = |passed: &PassedStop| passed == stop;
        let mut passed = self.passed.iter().rev().filter(|passed| passed.at <= by);
        passed.find(|passed| passed.stops.iter().any(names))
    }

    /// The farthest waters she was in from a time on, up to another.
    pub(super) fn farthest(
        &self,
        from: DateTime<FixedOffset>,
        to: DateTime<FixedOffset>,
    ) -> Option<Waters> {
        let known = || self.waters.iter().filter(|(at, _)| *at <= to);
        let then = known().rev().find(|(at, _)| *at <= from);
        let later = known().filter(|(at, _)| *at > from);
        then.into_iter()
            .chain(later)
            .map(|(_, waters)| *waters)
            .max()
    }
}
