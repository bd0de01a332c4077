//! When the next look is due.

use std::collections::HashSet;

use super::{DueRow, What};
use crate::assess::due::Due;
use crate::boat::Hours;
use crate::defects::Subject;
use crate::defects::condition::Condition;
use crate::defects::list::Scenario;
use crate::defects::wait::Wait;

/// The next look at each row of the defect list, and at what the daily walk does not ask by itself.
pub(super) fn rows(condition: &Condition) -> Vec<DueRow> {
    let (exposure, waters) = condition.usual_plan();
    let list = condition.list(Scenario::new(exposure, waters), false);
    let mut told = HashSet::new();
    let mut rows = Vec::new();
    for row in list.rows {
        let subject = Subject {
            item: row.item,
            machine: row.machine,
        };
        told.insert(subject.clone());
        if let Some(wait) = row.look_again_within {
            let why = format!("{}: look again before it gets worse", row.grade);
            rows.push(look_row(condition, subject, &wait, why));
        }
    }
    for machine in &condition.boat.machines {
        for look in condition.next_looks_beside_the_daily_walk(&machine.id) {
            let subject = Subject {
                item: look.item,
                machine: look.machine,
            };
            if told.insert(subject.clone()) {
                let why = format!("{}, seen {}", look.grade, look.seen.format("%-d %b %Y"));
                rows.push(look_row(condition, subject, &look.within, why));
            }
        }
    }
    rows
}

/// A look that may wait so long.
fn look_row(condition: &Condition, subject: Subject, wait: &Wait, why: String) -> DueRow {
    let machine = subject.machine.as_deref();
    let (now, _) = condition.moment(machine, condition.now, None);
    // The meter at the end of the wait, which stays where it is as the days go by.
    let total = match (wait.at, wait.hours) {
        (_, None) => None,
        (Some(at), _) => Some(condition.moment(machine, at, None).0.total),
        (None, Some(hours)) => {
            Some(now.total + Hours::from_thousandths((hours * 1000.0).round() as i64))
        }
    };
    let due = Due::at(total, None, now, condition.pace(machine));
    let id = subject.item.clone();
    let mut row = DueRow::of(condition, What::Look, &id, subject, Some(due));
    // The wait counts standing too, so its own date holds.
    row.due_date = wait.date;
    row.days_left = wait.date.map(|date| {
        let today = condition.now.date_naive();
        (date - today).num_days() as f64
    });
    row.about = true;
    row.due = wait.over;
    row.why = why;
    row
}
