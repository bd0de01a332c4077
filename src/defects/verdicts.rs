//! The verdicts on all walks, each as at its end, in one pass through the history.
//!
//! [`judge`](super::judged::judge) folds the history anew as it stood at the end of a walk. Here one
//! condition goes through the history and stops at each end, where it says what that fold would:
//!
//! - running hours after the last meter reading, and before the first, go by the rate of use at the
//!   stop, so what looks in those stretches teach is taken in for the stop and taken back after it
//! - whether a finding opens an old defect again or begins a new one may hang on that rate too; no
//!   verdict asks

use std::collections::HashMap;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::aboard::{aboard, looks_at_left_out, names_beside};
#[cfg(test)]
use super::condition::Condition;
use super::history::History;
use super::passage::{Passage, Passed};
use super::roles::owes_unasked;
use super::verdict::verdict_asking;
use super::view::WalkView;
use crate::assess::words::Verdict;
use crate::boat::{Boat, Waters};
use crate::checklist::{Closing, Library, Then as Text};
use crate::walk::{Plan, Walk, When};

/// The verdict of each walk as at its end, in the order of the history's walks; none where it is
/// unfinished or its checklist gives none.
pub fn verdicts(boat: &Boat, library: &Arc<Library>, history: &History) -> Vec<Option<Verdict>> {
    let told = at_ends(boat, library, history, |end| end.verdict);
    told.into_iter().map(Option::flatten).collect()
}

/// A walk as at its end, without what was added to it later.
pub struct AtEnd<'a> {
    /// The walk.
    pub walk: &'a Walk,
    /// What it asked; none where its checklist is not known.
    pub plan: Option<&'a Plan>,
    /// The verdict on it; none where it is unfinished or its checklist gives none.
    pub verdict: Option<Verdict>,
}

/// What is `told` of each walk as at its end, in the order of the history's walks; none of a walk that
/// is unfinished or whose checklist nobody knows.
pub fn at_ends<T>(
    boat: &Boat,
    library: &Arc<Library>,
    history: &History,
    told: impl Fn(AtEnd<'_>) -> T,
) -> Vec<Option<T>> {
    let alone = |walk: &Walk, end: When| {
        let view = WalkView::of(boat, library, history, walk, end.at);
        told(AtEnd {
            walk: &view.walk,
            plan: view.plan.as_ref(),
            verdict: view.verdict(),
        })
    };
    let mut found: Vec<Option<T>> = history.walks.iter().map(|_| None).collect();
    let ends = history.walks.iter().enumerate();
    let mut ends: Vec<_> = ends
        .filter_map(|(n, walk)| Some((walk.ended()?, n, walk)))
        .collect();
    ends.sort_by_key(|(end, n, _)| (end.place, *n));
    let mut then: HashMap<usize, Then> = HashMap::new();
    // One passage for each profile, and each text that walks were asked with and that is not today's.
    let mut passages: HashMap<(usize, Option<&str>), Passage> = HashMap::new();
    for (end, n, walk) in ends {
        let asked = walk.asked.as_deref();
        let list = library.checklist_of(&walk.checklist, asked);
        let Some((place, list)) = found.get_mut(n).zip(list) else {
            continue;
        };
        *place = Some(match list.closes_with {
            Closing::Daily | Closing::Short | Closing::Finding => {
                let then = history.profiles.steps_known(end).map(|steps| {
                    let then = then.entry(steps).or_insert_with(|| {
                        let profile = history.profiles.known_at(end).boat;
                        let profile = profile.as_ref().unwrap_or(boat);
                        Then::of(profile, library, history, end.at)
                    });
                    (steps, &*then)
                });
                let then = then.filter(|(_, then)| then.is_whole_for(&walk.machine));
                let passed = then.and_then(|(steps, then)| {
                    let text = library.then(&walk.checklist, asked);
                    let other = asked.filter(|_| matches!(text, Text::Other(_)));
                    let passage = passages.entry((steps, other)).or_insert_with(|| {
                        let text = Library::as_asked(library, &walk.checklist, other);
                        Passage::begin(&then.boat, &text, history, |event| event).owe(history)
                    });
                    let there = passage.go_on(history, end) == Passed::There;
                    there.then(|| told_at(passage, history, walk, end, &told))
                });
                passed.unwrap_or_else(|| alone(walk, end))
            }
            // Their rules ask the history, and they are rare.
            Closing::LeakRun | Closing::Survey | Closing::Season => alone(walk, end),
        });
    }
    found
}

/// The boat at the end of walks.
struct Then {
    /// The profile in force, with the machines that records name beside it: what is known of these
    /// speaks for the others too, by what it teaches and by texts that are lost.
    boat: Boat,
    /// How many of her machines the profile has itself; they come first.
    own: usize,
    /// Nothing on record is beside it that could hold a stop.
    is_whole: bool,
}

impl Then {
    fn of(
        profile: &Boat,
        library: &Arc<Library>,
        history: &History,
        at: DateTime<FixedOffset>,
    ) -> Then {
        let farther = |(_, waters): &(_, Waters)| *waters > profile.waters;
        let elsewhere = history.profiles.waters.iter().any(farther);
        let boat = aboard(profile, library, history, at).boat;
        Then {
            is_whole: !(looks_at_left_out(profile, history)
                || owes_unasked(&boat, library, history)
                || elsewhere && names_beside(profile, history)),
            own: profile.machines.len(),
            boat,
        }
    }

    /// The verdict on a walk of this machine needs nothing else.
    fn is_whole_for(&self, machine: &str) -> bool {
        let mut own = self.boat.machines.iter().take(self.own);
        self.is_whole && own.any(|m| m.id == machine)
    }
}

/// What is told of a walk at its end, where a passage stands.
fn told_at<T>(
    passage: &mut Passage<'_>,
    history: &History,
    walk: &Walk,
    end: When,
    told: impl Fn(AtEnd<'_>) -> T,
) -> T {
    passage.settle(history, end);
    let condition = &passage.condition;
    let then = walk.known_at(end);
    let plan = condition.plan_of(&then);
    let verdict = verdict_asking(condition, history, &then, plan.as_ref());
    told(AtEnd {
        walk: &then,
        plan: plan.as_ref(),
        verdict: verdict.map(|(verdict, _)| verdict),
    })
}

/// Every stop of the passage with the condition there, for tests.
#[cfg(test)]
pub(super) fn stops(
    boat: &Boat,
    library: &Arc<Library>,
    history: &History,
    mut at: impl FnMut(When, &Condition),
) {
    let mut ends: Vec<_> = history.walks.iter().filter_map(Walk::ended).collect();
    ends.sort_by_key(|end| end.place);
    let mut passage = Passage::begin(boat, library, history, |event| event).owe(history);
    for end in ends {
        if passage.go_on(history, end) == Passed::There {
            at(end, &passage.condition);
        }
    }
}
