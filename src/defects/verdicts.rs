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

use super::asked::unknown;
use super::condition::{Condition, MachineUse, looks_at};
use super::doubt::Doubt;
use super::events::{Event, Fold, events};
use super::history::History;
use super::judged::{at_end, verdict};
use super::life::Subject;
use super::taught::{Learning, LearningState, Window};
use super::usage::Usage;
use super::watch::{Lesson, Watch};
use crate::assess::dwell::{Dwell, Dwells};
use crate::assess::rate::rate_of_use;
use crate::assess::words::Verdict;
use crate::boat::{Boat, Hours};
use crate::checklist::{Closing, Kind, Library, Then};
use crate::walk::Walk;

/// The verdict of each walk as at its end, in the order of the history's walks; none where it is
/// unfinished or its checklist gives none.
pub fn verdicts(boat: &Boat, library: &Arc<Library>, history: &History) -> Vec<Option<Verdict>> {
    let mut found = vec![None; history.walks.len()];
    let ends = history.walks.iter().enumerate();
    let mut ends: Vec<_> = ends
        .filter_map(|(n, walk)| Some((walk.finished?, n, walk)))
        .collect();
    ends.sort_by_key(|(end, n, _)| (*end, *n));
    // One passage for each text that walks were asked with and that is not today's.
    let mut passages: HashMap<Option<&str>, Passage> = HashMap::new();
    for (end, n, walk) in ends {
        let asked = walk.asked.as_deref();
        let list = library.checklist_of(&walk.checklist, asked);
        let closing = list.map(|c| c.closes_with);
        let Some(place) = found.get_mut(n) else {
            continue;
        };
        *place = match closing {
            Some(Closing::Daily) => {
                let then = library.then(&walk.checklist, asked);
                let other = asked.filter(|_| matches!(then, Then::Other(_)));
                let passage = passages.entry(other).or_insert_with(|| {
                    let then = library.as_asked(&walk.checklist, other).map(Arc::new);
                    Passage::begin(boat, then.as_ref().unwrap_or(library), history)
                });
                passage.verdict(walk, end)
            }
            // Its rules ask the history, and it is rare.
            Some(Closing::LeakRun) => at_end(boat, library, history, walk),
            Some(Closing::Survey) | None => None,
        };
    }
    found
}

/// A condition on its way through a history.
struct Passage<'a> {
    history: &'a History,
    condition: Condition,
    /// Of each machine, with how many of its readings were taken in.
    meters: Vec<(String, Readings, usize)>,
    items: Vec<Watched<'a>>,
    /// What no text here describes, with the time from which it matters.
    unknown: Vec<(DateTime<FixedOffset>, Doubt)>,
}

type Readings = Vec<(DateTime<FixedOffset>, Hours)>;

/// An item on its way.
struct Watched<'a> {
    subject: Subject,
    events: Vec<(DateTime<FixedOffset>, Event<'a>)>,
    /// Events its life has taken in.
    lived: usize,
    /// No meter of its machine was ever read: hours go by the profile, whose rate stays.
    unmetered: bool,
    fold: Fold<'a>,
    /// What it teaches, where it goes down by a chain.
    taught: Option<Pupil>,
}

struct Pupil {
    kind: Kind,
    dwell: Dwell,
    watch: Watch,
    /// Events the watch has taken in for good.
    seen: usize,
}

impl<'a> Passage<'a> {
    fn begin(boat: &Boat, library: &Arc<Library>, history: &'a History) -> Passage<'a> {
        let mut meters = Vec::new();
        let mut machines = HashMap::new();
        for machine in &boat.machines {
            let began = MachineUse {
                usage: Usage::new(Vec::new(), 0.0),
                rate: rate_of_use(&[], chrono::NaiveDate::MIN, boat.usual_hours_per_month),
                meters: history.meter_line(&machine.id),
            };
            machines.insert(machine.id.clone(), began);
            meters.push((machine.id.clone(), history.hour_readings(&machine.id), 0));
        }
        let library = Arc::clone(library);
        let beginning = DateTime::<chrono::Utc>::MIN_UTC.fixed_offset();
        let mut condition = Condition::begin(boat, library, machines, beginning);
        let looks = condition.looks(history);
        let subjects = condition.subjects(&condition.library);
        let unmetered = |subject: &Subject| {
            let of = |machine: &String| meters.iter().find(|(id, ..)| id == machine);
            let of = subject.machine.as_ref().map_or(meters.first(), of);
            of.is_some_and(|(_, readings, _)| readings.is_empty())
        };
        let items = subjects.into_iter().map(|subject| Watched {
            events: events(&subject, looks_at(&looks, &subject), history),
            lived: 0,
            unmetered: unmetered(&subject),
            fold: Fold::default(),
            taught: condition.chain(&subject).map(|(kind, dwell)| Pupil {
                kind,
                dwell,
                watch: Watch::new(dwell.standing()),
                seen: 0,
            }),
            subject,
        });
        let items: Vec<Watched> = items.collect();
        let unlived = items
            .iter()
            .map(|i| (i.subject.clone(), Default::default()));
        condition.lives = unlived.collect();
        let unknown = unknown(history, &looks, &condition.library);
        Passage {
            unknown,
            history,
            condition,
            meters,
            items,
        }
    }

    /// The verdict on a walk at its end, to which the condition goes on.
    fn verdict(&mut self, walk: &Walk, end: DateTime<FixedOffset>) -> Option<Verdict> {
        self.go_on(end);
        let then = walk.as_of(end);
        verdict(&self.condition, self.history, &then).map(|(verdict, _)| verdict)
    }

    fn go_on(&mut self, to: DateTime<FixedOffset>) {
        self.condition.now = to;
        self.run_machines(to);
        self.live(to);
        self.learn(to);
        let condition = &mut self.condition;
        condition.doubts.clone_from(&self.history.doubts);
        let of_texts = condition.text_doubts(&self.unknown);
        condition.doubts.extend(of_texts);
    }

    fn run_machines(&mut self, to: DateTime<FixedOffset>) {
        for (machine, readings, taken) in &mut self.meters {
            let known = readings.partition_point(|(at, _)| *at <= to);
            let dated: Vec<_> = readings[..known]
                .iter()
                .map(|(at, hours)| (at.date_naive(), *hours))
                .collect();
            let usual = self.condition.boat.usual_hours_per_month;
            let rate = rate_of_use(&dated, to.date_naive(), usual);
            if let Some(machine) = self.condition.machines.get_mut(machine) {
                machine.rate = rate;
                let new = readings.get(*taken..known).unwrap_or_default();
                machine.usage.carry_on(new, rate.per_day);
            }
            *taken = known;
        }
    }

    fn live(&mut self, to: DateTime<FixedOffset>) {
        let condition = &mut self.condition;
        let mut lives = std::mem::take(&mut condition.lives);
        for item in &mut self.items {
            let until = item.until(to);
            let new = item.events.get(item.lived..until).unwrap_or_default();
            if let Some(life) = lives.get_mut(&item.subject).filter(|_| !new.is_empty()) {
                let usage = condition.usage(&item.subject);
                for (at, event) in new {
                    let state = |walk: &Walk, phase: &str| condition.state_in(walk, phase);
                    item.fold
                        .take(life, (*at, event), self.history, usage, state);
                }
                item.fold.settle(life);
                let lived = item.events.get(..until).unwrap_or_default();
                condition.rest(&item.subject, life, lived, self.history);
            }
            item.lived = until;
        }
        condition.lives = lives;
    }

    fn learn(&mut self, to: DateTime<FixedOffset>) {
        let set = self.history.learning.iter();
        let set = set.take_while(|s| s.at <= to).count();
        let window = Window::of(self.history.learning.get(..set).unwrap_or_default());
        if window != self.condition.learning.window {
            for taught in self.items.iter_mut().filter_map(|i| i.taught.as_mut()) {
                taught.watch = Watch::new(taught.dwell.standing());
                taught.seen = 0;
            }
        }
        let mut learning = Learning::begin(window);
        for item in &mut self.items {
            let until = item.until(to);
            let usage = self.condition.usage(&item.subject);
            if let Some(pupil) = item
                .taught
                .as_mut()
                .filter(|_| window.state != LearningState::Off)
            {
                let events = item.events.get(..until).unwrap_or_default();
                let fixed = |at| item.unmetered || usage.is_fixed(at);
                let lesson = pupil.lesson(events, usage, window, fixed);
                learning.add(&item.subject, pupil.kind, &lesson);
            }
        }
        self.condition.dwells = learning.dwells(&Dwells::judgement());
        self.condition.learning = learning;
    }
}

/// Every stop of the passage with the condition there, for tests.
#[cfg(test)]
pub(super) fn stops(
    boat: &Boat,
    library: &Arc<Library>,
    history: &History,
    mut at: impl FnMut(DateTime<FixedOffset>, &Condition),
) {
    let mut ends: Vec<_> = history.walks.iter().filter_map(|w| w.finished).collect();
    ends.sort();
    let mut passage = Passage::begin(boat, library, history);
    for end in ends {
        passage.go_on(end);
        at(end, &passage.condition);
    }
}

impl Watched<'_> {
    /// How many of its events lie before the end of a moment.
    fn until(&self, to: DateTime<FixedOffset>) -> usize {
        let ahead = self.events.get(self.lived..).unwrap_or_default();
        self.lived + ahead.partition_point(|(at, _)| *at <= to)
    }
}

impl Pupil {
    /// What these events teach. Those whose running hours stay as they are are taken in for good.
    fn lesson(
        &mut self,
        events: &[(DateTime<FixedOffset>, Event<'_>)],
        usage: &Usage,
        window: Window,
        is_fixed: impl Fn(DateTime<FixedOffset>) -> bool,
    ) -> Lesson {
        let new = events.get(self.seen..).unwrap_or_default();
        let fixed = new.iter().take_while(|(at, _)| is_fixed(*at)).count();
        let (for_good, for_now) = new.split_at(fixed);
        let counted = |(at, _): &&(DateTime<FixedOffset>, Event<'_>)| window.counts(*at);
        for (at, event) in for_good.iter().filter(counted) {
            self.watch.take(*at, event, usage);
        }
        self.seen += fixed;
        let mark = self.watch.mark();
        for (at, event) in for_now.iter().filter(counted) {
            self.watch.take(*at, event, usage);
        }
        let lesson = self.watch.lesson();
        self.watch.back_to(mark);
        lesson
    }
}
