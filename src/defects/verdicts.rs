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

use super::aboard::{aboard, looks_at_left_out, names_beside};
use super::asked::unknown;
use super::condition::{Condition, MachineUse};
use super::doubt::Doubt;
use super::events::{Beside, Event, Fold, events};
use super::history::{History, Stamped};
use super::judged::verdict;
use super::roles::owes_unasked;
use super::stopped::{Owed, owed};
use super::subject::Subject;
use super::taught::{Learning, LearningSet, LearningState, Window};
use super::usage::Usage;
use super::view::WalkView;
use super::watch::{Lesson, Watch};
use crate::assess::dwell::{Dwell, Dwells};
use crate::assess::rate::RateInTime;
use crate::assess::words::Verdict;
use crate::boat::{Boat, Hours, Waters};
use crate::checklist::{Closing, Kind, Library, Then as Text};
use crate::walk::{Walk, When};

/// The verdict of each walk as at its end, in the order of the history's walks; none where it is
/// unfinished or its checklist gives none.
pub fn verdicts(boat: &Boat, library: &Arc<Library>, history: &History) -> Vec<Option<Verdict>> {
    let told = at_ends(boat, library, history, |_, _, verdict| verdict);
    told.into_iter().map(Option::flatten).collect()
}

/// What is `told` of each walk as at its end, from the boat as known then, the walk as it was then and
/// its verdict, in the order of the history's walks; none of a walk that is unfinished or whose
/// checklist nobody knows.
pub fn at_ends<T>(
    boat: &Boat,
    library: &Arc<Library>,
    history: &History,
    told: impl Fn(&Condition, &Walk, Option<Verdict>) -> T,
) -> Vec<Option<T>> {
    let alone = |walk: &Walk, end: When| {
        let view = WalkView::of(boat, library, history, walk, end.at);
        told(&view.condition, &view.walk, view.verdict())
    };
    let mut found: Vec<Option<T>> = history.walks.iter().map(|_| None).collect();
    let ends = history.walks.iter().enumerate();
    let mut ends: Vec<_> = ends
        .filter_map(|(n, walk)| Some((walk.ended()?, n, walk)))
        .collect();
    ends.sort_by_key(|(end, n, _)| (end.place, *n));
    let mut then: HashMap<usize, Then> = HashMap::new();
    // One passage for each profile, and each text that walks were asked with and that is not today's.
    let mut passages: HashMap<(usize, Option<&str>), Passage> = HashMap::new();
    for (end, n, walk) in ends {
        let asked = walk.asked.as_deref();
        let list = library.checklist_of(&walk.checklist, asked);
        let Some((place, list)) = found.get_mut(n).zip(list) else {
            continue;
        };
        *place = Some(match list.closes_with {
            Closing::Daily | Closing::Short | Closing::Finding => {
                let then = history.profiles.steps_known(end).map(|steps| {
                    let then = then.entry(steps).or_insert_with(|| {
                        let profile = history.profiles.known_at(end).boat;
                        let profile = profile.as_ref().unwrap_or(boat);
                        Then::of(profile, library, history, end.at)
                    });
                    (steps, &*then)
                });
                let then = then.filter(|(_, then)| then.is_whole_for(&walk.machine));
                let passed = then.and_then(|(steps, then)| {
                    let text = library.then(&walk.checklist, asked);
                    let other = asked.filter(|_| matches!(text, Text::Other(_)));
                    let passage = passages.entry((steps, other)).or_insert_with(|| {
                        let text = Library::as_asked(library, &walk.checklist, other);
                        Passage::begin(&then.boat, &text, history)
                    });
                    let there = passage.go_on(end) == Passed::There;
                    there.then(|| passage.told(walk, end, &told))
                });
                passed.unwrap_or_else(|| alone(walk, end))
            }
            // Their rules ask the history, and they are rare.
            Closing::LeakRun | Closing::Survey => alone(walk, end),
        });
    }
    found
}

/// The boat at the end of walks.
struct Then {
    /// The profile in force, with the machines that records name beside it: what is known of these
    /// speaks for the others too, by what it teaches and by texts that are lost.
    boat: Boat,
    /// How many of her machines the profile has itself; they come first.
    own: usize,
    /// Nothing on record is beside it that could hold a stop.
    is_whole: bool,
}

impl Then {
    fn of(
        profile: &Boat,
        library: &Arc<Library>,
        history: &History,
        at: DateTime<FixedOffset>,
    ) -> Then {
        let farther = |(_, waters): &(_, Waters)| *waters > profile.waters;
        let elsewhere = history.profiles.waters.iter().any(farther);
        let boat = aboard(profile, library, history, at).boat;
        Then {
            is_whole: !(looks_at_left_out(profile, history)
                || owes_unasked(&boat, library, history)
                || elsewhere && names_beside(profile, history)),
            own: profile.machines.len(),
            boat,
        }
    }

    /// The verdict on a walk of this machine needs nothing else.
    fn is_whole_for(&self, machine: &str) -> bool {
        let mut own = self.boat.machines.iter().take(self.own);
        self.is_whole && own.any(|m| m.id == machine)
    }
}

/// A condition on its way through a history, in the order of the log.
struct Passage<'a> {
    history: &'a History,
    condition: Condition,
    meters: Vec<Metered>,
    items: Vec<Watched<'a>>,
    /// Items that no role asks for and records name.
    unasked: Vec<Subject>,
    /// The newest time of all taken in.
    newest: DateTime<FixedOffset>,
    /// What no text here describes, with the time from which it matters.
    unknown: Vec<(DateTime<FixedOffset>, Doubt)>,
    /// Looks that were taken back, which may be owed a look.
    owed: Vec<Owed<'a>>,
}

/// Where a passage stands after it went on.
#[derive(PartialEq)]
enum Passed {
    /// At the moment asked.
    There,
    /// What it knows reaches further: the moment was told after later ones.
    Beyond,
}

/// What happened by the order of the log, and how much of it was taken in. What was is in the order
/// of time.
struct Stream<T> {
    all: Vec<(When, T)>,
    taken: usize,
}

/// What going on brought.
struct Brought {
    from: usize,
    /// Something of it came before what was known, so that all has to be taken in anew.
    anew: bool,
}

impl<T> Stream<T> {
    fn new(mut all: Vec<(When, T)>) -> Stream<T> {
        all.sort_by_key(|(when, _)| when.place);
        Stream { all, taken: 0 }
    }

    fn known(&self) -> &[(When, T)] {
        self.all.get(..self.taken).unwrap_or_default()
    }

    /// Takes in all up to a place in the log; none where nothing came.
    fn go_on(&mut self, place: usize) -> Option<Brought> {
        let ahead = self.all.get(self.taken..).unwrap_or_default();
        let new = ahead.partition_point(|(when, _)| when.place <= place);
        let from = self.taken;
        self.taken += new;
        let began = from.saturating_sub(1);
        let known = self.all.get_mut(..self.taken).unwrap_or_default();
        let anew = !known
            .get(began..)
            .unwrap_or_default()
            .is_sorted_by_key(|(when, _)| *when);
        if anew {
            known.sort_by_key(|(when, _)| *when);
        }
        (new > 0).then_some(Brought { from, anew })
    }

    fn newest(&self) -> Option<DateTime<FixedOffset>> {
        self.known().last().map(|(when, _)| when.at)
    }
}

/// A machine on its way.
struct Metered {
    machine: String,
    readings: Stream<Hours>,
    rate: RateInTime,
}

/// An item on its way.
struct Watched<'a> {
    subject: Subject,
    events: Stream<Event<'a>>,
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

impl Pupil {
    fn begin_anew(&mut self) {
        self.watch = Watch::new(self.dwell.standing());
        self.seen = 0;
    }
}

impl<'a> Passage<'a> {
    fn begin(boat: &Boat, library: &Arc<Library>, history: &'a History) -> Passage<'a> {
        let mut meters = Vec::new();
        let mut machines = HashMap::new();
        for machine in &boat.machines {
            let began = MachineUse {
                meters: history.meter_line(&machine.id),
                ..MachineUse::unread(boat)
            };
            machines.insert(machine.id.clone(), began);
            meters.push(Metered {
                readings: Stream::new(history.readings_in_order(&machine.id)),
                rate: RateInTime::default(),
                machine: machine.id.clone(),
            });
        }
        let library = Arc::clone(library);
        let beginning = DateTime::<chrono::Utc>::MIN_UTC.fixed_offset();
        let mut condition = Condition::begin(boat, library, machines, beginning);
        let looks = condition.looks(history);
        let unasked = condition.unasked(history, &looks);
        let mut subjects = condition.subjects(&condition.library, &looks);
        subjects.extend_from_slice(&unasked);
        let unmetered = |subject: &Subject| {
            let of = |machine: &String| meters.iter().find(|m| m.machine == *machine);
            let of = subject.machine.as_ref().map_or(meters.first(), of);
            of.is_some_and(|m| m.readings.all.is_empty())
        };
        let items = subjects.into_iter().map(|subject| Watched {
            events: Stream::new(events(
                &subject,
                &condition.origin(&subject, &looks, history),
                history,
            )),
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
            owed: owed(&condition, history, &looks),
            unasked,
            unknown,
            history,
            condition,
            meters,
            items,
            newest: beginning,
        }
    }

    /// What is told of a walk at its end, where the passage stands.
    fn told<T>(
        &mut self,
        walk: &Walk,
        end: When,
        told: impl Fn(&Condition, &Walk, Option<Verdict>) -> T,
    ) -> T {
        let resting = self.condition.without_resting(&self.unasked);
        let known = self.history.doubts.iter();
        let known = known.filter_map(|d| d.known_at(end.place)).collect();
        self.condition.doubt(self.history, known, &self.unknown);
        let condition = &mut self.condition;
        let taken_back = condition.stops_taken_back(self.history, &self.owed, end);
        condition.doubts.extend(taken_back);
        self.condition.aged = self.condition.aged(self.history, end);
        self.condition.given_on = self.history.given_on_by(end);
        let then = walk.known_at(end);
        let verdict = verdict(&self.condition, self.history, &then).map(|(verdict, _)| verdict);
        let told = told(&self.condition, &then, verdict);
        self.condition.lives.extend(resting);
        told
    }

    fn go_on(&mut self, to: When) -> Passed {
        self.condition.now = to.at;
        self.run_machines(to);
        self.live(to);
        if self.newest > to.at {
            return Passed::Beyond;
        }
        self.learn(to);
        Passed::There
    }

    fn run_machines(&mut self, to: When) {
        let usual = self.condition.boat.usual_hours_per_month;
        for metered in &mut self.meters {
            // Without a new reading the rate stays as it is.
            let Some(brought) = metered.readings.go_on(to.place) else {
                continue;
            };
            let known = metered.readings.known();
            let Some(machine) = self.condition.machines.get_mut(&metered.machine) else {
                continue;
            };
            let mut from = brought.from;
            if brought.anew {
                from = 0;
                metered.rate = RateInTime::default();
                machine.usage = Usage::new(Vec::new(), 0.0);
                // Hours of times that were fixed may be others now.
                let pupils = self.items.iter_mut().filter_map(|i| i.taught.as_mut());
                pupils.for_each(Pupil::begin_anew);
            }
            let new = known.get(from..).unwrap_or_default();
            for (when, hours) in new {
                metered.rate.put((when.at.date_naive(), *hours));
            }
            machine.rate = metered.rate.now(usual);
            let new: Vec<_> = new.iter().map(|(when, hours)| (when.at, *hours)).collect();
            machine.usage.carry_on(&new, machine.rate.per_day);
            self.newest = self
                .newest
                .max(metered.readings.newest().unwrap_or(self.newest));
        }
    }

    fn live(&mut self, to: When) {
        let condition = &mut self.condition;
        let mut lives = std::mem::take(&mut condition.lives);
        for item in &mut self.items {
            let Some(brought) = item.events.go_on(to.place) else {
                continue;
            };
            self.newest = self.newest.max(item.events.newest().unwrap_or(self.newest));
            let Some(life) = lives.get_mut(&item.subject) else {
                continue;
            };
            let mut from = brought.from;
            if brought.anew {
                from = 0;
                *life = Default::default();
                item.fold = Fold::default();
                item.taught.iter_mut().for_each(Pupil::begin_anew);
            }
            let its = condition.library.catalogue.item(&item.subject.item);
            let beside = Beside {
                subject: &item.subject,
                item: its,
                between_marks: its.and_then(|its| condition.between_marks(&item.subject, its)),
                history: self.history,
                usage: condition.usage(&item.subject),
                state_in: &|walk, phase| condition.state_in(walk, phase),
                stops: &|walk, life| condition.stopped_then(&item.subject, walk, life),
            };
            for (when, event) in item.events.known().get(from..).unwrap_or_default() {
                item.fold.take(life, (when.at, event), beside);
            }
            item.fold.settle(life);
            condition.rest(&item.subject, life, item.events.known(), self.history);
        }
        condition.lives = lives;
    }

    fn learn(&mut self, to: When) {
        let set = self.history.learning.iter();
        let known = |s: &&Stamped<LearningSet>| s.when().is_known_at(to);
        let set: Vec<_> = set.filter(known).cloned().collect();
        let window = Window::of(&set);
        if window != self.condition.learning.window {
            let pupils = self.items.iter_mut().filter_map(|i| i.taught.as_mut());
            pupils.for_each(Pupil::begin_anew);
        }
        let mut learning = Learning::begin(window);
        for item in &mut self.items {
            let usage = self.condition.usage(&item.subject);
            if let Some(pupil) = item
                .taught
                .as_mut()
                .filter(|_| window.state != LearningState::Off)
            {
                let fixed = |at| item.unmetered || usage.is_fixed(at);
                let lesson = pupil.lesson(item.events.known(), usage, window, fixed);
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
    mut at: impl FnMut(When, &Condition),
) {
    let mut ends: Vec<_> = history.walks.iter().filter_map(Walk::ended).collect();
    ends.sort_by_key(|end| end.place);
    let mut passage = Passage::begin(boat, library, history);
    for end in ends {
        if passage.go_on(end) == Passed::There {
            at(end, &passage.condition);
        }
    }
}

impl Pupil {
    /// What these events teach. Those whose running hours stay as they are are taken in for good.
    fn lesson(
        &mut self,
        events: &[(When, Event<'_>)],
        usage: &Usage,
        window: Window,
        is_fixed: impl Fn(DateTime<FixedOffset>) -> bool,
    ) -> Lesson {
        let new = events.get(self.seen..).unwrap_or_default();
        let fixed = new.iter().take_while(|(when, _)| is_fixed(when.at)).count();
        let (for_good, for_now) = new.split_at(fixed);
        let counted = |(when, _): &&(When, Event<'_>)| window.counts(when.at);
        for (when, event) in for_good.iter().filter(counted) {
            self.watch.take(when.at, event, usage);
        }
        self.seen += fixed;
        let mark = self.watch.mark();
        for (when, event) in for_now.iter().filter(counted) {
            self.watch.take(when.at, event, usage);
        }
        let lesson = self.watch.lesson();
        self.watch.back_to(mark);
        lesson
    }
}
