//! The rows of those tables.

use std::collections::BTreeSet;

use super::tables::{BoatRow, DefectRow, DueRow, ItemRow, MachineRow, NotCountedRow};
use crate::boat::Boat;
use crate::checklist::Library;
use crate::defects::condition::Condition;
use crate::defects::list::{Row, Scenario};
use crate::defects::{State, Subject};
use crate::logbook::table::Export;
use crate::service::due as due_rows;

/// The boat and the moment.
pub fn boat(boat: &Boat, of: &Export<'_>) -> BoatRow {
    let scenario = of.scenario;
    BoatRow {
        name: boat.name.clone(),
        waters: boat.waters,
        units: boat.units,
        hours_per_month: boat.usual_hours_per_month,
        machine: boat.machines.first().map(|m| m.id.clone()),
        written: of.condition.now,
        plan_hours: scenario.exposure.hours,
        plan_days: scenario.exposure.days,
        day: of.condition.now.date_naive(),
        not_counted: of.condition.not_counted().len(),
    }
}

/// Her machines, and those that records name and she has no more.
pub fn machines(condition: &Condition, named: &BTreeSet<String>) -> Vec<MachineRow> {
    let aboard = condition.boat.machines.iter().map(|m| {
        let now = condition.meter_now(Some(&m.id));
        MachineRow {
            machine: m.id.clone(),
            name: m.name.clone(),
            role: Some(m.role),
            hours_now: Some(now.hours),
            hours_estimated: Some(now.estimated),
            hours_per_day: Some(condition.rate(Some(&m.id)).per_day),
            aboard: true,
        }
    });
    let gone = named.iter().filter(|id| !condition.has_machine(id));
    let gone = gone.map(|id| MachineRow {
        machine: id.clone(),
        name: id.clone(),
        role: None,
        hours_now: None,
        hours_estimated: None,
        hours_per_day: None,
        aboard: false,
    });
    aboard.chain(gone).collect()
}

/// What the catalogue says of the items named.
pub fn items(library: &Library, named: &BTreeSet<String>) -> Vec<ItemRow> {
    let row = |id: &String| {
        let item = library.catalogue.item(id);
        let station = item.map(|i| i.station.as_str());
        ItemRow {
            item: id.clone(),
            title: item.map(|i| i.title.clone()),
            kind: item.map(|i| i.kind),
            scope: item.map(|i| i.scope),
            station: station.map(str::to_owned),
            station_title: station
                .and_then(|s| library.catalogue.station(s))
                .map(|s| s.title.clone()),
            station_rank: station.and_then(|s| library.catalogue.station_rank(s)),
        }
    };
    named.iter().map(row).collect()
}

/// Every defect, with its place in the list where it has one, and every row of the list.
pub fn defects(condition: &Condition, scenario: Scenario) -> Vec<DefectRow> {
    let ranked = condition.list(scenario, false).rows;
    let mut rows = Vec::new();
    for (subject, life) in &condition.lives {
        let mut listed = ranked
            .iter()
            .find(|row| row.item == subject.item && row.machine == subject.machine);
        for (n, defect) in life.defects.iter().enumerate() {
            let mut row = DefectRow::of(condition, subject);
            row.number = n + 1;
            row.state = condition.state(subject, defect);
            row.opened = defect.opened;
            row.looks = defect.looks;
            row.worse_since = defect.worse_since;
            row.reopened = defect.reopened;
            row.repaired = defect.repaired_at;
            row.confirmed = defect.confirmed_at;
            row.withdrawn_why.clone_from(&defect.withdrawn_why);
            // Only the last defect of an item can be living, and then the list speaks of it.
            let living = n + 1 == life.defects.len() && life.current().is_some();
            if let Some(found) = listed.take_if(|_| living) {
                row.take(found);
            }
            rows.push(row);
        }
        if let Some(found) = listed {
            let mut row = DefectRow::of(condition, subject);
            row.state = found.state;
            row.opened = found.opened;
            row.looks = found.looks;
            row.worse_since = found.worse_since;
            row.take(found);
            rows.push(row);
        }
    }
    rows
}

impl DefectRow {
    /// A row of an item of which nothing else is known yet.
    fn of(condition: &Condition, subject: &Subject) -> DefectRow {
        let item = condition.item(subject);
        DefectRow {
            item: subject.item.clone(),
            machine: subject.machine.clone(),
            title: item.map(|i| i.title.clone()),
            kind: item.map(|i| i.kind),
            station: item.map(|i| i.station.clone()),
            number: 0,
            state: State::Open,
            opened: condition.now,
            looks: 0,
            worse_since: None,
            reopened: 0,
            repaired: None,
            confirmed: None,
            withdrawn_why: None,
            rank: None,
            chance: None,
            severity: None,
            level: None,
            risk: None,
            stop: None,
            fix_by: None,
            fix_hours: None,
            grade: None,
            last_look: None,
            code: None,
            effect: None,
            why: None,
            stop_rule: None,
            remedy: None,
            who: None,
            remedy_where: None,
            parts: None,
            look_by: None,
            look_hours: None,
            deferred_until: None,
            deferred_why: None,
        }
    }

    /// What the list says of it.
    fn take(&mut self, listed: &Row) {
        let deferred = listed.deferred.as_ref();
        self.rank = Some(listed.rank);
        self.chance = Some(listed.chance);
        self.severity = Some(listed.severity);
        self.level = Some(listed.level);
        self.risk = Some(listed.risk);
        self.stop = Some(listed.stop);
        self.fix_by = listed.fix_within.and_then(|wait| wait.date);
        self.fix_hours = listed.fix_within.and_then(|wait| wait.hours);
        self.grade = Some(listed.grade);
        self.last_look = listed.last_look;
        self.code = Some(listed.code.clone());
        self.effect = Some(listed.effect);
        self.why = Some(listed.why.clone());
        self.stop_rule.clone_from(&listed.stop_rule);
        self.remedy = Some(listed.remedy.action.clone());
        self.who = Some(listed.remedy.who);
        self.remedy_where = Some(listed.remedy.place);
        self.parts = (!listed.parts.is_empty()).then(|| listed.parts.join("; "));
        self.look_by = listed.look_again_within.and_then(|wait| wait.date);
        self.look_hours = listed.look_again_within.and_then(|wait| wait.hours);
        self.deferred_until = deferred.map(|d| d.until.to_string());
        self.deferred_why = deferred.map(|d| d.why.clone());
    }
}

/// What is due now and later.
pub fn due(of: &Export<'_>) -> Vec<DueRow> {
    let row = |row: crate::service::DueRow| DueRow {
        who: row.who,
        due_where: row.place,
        title: row.title,
        due: row.due,
        about: row.about,
        on_record: row.on_record,
        unknown_age: row.unknown_age,
        what: row.what,
        id: row.id,
        machine: row.machine,
        item: row.item,
        due_hours: row.due_hours,
        due_date: row.due_date,
        hours_left: row.hours_left,
        days_left: row.days_left,
        why: row.why,
    };
    due_rows(of.condition, of.history)
        .into_iter()
        .map(row)
        .collect()
}

/// What no answer counts.
pub fn not_counted(condition: &Condition) -> impl Iterator<Item = NotCountedRow> + use<> {
    let told = condition.not_counted().into_iter();
    told.map(|told| NotCountedRow {
        sentence: told.sentence(),
        file: told.file,
        line: told.line,
        item: told.item,
        why: told.why,
    })
}
