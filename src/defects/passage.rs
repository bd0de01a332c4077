//! A condition on its way through a history, in the order of the log: it stops where it is asked, and
//! says there what a fold of all that was known by then would (`tests/verdicts`).

use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::asked::unknown;
use super::condition::{Condition, MachineUse};
use super::doubt::Doubt;
use super::events::{Beside, Event, Fold, Held, Origin, events};
use super::history::{History, Stamped};
use super::learning_set::{LearningSet, LearningState};
use super::life::Life;
use super::stopped::{StopTakenBack, owed};
use super::subject::Subject;
use super::taught::{Learning, Window, in_force};
use super::usage::Usage;
use super::watch::{Lesson, Watch};
use crate::assess::dwell::{Dwell, Dwells};
use crate::assess::rate::RateInTime;
use crate::boat::{Boat, Hours};
use crate::checklist::{Kind, Library};
use crate::walk::{TimedLook, When};

/// A condition on its way through a history.
pub(super) struct Passage<'a> {
    pub(super) condition: Condition,
    meters: Vec<Metered>,
    items: Vec<Watched<'a>>,
    /// Items that no role asks for and records name.
    pub(super) unasked: Vec<Subject>,
    /// Ids of items split off another that were looked at with it when both were one, and of that other:
    /// what is done about one is told of both.
    pub(super) joined: HashSet<String>,
    /// The newest time of all taken in.
    newest: DateTime<FixedOffset>,
    /// What no text here describes, with the time from which it matters.
    unknown: Vec<(DateTime<FixedOffset>, Doubt)>,
    /// Looks that were taken back, which may be owed a look.
    owed: Vec<StopTakenBack<'a>>,
    /// Lives of which no answer speaks where the passage stands.
    resting: Vec<(Subject, Life)>,
}

/// Where a passage stands after it went on.
#[derive(PartialEq)]
pub(super) enum Passed {
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
    /// Before all that is on record. What happened is held as `held` makes it; see [`Passage::owe`].
    pub(super) fn begin<'h>(
        boat: &Boat,
        library: &Arc<Library>,
        history: &'h History,
        held: fn(Event<'h>) -> Event<'a>,
    ) -> Passage<'a> {
        let mut meters = Vec::new();
        let mut machines = BTreeMap::new();
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
        let mut joined = HashSet::new();
        let items = subjects.into_iter().map(|subject| Watched {
            events: Stream::new({
                let origin = condition.origin(&subject, &looks, history);
                if let Some((was, _)) = &origin.part_of {
                    joined.extend([was.item.clone(), subject.item.clone()]);
                }
                let events = events(&subject, &origin, history).into_iter();
                events.map(|(when, event)| (when, held(event))).collect()
            }),
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
            owed: Vec::new(),
            resting: Vec::new(),
            unasked,
            joined,
            unknown,
            condition,
            meters,
            items,
            newest: beginning,
        }
    }

    /// Places of the items on their way.
    pub(super) fn places(&self) -> HashMap<Subject, usize> {
        let items = self.items.iter().enumerate();
        items.map(|(n, item)| (item.subject.clone(), n)).collect()
    }

    /// Takes in what a meter showed by a new record; false where that makes more than one reading of
    /// what was none, or the machine is not hers.
    pub(super) fn read(
        &mut self,
        machine: &str,
        when: When,
        hours: Hours,
        history: &History,
    ) -> bool {
        let mut meters = self.meters.iter_mut();
        let Some(metered) = meters.find(|m| m.machine == machine) else {
            return false;
        };
        let total = history.meter_line(machine).total(hours, when.at);
        let was_unread = metered.readings.all.is_empty();
        metered.readings.all.push((when, total));
        !was_unread
    }

    /// Takes in a new look at the item at a place, made in the walk at another.
    pub(super) fn see(&mut self, item: usize, walk: usize, timed: &TimedLook) {
        if let Some(item) = self.items.get_mut(item) {
            let event = Event::Look(walk, Held::Kept(Arc::new(timed.clone())));
            item.events.all.push((timed.when(), event));
        }
    }

    /// Minds the stops that were taken back or put right.
    pub(super) fn owe(mut self, history: &'a History) -> Passage<'a> {
        if !history.taken_back.is_empty() {
            let looks = self.condition.looks(history);
            self.owed = owed(&self.condition, history, &looks);
        }
        self
    }

    /// Settles what no event says where the passage stands.
    pub(super) fn settle(&mut self, history: &History, here: When) {
        self.resting = self.condition.without_resting(&self.unasked);
        let known = history.doubts.iter();
        let known = known.filter_map(|d| d.known_at(here.place)).collect();
        self.condition.doubt(history, known, &self.unknown);
        let taken_back = self.condition.stops_taken_back(history, &self.owed, here);
        self.condition.doubts.extend(taken_back);
        self.condition.aged = self.condition.aged(history, here);
        self.condition.given_on = history.given_on_by(here);
        self.condition.take_causes(history);
    }

    /// Goes on to a moment.
    pub(super) fn go_on(&mut self, history: &History, to: When) -> Passed {
        self.condition
            .lives
            .extend(std::mem::take(&mut self.resting));
        self.condition.now = to.at;
        self.run_machines(to);
        self.live(history, to);
        if self.newest > to.at {
            return Passed::Beyond;
        }
        self.learn(history, to);
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
                for item in &mut self.items {
                    item.fold.may_shift = true;
                    item.taught.iter_mut().for_each(Pupil::begin_anew);
                }
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

    fn live(&mut self, history: &History, to: When) {
        let condition = &mut self.condition;
        let mut lives = std::mem::take(&mut condition.lives);
        for item in &mut self.items {
            let shifts = item.fold.may_shift;
            let brought = item.events.go_on(to.place);
            let from = brought.map(|brought| (brought.from, brought.anew || shifts));
            let Some((mut from, anew)) = from.or(shifts.then_some((0, true))) else {
                continue;
            };
            self.newest = self.newest.max(item.events.newest().unwrap_or(self.newest));
            let Some(life) = lives.get_mut(&item.subject) else {
                continue;
            };
            if anew {
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
                history,
                usage: condition.usage(&item.subject),
                state_in: &|walk, phase| condition.state_in(walk, phase),
                stops: &|walk, life| condition.stopped_then(&item.subject, walk, life),
            };
            for (when, event) in item.events.known().get(from..).unwrap_or_default() {
                item.fold.take(life, (when.at, event), beside);
            }
            item.fold.settle(life);
            condition.rest(&item.subject, life, item.events.known(), history);
        }
        condition.lives = lives;
    }

    fn learn(&mut self, history: &History, to: When) {
        let set = history.learning.iter();
        let known = |s: &&Stamped<LearningSet>| s.when().is_known_at(to);
        let set: Vec<_> = set.filter(known).cloned().collect();
        let window = Window::of(&set);
        if window != self.condition.learning.window {
            let pupils = self.items.iter_mut().filter_map(|i| i.taught.as_mut());
            pupils.for_each(Pupil::begin_anew);
        }
        let taken = history.learning_starts.iter();
        let taken: Vec<_> = taken
            .filter(|s| s.when().is_known_at(to))
            .cloned()
            .collect();
        let mut learning = Learning::begin(window, in_force(&taken));
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

impl Passage<'static> {
    /// Tells the life of the item at a place anew, of which something new is known beside the looks.
    pub(super) fn tell_anew(&mut self, item: usize, known: &History) {
        let Some(item) = self.items.get_mut(item) else {
            return;
        };
        let told = std::mem::take(&mut item.events.all).into_iter();
        let mut all: Vec<_> = told
            .filter(|(_, event)| matches!(event, Event::Look(..)))
            .collect();
        let acts = events(&item.subject, &Origin::own(&[]), known);
        all.extend(acts.into_iter().map(|(when, event)| (when, event.kept())));
        item.events = Stream::new(all);
        item.fold.may_shift = true;
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
