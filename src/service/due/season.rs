//! What is due of a machine that is laid up: to be looked at every month, and what the calendar ends
//! meanwhile by the time she is launched.

use super::{DueRow, What};
use crate::assess::due::Due;
use crate::boat::Hours;
use crate::defects::condition::Condition;
use crate::defects::season::{LOOK_EVERY_DAYS, LaidUp, STANDING};
use crate::defects::{History, Subject};

/// Where water shows first in a boat that stands.
const FIRST_LOOKED_AT: &str = "bilge-water";

/// Puts the looks at machines laid up in, and marks what is due at launch.
pub(super) fn put_in(condition: &Condition, history: &History, rows: &mut Vec<DueRow>) {
    for machine in &condition.boat.machines {
        let Some(laid_up) = condition.laid_up(history, &machine.id) else {
            continue;
        };
        for row in rows.iter_mut() {
            let hers = row.machine.as_deref() == Some(machine.id.as_str());
            let worked = matches!(row.what, What::Task | What::Life) && row.unknown_age.is_none();
            let by_hours = row.hours_left.is_some_and(|left| left <= 0.0);
            row.at_launch |= hers && worked && !by_hours;
        }
        rows.push(look(condition, &machine.id, &laid_up));
    }
}

/// The next look at a machine that stands.
fn look(condition: &Condition, machine: &str, laid_up: &LaidUp) -> DueRow {
    let (now, _) = condition.moment(Some(machine), condition.now, None);
    let pace = condition.pace(Some(machine));
    let due = Due::at(None::<Hours>, Some(laid_up.next_look()), now, pace);
    let subject = Subject {
        item: FIRST_LOOKED_AT.to_owned(),
        machine: Some(machine.to_owned()),
    };
    let list = condition.library.checklist(STANDING);
    let title = list.map_or(STANDING, |list| list.title.as_str());
    DueRow {
        title: title.to_owned(),
        why: format!(
            "{}; looked at every {LOOK_EVERY_DAYS} days while she stands",
            laid_up.words()
        ),
        ..DueRow::of(condition, What::Standing, STANDING, subject, Some(due))
    }
}
