//! The verdict on a walk, as at the walk and as of now.

use chrono::{DateTime, Duration, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::HashSet;
use std::sync::Arc;

use super::condition::Condition;
use super::history::History;
use super::life::State;
use crate::assess::verdict::{DailyRow, LeakRow, LeakRun, Reason, daily, leak_run};
use crate::assess::words::{Severity, Verdict};
use crate::boat::Boat;
use crate::checklist::list::Closing;
use crate::checklist::{EffectKind, Fluid, Grade, Library, PhaseState};
use crate::walk::Walk;

/// A row that made a verdict. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Ground {
    /// Item id; empty where a whole phase is meant.
    pub item: String,
    /// Its grade, where it has one.
    pub grade: Option<Grade>,
    /// The rule, in words.
    pub rule: String,
}

/// An item of the walk that was not seen. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
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

/// The verdict of the walk's checklist on a condition, with the rows that made it; none while the
/// walk is unfinished.
pub fn verdict(
    condition: &Condition,
    history: &History,
    walk: &Walk,
) -> Option<(Verdict, Vec<Reason>)> {
    walk.finished?;
    match condition.library.checklist(&walk.checklist)?.closes_with {
        Closing::Daily => {
            let plan = condition.plan_of(walk);
            let mut missing = plan.map_or_else(Vec::new, |p| p.must_see_missing(walk));
            missing.retain(|item| !seen_later(condition, walk, item, Duration::zero()));
            Some(daily(&daily_rows(condition, &walk.machine), &missing))
        }
        Closing::LeakRun => Some(leak_run(&leak_rows(condition, history, walk))),
        Closing::Survey => None,
    }
}

/// Every graded item of a machine and of the boat, as the daily rules see it.
fn daily_rows(condition: &Condition, machine: &str) -> Vec<DailyRow> {
    let waters = condition.boat.waters;
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
        let unconfirmed = life.standing.unconfirmed;
        let quiet = concern.is_none() && stop.is_none() && watch.is_none() && !unconfirmed;
        if quiet && grade == Grade::Sound {
            continue;
        }
        rows.push(DailyRow {
            item: subject.item.clone(),
            grade,
            stop,
            risk: condition
                .stakes(subject, item, life, waters)
                .rate(chance)
                .risk,
            worst_severity: Severity::worst_of(condition.effects(subject, item), waters),
            nuisance_only: item
                .effects
                .iter()
                .all(|e| e.effect == EffectKind::Nuisance),
            deferred: concern.is_some_and(|d| condition.state(subject, d) == State::Deferred),
            unconfirmed,
            watch,
        });
    }
    rows
}

/// A leak run as its rules see it on a condition: what it asked as it stands then, what anything on
/// the machine forbids, and what is still owed. A later look (the next morning's) thus settles what
/// was owed, and a leak found later takes the sign-off back.
fn leak_rows(condition: &Condition, history: &History, walk: &Walk) -> LeakRun {
    let mut run = LeakRun::default();
    let Some(plan) = condition.plan_of(walk) else {
        return run;
    };
    let asked: HashSet<&str> = plan.spots().filter_map(|s| plan.item(s)).collect();
    for (subject, life) in &condition.lives {
        let here = subject.machine.as_ref().is_none_or(|m| *m == walk.machine);
        let standing = &life.standing;
        let known = standing.grade.filter(|_| here && !standing.removed);
        let Some((item, grade)) = condition.item(subject).zip(known) else {
            continue;
        };
        let stop = condition.stop_rule(item, life, condition.boat.waters);
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
    for phase in &plan.phases {
        let items = phase.rows.iter().flat_map(|r| &r.items);
        let unseen = items.filter(|item| {
            let look = walk.look_in(&phase.id, item);
            look.is_none_or(|t| t.look.grade().is_none())
        });
        if phase.state == PhaseState::NextMorning {
            let owed = unseen.filter(|i| !seen_later(condition, walk, i, A_NIGHT));
            let why = "the next morning's look is owed";
            run.owed.extend(owed.map(|i| (i.clone(), why.to_owned())));
        } else if unseen.count() == phase.rows.iter().map(|r| r.items.len()).sum::<usize>() {
            run.phases_skipped.push(phase.title.clone());
        }
    }
    // What the run left owed is written down while it goes on or the day after; later rechecks
    // belong to something else.
    let last = walk.finished.map(|finished| finished + Duration::hours(24));
    let owed = condition.owed(history).map(|o| o.recheck);
    let during = owed.filter(|r| r.at >= walk.at && last.is_some_and(|last| r.at <= last));
    let rechecks = during.map(|r| &r.rec).filter(|r| {
        let here = r.machine.as_ref().is_none_or(|m| *m == walk.machine);
        here && asked.contains(r.item.as_str())
    });
    run.owed
        .extend(rechecks.map(|r| (r.item.clone(), r.why.clone())));
    run
}

/// A look this long after the walk counts as the next morning's (judgement).
const A_NIGHT: Duration = Duration::hours(6);

/// True where an item was graded at least so long after the walk ended.
fn seen_later(condition: &Condition, walk: &Walk, item: &str, after: Duration) -> bool {
    let life = condition.life(item, &walk.machine);
    let looks = life.map_or(&[][..], |l| &l.standing.trail);
    let later =
        |at: DateTime<FixedOffset>| walk.finished.is_some_and(|f| at > f && at - f >= after);
    looks.iter().any(|s| !s.repair && later(s.at))
}
