//! What the looks on record teach about how fast each kind goes down its ladder.
//!
//! Each item is watched through its looks in the order of time, whatever the order they were
//! recorded in:
//!
//! - the looks of one walk, and looks between which next to nothing wears
//!   ([`LEAST_WEAR`](super::watch::LEAST_WEAR)), count as one, with the worst grade of them; its time
//!   is that of the first
//! - looks in a row that say "as last time" count once, as the first of them
//! - a repair, a part fitted and a look made better by a repair begin anew; what lies between the
//!   look before and that moment teaches nothing
//! - a better grade begins anew at that grade, where it was cleaned, adjusted, topped up or where no
//!   reason is on record; where the earlier look was misjudged, the looks that saw it worse are
//!   dropped, as they are by a withdrawal
//! - running hours that go back begin anew: one of the two readings is wrong
//! - the grade seen counts, also past the item's life: the life speaks of what may come, not of what
//!   was seen
//! - a removed item is watched up to its removal; levels, readings and signs have no chain to teach

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, FixedOffset};

use super::events::Event;
use super::history::Stamped;
use super::learning_set::{LearningSet, LearningState};
use super::learning_start::{LearningStart, PooledRate};
use super::subject::Subject;
use super::usage::Usage;
use super::watch::{Lesson, Watch};
use crate::assess::dwell::{Dwell, Dwells};
use crate::assess::learning::{LeavingRate, Taught};
use crate::checklist::Kind;
use crate::walk::When;

/// From when to when looks count towards what is learned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Running, frozen or off.
    pub state: LearningState,
    /// Looks before this are forgotten.
    pub from: Option<DateTime<FixedOffset>>,
    /// Looks after this do not count.
    pub until: Option<DateTime<FixedOffset>>,
}

impl Window {
    /// As the records set it, in the order of their times. Learning runs until something is said.
    pub fn of(set: &[Stamped<LearningSet>]) -> Window {
        let mut window = Window {
            state: LearningState::Running,
            from: None,
            until: None,
        };
        for record in set {
            window.state = record.rec.state;
            window.until = None;
            match record.rec.state {
                LearningState::Frozen => window.until = Some(record.at),
                LearningState::Reset => {
                    window.from = Some(record.at);
                    window.state = LearningState::Running;
                }
                LearningState::Running | LearningState::Off => {}
            }
        }
        window
    }

    /// True where looks at a time count.
    pub(super) fn counts(&self, at: DateTime<FixedOffset>) -> bool {
        self.from.is_none_or(|from| at >= from) && self.until.is_none_or(|until| at <= until)
    }
}

/// What the looks taught, by kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Learning {
    /// Which looks were counted.
    pub window: Window,
    /// What other boats taught and what counts in place of the judgement; none where nothing was taken
    /// in, or learning is off.
    pub start: Option<Stamped<LearningStart>>,
    /// Kinds of which something was seen.
    pub kinds: BTreeMap<Kind, KindTaught>,
}

/// What the looks at all items of one kind taught.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct KindTaught {
    /// The moves and wear hours of all items of the kind together.
    pub total: Taught,
    /// Running hours among the time that no meter readings bound: days at the rate of use.
    pub approximate: f64,
    /// Each item that taught something, in the order of the boat's items.
    pub items: Vec<(Subject, Taught)>,
}

impl Learning {
    /// Nothing learned yet, with the window that looks have to fall into and what is begun from.
    pub(super) fn begin(window: Window, start: Option<Stamped<LearningStart>>) -> Learning {
        Learning {
            window,
            start: start.filter(|_| window.state != LearningState::Off),
            kinds: BTreeMap::new(),
        }
    }

    /// Takes in what one item taught by its events in time order.
    pub(super) fn watch(
        &mut self,
        subject: &Subject,
        kind: Kind,
        dwell: Dwell,
        events: &[(When, Event<'_>)],
        usage: &Usage,
    ) {
        if self.window.state == LearningState::Off {
            return;
        }
        let mut watch = Watch::new(dwell.standing());
        for (when, event) in events
            .iter()
            .filter(|(when, _)| self.window.counts(when.at))
        {
            watch.take(when.at, event, usage);
        }
        self.add(subject, kind, &watch.lesson());
    }

    /// Adds what one item taught.
    pub(super) fn add(&mut self, subject: &Subject, kind: Kind, lesson: &Lesson) {
        if lesson.taught.is_nothing() {
            return;
        }
        let kind = self.kinds.entry(kind).or_default();
        kind.total.add(&lesson.taught);
        kind.approximate += lesson.approximate;
        kind.items.push((subject.clone(), lesson.taught));
    }

    /// The dwells that count: the judgement or what other boats taught, and where a kind was seen what
    /// it taught.
    pub fn dwells(&self, judgement: &Dwells) -> Dwells {
        let mut dwells = judgement.clone();
        let kinds = self.kinds.keys().copied().chain(self.started_kinds());
        for kind in kinds.collect::<BTreeSet<_>>() {
            if let Some(dwell) = judgement.of(kind) {
                let start = self.starting(kind, &dwell);
                dwells = dwells.with(kind, self.of(kind).dwell_after(&dwell, start));
            }
        }
        dwells
    }

    /// What a kind taught; nothing where it was not seen.
    pub fn of(&self, kind: Kind) -> Taught {
        self.kinds.get(&kind).map(|k| k.total).unwrap_or_default()
    }
}

impl Learning {
    /// The value of other boats that counts for a rung of a kind; none where judgement does.
    pub fn started(&self, kind: Kind, rung: usize) -> Option<&PooledRate> {
        let rates = self.start.iter().flat_map(|start| &start.rec.rates);
        rates
            .rev()
            .find(|rate| (rate.kind, rate.rung) == (kind, rung))
    }

    /// What is known of how a kind leaves each rung before any look aboard.
    pub(super) fn starting(&self, kind: Kind, judgement: &Dwell) -> [LeavingRate; 4] {
        std::array::from_fn(|rung| match self.started(kind, rung) {
            Some(pooled) => pooled.rate(),
            None => LeavingRate::judgement(judgement.means()[rung]),
        })
    }

    /// The kinds of which values of other boats count.
    pub(super) fn started_kinds(&self) -> Vec<Kind> {
        let rates = self.start.iter().flat_map(|start| &start.rec.rates);
        let mut kinds: Vec<Kind> = rates.map(|rate| rate.kind).collect();
        kinds.sort_unstable();
        kinds.dedup();
        kinds
    }
}

/// The values to begin from: those taken in last.
pub(super) fn in_force(taken: &[Stamped<LearningStart>]) -> Option<Stamped<LearningStart>> {
    taken.last().cloned()
}
