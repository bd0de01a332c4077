//! What is known of the whole boat at a moment: every item's life, every machine's use.

use std::cell::OnceCell;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::acts::{Deferral, Recheck, Until};
use super::behind::own::KnownCauses;
use super::doubt::{Doubt, NotCounted};
use super::falls::{Falling, Falls};
use super::history::{History, LooksBySubject, Stamped};
use super::life::{Defect, Life, State};
use super::own_causes::OwnCauses;
use super::stricter::{Rest, join};
use super::subject::{Named, Subject};
use super::taught::{Learning, Window};
use super::usage::{HoursAt, Usage, Wearing, days};
use super::wait::Wait;
use crate::assess::chance::{Decay, Known, LastLook};
use crate::assess::due::{MeterPace, Moment};
use crate::assess::dwell::{Dwell, Dwells};
use crate::assess::exposure::Exposure;
use crate::assess::rate::{RateOfUse, rate_of_use};
use crate::assess::verdict::Aged;
use crate::boat::{Boat, Hours, MeterLine, Role, Waters};
use crate::checklist::{
    Effect, EffectKind, Grade, Item, Kind, Library, ListAsked, PhaseState, Scope, Signs, WearMark,
};
use crate::walk::{Walk, When};

/// Everything the list, the verdict and the walk ask about, folded once.
#[derive(Clone, Debug)]
pub struct Condition {
    /// The profile.
    pub boat: Boat,
    /// What can be looked at.
    pub library: Arc<Library>,
    /// The moment.
    pub now: DateTime<FixedOffset>,
    /// How fast kinds move down their ladders, after what the boat taught.
    pub dwells: Dwells,
    /// What she taught, and which looks counted for it.
    pub learning: Learning,
    /// What is on record and not counted.
    pub doubts: Vec<Doubt>,
    /// Every item the boat has, whether looked at or not.
    pub lives: BTreeMap<Subject, Life>,
    pub(super) machines: BTreeMap<String, MachineUse>,
    /// What is said of a machine that is named and not known: no reading, the profile's usual use.
    unread: MachineUse,
    /// Effects of items on a machine that does not drive the boat.
    undriven: HashMap<String, Vec<Effect>>,
    /// How long each item may wait, in the order of the lives and by waters, once it was asked: it
    /// does not depend on the exposure, over which the list is ranked again and again.
    pub(super) waits: Vec<WaitsByWaters>,
    /// Items judged by another text than today's, see [`super::asked`].
    pub(super) rests: HashMap<Subject, Rest>,
    /// Looks at levels that are owed at a time or meter reading.
    pub(super) planned: Vec<Stamped<Recheck>>,
    /// What is of an age that nobody knows, or long past, and grave.
    pub(super) aged: Vec<Aged>,
    /// When the history last went to a new owner.
    pub(super) given_on: Option<When>,
    pub(super) falls: Falls,
    /// What is looked at only when findings call for it, of which no answer speaks.
    pub(super) quiet: BTreeMap<Subject, Life>,
    /// What can be behind what is found, once it was asked.
    pub(super) causes: OnceCell<KnownCauses>,
    /// What records say of it, by the order of the log.
    pub(super) own_causes: Vec<Stamped<OwnCauses>>,
}

/// How long an item may wait for its repair and for the next look, by waters.
pub(super) type WaitsByWaters = [OnceCell<[Option<Wait>; 2]>; 4];

/// One machine's hours and rate of use.
#[derive(Clone, Debug)]
pub(super) struct MachineUse {
    pub(super) usage: Usage,
    pub(super) rate: RateOfUse,
    pub(super) meters: MeterLine,
}

/// Time since a look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elapsed {
    /// Running hours and days.
    pub exposure: Exposure,
    /// Running hours plus standing wear.
    pub wear_hours: f64,
    /// True where no meter said the hours.
    pub estimated: bool,
}

impl Condition {
    /// Before any look: nothing learned, no life begun.
    pub(super) fn begin(
        boat: &Boat,
        library: Arc<Library>,
        machines: BTreeMap<String, MachineUse>,
        now: DateTime<FixedOffset>,
    ) -> Condition {
        let mut undriven_effects = HashMap::new();
        if boat.machines.iter().any(|m| m.role == Role::Generator) {
            let items = library.catalogue.items().iter();
            undriven_effects = items
                .map(|i| (i.id.clone(), undriven(&i.effects)))
                .collect();
        }
        Condition {
            boat: boat.clone(),
            library,
            now,
            dwells: Dwells::judgement(),
            learning: Learning::begin(Window::of(&[]), None),
            doubts: Vec::new(),
            lives: BTreeMap::new(),
            machines,
            unread: MachineUse::unread(boat),
            undriven: undriven_effects,
            waits: Vec::new(),
            rests: HashMap::new(),
            planned: Vec::new(),
            aged: Vec::new(),
            given_on: None,
            falls: Falls::default(),
            quiet: BTreeMap::new(),
            causes: OnceCell::new(),
            own_causes: Vec::new(),
        }
    }

    /// The same records on another day, for tests: nothing that was folded hangs on the day.
    #[cfg(test)]
    pub(crate) fn on_day(&mut self, now: DateTime<FixedOffset>) {
        self.now = now;
        self.waits = vec![WaitsByWaters::default(); self.lives.len()];
    }

    /// What is on record and not counted, for an answer to say.
    pub fn not_counted(&self) -> Vec<NotCounted> {
        let doubts = self.doubts.iter().map(|d| &d.told);
        doubts.chain(self.refused_causes()).cloned().collect()
    }

    /// True where something that could make its standing worse is on record of an item and not counted,
    /// such as a stop that was taken back.
    pub fn is_in_doubt(&self, item: &str) -> bool {
        let mut blocking = self.doubts.iter().filter(|d| d.blocks());
        blocking.any(|doubt| doubt.told.item.as_deref() == Some(item))
    }

    /// What is not counted and could still matter: item (empty where it cannot be told) and words.
    pub(super) fn blocking(&self) -> Vec<(String, String)> {
        let blocking = self.doubts.iter().filter(|d| d.blocks());
        let words = |d: &Doubt| (d.told.item.clone().unwrap_or_default(), d.told.why.clone());
        blocking.map(words).collect()
    }

    /// The looks of a history by the items the boat has.
    pub(super) fn looks<'a>(&self, history: &'a History) -> LooksBySubject<'a> {
        history.looks_by_subject(|id| {
            let item = self.library.catalogue.item(id);
            item.is_some_and(|i| i.scope == Scope::Boat)
        })
    }

    /// The kind of an item that goes down its ladder by a chain, with the dwells of judgement while
    /// nothing is learned.
    pub(super) fn chain(&self, subject: &Subject) -> Option<(Kind, Dwell)> {
        let kind = self.library.catalogue.item(&subject.item)?.kind;
        Some((kind, self.dwells.of(kind)?))
    }

    /// The subject an item is on a machine.
    pub fn subject(&self, item: &str, machine: &str) -> Subject {
        Subject {
            item: item.to_owned(),
            machine: self.whose(item, machine).map(str::to_owned),
        }
    }

    /// The machine an item belongs to where it is on one; none for what the boat has once.
    fn whose<'m>(&self, item: &str, machine: &'m str) -> Option<&'m str> {
        let scope = self.library.catalogue.item(item).map(|i| i.scope);
        (scope != Some(Scope::Boat)).then_some(machine)
    }

    /// The life of an item on a machine.
    pub fn life(&self, item: &str, machine: &str) -> Option<&Life> {
        self.life_named(&(item, self.whose(item, machine)))
    }

    /// The life of a subject, where the boat has it: also of what no answer speaks of before findings
    /// call for it.
    pub fn life_of(&self, subject: &Subject) -> Option<&Life> {
        self.life_named(subject)
    }

    fn life_named(&self, named: &dyn Named) -> Option<&Life> {
        let life = self.lives.get(named);
        life.or_else(|| self.quiet.get(named))
    }

    /// The item of a subject as it is judged: as its last look was asked, and the stricter of that
    /// and today's catalogue where they differ.
    pub fn item(&self, subject: &Subject) -> Option<&Item> {
        match self.rests.get(subject) {
            Some(Rest::Stricter(rest)) => Some(&rest.item),
            _ => self.library.catalogue.item(&subject.item),
        }
    }

    /// The checklist of a walk as it was asked.
    pub fn list_of(&self, walk: &Walk) -> Option<ListAsked<'_>> {
        let asked = walk.asked.as_deref();
        self.library.checklist_of(&walk.checklist, asked)
    }

    /// The state of the engine in a phase of a walk as it was asked.
    pub(super) fn state_in(&self, walk: &Walk, phase: &str) -> Option<PhaseState> {
        let asked = walk.asked.as_deref();
        self.library.phase_state_of(&walk.checklist, asked, phase)
    }

    /// Running hours of the machine an item belongs to; for items of the boat, those of her first
    /// machine.
    pub fn usage(&self, subject: &Subject) -> &Usage {
        &self.machine_use(subject.machine.as_deref()).usage
    }

    /// Running hours of a machine in time; of the first machine without a name. A name that is not
    /// known has no readings, here and in what follows.
    pub fn machine_usage(&self, machine: Option<&str>) -> &Usage {
        &self.machine_use(machine).usage
    }

    /// The rate of use of a machine and where it comes from; of the first machine without a name.
    pub fn rate(&self, machine: Option<&str>) -> RateOfUse {
        self.machine_use(machine).rate
    }

    /// How a machine runs on after its last reading; of the first machine without a name.
    pub fn pace(&self, machine: Option<&str>) -> MeterPace {
        let machine = self.machine_use(machine);
        let last = machine.usage.last();
        MeterPace {
            from: last.map(|(at, total)| Moment { at, total }),
            per_day: machine.usage.rate(),
        }
    }

    /// What the meter of a machine shows now, or would show at the rate of use.
    pub fn meter_now(&self, machine: Option<&str>) -> HoursAt {
        let machine = self.machine_use(machine);
        let total = machine.usage.at(self.now);
        let offset = machine.meters.total(Hours::ZERO, self.now).get();
        HoursAt {
            hours: total.hours - offset,
            estimated: total.estimated,
        }
    }

    /// True where something is known of a machine's meter: it is in the profile, or was read.
    pub fn knows_meter(&self, machine: &str) -> bool {
        let mut machines = self.boat.machines.iter();
        machines.any(|m| m.id == machine && m.hours.is_some())
            || self.machine_usage(Some(machine)).last().is_some()
    }

    /// The meters of a machine in time; of the first machine without a name.
    pub fn meters(&self, machine: Option<&str>) -> &MeterLine {
        &self.machine_use(machine).meters
    }

    /// True where a machine (the first without a name) has run, at a time, to what was asked for
    /// in terms of the meter that was in service when it was recorded.
    pub(super) fn has_run_to(
        &self,
        machine: Option<&str>,
        asked: (Hours, DateTime<FixedOffset>),
        at: DateTime<FixedOffset>,
    ) -> bool {
        let machine = self.machine_use(machine);
        let total = machine.meters.total(asked.0, asked.1);
        machine.usage.at(at).hours >= total.get()
    }

    /// Where a defect of a subject stands now: a deferral that has not run out turns open into
    /// deferred.
    pub fn state(&self, subject: &Subject, defect: &Defect) -> State {
        let holds = |d: &Stamped<Deferral>| match d.rec.until {
            Until::Hours(hours) => {
                !self.has_run_to(subject.machine.as_deref(), (hours, d.at), self.now)
            }
            Until::Date(date) => self.now.date_naive() <= date,
        };
        match defect.state {
            State::Open if defect.deferral.as_ref().is_some_and(holds) => State::Deferred,
            state => state,
        }
    }

    /// Hours of a machine. What the boat has once goes by her first machine; a machine that is
    /// named and not known has no reading, and never takes another's.
    fn machine_use(&self, machine: Option<&str>) -> &MachineUse {
        let first = || self.boat.machines.first().map(|m| m.id.as_str());
        let known = machine.or_else(first).and_then(|id| self.machines.get(id));
        known.unwrap_or(&self.unread)
    }

    /// Time since an item was last seen or put right.
    pub fn elapsed(&self, subject: &Subject, since: DateTime<FixedOffset>) -> Elapsed {
        let hours = self.usage(subject).between(since, self.now);
        let exposure = Exposure {
            hours: hours.hours,
            days: days(since, self.now).max(0.0),
        };
        let item = self.item(subject).zip(self.life_of(subject));
        let standing = item.map_or(0.0, |(item, life)| self.decay(item, life).standing());
        Elapsed {
            exposure,
            wear_hours: exposure.wear(standing),
            estimated: hours.estimated,
        }
    }

    /// How an item moves down its ladder: where something rubs on it, at least as fast as a chafe
    /// point.
    pub fn decay(&self, item: &Item, life: &Life) -> Decay {
        let decay = Decay::of(item.kind, &self.dwells, item.look_every_days);
        let chafed = life.status.marks.contains(&WearMark::Chafe);
        match (decay, self.dwells.of(Kind::ChafePoint)) {
            (Decay::Chain(own), Some(chafe)) if chafed => Decay::Chain(own.faster(&chafe)),
            (decay, _) => decay,
        }
    }

    /// What the method knows of an item.
    pub fn known(&self, subject: &Subject, item: &Item, life: &Life) -> Known {
        let falling = self.falling(subject, item, life);
        self.known_beside(subject, item, life, falling.as_ref())
    }

    /// The same beside the fall of a level, where it falls.
    pub(super) fn known_beside(
        &self,
        subject: &Subject,
        item: &Item,
        life: &Life,
        falling: Option<&Falling>,
    ) -> Known {
        let standing = &life.status;
        let last = standing
            .counted()
            .zip(standing.since)
            .map(|(grade, since)| LastLook {
                grade,
                elapsed: self.elapsed(subject, since).exposure,
            });
        Known {
            last,
            past_life: self.past_life(subject, item, life).is_some(),
            decay: self.decay(item, life).falling(falling.map(|f| f.ahead)),
        }
    }

    /// When an item's life ended, if it has one, its fitting is known and the life is over.
    pub fn past_life(
        &self,
        subject: &Subject,
        item: &Item,
        life: &Life,
    ) -> Option<DateTime<FixedOffset>> {
        let (bound, fitted) = item.life.as_ref().zip(life.status.fitted)?;
        let by_months = bound
            .months
            .and_then(|months| fitted.checked_add_months(chrono::Months::new(months)))
            .filter(|end| *end <= self.now);
        let usage = self.usage(subject);
        let run = usage.between(fitted, self.now).hours;
        let over = bound.hours.map(f64::from).filter(|hours| run >= *hours);
        let running = Wearing {
            usage,
            standing: 0.0,
        };
        let by_hours = over.map(|hours| running.reached(fitted, hours).unwrap_or(self.now));
        by_months.into_iter().chain(by_hours).min()
    }

    /// What follows when an item fails on its machine: a generator takes charging away where an
    /// engine takes propulsion, and no control of the boat. Rating, worst severity and the stop
    /// rungs that no catalogue names all ask here, so that no row stops for what it leaves out.
    pub fn effects<'a>(&'a self, subject: &Subject, item: &'a Item) -> &'a [Effect] {
        if !self.is_of_a_generator(subject) {
            return &item.effects;
        }
        match self.rests.get(subject) {
            Some(Rest::Stricter(rest)) => &rest.undriven,
            _ => self.undriven.get(&item.id).unwrap_or(&item.effects),
        }
    }

    /// True where the history was given on with the boat.
    pub fn is_given_on(&self) -> bool {
        self.given_on.is_some()
    }

    /// True for a walk of before the boat was given on.
    pub fn is_former(&self, walk: &Walk) -> bool {
        self.given_on.is_some_and(|given| walk.place < given.place)
    }

    /// True where the boat has a machine of this id, or records name it beside her profile.
    pub fn has_machine(&self, id: &str) -> bool {
        self.boat.machines.iter().any(|m| m.id == id)
    }

    /// True for an item of a machine that makes current and does not drive the boat.
    pub(super) fn is_of_a_generator(&self, subject: &Subject) -> bool {
        let machine = subject.machine.as_deref();
        machine.is_some_and(|id| self.role(id) == Role::Generator)
    }

    /// The grade that counts: past its life an item counts as worn at best.
    pub fn counted_grade(&self, subject: &Subject, item: &Item, life: &Life) -> Option<Grade> {
        let grade = life.status.counted()?;
        let over = self.past_life(subject, item, life).is_some();
        Some(if over { grade.max(Grade::Worn) } else { grade })
    }

    /// The exposure that decides the verdict.
    pub fn day_ahead(&self) -> Exposure {
        Exposure {
            hours: self.boat.day_ahead.hours,
            days: self.boat.day_ahead.days,
        }
    }

    /// The exposure of hours and days, either following from the other at the rate of use of a
    /// machine (the first one without a name); the usual plan where neither is given.
    pub fn exposure(
        &self,
        hours: Option<f64>,
        days: Option<f64>,
        machine: Option<&str>,
    ) -> Exposure {
        let rate = self.rate(machine).per_day;
        match (hours, days) {
            (Some(hours), Some(days)) => Exposure { hours, days },
            (Some(hours), None) => Exposure::from_hours(hours, rate),
            (None, Some(days)) => Exposure::from_days(days, rate),
            (None, None) => Exposure::usual_plan(rate),
        }
    }

    /// The exposure that ranks the list unless another is asked: 50 h and the days that takes, at
    /// least 30, in the boat's own waters.
    pub fn usual_plan(&self) -> (Exposure, Waters) {
        (
            Exposure::usual_plan(self.rate(None).per_day),
            self.boat.waters,
        )
    }
}

/// Positions of the looks at a subject.
pub(super) fn looks_at<'a>(
    looks: &'a LooksBySubject<'a>,
    subject: &'a Subject,
) -> &'a [(usize, usize)] {
    let key = (subject.item.as_str(), subject.machine.as_deref());
    looks.get(&key).map_or(&[][..], Vec::as_slice)
}

/// What an item shows beside its rung.
pub(super) fn signs(item: &Item, life: &Life) -> Signs {
    Signs {
        fluid: life.status.leak.and(item.fluid),
        marks: life.status.marks.clone(),
    }
}

/// The effects of an item where its machine does not drive the boat.
pub(super) fn undriven(effects: &[Effect]) -> Vec<Effect> {
    let mut own: Vec<Effect> = Vec::with_capacity(effects.len());
    for effect in effects {
        let kind = match effect.effect {
            EffectKind::LossOfControl => continue,
            EffectKind::LossOfPropulsion => EffectKind::LossOfStarting,
            kind => kind,
        };
        join(
            &mut own,
            &Effect {
                effect: kind,
                ..effect.clone()
            },
        );
    }
    own
}

impl MachineUse {
    /// Of a machine without any reading: the profile's usual hours.
    pub(super) fn unread(boat: &Boat) -> MachineUse {
        let rate = rate_of_use(&[], boat.usual_hours_per_month);
        MachineUse {
            usage: Usage::new(Vec::new(), rate.per_day),
            rate,
            meters: MeterLine::default(),
        }
    }

    pub(super) fn of(
        machine: &str,
        boat: &Boat,
        history: &History,
        now: DateTime<FixedOffset>,
    ) -> MachineUse {
        let readings = history.hour_readings(machine);
        // What is dated ahead is not known yet.
        let known = readings.iter().filter(|(at, _)| *at <= now);
        let dated: Vec<_> = known.map(|(at, hours)| (at.date_naive(), *hours)).collect();
        let rate = rate_of_use(&dated, boat.usual_hours_per_month);
        MachineUse {
            usage: Usage::new(readings, rate.per_day),
            rate,
            meters: history.meter_line(machine),
        }
    }
}
