//! A task to read before and while it is done, and the other things that fall due.

use crate::checklist::{Capacity, Every, Task};
use crate::defects::condition::Condition;
use crate::defects::{History, Subject};
use crate::service::parts::told_of_parts;
use crate::service::status::standing;
use crate::service::{DueRow, What};

/// The lines of a task on a machine: what to have at hand, then each step with its caution before
/// it, then what follows, and where the interval comes from.
pub fn task(
    condition: &Condition,
    history: &History,
    task: &Task,
    machine: Option<&str>,
    caution: &str,
) -> Vec<String> {
    let standing = standing(condition, history, task, machine);
    let mut lines = vec![
        format!("{}.", standing.why()),
        "The maker's handbook outranks all of this.".to_owned(),
    ];
    lines.push(String::new());
    lines.push(format!("who: {}, {}", task.who, task.place));
    if !task.tools.is_empty() {
        lines.push(format!("tools: {}", task.tools.join(", ")));
    }
    if !task.parts.is_empty() {
        lines.push(format!("parts: {}", task.parts_in_words().join(", ")));
    }
    lines.extend(told_of_parts(condition, history, task, machine));
    if let Some((holds, which)) = capacity(condition, task, machine) {
        lines.push(format!("quantity: the {which} holds {holds}"));
    }
    lines.push(String::new());
    let before = machine.and_then(|id| condition.role(id).caution());
    lines.extend(before.map(|told| format!("{caution} {told}")));
    for (n, step) in task.steps.iter().enumerate() {
        lines.extend(step.caution.as_ref().map(|c| format!("{caution} {c}")));
        lines.push(format!("{} {}", n + 1, step.action));
    }
    lines.push(String::new());
    for (words, items) in [
        ("joints disturbed", &task.disturbs),
        ("new afterwards", &task.renews),
        ("readings begin anew", &task.restarts),
    ] {
        let titles: Vec<&str> = items.iter().map(|i| title(condition, i)).collect();
        if !titles.is_empty() {
            lines.push(format!("{words}: {}", titles.join(", ")));
        }
    }
    for owed in &task.owes {
        let when = match owed.after.running_hours() {
            None => "the next morning".to_owned(),
            Some(hours) if hours < 1.0 => "cold, after the first heat cycle".to_owned(),
            Some(hours) => format!("after {hours} h"),
        };
        let title = title(condition, &owed.item);
        lines.push(format!("owed: {title}, {when}: {}", owed.why));
    }
    if !task.disturbs.is_empty() {
        lines.push("then: a leak run, which begins with these joints".to_owned());
    }
    let done = history.services.iter().rev();
    let done = done.filter(|s| s.rec.task == task.id && s.rec.machine.as_deref() == machine);
    lines.extend(done.map(|s| {
        let hours = s.rec.hours.map(|h| format!(" at {h} h"));
        let filled = s.rec.filled.map(|v| format!(", {v} in"));
        let by = s.rec.by.as_ref().map(|by| format!(", by {by}"));
        let parts = [hours, filled, by].into_iter().flatten();
        format!("done {}{}", s.at.date_naive(), parts.collect::<String>())
    }));
    lines.push(String::new());
    lines.push(format!("interval: ours is {}", every(task)));
    lines.extend(task.range.as_ref().map(|r| format!("practice: {r}")));
    lines.push(format!("source: {}", task.source));
    lines
}

/// The lines of what is no task.
pub fn other(condition: &Condition, row: &DueRow) -> Vec<String> {
    let mut lines = vec![format!("{}.", row.why)];
    let subject = Subject {
        item: row.item.clone(),
        machine: row.machine.clone(),
    };
    if let Some(item) = condition.item(&subject) {
        lines.push(String::new());
        lines.push(format!("look: {}", item.look));
        lines.extend(item.cautions.iter().map(|c| format!("caution: {c}")));
    }
    lines.push(String::new());
    lines.push(match row.what {
        What::Life => "It is recorded as fitted, or as a repair, when it is new.".to_owned(),
        _ => "It joins the next walk by itself.".to_owned(),
    });
    lines
}

/// What a machine holds of what the task fills, in the words it was given.
pub fn capacity(
    condition: &Condition,
    task: &Task,
    machine: Option<&str>,
) -> Option<(String, Capacity)> {
    let machines = &condition.boat.machines;
    let machine = machines.iter().find(|m| Some(m.id.as_str()) == machine)?;
    let which = task.capacity?;
    Some((which.of(machine)?.to_string(), which))
}

/// The task's own interval in words.
fn every(task: &Task) -> String {
    let words = |every: &Every| {
        let hours = every.hours.map(|h| format!("{h} h"));
        let months = every.months.map(|m| format!("{m} months"));
        let bounds: Vec<String> = [hours, months].into_iter().flatten().collect();
        bounds.join(" or ")
    };
    if task.every.is_never() {
        return "when its item asks for it".to_owned();
    }
    let first = match task.first.is_never() {
        true => String::new(),
        false => format!(", at first and after long standing {}", words(&task.first)),
    };
    format!("every {}{first}", words(&task.every))
}

/// The title of a catalogue item, its id where it is not known.
pub fn title<'a>(condition: &'a Condition, item: &'a str) -> &'a str {
    let known = condition.library.catalogue.item(item);
    known.map_or(item, |i| &i.title)
}
