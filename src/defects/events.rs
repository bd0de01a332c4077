//! What happened to an item in the order of time, and a life taken through it.

use std::borrow::Cow;
use std::ops::Deref;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::acts::{Deferral, Opened, Override, Repair};
use super::dips::{Course, HIGH_MARK, Moment, filled_first};
use super::history::{Done, History, Stamped};
use super::life::{Filled, Life, Patch, ReadingTaken, Rise, SetByHand};
use super::subject::Subject;
use super::usage::Usage;
use crate::checklist::{Fluid, Grade, Item, Kind, Leak, PhaseState, Place, Reading};
use crate::text::safe_line;
use crate::walk::{Better, TimedLook, Walk, When};

/// What happened to an item.
pub(super) enum Event<'a> {
    Look(usize, Held<'a, TimedLook>),
    Done(Done),
    /// A temporary repair.
    Patched(Held<'a, Stamped<Repair>>),
    Withdrawal(Cow<'a, str>),
    Removed,
    /// Fitted then, as it is remembered: it tells an age and mends nothing.
    Remembered,
    Deferral(Held<'a, Stamped<Deferral>>),
    Override(Held<'a, Override>),
    /// Something of it was left open, or what has this id was put back: no defect, and teaches
    /// nothing.
    Opened(Held<'a, Stamped<Opened>>),
    Closed(Cow<'a, str>),
    /// What has this id was told put back, by whom.
    ToldBack(Cow<'a, str>, Cow<'a, str>),
    /// The boat was given on.
    GivenOn,
}

impl Event<'_> {
    /// The same, whatever becomes of the history.
    pub(super) fn kept(self) -> Event<'static> {
        let text = |text: Cow<'_, str>| Cow::Owned(text.into_owned());
        match self {
            Event::Look(walk, timed) => Event::Look(walk, timed.kept()),
            Event::Done(done) => Event::Done(done),
            Event::Patched(repair) => Event::Patched(repair.kept()),
            Event::Withdrawal(why) => Event::Withdrawal(text(why)),
            Event::Removed => Event::Removed,
            Event::Remembered => Event::Remembered,
            Event::Deferral(deferral) => Event::Deferral(deferral.kept()),
            Event::Override(set) => Event::Override(set.kept()),
            Event::Opened(opened) => Event::Opened(opened.kept()),
            Event::Closed(of) => Event::Closed(text(of)),
            Event::ToldBack(of, by) => Event::ToldBack(text(of), text(by)),
            Event::GivenOn => Event::GivenOn,
        }
    }
}

/// What a history lends, or what is kept of one that grows.
#[derive(Clone)]
pub(super) enum Held<'a, T> {
    Lent(&'a T),
    Kept(Arc<T>),
}

impl<T: Clone> Held<'_, T> {
    fn kept(self) -> Held<'static, T> {
        match self {
            Held::Lent(lent) => Held::Kept(Arc::new(lent.clone())),
            Held::Kept(kept) => Held::Kept(kept),
        }
    }
}

impl<T> Deref for Held<'_, T> {
    type Target = T;

    fn deref(&self) -> &T {
        match self {
            Held::Lent(lent) => lent,
            Held::Kept(kept) => kept,
        }
    }
}

/// Positions of the looks that speak of a subject, and what it was part of when some were made:
/// until what was split off is looked at by itself it stands where the old item stood when both were
/// one, by the words they had then, so that no stop is lost by a split.
pub(super) struct Origin<'l> {
    pub(super) looks: Cow<'l, [(usize, usize)]>,
    /// What it was part of, and the first look at it by itself.
    pub(super) part_of: Option<(Subject, Option<When>)>,
}

impl<'l> Origin<'l> {
    /// Of what was always an item of its own.
    pub(super) fn own(looks: &'l [(usize, usize)]) -> Origin<'l> {
        Origin {
            looks: Cow::Borrowed(looks),
            part_of: None,
        }
    }
}

/// Everything that happened to a subject, in the order of the record, with what happened to the
/// item it was part of while it was.
pub(super) fn events<'a>(
    subject: &Subject,
    origin: &Origin<'_>,
    history: &'a History,
) -> Vec<(When, Event<'a>)> {
    let mut events: Vec<(When, Event)> = Vec::with_capacity(origin.looks.len() + 4);
    for &(w, l) in &*origin.looks {
        if let Some(timed) = history.walks.get(w).and_then(|walk| walk.looks.get(l)) {
            events.push((timed.when(), Event::Look(w, Held::Lent(timed))));
        }
    }
    if let Some((was, until)) = &origin.part_of {
        let together = |(when, _): &(When, Event)| until.is_none_or(|until| *when < until);
        events.extend(acts(was, history).into_iter().filter(together));
    }
    events.extend(acts(subject, history));
    let given_on = history.given_on.iter();
    events.extend(given_on.map(|given| (given.when(), Event::GivenOn)));
    for (opened, put_back) in history.opened(subject) {
        events.push((opened.when(), Event::Opened(Held::Lent(opened))));
        let closed = |when| (when, Event::Closed(opened.id.as_str().into()));
        events.extend(put_back.map(closed));
        let told = history.told_back(opened);
        let told = told.map(|(when, by)| {
            let of = opened.id.as_str().into();
            (when, Event::ToldBack(of, by.into()))
        });
        events.extend(told);
    }
    events.sort_by_key(|(when, _)| *when);
    events
}

/// What was done about a subject, in no order.
fn acts<'a>(subject: &Subject, history: &'a History) -> Vec<(When, Event<'a>)> {
    fn mine<'a, T>(
        all: &'a [Stamped<T>],
        subject: &Subject,
        of: impl Fn(&T) -> (&String, &Option<String>),
    ) -> impl Iterator<Item = &'a Stamped<T>> {
        all.iter()
            .filter(move |s| of(&s.rec) == (&subject.item, &subject.machine))
    }
    let done = history.done(subject);
    let mut events: Vec<_> = done.map(|(when, done)| (when, Event::Done(done))).collect();
    let repairs = mine(&history.repairs, subject, |r| (&r.item, &r.machine));
    let patches = repairs.filter(|s| s.rec.temporary.is_some());
    events.extend(patches.map(|s| (s.when(), Event::Patched(Held::Lent(s)))));
    let withdrawals = mine(&history.withdrawals, subject, |r| (&r.item, &r.machine));
    events.extend(withdrawals.map(|s| (s.when(), Event::Withdrawal(s.rec.why.as_str().into()))));
    let removed = mine(&history.removed, subject, |r| (&r.item, &r.machine));
    events.extend(removed.map(|s| (s.when(), Event::Removed)));
    let remembered = history.remembered(subject);
    events.extend(remembered.map(|when| (when, Event::Remembered)));
    let deferrals = mine(&history.deferrals, subject, |r| (&r.item, &r.machine));
    events.extend(deferrals.map(|s| (s.when(), Event::Deferral(Held::Lent(s)))));
    let overrides = mine(&history.overrides, subject, |r| (&r.item, &r.machine));
    events.extend(overrides.map(|s| (s.when(), Event::Override(Held::Lent(&s.rec)))));
    events
}

/// What a life is told beside.
#[derive(Clone, Copy)]
pub(super) struct Beside<'a> {
    /// Whose life it is.
    pub(super) subject: &'a Subject,
    /// As the catalogue has it.
    pub(super) item: Option<&'a Item>,
    /// Litres between the marks of a level, where they are known.
    pub(super) between_marks: Option<f64>,
    /// All that is on record.
    pub(super) history: &'a History,
    /// The running hours of its machine.
    pub(super) usage: &'a Usage,
    /// The state of the engine in a phase of a walk.
    pub(super) state_in: &'a dyn Fn(&Walk, &str) -> Option<PhaseState>,
    /// True where what was seen of it in a walk forbids running.
    pub(super) stops: &'a dyn Fn(Option<&Walk>, &Life) -> bool,
}

/// A life on its way through its events.
#[derive(Default)]
pub(super) struct Fold<'a> {
    last_walk: Option<usize>,
    topped_up: bool,
    levels: Levels,
    counted: Option<Held<'a, TimedLook>>,
    /// What was told goes by running hours that a later reading may shift: with one it is told anew.
    pub(super) may_shift: bool,
}

impl<'a> Fold<'a> {
    /// Takes in the next event, see [`Life::fold`].
    pub(super) fn take(
        &mut self,
        life: &mut Life,
        (at, event): (DateTime<FixedOffset>, &Event<'a>),
        beside: Beside<'_>,
    ) {
        match event {
            Event::Look(walk, held) => {
                let (walk, timed): (usize, &TimedLook) = (*walk, held);
                let Some(grade) = timed.look.grade() else {
                    return;
                };
                // A record changed outside lifts nothing, nor does a guest: it counts where it is worse.
                if !timed.lifts() && !worsens(life, grade, timed) {
                    // What a guest filled is in there, unless a level stands risen by it.
                    let filled = timed.verified && timed.look.added.is_some();
                    if filled && life.status.rise.is_none() {
                        self.level(life, walk, timed, at, beside);
                    }
                    return;
                }
                // As last time is what stood, and betters nothing that its maker did not know of.
                if timed.look.as_last_time && betters(life, grade, timed) {
                    return;
                }
                // What is looked at is there, whatever was said of its removal.
                life.status.removed = false;
                let grade = match life.status.grade {
                    Some(known) if !timed.lifts() => grade.max(known),
                    _ => grade,
                };
                let better = timed.look.better.filter(|_| timed.lifts());
                // What lives by a temporary repair is mended by a lasting one on record alone.
                if better == Some(Better::Repaired) && life.status.patch.is_none() {
                    life.repair(at);
                }
                if better.is_some() {
                    self.levels = Levels::default();
                    life.status.course = Course::default();
                }
                let restart = self.topped_up || life.status.unconfirmed || better.is_some();
                self.topped_up = timed.look.added.is_some();
                self.level(life, walk, timed, at, beside);
                if let Some(measure) = timed.look.reading {
                    let phase = timed.look.phase.clone();
                    life.status.readings.push(ReadingTaken {
                        at,
                        phase,
                        measure,
                        grade,
                    });
                }
                // Within one walk the worst look since the last restart counts.
                let worst = life.status.grade.filter(|_| self.last_walk == Some(walk));
                let again = self.last_walk == Some(walk);
                life.status.as_last_time = match timed.look.as_last_time {
                    true => life.status.as_last_time + u32::from(!again),
                    false => 0,
                };
                self.last_walk = Some(walk);
                let counts = restart || worst.is_none_or(|worst| grade >= worst);
                let counted = worst.filter(|_| !counts).unwrap_or(grade);
                life.seen(at, counted, timed.look.too_soon);
                if counts {
                    self.may_shift |= life.goes_by_open_hours(at, timed, beside.usage);
                    life.look(at, grade, timed, beside.usage);
                    self.counted = Some(held.clone());
                }
            }
            Event::Done(Done::Repaired) => {
                self.levels = Levels::default();
                life.repair(at);
            }
            Event::Patched(repair) => {
                self.levels = Levels::default();
                self.patch(life, at, repair, beside);
            }
            // Told by the repair itself.
            Event::Done(Done::Patched) => {}
            // What is patched is mended by a lasting repair alone; this is refused.
            Event::Withdrawal(_) if life.status.patch.is_some() => {}
            // Both are refused under a stop; where they come by a merge they lift none either.
            Event::Withdrawal(why) if self.stops(life, beside) => {
                life.status.kept_stop = Some(format!("withdrawn ({})", safe_line(why)));
            }
            Event::Removed if self.stops(life, beside) => {
                life.status.kept_stop = Some("taken out of the boat".to_owned());
            }
            Event::Withdrawal(why) => life.close(why),
            Event::Removed => {
                life.status.patch = None;
                life.close("taken out of the boat");
                life.status.removed = true;
            }
            Event::Deferral(deferral) => {
                if let Some(open) = life.open() {
                    open.deferral = Some(Stamped::clone(deferral));
                }
            }
            Event::Override(o) => {
                let lifts = o.severity.is_none() && o.level.is_none();
                let set = SetByHand::at(o, &life.status);
                life.status.overridden = Some(set).filter(|_| !lifts);
            }
            Event::Opened(opened) => life.status.leave_open(Stamped::clone(opened)),
            Event::GivenOn => life.give_on(),
            Event::Closed(of) => life.status.left_open.retain(|left| left.opened.id != **of),
            Event::ToldBack(of, by) => life.status.told_back(of, by),
            Event::Remembered => life.status.fitted = Some(at),
            Event::Done(Done::Fitted) => {
                life.status.removed = false;
                life.status.fitted = Some(at);
            }
            Event::Done(Done::Renewed) => {
                self.levels = Levels::default();
                life.repair(at);
                life.status.removed = false;
                life.status.fitted = Some(at);
            }
            // A finding stays until somebody looks: fresh oil mends no leak.
            Event::Done(Done::Restarted) => {
                self.levels = Levels::default();
                life.status.course = Course::default();
                life.status.readings.clear();
            }
        }
    }

    /// A temporary repair. Where what leaks can burn, choke or sink, it lifts no stop.
    fn patch(
        &self,
        life: &mut Life,
        at: DateTime<FixedOffset>,
        repair: &Stamped<Repair>,
        beside: Beside<'_>,
    ) {
        let Some(until) = repair.rec.temporary.clone() else {
            return;
        };
        let lifts_none = beside.item.is_some_and(is_no_place_for_a_patch);
        let stop = life.status.patch.as_ref().and_then(|p| p.stop);
        let stop = stop.or_else(|| {
            let seen = (life.status.grade?, life.status.leak);
            (lifts_none && self.stops(life, beside)).then_some(seen)
        });
        life.patch(Patch { at, until, stop });
    }

    /// Takes in what a look says of a level: its reading, and what was filled in, in the order in
    /// which they were done.
    fn level(
        &mut self,
        life: &mut Life,
        walk: usize,
        timed: &TimedLook,
        at: DateTime<FixedOffset>,
        beside: Beside<'_>,
    ) {
        if timed.look.reading.is_none() && timed.look.added.is_none() {
            life.status.rise = self.levels.rise();
            return;
        }
        let Beside { subject, item, .. } = beside;
        let walk = beside.history.walks.get(walk);
        let phase = walk.zip(timed.look.phase.as_deref());
        let state = phase.and_then(|(w, p)| (beside.state_in)(w, p));
        let marks = beside.between_marks;
        let added = timed.look.added.map(|added| added.litres());
        let raises = added
            .zip(marks)
            .map(|(added, marks)| HIGH_MARK * added / marks);
        let value = timed.look.reading.map(|m| m.unit().to_base(m.value()));
        let error = item
            .and_then(|i| i.reading.as_ref())
            .map_or(0.0, Reading::error);
        let first = added.is_some()
            && value.is_some_and(|v| filled_first(self.levels.last(state), v, raises, error));
        let course = item.filter(|i| i.is_between_marks() && timed.verified);
        let mut course = course.map(|_| &mut life.status.course);
        let levels = &mut self.levels;
        let fill = |levels: &mut Levels, course: &mut Option<&mut Course>| {
            let Some(added) = added else { return };
            levels.fill(raises);
            match course {
                Some(course) if timed.look.guest => course.fill_by_guest(at, added),
                Some(course) => course.fill(at, added),
                None => {}
            }
        };
        if first {
            fill(levels, &mut course);
        }
        if let Some(value) = value {
            levels.read(state, value);
            let own = |w: &&Walk| subject.machine.as_ref().is_none_or(|m| *m == w.machine);
            let meter = walk.filter(own).and_then(|w| Some((w.hours?, w.at)));
            if let Some(course) = course.as_mut().filter(|_| timed.lifts()) {
                course.read(Moment { at, meter, state }, value);
            }
        }
        life.status.rise = levels.rise();
        if !first {
            fill(levels, &mut course);
        }
    }

    /// True where what counts so far forbids running.
    fn stops(&self, life: &Life, beside: Beside<'_>) -> bool {
        let walk = self.last_walk.and_then(|w| beside.history.walks.get(w));
        (beside.stops)(walk, life) || life.status.patch.as_ref().is_some_and(|p| p.stop.is_some())
    }

    /// Names the look behind the standing.
    pub(super) fn settle(&self, life: &mut Life) {
        life.status.look = self.counted.as_deref().cloned();
    }
}

/// True for fuel, exhaust, and hoses below the waterline.
fn is_no_place_for_a_patch(item: &Item) -> bool {
    matches!(item.fluid, Some(Fluid::Fuel | Fluid::ExhaustGas))
        || item.kind == Kind::ExhaustPart
        || item.kind == Kind::Hose && item.place == Some(Place::BelowWaterline)
}

/// True where a look makes an item stand worse than it does.
fn worsens(life: &Life, grade: Grade, timed: &TimedLook) -> bool {
    let standing = &life.status;
    standing.grade.is_none_or(|known| grade > known)
        || timed.look.leak.filter(|l| *l != Leak::None) > standing.leak
}

/// True where a look makes an item stand better than it does.
fn betters(life: &Life, grade: Grade, timed: &TimedLook) -> bool {
    let standing = &life.status;
    standing.grade.is_some_and(|known| grade < known)
        || timed.look.leak.filter(|l| *l != Leak::None) < standing.leak
}

/// Level readings since something was last put right, by state of the engine.
#[derive(Default)]
struct Levels(Vec<LevelIn>);

struct LevelIn {
    state: Option<PhaseState>,
    /// What a rise is measured from: the lowest reading, or what the last one became by a filling.
    from: f64,
    last: f64,
    filled: Filled,
    /// Nobody read it since it was filled.
    is_unread: bool,
}

impl Levels {
    /// The last reading in a state, with what is known to have been filled in since.
    fn last(&self, state: Option<PhaseState>) -> Option<f64> {
        let level = self.0.iter().find(|l| l.state == state);
        level.map(|l| l.last)
    }

    fn read(&mut self, state: Option<PhaseState>, value: f64) {
        match self.0.iter_mut().find(|l| l.state == state) {
            Some(level) => level.read(value),
            None => self.0.push(LevelIn {
                state,
                from: value,
                last: value,
                filled: Filled::Nothing,
                is_unread: false,
            }),
        }
    }

    /// Something was filled in that raises the level by so much, where that is known.
    fn fill(&mut self, raises: Option<f64>) {
        for level in &mut self.0 {
            level.last += raises.unwrap_or(0.0);
            level.from = level.last;
            level.is_unread = true;
            level.filled = match raises {
                Some(_) if level.filled != Filled::Unknown => Filled::Known,
                _ => Filled::Unknown,
            };
        }
    }

    /// The greatest rise; one of which it is not known what made it only where there is no other.
    fn rise(&self) -> Option<Rise> {
        let rises = self.0.iter().map(|l| Rise {
            by: l.last - l.from,
            filled: l.filled,
        });
        let known = |r: &Rise| r.filled != Filled::Unknown;
        rises
            .filter(|r| r.by > 0.0)
            .max_by(|a, b| known(a).cmp(&known(b)).then(a.by.total_cmp(&b.by)))
    }
}

impl LevelIn {
    fn read(&mut self, value: f64) {
        // What was read after a filling by an unknown amount is where the next rise begins.
        if self.filled == Filled::Unknown && !self.is_unread {
            self.from = self.last;
            self.filled = Filled::Nothing;
        }
        self.is_unread = false;
        self.from = self.from.min(value);
        self.last = value;
    }
}
