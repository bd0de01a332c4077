//! `service last`.

use clap::Args;

use crate::boat::Hours;
use crate::cli::act;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::record::RecordedBody;
use crate::cli::repair;
use crate::defects::WhenLast;
use crate::defects::when_last::read_last;
use crate::logbook::record::Record;
use crate::service::due;

/// Options of `service last`.
#[derive(Args, Debug)]
pub struct LastArgs {
    /// Id of a task, or of an item whose life runs out
    #[arg(value_name = "TASK|ITEM")]
    pub what: String,
    /// A day, a month or a year, such as 2025-05-12, 2025-05 or 2025; or `not-known`
    #[arg(value_name = "WHEN")]
    pub when: String,
    /// What the hour meter showed then
    #[arg(long, value_name = "H", value_parser = repair::meter)]
    pub hours: Option<Hours>,
}

/// Runs `service last`.
///
/// # Errors
/// Neither a task nor an item with a life is called so, or that time cannot be meant.
pub fn run(args: &LastArgs, cx: &Context) -> Result<Answer, Failure> {
    let library = cx.library_at_hand()?;
    let is_item = library.task(&args.what).is_none()
        && library
            .catalogue
            .item(&args.what)
            .is_some_and(|i| i.life.is_some());
    let what = Some(args.what.clone());
    let (task, item) = if is_item { (None, what) } else { (what, None) };
    let told = WhenLast {
        task,
        item,
        machine: cx.global.machine.clone(),
        at: cx.global.now,
        hours: args.hours,
        ..WhenLast::default()
    };
    let mut book = act::open(&Record::from(told.clone()), cx)?;
    cx.known_asked(&book)?;
    let last = read_last(&args.when, book.now())
        .map_err(|message| Failure::of_act(vec![("last".to_owned(), message)], &OPTIONS))?;
    let record = Record::from(WhenLast { last, ..told });
    let (record, ids) = act::put(&mut book, record, &OPTIONS)?;
    let machine = match &record {
        Record::WhenLast(told) => told.machine.clone(),
        _ => None,
    };
    let body = RecordedBody::of(ids);
    Ok(cx.form.answer("recorded", &body, |page| {
        let history = cx.history(&book);
        let condition = cx.condition(&book, &history);
        let rows = due(&condition, &history);
        let row = rows
            .iter()
            .find(|row| row.id == args.what && row.machine == machine);
        if let Some(row) = row {
            page.paragraph(format!("{}: {}.", row.title, row.why));
        }
    }))
}

/// The option behind each field, for messages.
const OPTIONS: [(&str, &str); 6] = [
    ("task", "TASK"),
    ("item", "ITEM"),
    ("machine", "--machine"),
    ("at", "--now"),
    ("last", "WHEN"),
    ("hours", "--hours"),
];
