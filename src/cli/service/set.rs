//! `service set` and `service undo`.

use clap::Args;

use crate::cli::act;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::record::RecordedBody;
use crate::defects::ServiceInterval;
use crate::logbook::mend::{Reason, take_back};
use crate::logbook::record::Record;
use crate::service::status::standing;
use crate::text::safe_line;

/// Options of `service set`.
#[derive(Args, Debug)]
pub struct SetArgs {
    /// Id of the task
    pub task: String,
    /// Running hours between two times; `none` for no bound in hours
    #[arg(long, value_name = "H", value_parser = bound)]
    pub hours: Option<u32>,
    /// Months between two times; `none` for no bound in months
    #[arg(long, value_name = "M", value_parser = bound)]
    pub months: Option<u32>,
    /// Which page of the handbook says so
    #[arg(long, value_name = "TEXT")]
    pub source: Option<String>,
}

/// A whole number above 0, or `none`, which is written as 0.
fn bound(text: &str) -> Result<u32, String> {
    match text {
        "none" => Ok(0),
        text => text
            .parse()
            .ok()
            .filter(|n| *n > 0)
            .ok_or_else(|| "expected a whole number, or none".to_owned()),
    }
}

/// Runs `service set`.
///
/// # Errors
/// The task is not known, or a bound cannot be meant.
pub fn run(args: &SetArgs, cx: &Context) -> Result<Answer, Failure> {
    let record = Record::from(ServiceInterval {
        task: args.task.clone(),
        machine: cx.global.machine.clone(),
        at: cx.global.now,
        hours: args.hours,
        months: args.months,
        source: args.source.clone(),
    });
    let mut book = act::open(&record, cx)?;
    cx.known_asked(&book)?;
    let options = [
        ("task", "TASK"),
        ("machine", "--machine"),
        ("at", "--now"),
        ("hours", "--hours"),
        ("months", "--months"),
        ("source", "--source"),
    ];
    let (record, ids) = act::put(&mut book, record, &options)?;
    let machine = match &record {
        Record::Interval(interval) => interval.machine.clone(),
        _ => None,
    };
    let body = RecordedBody::of(ids);
    Ok(cx.form.answer("recorded", &body, |page| {
        let history = cx.history(&book);
        let condition = cx.condition(&book, &history);
        if let Some(task) = book.library().task(&args.task) {
            let standing = standing(&condition, &history, task, machine.as_deref());
            page.paragraph(format!("{}: {}.", task.title, standing.why()));
        }
    }))
}

/// Runs `service undo`.
///
/// # Errors
/// There is no such service.
pub fn undo(id: &str, cx: &Context) -> Result<Answer, Failure> {
    let mut book = cx.book_for(id)?;
    if book.history().service(id).is_none() {
        let id = safe_line(id);
        let why = format!("ID: there is no service '{id}'; see: handlamp service list");
        return Err(Failure::usage(why));
    }
    let records = take_back(&book, id, &Reason::default())
        .map_err(|faults| Failure::of_act(faults, &[("id", "ID")]))?;
    let ids = act::batch(&mut book, records.into_iter().map(|r| (None, r)).collect())?;
    let body = RecordedBody::of(ids);
    Ok(cx.form.answer("recorded", &body, |page| {
        page.paragraph("The service is taken back, with all it did. It stays in the log.");
    }))
}
