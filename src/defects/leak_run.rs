//! A leak run: what its rules need to know of it, how its levels went, and the looks it leaves owed.

use std::collections::HashSet;

use chrono::{DateTime, Duration, FixedOffset};

use super::acts::Recheck;
use super::condition::Condition;
use super::given_on::FORMER;
use super::history::History;
use super::stopped::{LEVEL_NOTICE, tells_by_rising};
use super::verdict::seen_later;
use crate::assess::verdict::{LeakRow, LeakRun};
use crate::boat::Hours;
use crate::boat::units::Quantity;
use crate::checklist::{Closing, Fluid, Grade, Item, Kind, PhaseState};
use crate::walk::timing::minutes;
use crate::walk::{Plan, PlanPhase, Role, TimedLook, Touched, Walk};

/// A look this long after the engine stopped counts as the next morning's (judgement).
const A_NIGHT: Duration = Duration::hours(6);
/// A meter that went on by no more than this may only have been read otherwise, hours.
const METER_STEP: f64 = 0.1;
/// More in than this share of what it holds is an overfill (judgement: a jug is read to a twentieth).
const OVERFILL: f64 = 1.05;
/// Disturbed joints are looked at again after so many hours of use (common practice: 5 to 10).
const FIRST_HOURS: f64 = 5.0;

/// A leak run as its rules see it on a condition: what it asked and what was looked at in it, asked
/// or not, as they stand then, what anything on the machine or the boat forbids, and what is still
/// owed. A later look (the next morning's) thus settles what
/// was owed, and a leak found later takes the sign-off back.
pub(super) fn leak_rows(
    condition: &Condition,
    history: &History,
    walk: &Walk,
    plan: Option<&Plan>,
) -> LeakRun {
    let mut run = LeakRun {
        doubts: condition.blocking(),
        ..LeakRun::default()
    };
    let Some(plan) = plan else {
        return run;
    };
    let mut asked: HashSet<&str> = plan.spots().filter_map(|s| plan.item(s)).collect();
    asked.extend(walk.looks.iter().map(|t| t.look.item.as_str()));
    for (subject, life) in &condition.lives {
        let here = subject.machine.as_ref().is_none_or(|m| *m == walk.machine);
        let standing = &life.status;
        let known = standing
            .patch
            .as_ref()
            .map_or(standing.grade, |_| standing.counted());
        let known = known.filter(|_| here && !standing.removed);
        let Some((item, grade)) = condition.item(subject).zip(known) else {
            continue;
        };
        let stop = condition.stop_rule(subject, item, life, condition.boat.waters);
        if stop.is_none() && !asked.contains(item.id.as_str()) {
            continue;
        }
        if standing.unconfirmed {
            let why = "repaired, not yet looked at".to_owned();
            run.owed.push((item.id.clone(), why));
        }
        let gas_or_fuel = matches!(item.fluid, Some(Fluid::Fuel | Fluid::ExhaustGas));
        run.rows.push(LeakRow {
            item: item.id.clone(),
            grade,
            stop,
            fuel_or_gas: gas_or_fuel && (standing.leak.is_some() || grade >= Grade::Failing),
        });
    }
    run.owed.extend(condition.still_open(&walk.machine));
    if condition.is_former(walk) {
        run.owed.push((String::new(), FORMER.to_owned()));
    }
    run.joints_unseen = joints_unseen(condition, plan, walk);
    for phase in &plan.phases {
        // What was seen beside the rows of a phase does not stand for them.
        let own: Vec<_> = phase.rows.iter().filter(|r| !r.beside).collect();
        let mut items = own.iter().flat_map(|r| &r.items);
        let seen = items.any(|i| is_graded(walk, phase, i));
        if phase.state != PhaseState::NextMorning && !own.is_empty() && !seen {
            run.phases_skipped.push(phase.title.clone());
        }
    }
    let rising = condition.levels(walk).into_iter().filter(|l| l.is_rise);
    let rising = rising.map(|l| (l.item, format!("{}; dip it again", l.told)));
    run.owed.extend(rising);
    run.owed
        .extend(rechecks_owed(condition, history, walk, &asked));
    let morning = morning_unseen(condition, plan, walk);
    let why = "the next morning's look is owed";
    for item in morning {
        if !run.owed.iter().any(|(owed, _)| *owed == item) {
            run.owed.push((item, why.to_owned()));
        }
    }
    run.times = plan.times_not_kept(walk);
    run
}

/// Rechecks that this run left: written down while it went on or the day after; later ones belong
/// to something else. What is owed after some hours of use does not hold the sign-off up before
/// they are run.
fn rechecks_owed(
    condition: &Condition,
    history: &History,
    walk: &Walk,
    asked: &HashSet<&str>,
) -> Vec<(String, String)> {
    let last = walk.finished.map(|finished| finished + Duration::hours(24));
    let during = |at: DateTime<FixedOffset>| at >= walk.at && last.is_some_and(|last| at <= last);
    let owed = condition
        .owed(history)
        .filter(|o| during(o.recheck.at) && (o.due || o.recheck.rec.due_hours.is_none()));
    let rechecks = owed.map(|o| &o.recheck.rec).filter(|r| {
        let here = r.machine.as_ref().is_none_or(|m| *m == walk.machine);
        here && asked.contains(r.item.as_str())
    });
    rechecks.map(|r| (r.item.clone(), r.why.clone())).collect()
}

fn is_graded(walk: &Walk, phase: &PlanPhase, item: &str) -> bool {
    let look = walk.look_in(&phase.id, item);
    look.is_some_and(|t| t.look.grade().is_some())
}

/// Disturbed joints that were not graded in every phase that asks them, the next morning left
/// aside. The plan asks each that can leak before the start, running and settled.
fn joints_unseen(condition: &Condition, plan: &Plan, walk: &Walk) -> Vec<String> {
    let through = |item: &&String| {
        let mut phases = plan.phases.iter().filter(|p| {
            p.state != PhaseState::NextMorning && p.rows.iter().any(|r| r.items.contains(item))
        });
        phases.all(|p| is_graded(walk, p, item))
    };
    let fitted = |item: &&String| condition.has(item, Some(&walk.machine));
    let disturbed = walk.disturbed.iter().filter(fitted);
    disturbed.filter(|i| !through(i)).cloned().collect()
}

/// How long a machine stands before a look counts as the next morning's, in a phase of so many
/// minutes at least.
pub fn night(least: Option<f64>) -> Duration {
    least.map_or(A_NIGHT, minutes)
}

/// True where the meter says that a machine ran between two moments: it shows more than the time
/// before the first of them can have given.
pub fn ran_between(
    readings: &[(DateTime<FixedOffset>, Hours)],
    stopped: DateTime<FixedOffset>,
    until: DateTime<FixedOffset>,
) -> bool {
    let before = readings.iter().rev().find(|(at, _)| *at <= stopped);
    let after = readings
        .iter()
        .filter(|(at, _)| *at > stopped && *at <= until);
    let ran = |(at, known): &(DateTime<FixedOffset>, Hours)| {
        let most = (stopped - *at).num_seconds() as f64 / 3600.0 + METER_STEP;
        after.clone().any(|(_, read)| read.since(*known) > most)
    };
    before.is_some_and(ran)
}

/// When the engine stopped before the night, as far as that was noted, else when the walk ended; and
/// the earliest time of a look that counts as the next morning's.
fn morning(plan: &Plan, walk: &Walk) -> Option<(DateTime<FixedOffset>, DateTime<FixedOffset>)> {
    let mut phases = plan.phases.iter();
    let phase = phases.find(|p| p.state == PhaseState::NextMorning);
    let stopped = phase.and_then(|p| walk.begun(p.clock()));
    let stopped = stopped.or(walk.finished)?;
    Some((
        stopped,
        stopped + night(phase.and_then(|p| p.timing.minutes)),
    ))
}

/// Items whose next morning's look the run asks for and that were not looked at then: the disturbed
/// joints and what must be seen downhill of them; all that must be seen where it is not known what
/// was disturbed. A look made in such a phase too soon after the stop is none, nor is one before which
/// she ran again by the meter; where nobody noted the stop it is taken for one.
fn morning_unseen(condition: &Condition, plan: &Plan, walk: &Walk) -> Vec<String> {
    let (stopped, from) = morning(plan, walk).unzip();
    let readings = condition.machine_usage(Some(&walk.machine)).readings();
    let ran = |at| stopped.is_some_and(|stopped| ran_between(readings, stopped, at));
    let touched = Touched::of(&condition.library.catalogue, &walk.disturbed);
    let mut unseen: Vec<String> = Vec::new();
    let phases = plan.phases.iter();
    for phase in phases.filter(|p| p.state == PhaseState::NextMorning) {
        let timed = walk.begun(phase.clock()).is_some() && !walk.entered_after;
        let items = phase.rows.iter();
        for (must_see, item) in items.flat_map(|r| r.items.iter().map(|i| (r.must_see, i))) {
            let asked = match touched.role(item) {
                Some(Role::Disturbed) => true,
                Some(Role::Below) => must_see,
                _ => must_see && !touched.is_known(),
            };
            let look = walk.look_in(&phase.id, item);
            let look = look.filter(|t| t.look.grade().is_some() && !t.look.too_soon);
            let look = look.filter(|t| !ran(t.at));
            let seen = look.is_some_and(|t| !timed || from.is_some_and(|from| t.at >= from));
            let later = from.is_some_and(|from| seen_later(condition, walk, item, from));
            if asked && !seen && !later && !unseen.contains(item) {
                unseen.push(item.clone());
            }
        }
    }
    unseen
}

/// How a level went through a walk.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelSeen {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// What is owed and when, in words.
    pub told: String,
    /// It rose with nothing added, where rising is a sign of water or fuel.
    pub is_rise: bool,
}

impl Condition {
    /// How each level that was read before the start and again after the run went.
    pub fn levels(&self, walk: &Walk) -> Vec<LevelSeen> {
        let levels = self.library.catalogue.items().iter();
        let levels = levels.filter(|i| i.kind == Kind::Level);
        levels.filter_map(|i| self.level(i, walk)).collect()
    }

    fn level(&self, item: &Item, walk: &Walk) -> Option<LevelSeen> {
        let reading = item.reading.as_ref();
        let reading = reading.filter(|r| r.quantity == Quantity::Level)?;
        let list = self.list_of(walk)?;
        let mut before: Option<f64> = None;
        let mut after: Option<(f64, String)> = None;
        let mut added = 0.0;
        for timed in walk.looks_at(&item.id) {
            // Without a phase of its own it belongs to that of the look before it.
            let known = |t: &TimedLook| {
                let phase = t.look.phase.as_deref();
                list.phases.iter().find(|p| Some(p.id.as_str()) == phase)
            };
            let until = walk.looks.iter().rev().skip_while(|t| t.id != timed.id);
            let phase = until.filter_map(known).next();
            let still = phase.is_none_or(|p| p.state.is_before_start());
            let value = timed.look.reading.and_then(|m| m.value_in(reading.unit));
            match (value, phase) {
                (Some(value), Some(phase)) if !still => {
                    after = Some((value, phase.title.to_lowercase()));
                }
                (Some(value), _) => before = Some(value),
                (None, _) => {}
            }
            // The reading was taken before what was added went in.
            added += timed.look.added.map_or(0.0, |v| v.litres());
        }
        let (before, (after, phase)) = before.zip(after)?;
        let change = after - before;
        let machine = self.boat.machines.iter().find(|m| m.id == walk.machine);
        let span = machine.and_then(|m| m.between_marks);
        let engine = item.marks.as_ref().is_some_and(|m| m.dipstick);
        let litres = span.filter(|_| engine).map_or_else(String::new, |span| {
            format!(", about {:.1} L", (change / 100.0 * span.litres()).abs())
        });
        let effects = self.effects(&self.subject(&item.id, &walk.machine), item);
        let tells = tells_by_rising(item, effects, self.boat.waters);
        let is_rise = change >= LEVEL_NOTICE && added == 0.0 && tells;
        let meaning = match (is_rise, engine && change < 0.0 && added == 0.0) {
            (true, _) => "; nothing was added, so water or fuel may be coming in",
            (_, true) => "; a new filter takes some",
            _ => "",
        };
        let went = match change {
            c if c.abs() < 1.0 => "the same".to_owned(),
            c if c < 0.0 => format!("down {:.0} % of the span{litres}", -c),
            c => format!("up {c:.0} % of the span{litres}"),
        };
        let added = if added > 0.0 {
            format!(", {added:.1} L added")
        } else {
            String::new()
        };
        Some(LevelSeen {
            item: item.id.clone(),
            told: format!(
                "{before:.0} % before the start, {after:.0} % {phase}{added}: {went}{meaning}"
            ),
            is_rise,
        })
    }

    /// The finished leak runs of a machine, the last one begun first.
    pub fn leak_runs<'a>(
        &'a self,
        history: &'a History,
        machine: &'a str,
    ) -> impl Iterator<Item = &'a Walk> {
        history.walks.iter().rev().filter(move |walk| {
            let list = self.list_of(walk);
            let leak_run = list.is_some_and(|l| l.closes_with == Closing::LeakRun);
            leak_run && walk.machine == machine && walk.finished.is_some()
        })
    }

    /// What went into the machine and came out of it in the work before a leak run, against what it
    /// holds: title of the task and words.
    pub fn quantities(&self, history: &History, walk: &Walk) -> Vec<(String, String)> {
        let mut runs = self.leak_runs(history, &walk.machine);
        let last = runs.find(|w| w.at < walk.at).map(|w| w.at);
        let machine = self.boat.machines.iter().find(|m| m.id == walk.machine);
        let until = walk.finished.unwrap_or(self.now);
        let services = history.services.iter().filter(|s| {
            let here = s.rec.machine.as_deref() == Some(&walk.machine);
            here && last.is_none_or(|last| s.at > last) && s.at <= until
        });
        let told = services.filter_map(|service| {
            let task = self.library.task(&service.rec.task)?;
            let capacity = task.capacity?;
            let holds = machine.and_then(|m| capacity.of(m));
            let filled = service.rec.filled?;
            let mut told = format!("{filled} in");
            if let Some(out) = service.rec.out {
                told.push_str(&format!(", {out} out"));
            }
            if let Some(holds) = holds {
                told.push_str(&format!(", it holds {holds}"));
                if filled.litres() > holds.litres() * OVERFILL {
                    told.push_str("; more than it holds: dip before any start");
                }
            }
            Some((task.title.clone(), told))
        });
        told.collect()
    }

    /// The looks a leak run leaves owed when it ends now: the next morning's, and those of disturbed
    /// joints after the first hours of use. What is owed already is not owed twice.
    pub fn follow_ups(&self, history: &History, walk: &Walk) -> Vec<Recheck> {
        let Some(plan) = self.plan_of(walk) else {
            return Vec::new();
        };
        let catalogue = &self.library.catalogue;
        let due_at = morning(&plan, walk).map_or(self.now + A_NIGHT, |(_, from)| from);
        let unseen = morning_unseen(self, &plan, walk);
        let open: Vec<_> = self.owed(history).map(|o| &o.recheck.rec).collect();
        let is_open = |item: &str, dated: bool| {
            let subject = self.subject(item, &walk.machine);
            open.iter().any(|r| {
                let same = r.item == subject.item && r.machine == subject.machine;
                same && r.due_at.is_some() == dated
            })
        };
        let recheck = |item: &Item, why: &str| Recheck {
            item: item.id.clone(),
            machine: self.subject(&item.id, &walk.machine).machine,
            at: Some(self.now),
            due_at: None,
            due_hours: None,
            from: None,
            why: why.to_owned(),
        };
        let mut owed = Vec::new();
        let morning = unseen.iter().filter(|i| !is_open(i, true));
        for item in morning.filter_map(|i| catalogue.item(i)) {
            owed.push(Recheck {
                due_at: Some(due_at),
                ..recheck(item, morning_words(item))
            });
        }
        let (due, from) = self.after_first_hours(history, walk);
        let joints = walk.disturbed.iter().filter(|i| !is_open(i, false));
        for item in joints.filter_map(|i| catalogue.item(i)) {
            let known = self.life(&item.id, &walk.machine);
            let leaks = item.fluid.is_some() && known.is_some_and(|l| !l.status.removed);
            if let Some(due) = due.filter(|_| leaks) {
                owed.push(Recheck {
                    due_hours: Some(due),
                    from: from.map(str::to_owned),
                    ..recheck(item, "disturbed: after the first 5 to 10 h of use")
                });
            }
        }
        owed
    }

    /// What the meter shows after the first hours of use, and the record of the reading that was
    /// reckoned from: of the walk, else the last before it, carried on to now and told to a tenth.
    fn after_first_hours<'a>(
        &self,
        history: &'a History,
        walk: &'a Walk,
    ) -> (Option<Hours>, Option<&'a str>) {
        if let Some(read) = walk.hours {
            let due = Hours::new(read.get() + FIRST_HOURS).ok();
            return (due, walk.hours_by.as_deref());
        }
        let hours = self.meter_now(Some(&walk.machine)).hours + FIRST_HOURS;
        let mut read = history.meter_reads(&walk.machine).into_iter();
        let last = read.rfind(|read| read.when.at <= self.now);
        let due = Hours::new((hours * 10.0).round() / 10.0).ok();
        (due, last.and_then(|read| read.id))
    }
}

/// What the next morning's look is for (common practice).
fn morning_words(item: &Item) -> &'static str {
    match item.kind {
        Kind::Hose => "the morning after the leak run: nip its clips cold after the first heat",
        Kind::Belt => "the morning after the leak run: set a new belt again after the first heat",
        Kind::Level => "the morning after the leak run: the level once all has run down",
        _ => "the morning after the leak run",
    }
}
