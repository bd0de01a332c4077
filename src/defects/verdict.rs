//! The word on a walk by what is known of the boat, with the rows that made it.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset};

use super::condition::{Condition, signs};
use super::gate::order;
use super::given_on::FORMER;
use super::history::History;
use super::leak_run::leak_rows;
use super::life::State;
use crate::assess::verdict::{DailyRow, Reason, daily, leak_run, short};
use crate::assess::words::{Severity, Verdict};
use crate::checklist::list::Closing;
use crate::checklist::{EffectKind, Grade, Order};
use crate::walk::{Plan, Walk};

/// Why what a checklist calls for has to be seen.
const UNSEEN: &str = "a clear verdict needs it seen";

/// What stands before the rule: the title of the item with a colon, or nothing where none can be told.
pub fn lead(title: &str) -> String {
    match title {
        "" => String::new(),
        title => format!("{title}: "),
    }
}

/// The verdict of the walk's checklist on a condition, with the rows that made it; none while the
/// walk is unfinished, and none of a machine that the boat has no more.
pub fn verdict(
    condition: &Condition,
    history: &History,
    walk: &Walk,
) -> Option<(Verdict, Vec<Reason>)> {
    verdict_asking(condition, history, walk, condition.plan_of(walk).as_ref())
}

/// The same of a walk that asked what is known already.
pub(super) fn verdict_asking(
    condition: &Condition,
    history: &History,
    walk: &Walk,
    plan: Option<&Plan>,
) -> Option<(Verdict, Vec<Reason>)> {
    let finished = walk.finished?;
    if !condition.has_machine(&walk.machine) {
        return None;
    }
    match condition.list_of(walk)?.closes_with {
        closing @ (Closing::Daily | Closing::Short) => {
            let mut missing = plan.map_or_else(Vec::new, |p| p.must_see_missing(walk));
            missing.retain(|item| !seen_later(condition, walk, item, finished));
            let unseen = missing.into_iter().map(|item| (item, UNSEEN.to_owned()));
            let open = condition.still_open(&walk.machine);
            let beside = condition.ages_against(&walk.machine).into_iter();
            let former = condition.is_former(walk).then(|| FORMER.to_owned());
            let laid_up = condition.laid_up(history, &walk.machine);
            let laid_up = laid_up.map(|laid_up| laid_up.before_running());
            let beside = beside.chain(condition.not_for(walk)).chain(former);
            let beside = beside.chain(laid_up);
            let beside = beside.map(|why| (String::new(), why));
            let wanting: Vec<_> = unseen.chain(open).chain(beside).collect();
            let rows = daily_rows(condition, &walk.machine);
            let doubts = condition.blocking();
            let said = match closing {
                Closing::Short => {
                    let not_asked = not_asked(condition, history, walk, finished);
                    short(&rows, &wanting, &doubts, &not_asked)
                }
                _ => daily(&rows, &wanting, &doubts),
            };
            Some(condition.forbidden(&walk.machine, said, |_| true))
        }
        Closing::LeakRun => Some(leak_run(&leak_rows(condition, history, walk, plan))),
        Closing::Finding => {
            let mut rows = daily_rows(condition, &walk.machine);
            rows.retain(|row| walk.saw(&row.item));
            let mut open = condition.still_open(&walk.machine);
            open.retain(|(item, _)| walk.saw(item));
            // What was not looked at in it says nothing of it, so it is never clear.
            let said = daily(&rows, &open, &[]);
            let said = condition.forbidden(&walk.machine, said, |item| walk.saw(item));
            Some(said).filter(|(word, _)| *word != Verdict::ClearToRun)
        }
        Closing::Season => {
            let mut rows = daily_rows(condition, &walk.machine);
            rows.retain(|row| walk.saw(&row.item));
            let said = daily(&rows, &condition.still_open(&walk.machine), &[]);
            let said = condition.forbidden(&walk.machine, said, |_| true);
            // It asks for her season and not for the day.
            Some(said).filter(|(word, _)| *word != Verdict::ClearToRun)
        }
        Closing::Survey => None,
    }
}

/// Why there is no verdict now on a walk that had one at its end: its machine is gone, or of a finding
/// nothing speaks against running any more.
pub fn gone(condition: &Condition, walk: &Walk) -> &'static str {
    match condition.has_machine(&walk.machine) {
        true => "what was found speaks against running no more",
        false => "the boat has this machine no more",
    }
}

/// Why a finished walk has no verdict where its checklist gives one only for what speaks against
/// running.
pub fn nothing_against(condition: &Condition, walk: &Walk) -> Option<&'static str> {
    match condition.list_of(walk)?.closes_with {
        Closing::Finding => Some("nothing found in it speaks against running"),
        Closing::Season => Some(
            "nothing seen in it and nothing left open speaks against running; whether she is clear a morning check says",
        ),
        _ => None,
    }
}

/// What a verdict would say while a walk goes on, of what is known so far; in a blind walk of what it
/// saw itself.
pub fn so_far(condition: &Condition, walk: &Walk) -> (Verdict, Vec<Reason>) {
    let mut rows = daily_rows(condition, &walk.machine);
    let in_sight = |item: &str| !walk.blind || walk.saw(item);
    rows.retain(|row| in_sight(&row.item));
    let mut open = condition.still_open(&walk.machine);
    open.retain(|(item, _)| in_sight(item));
    let closes = condition.list_of(walk).map(|list| list.closes_with);
    let asks = matches!(closes, Some(Closing::Daily | Closing::Short)) && !walk.blind;
    let beside = condition.ages_against(&walk.machine).into_iter();
    let beside = beside.chain(condition.not_for(walk)).filter(|_| asks);
    open.extend(beside.map(|why| (String::new(), why)));
    let said = daily(&rows, &open, &condition.blocking());
    condition.forbidden(&walk.machine, said, in_sight)
}

/// A full check older than this comes before a short one (judgement).
pub const FULL_CHECK_DAYS: i64 = 7;
/// So do so many running hours since it (judgement).
pub const FULL_CHECK_HOURS: f64 = 25.0;

/// Why the full check comes before a short one at a time: how long the last finished one of a
/// machine is ago then, in words; none where it is fresh.
pub fn full_check_first(
    condition: &Condition,
    history: &History,
    machine: &str,
    now: DateTime<FixedOffset>,
) -> Option<String> {
    let full = |w: &&Walk| w.machine == machine && is_full(condition, w);
    let ended = history.walks.iter().filter(full).filter_map(|w| w.finished);
    let Some(last) = ended.max() else {
        return Some("no full check is on record".to_owned());
    };
    let days = (now - last).num_days();
    if days >= FULL_CHECK_DAYS {
        return Some(format!("the last full check was {days} days ago"));
    }
    let usage = condition.machine_usage(Some(machine));
    let run = usage.between(last, now).hours;
    (run >= FULL_CHECK_HOURS).then(|| format!("she ran about {run:.0} h since the last full check"))
}

/// True for a full check; a guest's is none, since it confirms nothing, nor is a former owner's.
fn is_full(condition: &Condition, walk: &Walk) -> bool {
    let list = condition.library.checklist(&walk.checklist);
    let own = !walk.guest && !condition.is_former(walk);
    own && list.is_some_and(|l| l.closes_with == Closing::Daily)
}

/// The last finished morning check of a machine, full or short, since she came to her owner.
pub fn last_morning<'h>(
    condition: &Condition,
    history: &'h History,
    machine: &str,
) -> Option<&'h Walk> {
    let mut walks = history.walks.iter().rev();
    walks.find(|walk| {
        let closes = condition.list_of(walk).map(|list| list.closes_with);
        let morning = matches!(closes, Some(Closing::Daily | Closing::Short));
        let here = walk.machine == machine && !condition.is_former(walk);
        here && walk.finished.is_some() && morning
    })
}

/// What a short check did not ask of the full one, and how long before its end the last full one was.
fn not_asked(
    condition: &Condition,
    history: &History,
    walk: &Walk,
    finished: DateTime<FixedOffset>,
) -> String {
    let role = condition.role(&walk.machine);
    let rows = condition
        .library
        .checklists_for(role)
        .filter(|list| list.closes_with == Closing::Daily)
        .take(1);
    let rows = rows.flat_map(|list| &list.phases).flat_map(|p| &p.rows);
    let aboard = |item: &&str| condition.has(item, Some(&walk.machine));
    let full: BTreeSet<&str> = rows
        .flat_map(|row| row.items.iter().map(String::as_str))
        .filter(aboard)
        .collect();
    let left = full.iter().filter(|item| !walk.saw(item)).count();
    let done = history.walks.iter().filter(|w| {
        w.machine == walk.machine
            && is_full(condition, w)
            && w.finished.is_some_and(|f| f <= finished)
    });
    let days = done
        .filter_map(|w| Some((finished - w.finished?).num_days()))
        .min();
    let last = match days {
        None => "no full check is on record".to_owned(),
        Some(0) => "last full check less than a day before".to_owned(),
        Some(1) => "last full check a day before".to_owned(),
        Some(days) => format!("last full check {days} days before"),
    };
    format!("these rows only: {left} items of the full check not asked, {last}")
}

/// Every graded item of a machine and of the boat, as the daily rules see it.
fn daily_rows(condition: &Condition, machine: &str) -> Vec<DailyRow> {
    let waters = condition.boat.waters;
    let mut rows = Vec::new();
    for (subject, life) in &condition.lives {
        let here = subject.machine.as_deref().is_none_or(|m| m == machine);
        let Some(item) = condition
            .item(subject)
            .filter(|_| here && !life.status.removed)
        else {
            continue;
        };
        let Some(grade) = condition.counted_grade(subject, item, life) else {
            continue;
        };
        // Only what is a concern can count: sound items seen long ago come under "look again".
        let concern = life.current();
        let stop = condition.stop_rule(subject, item, life, waters);
        let falling = condition.falling(subject, item, life);
        let falling = falling.as_ref();
        let watch = condition.watch_beside(subject, item, life, falling);
        let care = condition.care_beside(subject, item, life, falling);
        let unconfirmed = life.status.unconfirmed;
        let quiet = concern.is_none() && stop.is_none() && watch.is_none() && !unconfirmed;
        let quiet = quiet && care.is_none();
        if quiet && grade == Grade::Sound {
            continue;
        }
        let effects = condition.effects(subject, item);
        let known = condition.known_beside(subject, item, life, falling);
        let reach = known.prognosis(condition.day_ahead()).reach;
        let signs = signs(item, life);
        let counting = || effects.iter().filter(|e| e.counts(&signs));
        rows.push(DailyRow {
            item: subject.item.clone(),
            grade,
            may_run: order(item, life.status.leak, false) == Order::DoNotLeave,
            stop,
            risk: condition
                .consequences(subject, item, life, waters)
                .rate(&reach)
                .risk,
            worst_severity: Severity::worst_of(counting().filter(|e| e.speaks_at(grade)), waters),
            nuisance_only: counting().all(|e| e.effect == EffectKind::Nuisance),
            deferred: concern.is_some_and(|d| condition.state(subject, d) == State::Deferred),
            unconfirmed,
            care,
            watch,
        });
    }
    rows
}

/// True where an item was graded after the walk ended, by no look of its own, and not before a time.
pub(super) fn seen_later(
    condition: &Condition,
    walk: &Walk,
    item: &str,
    from: DateTime<FixedOffset>,
) -> bool {
    let life = condition.life(item, &walk.machine);
    let looks = life.map_or(&[][..], |l| &l.status.trail);
    let later = |at: DateTime<FixedOffset>| walk.finished.is_some_and(|f| at > f && at >= from);
    let own = |at: DateTime<FixedOffset>| walk.looks_at(item).any(|t| t.at == at);
    looks
        .iter()
        .any(|s| !s.repair && !s.too_soon && later(s.at) && !own(s.at))
}
