//! The records of the story: walks composed as the program composes them, and what was done.

use std::sync::Arc;

use chrono::{DateTime, Duration, FixedOffset};

use super::calendar::{Almanac, Ledger, Outing, calendar};
use super::gauges::Dipstick;
use super::story::{Step, Story, What, Work};
use super::threads::Threads;
use handlamp::boat::{Boat, Hours, MeterChange};
use handlamp::checklist::{Grade, Library, PhaseState, Versus};
use handlamp::defects::admit::hours_fault;
use handlamp::defects::condition::Condition;
use handlamp::defects::{
    Deferral, Fitted, History, Override, Recheck, Repair, Service, Until, WhenLast, Withdrawal,
};
use handlamp::logbook::fold::apply;
use handlamp::logbook::placed::Written;
use handlamp::logbook::record::{LookMade, Record, WalkFinished, WalkStarted};
use handlamp::service::{ServiceSheet, service_of};
use handlamp::walk::pace::Pace;
use handlamp::walk::{Look, Outcome, Plan};

type Time = DateTime<FixedOffset>;

/// When things are done where the story does not say.
const AFTERNOON: f64 = 17.0;

/// The boat and every record, each walk whole.
pub(super) fn tell(story: &Story, now: Time, library: &Arc<Library>) -> (Boat, Vec<Record>) {
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
        now,
        boat: boat.clone(),
        history: History::default(),
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
    teller.frame();
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
    (boat, teller.records)
}

struct Teller<'s> {
    story: &'s Story,
    library: &'s Arc<Library>,
    almanac: Almanac,
    ledgers: Vec<(String, Ledger)>,
    rng: fastrand::Rng,
    threads: Threads<'s>,
    dipsticks: Vec<Dipstick<'s>>,
    now: Time,
    boat: Boat,
    /// The records so far.
    history: History,
    records: Vec<Record>,
}

impl Teller<'_> {
    fn ledger(&self, machine: &str) -> Option<&Ledger> {
        self.ledgers.iter().find(|l| l.0 == machine).map(|l| &l.1)
    }

    /// What is known at a time.
    fn condition(&self, at: Time) -> Condition {
        Condition::of(&self.boat, Arc::clone(self.library), &self.history, at)
    }

    fn record(&mut self, record: Record) {
        // Typed up at the end, so that each stands at its own time.
        let written = Written::new(self.records.len().to_string(), self.now, record.clone());
        apply(&mut self.history, &[], &written);
        self.records.push(record);
    }

    /// What a meter shows, which has to be what may be told.
    fn reading(&self, machine: &str, at: Time) -> Option<Hours> {
        let hours = self.ledger(machine)?.reading(at);
        assert_eq!(
            hours_fault(&self.history, machine, hours, at),
            None,
            "{machine} {at}"
        );
        Some(hours)
    }

    /// What belongs to no walk: what was remembered, plans and new meters.
    fn frame(&mut self) {
        for told in &self.story.told {
            let mut tasks = self.library.tasks().iter();
            let task = tasks.find(|t| t.id == told.task).expect("a task");
            self.record(Record::from(WhenLast {
                task: Some(told.task.clone()),
                item: None,
                machine: told.machine.clone(),
                at: Some(self.almanac.at(told.day, AFTERNOON)),
                last: Some(self.almanac.at(told.last, 0.0)),
                hours: None,
                renews: task.renews.clone(),
            }));
        }
        for plan in &self.story.plans {
            self.record(Record::from(plan.clone()));
        }
        for swap in &self.story.meters {
            let at = self.almanac.at(swap.day, swap.hour);
            let change = MeterChange {
                machine: swap.machine.clone(),
                at,
                old: swap.old,
                from: None,
                new: swap.new,
            };
            self.record(Record::from(change));
        }
    }

    fn act(&mut self, at: Time, thread: usize, step: usize) {
        let story = self.story;
        let subject = &story.threads[thread];
        let (item, machine) = (subject.item.clone(), subject.machine.clone());
        let Step { what, .. } = &subject.steps[step];
        let meter = machine.as_deref().and_then(|m| self.ledger(m));
        let hours = machine.as_deref().and_then(|m| self.reading(m, at));
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
                Record::from(Repair {
                    item,
                    machine,
                    at: time,
                    hours,
                    done,
                    by,
                    temporary: None,
                    cause: None,
                    minutes: None,
                })
            }
            What::Service(work) => {
                // Nobody read the meter for us before the record begins.
                let begins = story.periods.iter().map(|p| p.from).max();
                let day = subject.steps[step].day;
                let hours = hours.filter(|_| begins.is_none_or(|first| day <= first));
                let service = self.service(at, work, machine, hours);
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
                Record::from(Withdrawal {
                    item,
                    machine,
                    at: time,
                    why,
                })
            }
            What::Deferral { why, days_ahead } => {
                let until = self.almanac.at(0, 12.0) + Duration::days(i64::from(*days_ahead));
                let (why, until) = (why.clone(), Until::Date(until.date_naive()));
                Record::from(Deferral {
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
            } => Record::from(Override {
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
            } => Record::from(Recheck {
                item,
                machine,
                at: time,
                due_at: days_later
                    .map(|days| at + Duration::days(i64::from(days)) - Duration::hours(12)),
                due_hours: *due_hours,
                from: None,
                why: why.clone(),
            }),
            What::Fitted {} => Record::from(Fitted {
                item,
                machine,
                at: time,
                hours: None,
            }),
            What::Seen(_) | What::NotSeen { .. } => return,
        };
        self.threads.done(thread, step);
        self.record(record);
    }

    /// The record of work, with what its task does to the items.
    fn service(
        &self,
        at: Time,
        work: &Work,
        machine: Option<String>,
        hours: Option<Hours>,
    ) -> Service {
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
        service_of(&self.condition(at), &self.history, &sheet, at).expect("what may be recorded")
    }

    fn walk(&mut self, number: usize, outing: &Outing) {
        let library = Arc::clone(self.library);
        let list = library.checklist(&outing.checklist).expect("a checklist");
        let machine = outing.machine.as_str();
        let condition = self.condition(outing.at);
        let joins = condition.joins(&self.history, list, machine);
        let left_out = condition.left_out(list, machine);
        let plan = condition.compose(list, &left_out, &joins, machine);
        let mark: String = std::iter::repeat_with(|| self.rng.lowercase())
            .take(5)
            .collect();
        let walk = format!("{}-{mark}", outing.at.format("%Y%m%d-%H%M"));
        let started = WalkStarted {
            walk: walk.clone(),
            checklist: list.id.clone(),
            asked: None,
            machine: machine.to_owned(),
            at: outing.at,
            by: Some(outing.by.clone()),
            hours: (!outing.unread)
                .then(|| self.reading(machine, outing.at))
                .flatten(),
            entered_after: outing.entered_after,
            blind: list.blind,
            left_out,
            joins,
            disturbed: Vec::new(),
            guest: false,
        };
        self.record(Record::from(started));
        let (looks, end) = self.looks(&plan, number, outing);
        for (at, look) in looks {
            let faults = condition.look_faults(&look, machine, list);
            assert!(faults.is_empty(), "{at} {faults:?}");
            let made = LookMade {
                walk: walk.as_str().into(),
                at,
                look: look.into(),
            };
            self.record(Record::Look(made));
        }
        let made = self.history.walk(&walk).expect("begun");
        assert_eq!(plan.rows_done(made), plan.row_count(), "{}", made.at);
        let seconds = |item: &str| library.catalogue.item(item).map(|i| i.seconds);
        let finished = WalkFinished {
            pace: Pace::of(made, &plan, seconds),
            walk,
            at: end,
            said: None,
        };
        self.record(Record::from(finished));
    }

    /// Every look of a walk, and when it ended.
    fn looks(&mut self, plan: &Plan, number: usize, outing: &Outing) -> (Vec<(Time, Look)>, Time) {
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
                    looks.push((at, look));
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
            reading.grade_of(value, Some(state), None)
        });
        if let Some(grade) = proposed.filter(|_| told == Grade::Sound) {
            look.outcome = Outcome::Graded(grade);
        }
        look
    }
}
