//! `service show`.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Serialize;
use serde_json::json;

use super::list::ServiceRow;
use crate::checklist::Library;
use crate::checklist::Task;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::page::Page;
use crate::cli::verdict::title_of;
use crate::logbook::book::Book;
use crate::service::parts::told_of_parts;
use crate::service::sheet::known_task;
use crate::service::standings;

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct ServiceShowBody {
    /// The task; null where this program does not know that of the service.
    #[schemars(schema_with = "task_in_words")]
    task: Option<Task>,
    /// How often and since when, one sentence for each machine; empty where a service was asked for.
    why: Vec<String>,
    /// The service asked for, or all of the task, newest first.
    services: Vec<ServiceRow>,
}

/// A task as it is answered: its parts in words, their ids and numbers are on the parts page.
fn task_in_words(generator: &mut SchemaGenerator) -> Schema {
    let mut task = Task::json_schema(generator);
    let parts = task.ensure_object().get_mut("properties");
    if let Some(parts) = parts.and_then(|fields| fields.get_mut("parts")) {
        parts["items"] = json!({"type": "string"});
    }
    json_schema!({"anyOf": [task, {"type": "null"}]})
}

/// Runs the command.
///
/// # Errors
/// Neither a task nor a service has this id.
pub fn run(id: &str, cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    let library = book.library();
    if let Some(service) = history.service(id) {
        let body = ServiceShowBody {
            task: library
                .task(&service.rec.task)
                .cloned()
                .map(Task::with_parts_in_words),
            why: Vec::new(),
            services: vec![ServiceRow::of(library, service)],
        };
        return Ok(cx.form.answer("service-show", &body, |page| {
            body.services
                .iter()
                .for_each(|row| write_service(page, &book, row));
        }));
    }
    let task = known_task(&condition, id)
        .map_err(|fault| Failure::of_act(vec![fault], &[("task", "TASK")]))?;
    let several = book.boat().machines.len() > 1;
    let why = standings(&condition, &history)
        .iter()
        .filter(|s| s.task.id == task.id)
        .map(|s| match s.machine.filter(|_| several) {
            Some(machine) => format!("{machine}: {}", s.why()),
            None => s.why(),
        })
        .collect();
    let done = history
        .services
        .iter()
        .rev()
        .filter(|s| s.rec.task == task.id);
    let machines = standings(&condition, &history).into_iter();
    let machines = machines.filter(|s| s.task.id == task.id);
    let roles = machines.filter_map(|s| Some(condition.role(s.machine?)));
    let mut cautions: Vec<&str> = roles.filter_map(|role| role.caution()).collect();
    cautions.dedup();
    let body = ServiceShowBody {
        task: Some(task.clone().with_parts_in_words()),
        why,
        services: done.map(|s| ServiceRow::of(library, s)).collect(),
    };
    Ok(cx.form.answer("service-show", &body, |page| {
        write_task(page, library, task, (&body.why, &cautions));
        let machines = book.boat().machines.iter().map(|m| Some(m.id.as_str()));
        let places = machines.chain([None]);
        let known: Vec<String> = places
            .flat_map(|machine| told_of_parts(&condition, &history, task, machine))
            .collect();
        if !known.is_empty() {
            page.blank();
            page.line("Parts known:");
            known.iter().for_each(|told| page.hang("  ", told));
        }
        if !body.services.is_empty() {
            page.blank();
            page.line("Done:");
            for row in &body.services {
                let hours = row
                    .hours
                    .map_or_else(|| "meter not read".to_owned(), |hours| format!("{hours} h"));
                page.line(format!("  {}  {hours}  {}", row.at.date_naive(), row.id));
            }
        }
    }))
}

/// A task for people: what is needed, then each step with its caution before it.
fn write_task(
    page: &mut Page,
    library: &Library,
    task: &Task,
    (why, cautions): (&[String], &[&str]),
) {
    let titles = |items: &[String]| {
        let titles: Vec<String> = items.iter().map(|item| title_of(library, item)).collect();
        titles.join(", ")
    };
    page.line(&task.title);
    for why in why {
        page.hang("  ", format!("{why}."));
    }
    if let Some(range) = &task.range {
        page.hang("  practice: ", range);
    }
    page.hang("  source: ", &task.source);
    page.hang("  who: ", format!("{}, {}", task.who, task.place));
    if !task.parts.is_empty() {
        page.hang("  parts: ", task.parts_in_words().join(", "));
    }
    if !task.tools.is_empty() {
        page.hang("  tools: ", task.tools.join(", "));
    }
    page.blank();
    for caution in cautions {
        page.hang("    ! ", format!("Generator. {caution}"));
    }
    for (n, step) in task.steps.iter().enumerate() {
        if let Some(caution) = &step.caution {
            page.hang("    ! ", caution);
        }
        page.hang(&format!("{:>3} ", n + 1), &step.action);
    }
    page.blank();
    if !task.disturbs.is_empty() {
        page.hang("  disturbs: ", titles(&task.disturbs));
    }
    if !task.renews.is_empty() {
        page.hang("  new afterwards: ", titles(&task.renews));
    }
    for owed in &task.owes {
        let when = match owed.after.running_hours() {
            None => "the next morning".to_owned(),
            Some(hours) if hours < 1.0 => "cold, after the first heat cycle".to_owned(),
            Some(hours) => format!("after {hours} h"),
        };
        let title = title_of(library, &owed.item);
        page.hang("  owed: ", format!("{title}, {when}: {}", owed.why));
    }
    page.paragraph("The maker's handbook outranks all of this.");
}

fn write_service(page: &mut Page, book: &Book, row: &ServiceRow) {
    let titles = |items: &[String]| {
        let titles: Vec<String> = items
            .iter()
            .map(|item| title_of(book.library(), item))
            .collect();
        titles.join(", ")
    };
    let hours = row
        .hours
        .map_or_else(|| "meter not read".to_owned(), |hours| format!("{hours} h"));
    page.line(&row.title);
    page.line(format!("  {}  {hours}", row.at.format("%Y-%m-%d %H:%M")));
    let given = [
        ("out", row.out.map(|v| v.to_string())),
        ("in", row.filled.map(|v| v.to_string())),
        (
            "parts",
            (!row.parts.is_empty()).then(|| row.parts.join(", ")),
        ),
        ("turn", row.turn.clone()),
        ("cost", row.cost.map(|c| c.to_string())),
        ("by", row.by.clone()),
        (
            "disturbed",
            (!row.disturbed.is_empty()).then(|| titles(&row.disturbed)),
        ),
        (
            "new",
            (!row.renewed.is_empty()).then(|| titles(&row.renewed)),
        ),
        ("note", row.note.clone()),
    ];
    for (name, text) in given {
        if let Some(text) = text {
            page.hang(&format!("  {name}: "), text);
        }
    }
    page.line(format!("  id: {}", row.id));
}
