//! What is due while nobody knows its age, told as done on a day: lines for `record`.

use handlamp::checklist::{Library, Scope, UnknownAge};
use serde_json::{Value, json};

/// One line for each such task of each machine, and of the boat.
pub fn told(machines: &[&str], last: &str, at: &str) -> String {
    let tasks = Library::built_in().tasks().iter();
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
