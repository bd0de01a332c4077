//! A walk as at its end: the one view of it that page, command and report show.
//!
//! What was recorded later changes the boat and not what that walk found: its list, its coverage and
//! what it left unseen are reckoned from what was on record when it was finished, with the profile
//! and the checklist in force then. What is told of today beside it says so.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use super::aboard::aboard;
use super::condition::Condition;
use super::doubt::NotCounted;
use super::gate::{Gate, InForce, RunInSpite};
use super::history::History;
use super::list::{DefectList, Scenario};
use super::stopped::first_run;
use super::survey::{Unseen, unseen};
use super::verdict::verdict_asking;
use crate::assess::coverage::Coverage;
use crate::boat::Boat;
use crate::checklist::Library;
use crate::walk::{Plan, TimedLook, Walk, When};

/// An item of the walk that was not seen. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NotSeen {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// The reason given, if one was.
    pub reason: Option<String>,
}

/// A walk as at its end; one that goes on, as it stands.
#[derive(Clone, Debug)]
pub struct WalkView {
    /// The walk, without what was added to it later.
    pub walk: Walk,
    /// What was on record then.
    pub history: History,
    /// What was known of the boat at the end of the walk.
    pub condition: Condition,
    /// What the walk asked; none where its checklist is not known.
    pub plan: Option<Plan>,
}

/// The boat of some records at a moment: with the profile in force then, which is `boat` where no
/// record sets one, and with what those records name beside it.
pub fn as_of_its_records(
    boat: &Boat,
    library: &Arc<Library>,
    history: &mut History,
    at: DateTime<FixedOffset>,
) -> Condition {
    let profile = history.profiles.boat.as_ref().unwrap_or(boat);
    let found = aboard(profile, library, history, at);
    history.profiles.doubts = found.doubts;
    Condition::of(&found.boat, Arc::clone(library), history, at)
}

/// The boat before a walk, for what it changed.
pub fn before(boat: &Boat, library: &Arc<Library>, history: &History, walk: &Walk) -> Condition {
    let mut earlier = history.known_at(walk.when());
    earlier.walks.retain(|w| w.id != walk.id);
    as_of_its_records(boat, library, &mut earlier, walk.at)
}

impl WalkView {
    /// The view of a walk at its end. One that is not finished is seen as of `now`. `boat` stands in
    /// where no record sets a profile.
    pub fn of(
        boat: &Boat,
        library: &Arc<Library>,
        history: &History,
        walk: &Walk,
        now: DateTime<FixedOffset>,
    ) -> WalkView {
        let end = walk.ended().unwrap_or(When::last_at(now));
        WalkView::at(boat, library, history, walk, end)
    }

    /// The view of a walk with every look that was ever added to it: what it found unsafe was unsafe
    /// though it was written down after the end.
    pub(super) fn with_later_looks(
        boat: &Boat,
        library: &Arc<Library>,
        history: &History,
        walk: &Walk,
    ) -> WalkView {
        // The latest of each: a look told later counts at its own time, and stands behind the end.
        let parts = walk.looks.iter().map(TimedLook::when).chain(walk.ended());
        let end = parts.fold(walk.when(), |end, part| When {
            at: end.at.max(part.at),
            place: end.place.max(part.place),
        });
        WalkView::at(boat, library, history, walk, end)
    }

    fn at(
        boat: &Boat,
        library: &Arc<Library>,
        history: &History,
        walk: &Walk,
        end: When,
    ) -> WalkView {
        let mut history = history.known_at(end);
        let library = Library::as_asked(library, &walk.checklist, walk.asked.as_deref());
        let condition = as_of_its_records(boat, &library, &mut history, end.at);
        let walk = history.walk(&walk.id).unwrap_or(walk).clone();
        WalkView {
            plan: condition.plan_of(&walk),
            walk,
            history,
            condition,
        }
    }

    /// Over what its defects are ranked: the usual plan of then.
    pub fn scenario(&self) -> Scenario {
        let (exposure, waters) = self.condition.usual_plan();
        Scenario::new(exposure, waters)
    }

    /// The living defects of its machine and of the boat, the worst risk first, whether this walk or
    /// an earlier one found them.
    pub fn list(&self) -> DefectList {
        let mut list = self.condition.list(self.scenario(), false);
        let machine = &self.walk.machine;
        let here = |own: &Option<String>| own.as_ref().is_none_or(|own| own == machine);
        list.rows.retain(|row| here(&row.machine));
        for (index, row) in list.rows.iter_mut().enumerate() {
            row.rank = index + 1;
        }
        list
    }

    /// How much of it was seen, and what the rest could hide over the usual plan.
    pub fn coverage(&self) -> Option<Coverage> {
        let exposure = self.scenario().exposure;
        self.condition.coverage(&self.walk, exposure)
    }

    /// Places where nothing was graded, in walking order.
    pub fn unseen(&self) -> Vec<Unseen> {
        let plan = self.plan.as_ref();
        plan.map_or_else(Vec::new, |plan| unseen(plan, &self.walk))
    }

    /// Items that nobody graded in it.
    pub fn not_seen(&self) -> Vec<NotSeen> {
        let plan = self.plan.as_ref();
        let unseen = plan.map_or_else(Vec::new, |plan| plan.not_seen(&self.walk));
        let unseen = unseen.into_iter();
        unseen
            .map(|(item, reason)| NotSeen { item, reason })
            .collect()
    }

    /// What nothing of it counts, as at its end, and what is told of today beside it does not.
    pub fn not_counted(&self, today: impl IntoIterator<Item = NotCounted>) -> Vec<NotCounted> {
        let mut all = self.condition.not_counted();
        for told in today {
            if !all.contains(&told) {
                all.push(told);
            }
        }
        all
    }

    /// What held when the engine was first turned or run in it, by its looks, and when it was started as
    /// told afterwards; `history` is that of today.
    pub(super) fn run_in_spite_of(&self, history: &History) -> Option<RunInSpite> {
        let seen = first_run(&self.condition, &self.walk).and_then(|ran| {
            let place = ran.place.checked_sub(1)?;
            Some(When { place, ..ran })
        });
        let told = self.walk.started_at.iter();
        let mut rows: Vec<InForce> = Vec::new();
        for before in told.map(|at| When::last_at(*at)).chain(seen) {
            let (boat, library) = (&self.condition.boat, &self.condition.library);
            let mut known = history.known_at(before);
            let then = as_of_its_records(boat, library, &mut known, before.at);
            let stops = then.in_force(&self.walk.known_at(before)).into_iter();
            for stop in stops.filter(|stop| stop.holds(Gate::Start)) {
                if !rows.contains(&stop) {
                    rows.push(stop);
                }
            }
        }
        (!rows.is_empty()).then(|| RunInSpite::of(rows, self.walk.started_anyway.clone()))
    }

    /// True where she was run over a stop and nobody said why.
    pub fn is_run_without_a_reason(&self, history: &History) -> bool {
        let spite = self.run_in_spite_of(history);
        spite.is_some_and(|spite| spite.why.is_none())
    }

    /// The verdict at its end; none while it is unfinished or where its checklist gives none.
    pub(super) fn verdict(&self) -> Option<crate::assess::words::Verdict> {
        let plan = self.plan.as_ref();
        let found = verdict_asking(&self.condition, &self.history, &self.walk, plan);
        found.map(|(verdict, _)| verdict)
    }
}
