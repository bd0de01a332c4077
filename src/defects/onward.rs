//! The condition of a boat as of the times at which mornings come in one after another, as from a file
//! with years of them: carried on by each, and folded anew only where something else comes or one is
//! told out of its turn.

use std::collections::HashMap;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::condition::{Condition, WaitsByWaters};
use super::events::Event;
use super::history::History;
use super::passage::{Passage, Passed};
use super::subject::Subject;
use crate::boat::Boat;
use crate::checklist::Library;
use crate::walk::When;

/// A condition on its way, with the history behind it.
#[derive(Default)]
pub struct Onward {
    stands: Option<Stands>,
    /// The first time it is folded: where no other follows, that is less work.
    asked: bool,
}

struct Stands {
    /// What had happened by then.
    then: History,
    how: How,
}

/// A condition is folded once, or carried on.
enum How {
    Folded(Box<Condition>),
    Carried(Box<Carried>),
}

struct Carried {
    passage: Passage<'static>,
    /// Places of the items on their way.
    places: HashMap<Subject, usize>,
    /// Nothing it knows is later.
    newest: DateTime<FixedOffset>,
    /// When the first thing happened that it does not know of, if anything did.
    next: Option<DateTime<FixedOffset>>,
    /// How many walks the whole history had.
    walks: usize,
}

impl Onward {
    /// The condition as of a time and what had happened by then, from a history that since the last
    /// time grew by what [`Onward::grew`] was told of.
    pub fn at(
        &mut self,
        boat: &Boat,
        library: &Arc<Library>,
        history: &History,
        at: DateTime<FixedOffset>,
    ) -> (&Condition, &History) {
        let several = std::mem::replace(&mut self.asked, true);
        let stands = self.stands.take();
        let stands = stands.and_then(|stands| stands.go_on(history, at));
        let stands = stands.unwrap_or_else(|| {
            let then = history.as_of(at);
            let begun = several.then(|| Carried::begin(boat, library, history, &then, at));
            let how = match begun.flatten() {
                Some(carried) => How::Carried(Box::new(carried)),
                None => {
                    let condition = Condition::of(boat, Arc::clone(library), &then, at);
                    How::Folded(Box::new(condition))
                }
            };
            Stands { then, how }
        });
        let stands = self.stands.insert(stands);
        let condition = match &stands.how {
            How::Folded(condition) => condition,
            How::Carried(carried) => &carried.passage.condition,
        };
        (condition, &stands.then)
    }

    /// The history grew by all records of one document.
    pub fn grew(&mut self, history: &History) {
        let stands = self.stands.take();
        self.stands = stands.and_then(|stands| stands.grow(history));
    }

    /// True where the next one need not be folded anew.
    #[cfg(test)]
    pub(crate) fn is_carried(&self) -> bool {
        let stands = self.stands.as_ref();
        stands.is_some_and(|stands| matches!(stands.how, How::Carried(_)))
    }
}

impl Stands {
    fn go_on(mut self, history: &History, at: DateTime<FixedOffset>) -> Option<Stands> {
        match &mut self.how {
            How::Folded(_) => None,
            How::Carried(carried) => carried.go_on(history, &self.then, at).then_some(self),
        }
    }

    fn grow(mut self, history: &History) -> Option<Stands> {
        match &mut self.how {
            How::Folded(_) => None,
            How::Carried(carried) => carried.grow(history, &mut self.then).then_some(self),
        }
    }
}

impl Carried {
    /// As of a time from what had happened by then; none where something was taken back or is asked of
    /// no machine: then a fold tells.
    fn begin(
        boat: &Boat,
        library: &Arc<Library>,
        history: &History,
        then: &History,
        at: DateTime<FixedOffset>,
    ) -> Option<Carried> {
        if !then.taken_back.is_empty() {
            return None;
        }
        let passage = Passage::begin(boat, library, then, Event::kept);
        if !passage.unasked.is_empty() {
            return None;
        }
        let mut carried = Carried {
            places: passage.places(),
            newest: at,
            next: history.first_after(at),
            walks: history.walks.len(),
            passage,
        };
        carried.go_on(history, then, at).then_some(carried)
    }

    /// Goes on to a later time; false where it cannot be carried on to there.
    fn go_on(&mut self, history: &History, then: &History, at: DateTime<FixedOffset>) -> bool {
        if at < self.newest || self.next.is_some_and(|next| next <= at) {
            return false;
        }
        self.newest = at;
        let place = history.length;
        let here = When { at, place };
        if self.passage.go_on(then, here) != Passed::There {
            return false;
        }
        self.passage.settle(then, here);
        let condition = &mut self.passage.condition;
        condition.planned = condition.planned_dips(then);
        condition.waits = vec![WaitsByWaters::default(); condition.lives.len()];
        true
    }

    /// Takes in the last walk of the history; false where that came out of its turn, or is not all by
    /// which the history grew.
    fn grow(&mut self, history: &History, then: &mut History) -> bool {
        let Some(walk) = history.walks.last() else {
            return false;
        };
        let records = 1 + walk.looks.len() + usize::from(walk.finished.is_some());
        let is_all = history.length.checked_sub(then.length) == Some(records);
        let is_new = history.walks.len() == self.walks + 1;
        let last = then.walks.last();
        let in_turn = is_new && is_all && last.is_none_or(|last| last.when() < walk.when());
        if !in_turn || walk.when().at < self.newest || !self.passage.read(walk, history) {
            return false;
        }
        for timed in &walk.looks {
            let condition = &self.passage.condition;
            let subject = condition.subject(&timed.look.item, &walk.machine);
            let Some(item) = self.places.get(&subject) else {
                return false;
            };
            self.passage.see(*item, then.walks.len(), timed);
        }
        let ends = walk.looks.iter().map(|timed| timed.at).chain(walk.finished);
        self.newest = ends.fold(walk.when().at, DateTime::max);
        self.walks += 1;
        then.walks.push(walk.clone());
        then.length = history.length;
        true
    }
}
