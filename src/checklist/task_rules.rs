//! What a file of service tasks must keep to beyond its shape.

use std::collections::HashSet;

use super::catalogue::Catalogue;
use super::faults::{Faults, blank, id, once, unknown};
use super::part::TaskPart;

use super::task::{Every, Task, TasksFile};
use super::words::Scope;

/// More running hours than this between two services were mistyped.
const MOST_HOURS: u32 = 20_000;
/// More months than this were mistyped: fifty years.
const MOST_MONTHS: u32 = 600;

/// Rules of a file of service tasks; `known` holds the items it may name.
pub(super) fn tasks(file: &TasksFile, known: &Catalogue, faults: &mut Faults) {
    faults.refuse(file.tasks.is_empty(), "tasks", "the file holds no task");
    let mut ids = HashSet::new();
    for (n, task) in file.tasks.iter().enumerate() {
        let base = format!("tasks[{n}]");
        once(
            &mut ids,
            task.id.as_str(),
            &format!("{base}.id"),
            "task",
            faults,
        );
        task_rules(task, &base, known, faults);
    }
}

fn task_rules(task: &Task, base: &str, known: &Catalogue, faults: &mut Faults) {
    task_alone(task, base, faults);
    let at = |field: &str| format!("{base}.{field}");
    items(task, base, known, faults);
    faults.refuse(
        task.scope == Scope::Boat && task.capacity.is_some(),
        &at("capacity"),
        "a capacity belongs to a machine, and the task to the boat",
    );
}

/// Rules of a task that ask nothing of what it names.
pub(super) fn task_alone(task: &Task, base: &str, faults: &mut Faults) {
    let at = |field: &str| format!("{base}.{field}");
    id(&task.id, &at("id"), faults);
    blank(&task.title, &at("title"), faults);
    blank(&task.source, &at("source"), faults);
    faults.refuse(task.steps.is_empty(), &at("steps"), "a task needs a step");
    for (n, step) in task.steps.iter().enumerate() {
        blank(&step.action, &at(&format!("steps[{n}].do")), faults);
        if let Some(caution) = &step.caution {
            blank(caution, &at(&format!("steps[{n}].caution")), faults);
        }
    }
    for (n, text) in task.tools.iter().enumerate() {
        blank(text, &at(&format!("tools[{n}]")), faults);
    }
    parts(&task.parts, base, faults);
    for (field, every) in [("every", task.every), ("first", task.first)] {
        bounds(every, &at(field), faults);
    }
    let longer = [
        (task.first.hours, task.every.hours),
        (task.first.months, task.every.months),
    ];
    let longer = longer
        .iter()
        .any(|(first, every)| first.zip(*every).is_some_and(|(f, e)| f > e));
    faults.refuse(
        longer,
        &at("first"),
        "the first interval is longer than the later ones",
    );
}

/// Each part can be told from the others of its task.
fn parts(parts: &[TaskPart], base: &str, faults: &mut Faults) {
    let mut ids = HashSet::new();
    for (n, part) in parts.iter().enumerate() {
        let at = format!("{base}.parts[{n}]");
        blank(&part.part, &at, faults);
        id(&part.id, &at, faults);
        once(&mut ids, part.id.as_str(), &at, "part", faults);
    }
}

fn items(task: &Task, base: &str, known: &Catalogue, faults: &mut Faults) {
    let at = |field: &str| format!("{base}.{field}");
    item(task, &task.item, &at("item"), known, faults);
    let scope = known.item(&task.item).map(|i| i.scope);
    faults.refuse(
        task.scope == Scope::Machine && scope == Some(Scope::Boat),
        &at("item"),
        "the boat has it once, and the task is each machine's",
    );
    for (field, items) in [
        ("disturbs", &task.disturbs),
        ("renews", &task.renews),
        ("restarts", &task.restarts),
    ] {
        let mut here = HashSet::new();
        for (n, id) in items.iter().enumerate() {
            let at = at(&format!("{field}[{n}]"));
            item(task, id, &at, known, faults);
            once(&mut here, id.as_str(), &at, "item", faults);
        }
    }
    for (n, owed) in task.owes.iter().enumerate() {
        item(
            task,
            &owed.item,
            &at(&format!("owes[{n}].item")),
            known,
            faults,
        );
        blank(&owed.why, &at(&format!("owes[{n}].why")), faults);
    }
}

fn bounds(every: Every, base: &str, faults: &mut Faults) {
    let fits = |value: Option<u32>, most| value.is_none_or(|v| (1..=most).contains(&v));
    faults.refuse(
        !fits(every.hours, MOST_HOURS),
        &format!("{base}.hours"),
        "expected 1 to 20000 hours",
    );
    faults.refuse(
        !fits(every.months, MOST_MONTHS),
        &format!("{base}.months"),
        "expected 1 to 600 months",
    );
}

/// An item has to be known; a task of the whole boat cannot speak of one machine's.
fn item(task: &Task, id: &str, path: &str, known: &Catalogue, faults: &mut Faults) {
    match known.item(id).map(|i| i.scope) {
        None => unknown(
            "item",
            id,
            known.items().iter().map(|i| i.id.as_str()),
            path,
            faults,
        ),
        Some(Scope::Machine) => faults.refuse(
            task.scope == Scope::Boat,
            path,
            "each machine has its own, and the task is the boat's",
        ),
        Some(Scope::Boat) => {}
    }
}
