//! What every answer of an open logbook rests on, and the condition folded from it, which is kept while
//! nothing of it has changed.

use std::cell::RefCell;
use std::rc::Rc;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use crate::boat::Boat;
use crate::checklist::Library;
use crate::defects::History;
use crate::defects::condition::Condition;

/// The boat, what can be looked at and what the records say. Whoever changes one of them lets go of the
/// condition that was folded from it: there is no other way to them.
pub(super) struct State {
    boat: Boat,
    library: Arc<Library>,
    history: Rc<History>,
    kept: RefCell<Option<(Minute, Rc<Condition>)>>,
}

/// A minute of a clock, with its offset: ages are told by the minute at the finest.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Minute(i64, i32);

impl Minute {
    fn of(now: DateTime<FixedOffset>) -> Minute {
        let minute = now.timestamp().div_euclid(60);
        Minute(minute, now.offset().local_minus_utc())
    }
}

impl State {
    pub(super) fn new(boat: Boat, library: Arc<Library>, history: History) -> State {
        State {
            boat,
            library,
            history: Rc::new(history),
            kept: RefCell::new(None),
        }
    }

    pub(super) fn boat(&self) -> &Boat {
        &self.boat
    }

    pub(super) fn library(&self) -> &Arc<Library> {
        &self.library
    }

    pub(super) fn history(&self) -> &Rc<History> {
        &self.history
    }

    pub(super) fn put_boat(&mut self, boat: Boat) {
        self.kept.take();
        self.boat = boat;
    }

    pub(super) fn put_library(&mut self, library: Arc<Library>) {
        self.kept.take();
        self.library = library;
    }

    /// The history, to be changed; whoever shares it keeps what it was.
    pub(super) fn history_mut(&mut self) -> &mut History {
        self.kept.take();
        Rc::make_mut(&mut self.history)
    }

    /// The condition at a moment: the one kept where it is of the same minute.
    pub(super) fn condition(&self, now: DateTime<FixedOffset>) -> Rc<Condition> {
        let minute = Minute::of(now);
        let mut kept = self.kept.borrow_mut();
        if let Some((of, condition)) = &*kept
            && *of == minute
            && condition.now <= now
        {
            return Rc::clone(condition);
        }
        let library = Arc::clone(&self.library);
        let condition = Rc::new(Condition::of(&self.boat, library, &self.history, now));
        *kept = Some((minute, Rc::clone(&condition)));
        condition
    }
}
