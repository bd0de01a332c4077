//! What happened to an item in the order of time, and a life taken through it.

use chrono::{DateTime, FixedOffset};

use super::acts::{Deferral, Override};
use super::history::{Done, History, Stamped};
use super::life::{Life, ReadingTaken};
use super::subject::Subject;
use super::usage::Usage;
use crate::boat::Measure;
use crate::checklist::{Grade, Leak, PhaseState};
use crate::text::safe_line;
use crate::walk::{Better, TimedLook, Walk, When};

/// What happened to an item.
pub(super) enum Event<'a> {
    Look(usize, &'a TimedLook),
    Done(Done),
    Withdrawal(&'a str),
    Removed,
    Deferral(&'a Stamped<Deferral>),
    Override(&'a Override),
}

/// Everything that happened to a subject, in the order of the record; `looks` are positions of its
/// looks in the history.
pub(super) fn events<'a>(
    subject: &Subject,
    looks: &[(usize, usize)],
    history: &'a History,
) -> Vec<(When, Event<'a>)> {
    fn mine<'a, T>(
        all: &'a [Stamped<T>],
        subject: &Subject,
        of: impl Fn(&T) -> (&String, &Option<String>),
    ) -> impl Iterator<Item = &'a Stamped<T>> {
        all.iter()
            .filter(move |s| of(&s.rec) == (&subject.item, &subject.machine))
    }
    let mut events: Vec<(When, Event)> = Vec::with_capacity(looks.len() + 4);
    for &(w, l) in looks {
        if let Some(timed) = history.walks.get(w).and_then(|walk| walk.looks.get(l)) {
            events.push((timed.when(), Event::Look(w, timed)));
        }
    }
    let done = history.done(subject);
    events.extend(done.map(|(when, done)| (when, Event::Done(done))));
    let withdrawals = mine(&history.withdrawals, subject, |r| (&r.item, &r.machine));
    events.extend(withdrawals.map(|s| (s.when(), Event::Withdrawal(&s.rec.why))));
    let removed = mine(&history.removed, subject, |r| (&r.item, &r.machine));
    events.extend(removed.map(|s| (s.when(), Event::Removed)));
    let deferrals = mine(&history.deferrals, subject, |r| (&r.item, &r.machine));
    events.extend(deferrals.map(|s| (s.when(), Event::Deferral(s))));
    let overrides = mine(&history.overrides, subject, |r| (&r.item, &r.machine));
    events.extend(overrides.map(|s| (s.when(), Event::Override(&s.rec))));
    events.sort_by_key(|(when, _)| *when);
    events
}

/// What a life is told beside.
#[derive(Clone, Copy)]
pub(super) struct Beside<'a> {
    /// All that is on record.
    pub(super) history: &'a History,
    /// The running hours of its machine.
    pub(super) usage: &'a Usage,
    /// The state of the engine in a phase of a walk.
    pub(super) state_in: &'a dyn Fn(&Walk, &str) -> Option<PhaseState>,
    /// True where what was seen of it in a walk forbids running.
    pub(super) stops: &'a dyn Fn(Option<&Walk>, Seen) -> bool,
}

/// A rung and how much came out.
pub(super) type Seen = (Grade, Option<Leak>);

/// A life on its way through its events.
#[derive(Default)]
pub(super) struct Fold<'a> {
    last_walk: Option<usize>,
    topped_up: bool,
    levels: Levels,
    counted: Option<&'a TimedLook>,
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
            &Event::Look(walk, timed) => {
                let Some(grade) = timed.look.grade() else {
                    return;
                };
                // A record changed outside lifts nothing: it counts where it is worse.
                if !timed.verified && !worsens(life, grade, timed) {
                    return;
                }
                // What is looked at is there, whatever was said of its removal.
                life.status.removed = false;
                let grade = match life.status.grade {
                    Some(known) if !timed.verified => grade.max(known),
                    _ => grade,
                };
                let better = timed.look.better.filter(|_| timed.verified);
                if better == Some(Better::Repaired) {
                    life.repair(at);
                }
                if better.is_some() {
                    self.levels = Levels::default();
                }
                let restart = self.topped_up || life.status.unconfirmed || better.is_some();
                self.topped_up = timed.look.added.is_some();
                if let Some(measure) = timed.look.reading {
                    let phase = timed.look.phase.clone();
                    let walk = beside.history.walks.get(walk).zip(phase.as_deref());
                    let state = walk.and_then(|(w, p)| (beside.state_in)(w, p));
                    self.levels.read(state, measure);
                    life.status.readings.push(ReadingTaken {
                        at,
                        phase,
                        measure,
                        grade,
                    });
                }
                life.status.rise = self.levels.rise();
                if self.topped_up {
                    self.levels = Levels::default();
                }
                // Within one walk the worst look since the last restart counts.
                let worst = life.status.grade.filter(|_| self.last_walk == Some(walk));
                self.last_walk = Some(walk);
                let counts = restart || worst.is_none_or(|worst| grade >= worst);
                life.seen(at, worst.filter(|_| !counts).unwrap_or(grade));
                if counts {
                    life.look(at, grade, timed, beside.usage);
                    self.counted = Some(timed);
                }
            }
            Event::Done(Done::Repaired) => {
                self.levels = Levels::default();
                life.repair(at);
            }
            // Both are refused under a stop; where they come by a merge they lift none either.
            Event::Withdrawal(why) if self.stops(life, beside) => {
                life.status.kept_stop = Some(format!("withdrawn ({})", safe_line(why)));
            }
            Event::Removed if self.stops(life, beside) => {
                life.status.kept_stop = Some("taken out of the boat".to_owned());
            }
            Event::Withdrawal(why) => life.close(why),
            Event::Removed => {
                life.close("taken out of the boat");
                life.status.removed = true;
            }
            Event::Deferral(deferral) => {
                if let Some(open) = life.open() {
                    open.deferral = Some((*deferral).clone());
                }
            }
            Event::Override(o) => {
                let lifts = o.severity.is_none() && o.level.is_none();
                life.status.overridden = (!lifts).then(|| (*o).clone());
            }
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
                life.status.readings.clear();
            }
        }
    }

    /// True where what counts so far forbids running.
    fn stops(&self, life: &Life, beside: Beside<'_>) -> bool {
        let walk = self.last_walk.and_then(|w| beside.history.walks.get(w));
        let seen = life.status.grade.map(|grade| (grade, life.status.leak));
        seen.is_some_and(|seen| (beside.stops)(walk, seen))
    }

    /// Names the look behind the standing.
    pub(super) fn settle(&self, life: &mut Life) {
        life.status.look = self.counted.cloned();
    }
}

/// True where a look makes an item stand worse than it does.
fn worsens(life: &Life, grade: Grade, timed: &TimedLook) -> bool {
    let standing = &life.status;
    standing.grade.is_none_or(|known| grade > known)
        || timed.look.leak.filter(|l| *l != Leak::None) > standing.leak
}

/// Level readings since something was last added or put right, by state of the engine.
#[derive(Default)]
struct Levels(Vec<LevelIn>);

struct LevelIn {
    state: Option<PhaseState>,
    lowest: f64,
    last: f64,
}

impl Levels {
    fn read(&mut self, state: Option<PhaseState>, measure: Measure) {
        let value = measure.unit().to_base(measure.value());
        match self.0.iter_mut().find(|l| l.state == state) {
            Some(level) => {
                level.lowest = level.lowest.min(value);
                level.last = value;
            }
            None => self.0.push(LevelIn {
                state,
                lowest: value,
                last: value,
            }),
        }
    }

    fn rise(&self) -> Option<f64> {
        let rises = self.0.iter().map(|l| l.last - l.lowest);
        rises.filter(|r| *r > 0.0).max_by(f64::total_cmp)
    }
}
