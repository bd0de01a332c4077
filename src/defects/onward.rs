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
    /// When the first thing happened that is not in there, if anything did.
    next: Option<DateTime<FixedOffset>>,
    /// How many walks the whole history had.
    walks: usize,
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
}

impl Onward {
    /// The condition as of a time and what had happened by then, from a history that since the last
    /// time grew by what [`Onward::grew_by_a_walk`] and [`Onward::grew`] were told of.
    pub fn at(
        &mut self,
        boat: &Boat,
        library: &Arc<Library>,
        history: &History,
        at: DateTime<FixedOffset>,
    ) -> (&Condition, &History) {
        let several = std::mem::replace(&mut self.asked, true);
        let carried = self.stands.take();
        let carried = carried.and_then(|stands| stands.go_on(history, at));
        let begin = || Stands::begin(boat, library, history, at);
        let begun = || several.then(begin).flatten();
        let folded = || Stands::fold(boat, library, history, at);
        let stands = carried.or_else(begun).unwrap_or_else(folded);
        let stands = self.stands.insert(stands);
        let condition = match &stands.how {
            How::Folded(condition) => condition,
            How::Carried(carried) => &carried.passage.condition,
        };
        (condition, &stands.then)
    }

    /// The history grew by a walk with its looks, and by nothing else.
    pub fn grew_by_a_walk(&mut self, history: &History) {
        let stands = self.stands.take();
        self.stands = stands.and_then(|stands| stands.grow(history));
    }

    /// The history grew by something else.
    pub fn grew(&mut self) {
        self.stands = None;
    }

    /// True where the next one need not be folded anew.
    #[cfg(test)]
    pub(crate) fn is_carried(&self) -> bool {
        let stands = self.stands.as_ref();
        stands.is_some_and(|stands| matches!(stands.how, How::Carried(_)))
    }
}

impl Stands {
    fn fold(
        boat: &Boat,
        library: &Arc<Library>,
        history: &History,
        at: DateTime<FixedOffset>,
    ) -> Stands {
        let then = history.as_of(at);
        let condition = Condition::of(boat, Arc::clone(library), &then, at);
        Stands {
            then,
            next: None,
            walks: history.walks.len(),
            how: How::Folded(Box::new(condition)),
        }
    }

    /// None where something was taken back or is asked of no machine: then a fold tells.
    fn begin(
        boat: &Boat,
        library: &Arc<Library>,
        history: &History,
        at: DateTime<FixedOffset>,
    ) -> Option<Stands> {
        let then = history.as_of(at);
        let passage = Passage::begin(boat, library, &then, Event::kept);
        if !then.taken_back.is_empty() || !passage.unasked.is_empty() {
            return None;
        }
        let carried = Carried {
            places: passage.places(),
            newest: at,
            passage,
        };
        let stands = Stands {
            next: history.first_after(at),
            walks: history.walks.len(),
            then,
            how: How::Carried(Box::new(carried)),
        };
        stands.go_on(history, at)
    }

    /// As of a later time; none where it cannot be carried on to there.
    fn go_on(mut self, history: &History, at: DateTime<FixedOffset>) -> Option<Stands> {
        let How::Carried(carried) = &mut self.how else {
            return None;
        };
        if at < carried.newest || self.next.is_some_and(|next| next <= at) {
            return None;
        }
        carried.newest = at;
        let place = history.length;
        let (passage, here) = (&mut carried.passage, When { at, place });
        if passage.go_on(&self.then, here) != Passed::There {
            return None;
        }
        passage.settle(&self.then, here);
        let condition = &mut passage.condition;
        condition.planned = condition.planned_dips(&self.then);
        condition.waits = vec![WaitsByWaters::default(); condition.lives.len()];
        Some(self)
    }

    /// With the last walk of the history; none where that did not come in its turn.
    fn grow(mut self, history: &History) -> Option<Stands> {
        let How::Carried(carried) = &mut self.how else {
            return None;
        };
        let walk = history.walks.last()?;
        let place = self.then.walks.len();
        let last = self.then.walks.last();
        let records = 1 + walk.looks.len() + usize::from(walk.finished.is_some());
        let is_all = history.length.checked_sub(self.then.length) == Some(records);
        let is_new = history.walks.len() == self.walks + 1;
        let in_turn = is_new && is_all && last.is_none_or(|last| last.when() < walk.when());
        if !in_turn || walk.when().at < carried.newest || !carried.passage.read(walk, history) {
            return None;
        }
        for timed in &walk.looks {
            let subject = carried
                .passage
                .condition
                .subject(&timed.look.item, &walk.machine);
            let item = carried.places.get(&subject)?;
            carried.passage.see(*item, place, timed);
        }
        let ends = walk.looks.iter().map(|timed| timed.at).chain(walk.finished);
        carried.newest = ends.fold(walk.when().at, DateTime::max);
        self.walks += 1;
        self.then.walks.push(walk.clone());
        self.then.length = history.length;
        Some(self)
    }
}
