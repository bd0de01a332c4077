//! The condition of the boat, folded from her records.

use std::borrow::Cow;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::asked::unknown;
use super::condition::{Condition, MachineUse, WaitsByWaters, looks_at};
use super::events::{Beside, Event, Origin, events};
use super::history::{History, LooksBySubject};
use super::life::Life;
use super::stopped::owed;
use super::subject::Subject;
use super::taught::{Learning, Window, in_force};
use crate::boat::Boat;
use crate::checklist::{Library, Then};
use crate::walk::When;

impl Condition {
    /// Folds the condition of the boat from her records.
    pub fn of(
        boat: &Boat,
        library: Arc<Library>,
        history: &History,
        now: DateTime<FixedOffset>,
    ) -> Condition {
        let machines = boat.machines.iter();
        let machines = machines.map(|m| (m.id.clone(), MachineUse::of(&m.id, boat, history, now)));
        let mut condition = Condition::begin(boat, library, machines.collect(), now);
        let looks = condition.looks(history);
        let library = Arc::clone(&condition.library);
        let mut learning = Learning::begin(
            Window::of(&history.learning),
            in_force(&history.learning_starts),
        );
        let mut subjects = condition.subjects(&library, &looks);
        let unasked = condition.unasked(history, &looks);
        subjects.extend_from_slice(&unasked);
        for subject in subjects {
            let origin = condition.origin(&subject, &looks, history);
            let (life, events) = condition.tell(&subject, &origin, history);
            if let Some((kind, dwell)) = condition.chain(&subject) {
                let usage = condition.usage(&subject);
                learning.watch(&subject, kind, dwell, &events, usage);
            }
            condition.lives.insert(subject, life);
        }
        // Learning changes no standing wear, so what was watched with the judgement holds.
        condition.dwells = learning.dwells(&condition.dwells);
        condition.learning = learning;
        condition.quiet = condition.uncalled(&looks);
        condition.let_go(&unasked, history);
        let unknown = unknown(history, &looks, &library);
        let cut = When::last_at(now);
        condition.doubt(history, history.doubts.clone(), &unknown);
        let owed = owed(&condition, history, &looks);
        let taken_back = condition.stops_taken_back(history, &owed, cut);
        condition.doubts.extend(taken_back);
        condition.waits = vec![WaitsByWaters::default(); condition.lives.len()];
        condition.planned = condition.planned_dips(history);
        condition.aged = condition.aged(history, cut);
        condition.given_on = history.given_on_by(cut);
        condition.take_causes(history);
        condition
    }

    /// The life of an item and the events it is folded from; what its standing rests on is noted.
    pub(super) fn tell<'a>(
        &mut self,
        subject: &Subject,
        origin: &Origin<'_>,
        history: &'a History,
    ) -> (Life, Vec<(When, Event<'a>)>) {
        let events = events(subject, origin, history);
        let mut life = self.fold(subject, &events, history, |_, _, _| {});
        self.rest(subject, &mut life, &events, history);
        (life, events)
    }

    /// Tells the life of an item again, as far as its own events go, and shows after each of them what
    /// it became.
    pub(super) fn replay(
        &self,
        subject: &Subject,
        history: &History,
        after: impl FnMut(When, &Event<'_>, &Life),
    ) {
        let origin = self.own_origin(subject, history);
        let events = events(subject, &origin, history);
        self.fold(subject, &events, history, after);
    }

    fn fold(
        &self,
        subject: &Subject,
        events: &[(When, Event<'_>)],
        history: &History,
        after: impl FnMut(When, &Event<'_>, &Life),
    ) -> Life {
        let its = self.library.catalogue.item(&subject.item);
        let beside = Beside {
            subject,
            item: its,
            between_marks: its.and_then(|its| self.between_marks(subject, its)),
            history,
            usage: self.usage(subject),
            state_in: &|walk, phase| self.state_in(walk, phase),
            stops: &|walk, life| self.stopped_then(subject, walk, life),
        };
        Life::fold(events, beside, after)
    }

    /// Tells the life of one item anew, where a record changed it and nothing else.
    pub fn retell(&mut self, subject: &Subject, history: &History) {
        let origin = self.own_origin(subject, history);
        if self.lives.contains_key(subject) || self.is_unasked(subject) {
            let (life, _) = self.tell(subject, &origin, history);
            self.quiet.remove(subject);
            self.lives.insert(subject.clone(), life);
            if self.is_unasked(subject) {
                self.let_go(std::slice::from_ref(subject), history);
                self.waits = vec![WaitsByWaters::default(); self.lives.len()];
            }
        }
    }

    /// Where what is known of one item comes from, without gathering the looks at every other; those
    /// of what it was split off from need all.
    fn own_origin(&self, subject: &Subject, history: &History) -> Origin<'static> {
        let item = self.library.catalogue.item(&subject.item);
        if item.is_some_and(|item| item.split_from.is_some()) {
            let all = self.looks(history);
            let origin = self.origin(subject, &all, history);
            return Origin {
                looks: Cow::Owned(origin.looks.into_owned()),
                part_of: origin.part_of,
            };
        }
        let mut looks = Vec::new();
        for (w, walk) in history.walks.iter().enumerate() {
            if subject.machine.as_ref().is_none_or(|m| *m == walk.machine) {
                let mine = walk.looks.iter().enumerate();
                let mine = mine.filter(|(_, timed)| timed.look.item == subject.item);
                looks.extend(mine.map(|(l, _)| (w, l)));
            }
        }
        Origin {
            looks: Cow::Owned(looks),
            part_of: None,
        }
    }
}

impl Condition {
    /// Where what is known of a subject comes from.
    pub(super) fn origin<'l>(
        &self,
        subject: &'l Subject,
        looks: &'l LooksBySubject<'l>,
        history: &History,
    ) -> Origin<'l> {
        let own = Origin::own(looks_at(looks, subject));
        let item = self.library.catalogue.item(&subject.item);
        let Some(was) = item.and_then(|item| item.split_from.as_ref()) else {
            return own;
        };
        let was = Subject {
            item: was.clone(),
            machine: subject.machine.clone(),
        };
        let at = |&(w, l): &(usize, usize)| {
            let walk = history.walks.get(w)?;
            Some((walk, walk.looks.get(l)?.when()))
        };
        let first = own.looks.iter().filter_map(at).map(|(_, when)| when).min();
        let together = |position: &&(usize, usize)| {
            at(position).is_some_and(|(walk, when)| {
                let earlier = first.is_none_or(|first| when < first);
                earlier
                    && match self.library.then(&walk.checklist, walk.asked.as_deref()) {
                        Then::Other(then) => then.catalogue.item(&subject.item).is_none(),
                        Then::Today | Then::Lost(_) => false,
                    }
            })
        };
        let seen = looks_at(looks, &was).iter().filter(together);
        let mut together: Vec<(usize, usize)> = seen.copied().collect();
        if together.is_empty() {
            return own;
        }
        together.extend_from_slice(&own.looks);
        Origin {
            looks: Cow::Owned(together),
            part_of: Some((was, first)),
        }
    }
}
