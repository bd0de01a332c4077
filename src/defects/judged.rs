//! The verdict on a walk, as at the walk and as of now.

use chrono::{DateTime, FixedOffset};
use serde::Serialize;
use std::sync::Arc;

use super::condition::Condition;
use super::history::History;
use super::life::State;
use crate::assess::verdict::{DailyRow, LeakRow, LeakRun, Reason, daily, leak_run};
use crate::assess::words::{Severity, Verdict};
use crate::boat::Boat;
use crate::checklist::list::Closing;
use crate::checklist::{EffectKind, Fluid, Grade, Leak, Library, PhaseState};
use crate::walk::Walk;

/// A row that made a verdict. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Ground {
    /// Item id; empty where a whole phase is meant.
    pub item: String,
    /// Its grade, where it has one.
    pub grade: Option<Grade>,
    /// The rule, in words.
    pub rule: String,
}

/// An item of the walk that was not seen. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NotSeen {
    /// Item id.
    pub item: String,
    /// The reason given, if one was.
    pub reason: Option<String>,
}

/// The verdict on a walk.
#[derive(Clone, Debug)]
pub struct Judged {
    /// As at the walk's end; none while it is unfinished or where its checklist gives none.
    pub at_walk: Option<Verdict>,
    /// As of now.
    pub now: Option<Verdict>,
    /// The rows that made the verdict as of now.
    pub reasons: Vec<Ground>,
    /// Items of the walk not seen.
    pub not_seen: Vec<NotSeen>,
}

/// Judges a walk at its end and as of now.
pub fn judge(
    boat: &Boat,
    library: &Arc<Library>,
    history: &History,
    now: &Condition,
    walk: &Walk,
) -> Judged {
    let (verdict_now, grounds) =
        verdict(now, history, walk).map_or((None, Vec::new()), |(v, r)| (Some(v), r));
    let at_walk = walk.finished.and_then(|finished| {
        let then = history.as_of(finished);
        let condition = Condition::of(boat, Arc::clone(library), &then, finished);
        let walk = then.walk(&walk.id)?;
        verdict(&condition, &then, walk).map(|(v, _)| v)
    });
    let not_seen = now
        .plan_of(walk)
        .map(|plan| plan.not_seen(walk))
        .unwrap_or_default();
    Judged {
        at_walk,
        now: verdict_now,
        reasons: grounds.into_iter().map(Ground::from).collect(),
        not_seen: not_seen
            .into_iter()
            .map(|(item, reason)| NotSeen { item, reason })
            .collect(),
    }
}

impl From<Reason> for Ground {
    fn from(reason: Reason) -> Ground {
        Ground {
            item: reason.item,
            grade: reason.grade,
            rule: reason.rule,
        }
    }
}

/// The verdict of the walk's checklist on a condition; none while the walk is unfinished.
fn verdict(
    condition: &Condition,
    history: &History,
    walk: &Walk,
) -> Option<(Verdict, Vec<Reason>)> {
    walk.finished?;
    match condition.library.checklist(&walk.checklist)?.closes_with {
        Closing::Daily => {
            let missing = condition
                .plan_of(walk)
                .map(|p| p.must_see_missing(walk))
                .unwrap_or_default();
            Some(daily(&daily_rows(condition, &walk.machine), &missing))
        }
        Closing::LeakRun => Some(leak_run(&leak_rows(condition, history, walk))),
        Closing::Survey => None,
    }
}

/// Every graded item of a machine and of the boat, as the daily rules see it.
fn daily_rows(condition: &Condition, machine: &str) -> Vec<DailyRow> {
    let waters = condition.boat.waters;
    let meter = condition.meter_now(Some(machine)).hours;
    let mut rows = Vec::new();
    for (subject, life) in &condition.lives {
        let here = subject.machine.as_deref().is_none_or(|m| m == machine);
        let Some(item) = condition
            .item(subject)
            .filter(|_| here && !life.standing.removed)
        else {
            continue;
        };
        let Some(grade) = condition.counted_grade(subject, item, life) else {
            continue;
        };
        // Only what is a concern can count: sound items seen long ago come under "look again".
        let concern = life.current();
        let chance = condition
            .known(subject, item, life)
            .outlook(condition.day_ahead())
            .chance;
        let stop = condition.stop_rule(item, life, waters);
        let watch = condition.watch(item, life);
        if concern.is_none() && stop.is_none() && watch.is_none() && grade == Grade::Sound {
            continue;
        }
        rows.push(DailyRow {
            item: subject.item.clone(),
            grade,
            stop,
            risk: condition.stakes(item, life, waters).rate(chance).risk,
            worst_severity: Severity::worst_of(&item.effects, waters),
            nuisance_only: item
                .effects
                .iter()
                .all(|e| e.effect == EffectKind::Nuisance),
            deferred: concern.is_some_and(|d| d.state_on(condition.now, meter) == State::Deferred),
            unconfirmed: life.standing.unconfirmed,
            watch,
        });
    }
    rows
}

/// A leak run as its rules see it. A later graded look at an item (the next morning's) settles
/// what was owed.
fn leak_rows(condition: &Condition, history: &History, walk: &Walk) -> LeakRun {
    let mut run = LeakRun::default();
    let Some(plan) = condition.plan_of(walk) else {
        return run;
    };
    let mut items: Vec<&str> = plan.spots().filter_map(|s| plan.item(s)).collect();
    items.sort_unstable();
    items.dedup();
    for id in items {
        let subject = condition.subject(id, &walk.machine);
        let (Some(item), Some(life)) = (condition.item(&subject), condition.lives.get(&subject))
        else {
            continue;
        };
        let repairs: Vec<DateTime<FixedOffset>> = life
            .standing
            .trail
            .iter()
            .filter(|s| s.repair)
            .map(|s| s.at)
            .collect();
        let Some((grade, timed)) = walk.counted(id, &repairs) else {
            continue;
        };
        let leaks = timed.look.leak.is_some_and(|l| l != Leak::None);
        let gas_or_fuel = matches!(item.fluid, Some(Fluid::Fuel | Fluid::ExhaustGas));
        run.rows.push(LeakRow {
            item: id.to_owned(),
            grade,
            stop: condition.stop_rule(item, life, condition.boat.waters),
            fuel_or_gas: gas_or_fuel && (leaks || grade >= Grade::Failing),
        });
    }
    for phase in &plan.phases {
        let seen = |item: &String| {
            walk.look_in(&phase.id, item)
                .is_some_and(|t| t.look.grade().is_some())
        };
        let any = phase.rows.iter().flat_map(|r| &r.items).any(seen);
        match phase.state {
            PhaseState::NextMorning if !any => {
                let owed = phase.rows.iter().flat_map(|r| &r.items);
                let later = |item: &str| seen_after(condition, walk, item);
                run.owed.extend(
                    owed.filter(|i| !later(i))
                        .map(|i| (i.clone(), "the next morning's look is owed".to_owned())),
                );
            }
            _ if !any => run.phases_skipped.push(phase.title.clone()),
            _ => {}
        }
    }
    let machine = Some(walk.machine.clone());
    // What the run left owed is written down while it goes on or the day after; later rechecks
    // belong to something else.
    let last = walk
        .finished
        .map(|finished| finished + chrono::Duration::hours(24));
    let rechecks = condition.owed(history).filter(|o| {
        let during = o.recheck.at >= walk.at && last.is_some_and(|last| o.recheck.at <= last);
        o.recheck.rec.machine == machine && during
    });
    run.owed
        .extend(rechecks.map(|o| (o.recheck.rec.item.clone(), o.recheck.rec.why.clone())));
    run
}

/// True where an item was graded at least six hours after the walk ended.
fn seen_after(condition: &Condition, walk: &Walk, item: &str) -> bool {
    let Some(finished) = walk.finished else {
        return false;
    };
    let settled = finished + chrono::Duration::hours(6);
    let life = condition.life(item, &walk.machine);
    life.is_some_and(|l| {
        l.standing
            .trail
            .iter()
            .any(|s| !s.repair && s.at >= settled)
    })
}
