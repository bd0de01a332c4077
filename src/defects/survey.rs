//! What the end of a survey owes: what is unsafe and who was told of it, and what was not seen, why,
//! and how it could be.

use std::collections::HashSet;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::history::History;
use super::view::WalkView;
use crate::boat::Boat;
use crate::checklist::{Grade, Library};
use crate::walk::{Notified, Outcome, Plan, Walk};

/// An item whose stop rule was reached in a walk: whoever answers for the boat hears of it the same
/// day.
#[derive(Clone, Debug, PartialEq)]
pub struct UnsafeFinding {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// The rung at which the stop rule was reached.
    pub grade: Grade,
    /// The rule, in words.
    pub rule: String,
    /// When it was seen last in the walk.
    pub found: DateTime<FixedOffset>,
    /// Who was told of it first.
    pub told: Option<Notified>,
}

impl UnsafeFinding {
    /// True where somebody was told by the end of the day on which it was found.
    pub fn told_the_same_day(&self) -> bool {
        let day = self.found.date_naive();
        let told = self.told.as_ref();
        told.is_some_and(|t| t.at.with_timezone(self.found.offset()).date_naive() <= day)
    }
}

/// A place of a walk without a graded look.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unseen {
    /// The phase in which it was asked, by its id.
    pub phase: String,
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Why it was not seen, where that was said.
    pub why: Option<String>,
    /// How it could be seen, where that was said.
    pub close_by: Option<String>,
}

/// Items of a walk that forbid running as they stood at its end, in the order first looked at. A
/// repair made since does not take them off: they were unsafe when they were found.
pub fn unsafe_findings(
    boat: &Boat,
    library: &Arc<Library>,
    history: &History,
    walk: &Walk,
) -> Vec<UnsafeFinding> {
    let condition = WalkView::with_later_looks(boat, library, history, walk).condition;
    let mut asked = HashSet::new();
    let mut found = Vec::new();
    for timed in &walk.looks {
        let id = timed.look.item.as_str();
        if !asked.insert(id) {
            continue;
        }
        let subject = condition.subject(id, &walk.machine);
        let known = condition.item(&subject).zip(condition.lives.get(&subject));
        let Some((item, life)) = known else { continue };
        let seen = walk.looks_at(id).rfind(|t| t.look.grade().is_some());
        let rule = condition.stop_rule(&subject, item, life, condition.boat.waters);
        if let (Some(rule), Some(grade), Some(seen)) = (rule, life.status.grade, seen) {
            found.push(UnsafeFinding {
                item: id.to_owned(),
                grade,
                rule,
                found: seen.at,
                told: walk.told_of(id).cloned(),
            });
        }
    }
    found
}

/// Every place of a walk where nothing was graded, in walking order. An item graded in one phase and
/// not in another is there for the other.
pub fn unseen(plan: &Plan, walk: &Walk) -> Vec<Unseen> {
    let mut unseen = Vec::new();
    for spot in plan.spots() {
        let (Some(phase), Some(item)) = (plan.phases.get(spot.phase), plan.item(spot)) else {
            continue;
        };
        if walk
            .looks_in(&phase.id, item)
            .any(|t| t.look.grade().is_some())
        {
            continue;
        }
        let (why, close_by) = match walk.look_in(&phase.id, item).map(|t| &t.look.outcome) {
            Some(Outcome::NotSeen { why, close_by }) => (Some(why.clone()), close_by.clone()),
            _ => (None, None),
        };
        unseen.push(Unseen {
            phase: phase.id.clone(),
            item: item.to_owned(),
            why,
            close_by,
        });
    }
    unseen
}
