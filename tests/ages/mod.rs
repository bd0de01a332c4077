//! What is due while nobody knows its age, told as done on a day: lines for `record`.

use handlamp::boat::Role;
use handlamp::checklist::{Library, Scope, UnknownAge};
use serde_json::{Value, json};

/// One line for each such task of each machine that drives the boat, and of the boat.
pub fn told(machines: &[&str], last: &str, at: &str) -> String {
    told_of(Role::Propulsion, machines, last, at)
}

/// The same of machines in a role.
pub fn told_of(role: Role, machines: &[&str], last: &str, at: &str) -> String {
    let library = Library::built_in();
    let asked = |item: &str| library.catalogue.item(item).expect("known").is_for(role);
    let tasks = library.tasks().iter().filter(|t| asked(&t.item));
    let due = tasks.filter(|t| t.unknown_age == UnknownAge::Due && !t.every.is_never());
    let line = |task: &str, machine: Option<&str>| {
        let mut line = json!({"type": "when-last", "task": task, "at": at, "last": last});
        if let Some(machine) = machine {
            line["machine"] = Value::from(machine);
        }
        format!("{line}\n")
    };
    due.flat_map(|task| match task.scope {
        Scope::Machine => machines
            .iter()
            .map(|m| line(&task.id, Some(m)))
            .collect::<Vec<_>>(),
        Scope::Boat => vec![line(&task.id, None)],
    })
    .collect()
}
