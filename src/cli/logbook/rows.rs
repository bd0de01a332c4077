//! The rows of an export, from what the records say.

use std::collections::BTreeSet;

use super::tables::{
    BoatRow, CostRow, DefectRow, LookRow, MachineRow, PhotoRow, ReadingRow, RecheckRow,
    ServiceItemRow, ServiceRow, ToldRow, WalkRow, WearRow,
};
use crate::defects::condition::Condition;
use crate::defects::list::Outset;
use crate::defects::verdicts::verdicts;
use crate::defects::{Cost, History, Recheck, Service, Stamped};
use crate::logbook::book::Book;
use crate::walk::look::Outcome;
use crate::walk::{Agreed, TimedLook, Walk};

/// The boat and the moment.
pub fn boat(book: &Book, outset: Outset) -> BoatRow {
    let boat = book.boat();
    BoatRow {
        name: boat.name.clone(),
        waters: boat.waters,
        units: boat.units,
        hours_per_month: boat.usual_hours_per_month,
        machine: boat.machines.first().map(|m| m.id.clone()),
        written: book.now(),
        plan_hours: outset.exposure.hours,
        plan_days: outset.exposure.days,
    }
}

/// Her machines.
pub fn machines(condition: &Condition) -> impl Iterator<Item = MachineRow> + '_ {
    condition.boat.machines.iter().map(|m| {
        let now = condition.meter_now(Some(&m.id));
        MachineRow {
            machine: m.id.clone(),
            name: m.name.clone(),
            role: m.role,
            hours_now: now.hours,
            hours_estimated: now.estimated,
            hours_per_day: condition.rate(Some(&m.id)).per_day,
        }
    })
}

/// Her walks, each judged as at its end.
pub fn walks<'a>(book: &Book, history: &'a History) -> impl Iterator<Item = WalkRow> + 'a {
    let verdicts = verdicts(book.boat(), book.library(), history);
    history
        .walks
        .iter()
        .zip(verdicts)
        .map(|(walk, verdict)| WalkRow {
            walk: walk.id.clone(),
            checklist: walk.checklist.clone(),
            machine: walk.machine.clone(),
            at: walk.at,
            hours: walk.hours,
            by: walk.by.clone(),
            finished: walk.finished,
            entered_after: walk.entered_after,
            blind: walk.was_blind(),
            runs: agreed(walk, |a| &a.runs),
            may_open: agreed(walk, |a| &a.may_open),
            samples: agreed(walk, |a| &a.samples),
            full_throttle: agreed(walk, |a| &a.full_throttle),
            verdict,
        })
}

fn agreed(walk: &Walk, answer: impl Fn(&Agreed) -> &Option<String>) -> Option<String> {
    walk.agreed.as_ref().and_then(|a| answer(a).clone())
}

/// Who was told of what in a walk, item by item.
pub fn told(walk: &Walk) -> impl Iterator<Item = ToldRow> + '_ {
    walk.told.iter().flat_map(move |told| {
        told.items.iter().map(|item| ToldRow {
            walk: walk.id.clone(),
            item: item.clone(),
            whom: told.whom.clone(),
            at: told.at,
        })
    })
}

/// A look.
pub fn look(walk: &Walk, timed: &TimedLook) -> LookRow {
    let look = &timed.look;
    let (not_seen, close_by) = match &look.outcome {
        Outcome::Graded(_) => (None, None),
        Outcome::NotSeen { why, close_by } => (Some(why.clone()), close_by.clone()),
    };
    LookRow {
        look: timed.id.clone(),
        walk: walk.id.clone(),
        item: look.item.clone(),
        machine: walk.machine.clone(),
        phase: look.phase.clone(),
        at: timed.at,
        grade: look.grade(),
        not_seen,
        close_by,
        leak: look.leak,
        said: look.said.clone(),
        note: look.note.clone(),
        grade_reason: look.grade_reason.clone(),
        better: look.better,
        at_rpm: look.at_rpm,
        added_litres: look.added.map(|v| v.litres()),
    }
}

/// What was measured at a look, if anything was.
pub fn reading(walk: &Walk, timed: &TimedLook) -> Option<ReadingRow> {
    let measure = timed.look.reading?;
    Some(ReadingRow {
        look: timed.id.clone(),
        item: timed.look.item.clone(),
        machine: walk.machine.clone(),
        at: timed.at,
        value: measure.value(),
        unit: measure.unit(),
        base_value: measure.unit().to_base(measure.value()),
    })
}

/// The marks of wear seen at a look.
pub fn wear<'a>(walk: &'a Walk, timed: &'a TimedLook) -> impl Iterator<Item = WearRow> + 'a {
    timed.look.wear.iter().map(|wear| WearRow {
        look: timed.id.clone(),
        item: timed.look.item.clone(),
        machine: walk.machine.clone(),
        at: timed.at,
        mark: wear.mark,
        place: wear.r#where.clone(),
        against: wear.against.clone(),
    })
}

/// The pictures named at a look.
pub fn photos(timed: &TimedLook) -> impl Iterator<Item = PhotoRow> + '_ {
    timed.look.photos.iter().map(|photo| PhotoRow {
        look: timed.id.clone(),
        path: photo.path.clone(),
        caption: photo.caption.clone(),
        kept: photo.kept.clone(),
        bytes: photo.bytes,
    })
}

/// Every defect, with its place in the list where it has one.
pub fn defects(condition: &Condition, outset: Outset) -> Vec<DefectRow> {
    let ranked = condition.list(outset, false).rows;
    let mut rows = Vec::new();
    for (subject, life) in &condition.lives {
        for (n, defect) in life.defects.iter().enumerate() {
            // Only the last defect of an item can be living.
            let listed = ranked
                .iter()
                .filter(|_| n + 1 == life.defects.len())
                .find(|row| row.item == subject.item && row.machine == subject.machine);
            let item = condition.item(subject);
            rows.push(DefectRow {
                item: subject.item.clone(),
                machine: subject.machine.clone(),
                title: item.map(|i| i.title.clone()),
                kind: item.map(|i| i.kind),
                station: item.map(|i| i.station.clone()),
                number: n + 1,
                state: condition.state(subject, defect),
                opened: defect.opened,
                looks: defect.looks,
                worse_since: defect.worse_since,
                reopened: defect.reopened,
                repaired: defect.repaired_at,
                confirmed: defect.confirmed_at,
                withdrawn_why: defect.withdrawn_why.clone(),
                rank: listed.map(|row| row.rank),
                chance: listed.map(|row| row.chance),
                severity: listed.map(|row| row.severity),
                level: listed.map(|row| row.level),
                risk: listed.map(|row| row.risk),
                stop: listed.map(|row| row.stop),
                fix_by: listed.and_then(|row| row.fix_within?.date),
            });
        }
    }
    rows
}

/// Looks owed, with whether they still are.
pub fn rechecks(history: &History, condition: &Condition) -> Vec<RecheckRow> {
    let open: Vec<&str> = condition
        .owed(history)
        .map(|owed| owed.recheck.id.as_str())
        .collect();
    let row = |s: &Stamped<Recheck>| RecheckRow {
        id: s.id.clone(),
        item: s.rec.item.clone(),
        machine: s.rec.machine.clone(),
        at: s.at,
        due_at: s.rec.due_at,
        due_hours: s.rec.due_hours,
        why: s.rec.why.clone(),
        open: open.contains(&s.id.as_str()),
    };
    history.rechecks.iter().map(row).collect()
}

/// Estimates, with whether they count.
pub fn costs(history: &History, condition: &Condition, outset: Outset) -> Vec<CostRow> {
    let list = condition.list(outset, false);
    let counting = condition.costs(history, &list).rows;
    let counts = |s: &Stamped<Cost>| {
        counting
            .iter()
            .any(|row| row.estimate.as_ref().is_some_and(|e| e.id == s.id))
    };
    let row = |s: &Stamped<Cost>| {
        let hours = s.rec.labour.map(|l| l.hours);
        CostRow {
            id: s.id.clone(),
            item: s.rec.item.clone(),
            machine: s.rec.machine.clone(),
            at: s.at,
            low: s.rec.low,
            likely: s.rec.likely,
            high: s.rec.high,
            labour_low: hours.map(|h| h[0]),
            labour_likely: hours.map(|h| h[1]),
            labour_high: hours.map(|h| h[2]),
            labour_rate: s.rec.labour.map(|l| l.rate),
            currency: s.rec.currency.clone(),
            note: s.rec.note.clone(),
            counts: counts(s),
        }
    };
    history.costs.iter().map(row).collect()
}

/// A service.
pub fn service(s: &Stamped<Service>) -> ServiceRow {
    let rec = &s.rec;
    ServiceRow {
        id: s.id.clone(),
        task: rec.task.clone(),
        machine: rec.machine.clone(),
        at: s.at,
        hours: rec.hours,
        out_litres: rec.out.map(|v| v.litres()),
        in_litres: rec.filled.map(|v| v.litres()),
        parts: (!rec.parts.is_empty()).then(|| rec.parts.join("; ")),
        turn: rec.turn.clone(),
        cost: rec.cost,
        note: rec.note.clone(),
        by: rec.by.clone(),
    }
}

/// What a service opened, renewed or restarted.
pub fn service_items(s: &Stamped<Service>) -> impl Iterator<Item = ServiceItemRow> + '_ {
    let rec = &s.rec;
    let lists = [&rec.disturbed, &rec.renewed, &rec.restarted];
    let items: BTreeSet<&String> = lists.into_iter().flatten().collect();
    items.into_iter().map(move |item| ServiceItemRow {
        service: s.id.clone(),
        item: item.clone(),
        disturbed: rec.disturbed.contains(item),
        renewed: rec.renewed.contains(item),
        restarted: rec.restarted.contains(item),
    })
}
