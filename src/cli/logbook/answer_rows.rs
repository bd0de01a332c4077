//! The rows of those tables: each is what a command answers, by the function the command calls.

use chrono::{Datelike, FixedOffset, Months, NaiveDate, TimeZone};

use super::answer_tables::{
    ChangedRow, CostTotalRow, HourReadingRow, MonthRow, NeededRow, NextLookRow, ReasonRow, TaskRow,
    UnseenRow, VerdictRow,
};
use super::export::Of;
use crate::cli::defects::needed;
use crate::cli::verdict::{is_judged, is_no, last_walk, title_of};
use crate::defects::condition::Condition;
use crate::defects::judged::judge;
use crate::logbook::entries::{Fate, entries};
use crate::logbook::table::{Export, Rows, Time};
use crate::service::calendar::first_of;
use crate::service::parts::parts as known_parts;
use crate::service::standings;

/// All of them.
pub fn tables(from: &Of<'_>, of: &Export<'_>) -> Vec<Rows> {
    let (condition, waters) = (of.condition, of.scenario.waters);
    let (verdicts, reasons) = verdicts(from, of);
    let list = condition.list(of.scenario, false);
    let known = known_parts(condition, of.history);
    let looks = condition.next_looks(waters).into_iter();
    let unseen = list.unseen.iter();
    vec![
        of.lines(verdicts),
        of.lines(reasons),
        of.lines(looks.map(|look| NextLookRow {
            item: look.item,
            machine: look.machine,
            grade: look.grade,
            seen: look.seen,
            due: look.due,
            look_by: look.within.date,
            look_hours: look.within.hours,
        })),
        of.lines(unseen.map(|unseen| UnseenRow {
            item: unseen.item.clone(),
            machine: unseen.machine.clone(),
            chance: unseen.chance,
            severity: unseen.severity,
            risk: unseen.risk,
        })),
        of.lines(tasks(of)),
        of.lines(needed(&list, &known).map(|(row, part, numbers)| NeededRow {
            part: part.to_owned(),
            item: row.item.clone(),
            machine: row.machine.clone(),
            part_id: numbers.as_ref().map(|n| n.part.clone()),
            makers_number: numbers.as_ref().and_then(|n| n.makers_number.clone()),
            fitted_number: numbers.as_ref().and_then(|n| n.fitted_number.clone()),
            words: numbers.map(|n| n.words),
        })),
        of.lines(cost_totals(of)),
        of.lines(readings(condition)),
        of.lines(months(condition)),
        of.lines(changed(from)),
    ]
}

fn verdicts(from: &Of<'_>, of: &Export<'_>) -> (Vec<VerdictRow>, Vec<ReasonRow>) {
    let (mut rows, mut reasons) = (Vec::new(), Vec::new());
    for machine in &of.condition.boat.machines {
        let Some(walk) = last_walk(from.library, of.history, &machine.id, is_judged) else {
            continue;
        };
        let judged = judge(from.boat, from.library, of.history, of.condition, walk);
        rows.push(VerdictRow {
            machine: machine.id.clone(),
            walk: walk.id.clone(),
            checklist: walk.checklist.clone(),
            at_walk: judged.at_walk,
            verdict_now: judged.now,
            is_no: is_no((judged.at_walk, judged.now), true),
        });
        let each = judged.reasons.into_iter().enumerate();
        reasons.extend(each.map(|(n, reason)| ReasonRow {
            machine: machine.id.clone(),
            number: n + 1,
            item: Some(reason.item).filter(|item| !item.is_empty()),
            grade: reason.grade,
            rule: reason.rule,
        }));
    }
    (rows, reasons)
}

fn tasks(of: &Export<'_>) -> Vec<TaskRow> {
    let standings = standings(of.condition, of.history);
    let rows = standings.iter().map(|standing| {
        let (last, read) = standing.last().unzip();
        TaskRow {
            task: standing.task.id.clone(),
            machine: standing.machine.map(str::to_owned),
            title: standing.task.title.clone(),
            item: standing.task.item.clone(),
            every_hours: standing.interval.hours,
            every_months: standing.interval.months,
            last_date: last.map(|at| at.date_naive()),
            last_hours: read.flatten(),
            why: standing.why(),
            who: standing.task.who,
            task_where: standing.task.place,
        }
    });
    rows.collect()
}

fn cost_totals(of: &Export<'_>) -> Vec<CostTotalRow> {
    let list = of.condition.list(of.scenario, false);
    let totals = of.condition.costs(of.history, &list).totals.into_iter();
    let row = |total: crate::defects::costs::CostTotal| CostTotalRow {
        currency: total.currency,
        estimates: total.estimates,
        low: total.low,
        likely: total.likely,
        high: total.high,
        mean: total.mean,
        independent_p10: total.independent.p10,
        independent_p90: total.independent.p90,
        dependent_p10: total.dependent.p10,
        dependent_p90: total.dependent.p90,
    };
    totals.map(row).collect()
}

fn readings(condition: &Condition) -> impl Iterator<Item = HourReadingRow> + '_ {
    condition.boat.machines.iter().flat_map(|machine| {
        let usage = condition.machine_usage(Some(&machine.id));
        usage.readings().iter().map(|(at, total)| HourReadingRow {
            machine: machine.id.clone(),
            at: *at,
            total_hours: *total,
        })
    })
}

fn months(condition: &Condition) -> Vec<MonthRow> {
    let zone = *condition.now.offset();
    let mut rows = Vec::new();
    for machine in &condition.boat.machines {
        let usage = condition.machine_usage(Some(&machine.id));
        let ends = usage.readings().first().zip(usage.last());
        let Some((&(first, _), (last, _))) = ends else {
            continue;
        };
        let mut month = first_of(first.with_timezone(&zone).date_naive());
        while let (Some(begins), Some(next)) = (
            midnight(month, zone),
            month.checked_add_months(Months::new(1)),
        ) {
            if begins > condition.now {
                break;
            }
            let ends = midnight(next, zone).map_or(condition.now, |end| end.min(condition.now));
            rows.push(MonthRow {
                machine: machine.id.clone(),
                month,
                hours: usage.between(begins.max(first), ends).hours,
                carried_on: ends > last,
            });
            month = next;
        }
    }
    rows
}

fn midnight(day: NaiveDate, zone: FixedOffset) -> Option<Time> {
    let at = zone.with_ymd_and_hms(day.year(), day.month(), day.day(), 0, 0, 0);
    at.single()
}

fn changed(from: &Of<'_>) -> Vec<ChangedRow> {
    let all = entries(from.written, &|item| title_of(from.library, item));
    let rows = all.into_iter().filter_map(|entry| {
        let state = entry.fate.name();
        let (was, by) = match entry.fate {
            Fate::Stands => return None,
            Fate::PutRight { was, by } => (Some(was), by),
            Fate::TakenBack(by) | Fate::SetAside(by) => (None, by),
        };
        Some(ChangedRow {
            id: entry.id,
            kind: entry.kind.to_owned(),
            at: entry.at,
            written: entry.written,
            walk: entry.walk,
            item: entry.item,
            machine: entry.machine,
            by: entry.by,
            words: entry.words,
            state,
            was,
            changed_id: by.id,
            changed_at: by.at,
            changed_why: by.why,
            changed_by: by.who,
        })
    });
    rows.collect()
}
