//! What comes due, as the question before leaving takes it.

use super::due::{DueRow, What, due};
use crate::defects::History;
use crate::defects::condition::Condition;
use crate::defects::leaving_due::{Coming, Sort};

/// What comes due on a machine and on the boat; on all machines without one.
pub fn coming(condition: &Condition, history: &History, machine: Option<&str>) -> Vec<Coming> {
    let asked = |row: &DueRow| {
        let own = row.machine.as_deref();
        machine.is_none_or(|machine| own.is_none_or(|own| own == machine))
    };
    let rows = due(condition, history).into_iter();
    rows.filter(asked).map(Coming::from).collect()
}

impl From<DueRow> for Coming {
    fn from(row: DueRow) -> Coming {
        Coming {
            sort: match row.what {
                What::Task => Sort::Task,
                What::Recheck | What::Standing => Sort::Recheck,
                What::Look => Sort::Look,
                What::Life => Sort::Life,
            },
            id: row.id,
            title: row.title,
            item: row.item,
            machine: row.machine,
            hours_left: row.hours_left,
            days_left: row.days_left,
            about: row.about,
            due: row.due,
            unknown_age: row.unknown_age,
            why: row.why,
        }
    }
}
