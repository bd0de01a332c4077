//! The rows of those tables.

use super::tables::{BoatRow, DefectRow, DueRow, MachineRow, NotCountedRow};
use crate::defects::condition::Condition;
use crate::defects::list::Scenario;
use crate::logbook::book::Book;
use crate::logbook::table::Export;
use crate::service::due as due_rows;

/// The boat and the moment.
pub fn boat(book: &Book, scenario: Scenario) -> BoatRow {
    let boat = book.boat();
    BoatRow {
        name: boat.name.clone(),
        waters: boat.waters,
        units: boat.units,
        hours_per_month: boat.usual_hours_per_month,
        machine: boat.machines.first().map(|m| m.id.clone()),
        written: book.now(),
        plan_hours: scenario.exposure.hours,
        plan_days: scenario.exposure.days,
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

/// Every defect, with its place in the list where it has one.
pub fn defects(condition: &Condition, scenario: Scenario) -> Vec<DefectRow> {
    let ranked = condition.list(scenario, false).rows;
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

/// What is due now and later.
pub fn due(of: &Export<'_>) -> impl Iterator<Item = DueRow> + use<> {
    let rows = due_rows(of.condition, of.history).into_iter();
    rows.map(|row| DueRow {
        what: row.what,
        id: row.id,
        machine: row.machine,
        item: row.item,
        due_hours: row.due_hours,
        due_date: row.due_date,
        hours_left: row.hours_left,
        days_left: row.days_left,
        why: row.why,
    })
}

/// What no answer counts.
pub fn not_counted(condition: &Condition) -> impl Iterator<Item = NotCountedRow> + use<> {
    let told = condition.not_counted().into_iter();
    told.map(|told| NotCountedRow {
        file: told.file,
        line: told.line,
        item: told.item,
        why: told.why,
    })
}
