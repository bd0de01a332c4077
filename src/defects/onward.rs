//! The condition of a boat as of the times at which documents come in one after another, as from a file
//! with years of them: carried on by each, and folded anew only where one is told out of its turn or does
//! more than to put something on record.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::carried::Carried;
use super::condition::Condition;
use super::history::History;
use crate::boat::Boat;
use crate::checklist::Library;

/// Two conditions on their way with a history that grows: as of the times told, and with all that is on
/// record.
#[derive(Default)]
pub struct Onward {
    told: Way,
    of_all: Way,
}

/// A condition on its way, with the history behind it.
#[derive(Default)]
struct Way {
    stands: Option<Stands>,
    /// The first time it is folded: where no other follows, that is less work.
    asked: bool,
}

struct Stands {
    /// What had happened by then; none where all had.
    then: Option<History>,
    how: How,
}

/// A condition is folded once, or carried on.
enum How {
    Folded(Box<Condition>),
    Carried(Box<Carried>),
}

impl Onward {
    /// The condition as of a time and what had happened by then, from a history that since the last
    /// time grew by what [`Onward::grew`] was told of.
    pub fn at<'s>(
        &'s mut self,
        boat: &Boat,
        library: &Arc<Library>,
        history: &'s History,
        at: DateTime<FixedOffset>,
    ) -> (&'s Condition, &'s History) {
        let then = || Some(history.as_of(at));
        let (condition, then) = self.told.at((boat, library), history, then, at);
        (condition, then.unwrap_or(history))
    }

    /// The condition at a time by all that is on record, whenever it happened.
    pub fn of_all(
        &mut self,
        boat: &Boat,
        library: &Arc<Library>,
        history: &History,
        at: DateTime<FixedOffset>,
    ) -> &Condition {
        self.of_all.at((boat, library), history, || None, at).0
    }

    /// The history grew by all records of one document.
    pub fn grew(&mut self, history: &History) {
        self.told.grew(history);
        self.of_all.grew(history);
    }

    /// True where the next one need not be folded anew.
    #[cfg(test)]
    pub(crate) fn is_carried(&self) -> bool {
        self.told.is_carried()
    }

    /// The same with all that is on record.
    #[cfg(test)]
    pub(crate) fn is_carried_of_all(&self) -> bool {
        self.of_all.is_carried()
    }
}

impl Way {
    fn at<'s>(
        &'s mut self,
        (boat, library): (&Boat, &Arc<Library>),
        history: &History,
        then: impl FnOnce() -> Option<History>,
        at: DateTime<FixedOffset>,
    ) -> (&'s Condition, Option<&'s History>) {
        let several = std::mem::replace(&mut self.asked, true);
        let stands = self.stands.take();
        let stands = stands.and_then(|stands| stands.go_on(history, at));
        let stands = stands.unwrap_or_else(|| {
            let mut then = then();
            let begun = several.then(|| Carried::begin(boat, library, history, then.as_mut(), at));
            let how = match begun.flatten() {
                Some(carried) => How::Carried(Box::new(carried)),
                None => {
                    let known = then.as_ref().unwrap_or(history);
                    let condition = Condition::of(boat, Arc::clone(library), known, at);
                    How::Folded(Box::new(condition))
                }
            };
            Stands { then, how }
        });
        let stands = self.stands.insert(stands);
        let condition = match &stands.how {
            How::Folded(condition) => condition,
            How::Carried(carried) => carried.condition(),
        };
        (condition, stands.then.as_ref())
    }

    fn grew(&mut self, history: &History) {
        let was_carried = self.is_carried();
        let stands = self.stands.take();
        self.stands = stands.and_then(|stands| stands.grow(history));
        // Where one is told that ends it, another may follow at once: then a fold each is less work.
        if was_carried && self.stands.is_none() {
            self.asked = false;
        }
    }

    fn is_carried(&self) -> bool {
        let stands = self.stands.as_ref();
        stands.is_some_and(|stands| matches!(stands.how, How::Carried(_)))
    }
}

impl Stands {
    fn go_on(mut self, history: &History, at: DateTime<FixedOffset>) -> Option<Stands> {
        match &mut self.how {
            How::Folded(_) => None,
            How::Carried(carried) => {
                let goes_on = carried.go_on(history, self.then.as_mut(), at);
                goes_on.then_some(self)
            }
        }
    }

    fn grow(mut self, history: &History) -> Option<Stands> {
        match &mut self.how {
            How::Folded(_) => None,
            How::Carried(carried) => carried.grow(history, self.then.as_mut()).then_some(self),
        }
    }
}
