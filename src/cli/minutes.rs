//! `minutes`: how long a job takes here, as its owner says.

use clap::Args;

use super::act;
use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::record::RecordedBody;
use crate::defects::JobMinutes;
use crate::defects::leaving_words::time_in_words;
use crate::defects::plan_words::read_job_minutes;
use crate::logbook::record::Record;

/// Options of `minutes`.
#[derive(Args, Debug)]
pub struct MinutesArgs {
    /// Id of the item whose remedy it is, or of a service task
    #[arg(value_name = "ITEM|TASK")]
    pub what: String,
    /// Minutes in all, what is opened for it included, such as 50 or 2h30; or `none` to have no figure
    /// of your own any more
    #[arg(value_name = "TIME")]
    pub minutes: String,
}

/// Runs the command.
///
/// # Errors
/// Neither an item nor a task is called so, or it is no time.
pub fn run(args: &MinutesArgs, cx: &Context) -> Result<Answer, Failure> {
    let minutes = match args.minutes.trim() {
        "none" => None,
        text => Some(read_job_minutes(text).map_err(|why| Failure::usage(format!("TIME: {why}")))?),
    };
    let is_task = cx.library_at_hand()?.task(&args.what).is_some();
    let what = Some(args.what.clone());
    let (task, item) = if is_task { (what, None) } else { (None, what) };
    let said = Record::from(JobMinutes {
        item,
        task,
        machine: cx.global.machine.clone(),
        at: cx.global.now,
        minutes,
    });
    let mut book = act::open(&said, cx)?;
    cx.known_asked(&book)?;
    let (_, ids) = act::put(&mut book, said, &OPTIONS)?;
    let body = RecordedBody::of(ids);
    Ok(cx.form.answer("recorded", &body, |page| {
        page.paragraph(match minutes {
            Some(minutes) => format!(
                "{}: {} by your own figure, in all; `leaving` counts it before what such jobs took and what is judged.",
                args.what,
                time_in_words(minutes)
            ),
            None => format!(
                "{}: no figure of your own any more; what such jobs took counts, else what is judged.",
                args.what
            ),
        });
    }))
}

/// The option behind each field, for messages.
const OPTIONS: [(&str, &str); 5] = [
    ("task", "ITEM|TASK"),
    ("item", "ITEM|TASK"),
    ("machine", "--machine"),
    ("at", "--now"),
    ("minutes", "TIME"),
];
