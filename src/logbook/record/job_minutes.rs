//! How long a job takes, as its owner says.

use super::event::{Event, Grounds, Time, Weight, at_a_time, fault, naming_nothing, on_no_item};
use crate::defects::JobMinutes;
use crate::defects::admit::Fault;
use crate::defects::job_minutes::minutes_fault;
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};
use crate::service::sheet::{known_task, tasked_machine};

impl Event for JobMinutes {
    const NAME: &'static str = "job-minutes";
    const OUTSIDE: Outside = Outside::act::<Self>();
    const CHANGED: Weight = Weight::Said;

    at_a_time!();

    on_no_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        Vec::new()
    }

    naming_nothing!();

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let filled = fill_in(self, grounds).err();
        let minutes = self.minutes.and_then(minutes_fault);
        let minutes = minutes.map(|message| fault("minutes", message));
        filled.into_iter().chain(minutes).collect()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.job_minutes, self)
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        let item = self.item.as_deref().map(title);
        let what = item.or_else(|| self.task.clone()).unwrap_or_default();
        Some(match self.minutes {
            Some(minutes) => format!("said how long it takes: {what}, {minutes} min"),
            None => format!("took back how long it takes: {what}"),
        })
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.job_minutes.iter().map(|s| JobMinutesRow {
            id: s.id.clone(),
            task: s.rec.task.clone(),
            item: s.rec.item.clone(),
            machine: s.rec.machine.clone(),
            at: s.at,
            minutes: s.rec.minutes,
        });
        vec![of.lines(rows)]
    }
}

/// The machine.
fn fill_in(said: &mut JobMinutes, grounds: &Grounds<'_>) -> Result<(), Fault> {
    let condition = grounds.condition;
    let named = said.machine.as_deref();
    said.machine = match (&said.task, &said.item) {
        (Some(task), None) => tasked_machine(condition, known_task(condition, task)?, named)?,
        (None, Some(id)) => condition.subject_of(id, named)?.machine,
        _ => return Err(fault("item", "name an item, or a task")),
    };
    Ok(())
}

tables! {
    /// How long a job takes, as the owner says.
    JobMinutesRow = "job_minutes" key(id) {
        /// Record id.
        id: String,
        /// Id of the task; null for the remedy of an item.
        task: Option<String>,
        /// Catalogue id of the item whose remedy it is; null for a task.
        item: Option<String>,
        /// Machine id; null for what the boat has once.
        machine: Option<String>,
        /// When it was said.
        at: Time,
        /// Minutes in all; null where an earlier figure was taken back.
        minutes: Option<u32>,
    }
}
