//! When something was last done or fitted, as people remember it.

use super::event::{Event, Grounds, Time, at_a_time, fault, naming_nothing, on_no_item};
use crate::boat::Hours;
use crate::defects::WhenLast;
use crate::defects::admit::{Fault, hours_fault};
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};
use crate::service::sheet::{known_task, tasked_machine};

impl Event for WhenLast {
    const NAME: &'static str = "when-last";
    const OUTSIDE: Outside = Outside::act::<Self>();

    at_a_time!();

    on_no_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        Vec::new()
    }

    naming_nothing!();

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        match fill_in(self, grounds) {
            Ok(()) => faults(self, grounds),
            Err(fault) => vec![fault],
        }
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.when_last, self)
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        let what = self
            .item
            .as_deref()
            .map(title)
            .or_else(|| self.task.clone());
        Some(format!("told when last: {}", what.unwrap_or_default()))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.when_last.iter().map(|s| WhenLastRow {
            id: s.id.clone(),
            task: s.rec.task.clone(),
            item: s.rec.item.clone(),
            machine: s.rec.machine.clone(),
            at: s.at,
            last: s.rec.last,
            hours: s.rec.hours,
        });
        vec![of.lines(rows)]
    }
}

/// The machine, and what the task renews.
fn fill_in(told: &mut WhenLast, grounds: &Grounds<'_>) -> Result<(), Fault> {
    let condition = grounds.condition;
    let named = told.machine.as_deref();
    match (&told.task, &told.item) {
        (Some(task), None) => {
            let task = known_task(condition, task)?;
            told.machine = tasked_machine(condition, task, named)?;
            told.renews.clone_from(&task.renews);
        }
        (None, Some(id)) => {
            let subject = condition.subject_of(id, named)?;
            let item = condition.item(&subject);
            if item.is_none_or(|item| item.life.is_none()) {
                return Err(fault("item", format!("{id} has no life to count")));
            }
            told.machine = subject.machine;
            told.renews.clear();
        }
        _ => return Err(fault("task", "name a task, or an item with a life")),
    }
    Ok(())
}

fn faults(told: &WhenLast, grounds: &Grounds<'_>) -> Vec<Fault> {
    let Some(last) = told.last else {
        let unknown = told
            .hours
            .map(|_| fault("last", "say when the meter showed that"));
        return unknown.into_iter().collect();
    };
    let ahead = (last > grounds.at).then(|| fault("last", "that is yet to come"));
    let machine = told.machine.as_deref();
    let meter = machine.zip(told.hours);
    let meter = meter.and_then(|(machine, h)| hours_fault(grounds.history, machine, h, last));
    ahead.into_iter().chain(meter).collect()
}

tables! {
    /// When something was last done or fitted, as it is remembered.
    WhenLastRow = "when_last" key(id) {
        /// Record id.
        id: String,
        /// Id of the task; null for the life of an item.
        task: Option<String>,
        /// Catalogue id of the item whose life it is; null for a task.
        item: Option<String>,
        /// Machine id; null for what the boat has once.
        machine: Option<String>,
        /// When it was told.
        at: Time,
        /// When it was done or fitted; null where nobody knows.
        last: Option<Time>,
        /// Meter then.
        hours: Option<Hours>,
    }
}
