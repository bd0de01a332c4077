//! The records of the story: walks composed as the program composes them, and what was done.

use std::collections::HashMap;
use std::sync::Arc;

use chrono::{DateTime, Duration, FixedOffset, NaiveDate};

use super::calendar::{Almanac, Ledger, Outing, calendar};
use super::gauges::Dipstick;
use super::memory::Memory;
use super::story::{Step, Story, What, Work};
use super::threads::Threads;
use crate::boat::{Boat, Hours, MeterChange};
use crate::checklist::{Grade, Library, PhaseState, Scope, Versus};
use crate::defects::{
    Deferral, Fitted, Override, Recheck, Repair, Service, Subject, Until, Withdrawal,
};
use crate::logbook::record::{LookMade, Record, WalkFinished, WalkStarted};
use crate::service::ServiceSheet;
use crate::walk::pace::Pace;
use crate::walk::plan::rows_left_out;
use crate::walk::{Look, Outcome, Plan, TimedLook, Walk, When};

type Time = DateTime<FixedOffset>;

/// When things are done where the story does not say.
const AFTERNOON: f64 = 17.0;

/// The boat and every record, in the order things happened.
pub(super) fn tell(
    story: &Story,
    now: Time,
    library: &Arc<Library>,
) -> (Boat, Vec<(Time, Record)>) {
    let mut rng = fastrand::Rng::with_seed(story.seed);
    let almanac = Almanac::new(now);
    let (outings, ledgers) = calendar(story, almanac, &mut rng);
    let mut boat = story.boat.clone();
    for (machine, (_, ledger)) in boat.machines.iter_mut().zip(&ledgers) {
        machine.hours = Some(ledger.reading(now));
    }
    let mut teller = Teller {
        story,
        library,
        almanac,
        ledgers,
        rng,
        threads: Threads::new(story),
        dipsticks: story.levels.iter().map(Dipstick::new).collect(),
        memory: Memory::new(boat.clone(), library),
        seen_on: HashMap::new(),
        records: Vec::new(),
    };
    let mut acts: Vec<(Time, usize, usize)> = Vec::new();
    for (t, thread) in story.threads.iter().enumerate() {
        for (s, step) in thread.steps.iter().enumerate() {
            if !matches!(step.what, What::Seen(_) | What::NotSeen { .. }) {
                acts.push((almanac.at(step.day, step.hour.unwrap_or(AFTERNOON)), t, s));
            }
        }
    }
    acts.sort();
    teller.frame(outings.first().map_or(now, |o| o.at));
    let mut acts = acts.into_iter().peekable();
    for (number, outing) in outings.iter().enumerate() {
        while let Some((at, t, s)) = acts.next_if(|a| a.0 <= outing.at) {
            teller.act(at, t, s);
        }
        teller.walk(number, outing);
    }
    for (at, t, s) in acts {
        teller.act(at, t, s);
    }
    let mut records = teller.records;
    // A leak run goes on the next morning: stable, so that each walk's own order stays.
    records.sort_by_key(|(at, _)| *at);
    (boat, records)
}

struct Teller<'s> {
    story: &'s Story,
    library: &'s Arc<Library>,
    almanac: Almanac,
    ledgers: Vec<(String, Ledger)>,
    rng: fastrand::Rng,
    threads: Threads<'s>,
    dipsticks: Vec<Dipstick<'s>>,
    memory: Memory,
    /// Day of the last graded look.
    seen_on: HashMap<Subject, NaiveDate>,
    records: Vec<(Time, Record)>,
}

impl Teller<'_> {
    fn ledger(&self, machine: &str) -> Option<&Ledger> {
        self.ledgers.iter().find(|l| l.0 == machine).map(|l| &l.1)
    }

    fn subject(&self, item: &str, machine: &str) -> Subject {
        let known = self.library.catalogue.item(item);
        let whole = known.is_some_and(|i| i.scope == Scope::Boat);
        Subject {
            item: item.to_owned(),
            machine: (!whole).then(|| machine.to_owned()),
        }
    }

    fn record(&mut self, at: Time, record: Record) {
        self.memory.keep(at, &record);
        self.records.push((at, record));
    }

    /// What belongs to no walk: plans and new meters.
    fn frame(&mut self, first: Time) {
        for plan in &self.story.plans {
            self.record(first, Record::Plan(plan.clone()));
        }
        for swap in &self.story.meters {
            let at = self.almanac.at(swap.day, swap.hour);
            let change = MeterChange {
                machine: swap.machine.clone(),
                at,
                old: swap.old,
                new: swap.new,
            };
            self.record(at, Record::Meter(change));
        }
    }

    fn act(&mut self, at: Time, thread: usize, step: usize) {
        let story = self.story;
        let subject = &story.threads[thread];
        let (item, machine) = (subject.item.clone(), subject.machine.clone());
        let Step { what, .. } = &subject.steps[step];
        let meter = machine.as_deref().and_then(|m| self.ledger(m));
        let hours = meter.map(|ledger| ledger.reading(at));
        let run = meter.map_or(0.0, |ledger| ledger.run_by(at));
        let time = Some(at);
        let record = match what {
            What::Repair { done, by } => {
                for stick in &mut self.dipsticks {
                    if stick.tank.item == item && Some(&stick.tank.machine) == machine.as_ref() {
                        stick.fill(run);
                    }
                }
                let (done, by) = (done.clone(), Some(by.clone()));
                Record::Repair(Repair {
                    item,
                    machine,
                    at: time,
                    hours,
                    done,
                    by,
                })
            }
            What::Service(work) => {
                // Nobody read the meter for us before the record begins.
                let begins = story.periods.iter().map(|p| p.from).max();
                let day = subject.steps[step].day;
                let hours = hours.filter(|_| begins.is_none_or(|first| day <= first));
                let Some(service) = self.service(at, work, machine, hours) else {
                    return;
                };
                for stick in &mut self.dipsticks {
                    let here = service.machine.as_ref() == Some(&stick.tank.machine);
                    if here && service.restarted.contains(&stick.tank.item) {
                        stick.fill(run);
                    }
                }
                Record::Service(Box::new(service))
            }
            What::Withdrawal { why } => {
                let why = why.clone();
                Record::Withdrawal(Withdrawal {
                    item,
                    machine,
                    at: time,
                    why,
                })
            }
            What::Deferral { why, days_ahead } => {
                let until = self.almanac.at(0, 12.0) + Duration::days(i64::from(*days_ahead));
                let (why, until) = (why.clone(), Until::Date(until.date_naive()));
                Record::Deferral(Deferral {
                    item,
                    machine,
                    at: time,
                    why,
                    until,
                })
            }
            What::Override {
                severity,
                level,
                why,
            } => Record::Override(Override {
                item,
                machine,
                at: time,
                severity: *severity,
                level: *level,
                why: why.clone(),
            }),
            What::Recheck {
                days_later,
                due_hours,
                why,
            } => Record::Recheck(Recheck {
                item,
                machine,
                at: time,
                due_at: days_later
                    .map(|days| at + Duration::days(i64::from(days)) - Duration::hours(12)),
                due_hours: *due_hours,
                why: why.clone(),
            }),
            What::Fitted {} => Record::Fitted(Fitted {
                item,
                machine,
                at: time,
                hours: None,
            }),
            What::Seen(_) | What::NotSeen { .. } => return,
        };
        self.threads.done(thread, step);
        self.record(at, record);
    }

    /// The record of work, with what its task does to the items; none where the rules refuse it.
    fn service(
        &self,
        at: Time,
        work: &Work,
        machine: Option<String>,
        hours: Option<Hours>,
    ) -> Option<Service> {
        let sheet = ServiceSheet {
            task: work.task.clone(),
            machine,
            at: Some(at),
            hours,
            out: work.out,
            filled: work.filled,
            parts: work.parts.clone(),
            turn: work.turn.clone(),
            note: work.note.clone(),
            by: Some(work.by.clone()),
            ..ServiceSheet::default()
        };
        self.memory.service(&sheet, at)
    }

    fn walk(&mut self, number: usize, outing: &Outing) {
        let library = Arc::clone(self.library);
        let Some(list) = library.checklist(&outing.checklist) else {
            return;
        };
        let machine = outing.machine.as_str();
        self.memory.recall(outing.at);
        let joins = self.memory.joins(list, machine);
        let today = outing.at.date_naive();
        let left_out = rows_left_out(list, |item| {
            if !self.memory.has(item, machine) {
                return Some(0);
            }
            let seen = self.seen_on.get(&self.subject(item, machine))?;
            Some((today - *seen).num_days())
        });
        let plan = self.memory.compose(list, &left_out, &joins, machine);
        let mark: String = std::iter::repeat_with(|| self.rng.lowercase())
            .take(5)
            .collect();
        let started = WalkStarted {
            walk: format!("{}-{mark}", outing.at.format("%Y%m%d-%H%M")),
            checklist: list.id.clone(),
            asked: None,
            machine: machine.to_owned(),
            at: outing.at,
            by: Some(outing.by.clone()),
            hours: self
                .ledger(machine)
                .filter(|_| !outing.unread)
                .map(|l| l.reading(outing.at)),
            entered_after: outing.entered_after,
            blind: list.blind,
            left_out,
            joins,
            disturbed: Vec::new(),
        };
        self.record(outing.at, Record::WalkStarted(started.clone()));
        let (looks, end) = self.looks(&plan, number, outing);
        let walk = walk_of(&started, looks);
        let seconds = |item: &str| library.catalogue.item(item).map(|i| i.seconds);
        let pace = Pace::of(&walk, &plan, seconds);
        for timed in walk.looks {
            if timed.look.grade().is_some() {
                let subject = self.subject(&timed.look.item, machine);
                self.seen_on.insert(subject, timed.at.date_naive());
            }
            let made = LookMade {
                walk: started.walk.clone(),
                at: timed.at,
                look: timed.look,
            };
            self.record(timed.at, Record::Look(made));
        }
        let finished = WalkFinished {
            walk: started.walk,
            at: end,
            pace,
        };
        self.record(end, Record::WalkFinished(finished));
    }

    /// Every look of a walk, and when it ended.
    fn looks(&mut self, plan: &Plan, number: usize, outing: &Outing) -> (Vec<TimedLook>, Time) {
        let library = Arc::clone(self.library);
        let mut looks = Vec::new();
        let mut at = outing.at;
        let mut stays_off: Option<&str> = None;
        for phase in &plan.phases {
            let not_started = stays_off;
            if phase.state == PhaseState::NextMorning {
                at = self.almanac.at(outing.day.saturating_sub(1), 6.2);
            } else if phase.state == PhaseState::Settled {
                at += Duration::minutes(90);
            } else if !looks.is_empty() {
                at += Duration::seconds(40);
            }
            for row in &phase.rows {
                let honest: u32 = row
                    .items
                    .iter()
                    .filter_map(|i| library.catalogue.item(i))
                    .map(|i| i.seconds)
                    .sum();
                let share = 0.5 + 0.6 * self.rng.f64();
                let spent = if outing.entered_after {
                    1.0
                } else {
                    f64::from(honest) * share
                };
                at += Duration::seconds((spent.round() as i64).max(1));
                for item in &row.items {
                    let look = match not_started {
                        Some(why) => Look::not_seen(item, Some(&phase.id), why, None),
                        None => self.look(item, outing, &phase.id, phase.state, number),
                    };
                    let found = self.threads.not_started(item, &outing.machine, number);
                    stays_off = stays_off.or(found);
                    looks.push(TimedLook {
                        id: String::new(),
                        at,
                        place: looks.len(),
                        verified: true,
                        look: look.into(),
                    });
                }
            }
        }
        (looks, at + Duration::seconds(20))
    }

    fn look(
        &mut self,
        item: &str,
        outing: &Outing,
        phase: &str,
        state: PhaseState,
        number: usize,
    ) -> Look {
        let machine = outing.machine.as_str();
        let mut look = self
            .threads
            .look(item, machine, phase, number, (outing.day, outing.hour()));
        let Some(told) = look.grade() else {
            return look;
        };
        let still = matches!(
            state,
            PhaseState::Cold | PhaseState::Dead | PhaseState::Settled | PhaseState::NextMorning
        );
        let run = self.ledger(machine).map_or(0.0, |l| l.run_by(outing.at));
        let stick = self
            .dipsticks
            .iter_mut()
            .find(|d| d.tank.item == item && d.tank.machine == machine && still);
        if let Some((level, added)) = stick.and_then(|d| d.read(run)) {
            look.reading = Some(level);
            look.added = added;
        }
        let gauge = self
            .story
            .gauges
            .iter()
            .find(|g| g.is_read(item, machine, phase));
        if let Some(value) = gauge.and_then(|g| g.shows(outing.day, self.rng.f64() * 2.0 - 1.0)) {
            look.reading = Some(value);
        }
        let reading = self
            .library
            .catalogue
            .item(item)
            .and_then(|i| i.reading.as_ref());
        let proposed = reading.zip(look.reading).and_then(|(reading, value)| {
            let absolute = reading.versus == Versus::Absolute;
            let value = value.value_in(reading.unit).filter(|_| absolute)?;
            reading.grade_of(value, Some(state))
        });
        if let Some(grade) = proposed.filter(|_| told == Grade::Sound) {
            look.outcome = Outcome::Graded(grade);
        }
        look
    }
}

fn walk_of(started: &WalkStarted, looks: Vec<TimedLook>) -> Walk {
    Walk {
        looks,
        ..started.begin(When::last_at(started.at))
    }
}
