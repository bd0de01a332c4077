//! The words of the questions about work that was done: which are asked, how, and what is said when
//! it is recorded.

use crate::boat::Unit;
use crate::checklist::{Kind, Task};
use crate::defects::ServiceDraft;
use crate::defects::condition::Condition;
use crate::defects::work::Question;
use crate::logbook::book::Book;
use crate::screen::layers::Layer;
use crate::screen::service::page::{capacity, title};
use crate::screen::service::{Line, Pick, ServiceScreen};
use crate::service::status::{Bound, standing};
use crate::text::safe_line;

/// What a question asks, in a word or two.
pub const fn name(step: Question) -> &'static str {
    match step {
        Question::When => "when",
        Question::Hours | Question::EveryHours => "hours",
        Question::Out => "out",
        Question::In => "in",
        Question::Turn => "turn",
        Question::Parts => "parts",
        Question::By => "by",
        Question::Note => "note",
        Question::Cost => "cost",
        Question::Minutes => "minutes",
        Question::EveryMonths => "months",
        Question::Source => "handbook",
    }
}

/// The questions that fit a task, in their order.
pub fn steps(condition: &Condition, task: &Task, form: &ServiceDraft) -> Vec<Question> {
    if form.interval {
        return vec![
            Question::EveryHours,
            Question::EveryMonths,
            Question::Source,
        ];
    }
    let machine = form.machine.as_deref();
    let mut steps = vec![Question::When];
    if meter(condition, machine).is_some() {
        steps.push(Question::Hours);
    }
    // Work after which a level begins anew lets something out and fills it again.
    let level = |id: &String| {
        let item = condition.library.catalogue.item(id);
        item.is_some_and(|i| i.kind == Kind::Level)
    };
    if task.capacity.is_some() || task.restarts.iter().any(level) {
        steps.extend([Question::Out, Question::In]);
    }
    steps.extend(task.turn.then_some(Question::Turn));
    if !task.parts.is_empty() {
        steps.push(Question::Parts);
    }
    steps.extend([
        Question::By,
        Question::Note,
        Question::Cost,
        Question::Minutes,
    ]);
    steps
}

/// What is known of a machine's meter, in words; none where it has none.
fn meter(condition: &Condition, machine: Option<&str>) -> Option<String> {
    let machines = &condition.boat.machines;
    let machine = machines.iter().find(|m| Some(m.id.as_str()) == machine)?;
    if !condition.knows_meter(&machine.id) {
        return None;
    }
    let known = condition.machine_usage(Some(&machine.id)).last().is_some();
    let now = condition.meter_now(Some(&machine.id));
    Some(match known {
        true => format!("about ≈{:.1} h by now. ", now.hours),
        false => String::new(),
    })
}

/// The line that asks, with what was typed before in it.
pub fn line(
    screen: &ServiceScreen,
    book: &Book,
    form: &ServiceDraft,
    by: Option<&str>,
    (step, error): (Question, Option<String>),
) -> Option<Layer<ServiceScreen>> {
    let condition = &screen.condition;
    let task = condition.library.task(&form.task)?;
    let steps = steps(condition, task, form);
    let place = steps.iter().position(|s| *s == step)? + 1;
    let text = match form.typed.get(&step) {
        Some(text) => text.clone(),
        None => usual(condition, book, task, form, (step, by)).unwrap_or_default(),
    };
    let title = format!(
        "{}, {place} of {}: {}",
        task.title,
        steps.len(),
        question(step)
    );
    let hint = hint(condition, task, form.machine.as_deref(), step);
    Some(Layer::typed(title, hint, &text, Line::Form(step)).with_error(error))
}

/// What stands in a line before anything is typed, to be taken or changed in sight.
fn usual(
    condition: &Condition,
    book: &Book,
    task: &Task,
    form: &ServiceDraft,
    (step, by): (Question, Option<&str>),
) -> Option<String> {
    if step == Question::By {
        return by.map(|by| safe_line(by).into_owned());
    }
    let standing = standing(condition, book.history(), task, form.machine.as_deref());
    let Bound::Set(set) = standing.bound else {
        return None;
    };
    let bound = |n: Option<u32>| {
        n.map(|n| match n {
            0 => "none".to_owned(),
            n => n.to_string(),
        })
    };
    match step {
        Question::EveryHours => bound(set.hours),
        Question::EveryMonths => bound(set.months),
        Question::Source => set.source.as_ref().map(|s| safe_line(s).into_owned()),
        _ => None,
    }
}

const fn question(step: Question) -> &'static str {
    match step {
        Question::When => "when?",
        Question::Hours => "hour meter",
        Question::Out => "how much came out?",
        Question::In => "how much went in?",
        Question::Turn => "how far was it turned?",
        Question::Parts => "which parts?",
        Question::By => "by whom?",
        Question::Note => "a note?",
        Question::Cost => "what did it cost?",
        Question::Minutes => "how long did it take?",
        Question::EveryHours => "every how many hours?",
        Question::EveryMonths => "every how many months?",
        Question::Source => "says which handbook page?",
    }
}

fn hint(condition: &Condition, task: &Task, machine: Option<&str>, step: Question) -> String {
    let unit = Unit::Litre.preferred(condition.boat.units);
    let holds = capacity(condition, task, machine);
    let holds = holds.map(|(holds, which)| format!(". The {which} holds {holds}"));
    let own = |bound: Option<u32>, unit: &str| match bound {
        Some(n) => format!("empty: ours, {n} {unit}; none: no bound. The handbook outranks both"),
        None => "empty: no bound, as ours has none. The handbook outranks both".to_owned(),
    };
    match step {
        Question::When => "such as 2026-05-02, or 2026-05-02 17:30; empty: now".to_owned(),
        Question::Hours => {
            let about = meter(condition, machine).unwrap_or_default();
            format!("{about}Type what the meter showed; empty: not read")
        }
        Question::Out | Question::In => format!(
            "in {unit}, or with its unit; empty: not measured{}",
            holds.unwrap_or_default()
        ),
        Question::Turn => {
            "past contact by hand, as printed on it, such as 3/4; empty: not written down. No figure holds for every filter".to_owned()
        }
        Question::Parts => format!(
            "with ; between them; empty: not said. The task names: {}",
            task.parts_in_words().join("; ")
        ),
        Question::By => "empty: not said".to_owned(),
        Question::Note => "one line; empty: none".to_owned(),
        Question::Cost => "in your own money, such as 48.50; empty: not said".to_owned(),
        Question::Minutes => {
            "in all, in minutes such as 50, or 2h30; it is learned from. Empty: not said".to_owned()
        }
        Question::EveryHours => own(task.every.hours, "h"),
        Question::EveryMonths => own(task.every.months, "months"),
        Question::Source => "such as: handbook, page 41; empty: not said".to_owned(),
    }
}

/// What is said when a service is recorded: when it is due again and what it leaves owed, and the
/// leak run where joints were opened.
pub fn recorded(screen: &ServiceScreen, book: &Book, id: &str) -> Option<Layer<ServiceScreen>> {
    let condition = &screen.condition;
    let service = &book.history().service(id)?.rec;
    let task = condition.library.task(&service.task)?;
    let machine = service.machine.as_deref();
    let standing = standing(condition, book.history(), task, machine);
    let mut lead = vec![format!("{}.", standing.why())];
    for owed in &service.owed {
        let when = match (owed.due_at, owed.due_hours) {
            (Some(at), _) => at.format("%-d %b").to_string(),
            (None, Some(hours)) => format!("at {hours} h"),
            (None, None) => "now".to_owned(),
        };
        let title = title(condition, &owed.item);
        lead.push(format!("owed {when}: {title}, {}", owed.why));
    }
    if task.turn && service.turn.is_none() {
        lead.push("The turn used is not recorded; it is printed on the filter.".to_owned());
    }
    lead.push(String::new());
    // Joints of what the boat has once are asked in the run of the machine in view.
    let first = condition.boat.machines.first().map(|m| m.id.clone());
    let run_on = service.machine.clone().or(screen.machine.clone()).or(first);
    let run_on = run_on.filter(|_| !service.disturbed.is_empty());
    let mut options = Vec::new();
    if run_on.is_some() {
        options.push(format!(
            "leak run now; its {} joints are ticked",
            service.disturbed.len()
        ));
    }
    options.push("back to the list; u there takes the service back".to_owned());
    Some(Layer::told(
        format!("{}: recorded", task.title),
        lead,
        options,
        Pick::Recorded(run_on),
    ))
}
