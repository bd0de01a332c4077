//! Looks that were taken back or put right, and what is owed where one of them held a stop.
//!
//! Whoever takes back a look that held a stop says why, and still nobody has seen the item sound: until
//! it is looked at again every answer says so, and no verdict is clear. Before the engine is turned in
//! the very walk the look was made in nothing is owed: the item is in front.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::condition::{Condition, looks_at};
use super::doubt::{Doubt, NotCounted};
use super::gate::Gate;
use super::history::{History, LooksBySubject};
use crate::walk::{Look, TimedLook, Walk, When};

/// A walk that was set aside.
#[derive(Clone, Debug, PartialEq)]
pub struct Aside {
    /// Walk id.
    pub walk: String,
    /// Why.
    pub why: String,
    /// Who says so.
    pub by: Option<String>,
}

/// A graded look that was taken back or put right, as it was first made.
#[derive(Clone, Debug, PartialEq)]
pub struct TakenBack {
    /// Id of the look.
    pub id: String,
    /// Its moment.
    pub when: When,
    /// What it said.
    pub look: Arc<Look>,
    /// Id of its walk.
    pub walk: String,
    /// Id of the checklist of its walk; empty where its beginning is lost.
    pub checklist: String,
    /// Content hash of what that walk was asked with.
    pub asked: Option<String>,
    /// Machine of its walk; empty where that is not known.
    pub machine: String,
    /// Place of the record that took it back or put it right.
    pub deed: usize,
    /// When that was written.
    pub deed_at: DateTime<FixedOffset>,
    /// Why, as recorded.
    pub why: Option<String>,
    /// Who says so.
    pub by: Option<String>,
    /// That was before the end of its walk.
    pub early: bool,
}

/// The same with the first look that answers it.
pub(super) struct Owed<'a> {
    taken: &'a TakenBack,
    seen: Option<When>,
}

/// What was taken back or put right, each with the first look at its item since.
pub(super) fn owed<'a>(
    condition: &Condition,
    history: &'a History,
    looks: &LooksBySubject<'_>,
) -> Vec<Owed<'a>> {
    let taken = history.taken_back.iter();
    taken
        .map(|taken| Owed {
            taken,
            seen: seen_since(condition, history, looks, taken).min_by_key(|when| when.place),
        })
        .collect()
}

/// The looks that answer for one taken back: later ones in other walks, in its own those made since it
/// was taken back, and those that say why they are better.
fn seen_since<'a>(
    condition: &Condition,
    history: &'a History,
    looks: &LooksBySubject<'_>,
    taken: &'a TakenBack,
) -> impl Iterator<Item = When> + 'a {
    let subject = condition.subject(&taken.look.item, &taken.machine);
    let places = looks_at(looks, &subject).to_vec();
    let made = places.into_iter().filter_map(|(w, l)| {
        let walk = history.walks.get(w)?;
        Some((walk, walk.looks.get(l)?))
    });
    let answers = |walk: &Walk, timed: &TimedLook| {
        timed.verified
            && timed.look.grade().is_some()
            && timed.id != taken.id
            && timed.when() > taken.when
            && (walk.id != taken.walk || timed.place > taken.deed || timed.look.better.is_some())
    };
    let answering = made.filter(move |(walk, timed)| answers(walk, timed));
    answering.map(|(_, timed)| timed.when())
}

impl Condition {
    /// What is owed by a moment for stops that were taken back.
    pub(super) fn stops_taken_back(
        &self,
        history: &History,
        owed: &[Owed<'_>],
        cut: When,
    ) -> Vec<Doubt> {
        let open = owed.iter().filter(|owed| {
            owed.taken.when.is_known_at(cut) && !owed.seen.is_some_and(|seen| seen.is_known_at(cut))
        });
        let stops = open.filter(|owed| self.lifts_a_stop(history, owed.taken, cut));
        stops
            .map(|owed| self.taken_back_in_words(owed.taken))
            .collect()
    }

    /// True where a look held a stop, and no look stands in its place that holds one.
    fn lifts_a_stop(&self, history: &History, taken: &TakenBack, cut: When) -> bool {
        if !self.stopped(taken) {
            return false;
        }
        let instead = history.walks.iter().find_map(|walk| {
            let mut looks = walk.looks.iter();
            Some((walk, looks.find(|timed| timed.id == taken.id)?))
        });
        let holds = instead.is_some_and(|(walk, timed)| {
            let here = TakenBack {
                look: Arc::clone(&timed.look),
                machine: walk.machine.clone(),
                ..taken.clone()
            };
            let same = self.subject(&timed.look.item, &walk.machine)
                == self.subject(&taken.look.item, &taken.machine);
            same && timed.when() >= taken.when && self.stopped(&here)
        });
        let before_the_gate = || taken.early && !self.ran_between(history, taken, cut);
        !holds && !before_the_gate()
    }

    /// True where what a look says forbids running, by the stricter of today's text and its own.
    fn stopped(&self, taken: &TakenBack) -> bool {
        let subject = self.subject(&taken.look.item, &taken.machine);
        let asked = (taken.checklist.as_str(), taken.asked.as_deref());
        let item = self.as_asked(&subject, asked);
        item.is_some_and(|item| self.stop_seen(&item, &taken.machine, &taken.look).is_some())
    }

    /// True where the engine was turned in the walk between a look and its taking back.
    fn ran_between(&self, history: &History, taken: &TakenBack, cut: When) -> bool {
        let Some(walk) = history.walk(&taken.walk) else {
            return true;
        };
        let between = |timed: &&TimedLook| {
            timed.place > taken.when.place
                && timed.place < taken.deed
                && timed.when().is_known_at(cut)
        };
        let mut looks = walk.looks.iter().filter(between);
        looks.any(|timed| {
            let phase = timed.look.phase.as_deref();
            let state = phase.and_then(|phase| self.state_in(walk, phase));
            state.and_then(Gate::before) == Some(Gate::Start)
        })
    }

    fn taken_back_in_words(&self, taken: &TakenBack) -> Doubt {
        let day = taken.deed_at.format("%Y-%m-%d");
        let by = taken
            .by
            .as_ref()
            .map_or(String::new(), |by| format!(" by {by}"));
        let why = taken
            .why
            .as_ref()
            .map_or(String::new(), |why| format!(", {why}"));
        let grade = taken
            .look
            .grade()
            .map_or(String::new(), |grade| format!(" ({grade})"));
        let told = NotCounted {
            item: Some(taken.look.item.clone()),
            ..NotCounted::because(format!(
                "a stop{grade} was taken back on {day}{by}{why}; it is owed a look"
            ))
        };
        Doubt {
            place: Some(taken.when.place),
            ..Doubt::blocking(told)
        }
    }
}
