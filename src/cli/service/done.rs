//! `service done`.

use std::path::Path;

use clap::Args;

use crate::boat::Hours;
use crate::boat::units::Volume;
use crate::cli::act;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::page::Page;
use crate::cli::record::RecordedBody;
use crate::cli::{repair, source};
use crate::defects::Paid;
use crate::defects::admit::Fault;
use crate::defects::ages::Basis;
use crate::defects::plan_words::read_job_minutes;
use crate::logbook::book::Book;
use crate::logbook::import::{Imported, import, prepare_service};
use crate::logbook::input::{Body, read_documents};
use crate::logbook::record::Record;
use crate::service::status::standing;
use crate::service::{ServiceSheet, TaskStatus};

/// Options of `service done`.
#[derive(Args, Debug, Default)]
pub struct DoneArgs {
    /// Ids of tasks; or JSON or JSON Lines files of services, `-` for the standard input
    #[arg(required = true, value_name = "TASK|FILE")]
    pub what: Vec<String>,
    /// What the hour meter showed
    #[arg(long, value_name = "H", value_parser = repair::meter)]
    pub hours: Option<Hours>,
    /// What came out, such as 6.8L or "7 qt"
    #[arg(long, value_name = "VOLUME")]
    pub out: Option<Volume>,
    /// What went in
    #[arg(long = "in", value_name = "VOLUME")]
    pub filled: Option<Volume>,
    /// A part used; may be given several times
    #[arg(long = "part", value_name = "TEXT")]
    pub parts: Vec<String>,
    /// How far the filter was turned past contact, as printed on it
    #[arg(long, value_name = "TURN")]
    pub turn: Option<String>,
    /// What it cost, in your own money
    #[arg(long, value_name = "SUM")]
    pub cost: Option<Paid>,
    /// What it really took in all, minutes such as 50, or 2h30; it is learned from
    #[arg(long, value_name = "TIME", value_parser = read_job_minutes)]
    pub minutes: Option<u32>,
    /// Anything worth keeping
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
    /// By whom
    #[arg(long, value_name = "NAME")]
    pub by: Option<String>,
    /// A joint opened, in place of those of the task; `none` for none
    #[arg(long, value_name = "ITEM")]
    pub disturbed: Vec<String>,
    /// An item that is new, in place of those of the task; `none` for none
    #[arg(long, value_name = "ITEM")]
    pub renewed: Vec<String>,
    /// An item left with a part out, before which is put back she must not be started; may be given
    /// several times
    #[arg(long, value_name = "ITEM")]
    pub open: Vec<String>,
    /// Id of the record of an earlier service that this one takes the place of
    #[arg(long, value_name = "ID")]
    pub corrects: Option<String>,
}

/// The option behind each field, for messages.
const OPTIONS: [(&str, &str); 15] = [
    ("task", "TASK"),
    ("machine", "--machine"),
    ("at", "--now"),
    ("hours", "--hours"),
    ("out", "--out"),
    ("in", "--in"),
    ("parts", "--part"),
    ("turn", "--turn"),
    ("minutes", "--minutes"),
    ("note", "--note"),
    ("by", "--by"),
    ("disturbed", "--disturbed"),
    ("renewed", "--renewed"),
    ("open", "--open"),
    ("corrects", "--corrects"),
];

/// Runs the command.
///
/// # Errors
/// What is wrong with a service; nothing is recorded then.
pub fn run(args: &DoneArgs, cx: &Context) -> Result<Answer, Failure> {
    let mut files: Vec<&String> = args.what.iter().filter(|w| looks_like_file(w)).collect();
    if !files.is_empty() {
        // A task may be called like a file.
        let library = cx.library_at_hand()?;
        files.retain(|what| library.task(what).is_none());
    }
    match files.len() {
        0 => by_options(args, cx),
        n if n < args.what.len() => Err(Failure::usage("name tasks or files, not both")),
        _ if has_options(args) => Err(Failure::usage(
            "a file says itself what was done; options go with the id of a task",
        )),
        _ => from_files(args, cx),
    }
}

fn looks_like_file(what: &str) -> bool {
    let path = Path::new(what);
    source::is_standard_input(path) || what.contains(['/', '.']) || path.is_file()
}

fn has_options(args: &DoneArgs) -> bool {
    let shared = args.hours.is_some() || args.note.is_some() || args.by.is_some();
    shared || of_one_task(args)
}

/// True where an option is given that can only speak of one task.
fn of_one_task(args: &DoneArgs) -> bool {
    args.out.is_some()
        || args.filled.is_some()
        || args.turn.is_some()
        || args.cost.is_some()
        || args.minutes.is_some()
        || args.corrects.is_some()
        || !(args.parts.is_empty() && args.disturbed.is_empty())
        || !(args.renewed.is_empty() && args.open.is_empty())
}

fn from_files(args: &DoneArgs, cx: &Context) -> Result<Answer, Failure> {
    let mut documents = Vec::new();
    let mut texts = String::new();
    for file in &args.what {
        let (name, text) = source::read(Path::new(file))?;
        documents.extend(read_documents(&name, &text)?);
        texts.push_str(&text);
    }
    let other = documents
        .iter()
        .filter(|d| !matches!(d.body, Body::Service(_)))
        .map(|d| d.complaint("type", "expected a service; others go to: handlamp record"));
    let other: Vec<_> = other.collect();
    if !other.is_empty() {
        return Err(other.into());
    }
    let mut book = cx.book_for(&texts)?;
    let Imported { ids, known, .. } = import(&mut book, &documents)?;
    book.finish();
    let body = RecordedBody {
        known,
        ..RecordedBody::of(ids)
    };
    Ok(cx.form.answer("recorded", &body, |page| {
        page.line(format!("{} record(s) written.", body.records));
        if known > 0 {
            page.line(format!("{known} recorded before and left as they are."));
        }
    }))
}

fn by_options(args: &DoneArgs, cx: &Context) -> Result<Answer, Failure> {
    if args.what.len() > 1 && of_one_task(args) {
        return Err(Failure::usage(
            "quantities, parts, turn, cost, minutes, joints and a correction belong to one task; record the tasks one by one",
        ));
    }
    let mut book = cx.book_for(&format!("{args:?}"))?;
    cx.known_asked(&book)?;
    let mut batch = Vec::new();
    let mut done = Vec::new();
    for task in &args.what {
        let records = prepare_service(&book, book.history(), &sheet(args, task, cx))
            .map_err(|faults| Failure::of_act(by_option(faults), &OPTIONS))?;
        for record in records {
            if let Record::Service(service) = &record {
                done.push((service.task.clone(), service.machine.clone()));
            }
            batch.push((None, record));
        }
    }
    let ids = act::batch(&mut book, batch)?;
    let body = RecordedBody::of(ids);
    Ok(cx.form.answer("recorded", &body, |page| {
        for (task, machine) in &done {
            tell(page, &book, cx, task, machine.as_deref());
        }
    }))
}

/// Faults of the entries of a list as faults of the option that gave them.
fn by_option(faults: Vec<Fault>) -> Vec<Fault> {
    let list = |field: &str| field.split('[').next().unwrap_or(field).to_owned();
    let faults = faults.into_iter();
    faults
        .map(|(field, message)| (list(&field), message))
        .collect()
}

fn sheet(args: &DoneArgs, task: &str, cx: &Context) -> ServiceSheet {
    let listed = |given: &[String]| match given {
        [] => None,
        [none] if none == "none" => Some(Vec::new()),
        given => Some(given.to_vec()),
    };
    ServiceSheet {
        task: task.to_owned(),
        machine: cx.global.machine.clone(),
        at: cx.global.now,
        hours: args.hours,
        out: args.out,
        filled: args.filled,
        parts: args.parts.clone(),
        turn: args.turn.clone(),
        cost: args.cost,
        minutes: args.minutes,
        note: args.note.clone(),
        by: args.by.clone(),
        disturbed: listed(&args.disturbed),
        renewed: listed(&args.renewed),
        open: args.open.clone(),
        photos: Vec::new(),
        corrects: args.corrects.clone(),
    }
}

/// What was recorded, what it leaves owed, and when it is due again.
fn tell(page: &mut Page, book: &Book, cx: &Context, task: &str, machine: Option<&str>) {
    let history = cx.history(book);
    let condition = cx.condition(book, &history);
    let Some(task) = book.library().task(task) else {
        return;
    };
    let standing = standing(&condition, &history, task, machine);
    page.paragraph(format!("{}: recorded. {}", task.title, next(&standing)));
    let spares = repair::offered(&condition, &history, &task.id, machine);
    if !spares.is_empty() {
        page.hang("  ", spares.trim_start());
    }
    if let Basis::Done(service) = standing.basis {
        for owed in &service.rec.owed {
            let title = crate::cli::verdict::title_of(book.library(), &owed.item);
            let when = match (owed.due_at, owed.due_hours) {
                (Some(at), _) => at.format("%-d %b").to_string(),
                (None, Some(hours)) => format!("{hours} h"),
                (None, None) => "now".to_owned(),
            };
            page.hang(
                &format!("  owed {when}: "),
                format!("{title}, {}", owed.why),
            );
        }
        if task.turn && service.rec.turn.is_none() {
            page.hang(
                "  ",
                "The turn used is not recorded; it is printed on the filter.",
            );
        }
    }
}

/// When it is due next, in a few words.
pub(super) fn next(standing: &TaskStatus<'_>) -> String {
    let Some(due) = standing.due else {
        return "Due again when its item asks for it.".to_owned();
    };
    let hours = due.hours_left.map(|left| format!("in {left:.1} h"));
    let date = due
        .by_calendar
        .map(|at| at.format("on %-d %b %Y").to_string());
    let bounds: Vec<String> = [hours, date].into_iter().flatten().collect();
    format!("Due again {}.", bounds.join(" or "))
}
