//! `repair`: something was put right.

use clap::Args;

use super::act;
use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use crate::boat::Hours;
use crate::defects::condition::Condition;
use crate::defects::plan_words::read_job_minutes;
use crate::defects::{History, HoldsUntil, Repair};
use crate::logbook::record::Record;

/// Options of `repair`.
#[derive(Args, Debug)]
pub struct RepairArgs {
    /// Catalogue id of the item
    pub item: String,
    /// What was done
    #[arg(long, value_name = "TEXT")]
    pub done: String,
    /// What the hour meter showed
    #[arg(long, value_name = "H", value_parser = meter)]
    pub hours: Option<Hours>,
    /// By whom
    #[arg(long, value_name = "NAME")]
    pub by: Option<String>,
    /// It is temporary and is to hold until a date, a meter reading such as 1260 h, or words
    #[arg(long, value_name = "UNTIL")]
    pub temporary: Option<HoldsUntil>,
    /// What was behind it, by the id of a cause as `causes list` names it
    #[arg(long, value_name = "ID")]
    pub cause: Option<String>,
    /// What it really took in all, minutes such as 50, or 2h30; it is learned from
    #[arg(long, value_name = "TIME", value_parser = read_job_minutes)]
    pub minutes: Option<u32>,
}

/// A meter reading as it is typed.
pub(super) fn meter(text: &str) -> Result<Hours, String> {
    let hours: f64 = text
        .parse()
        .map_err(|_| "expected a meter reading such as 1243.6".to_owned())?;
    Hours::new(hours)
}

/// Runs the command.
///
/// # Errors
/// The item is not known, or the meter reading cannot be right.
pub fn run(args: &RepairArgs, cx: &Context) -> Result<Answer, Failure> {
    let repair = Repair {
        item: args.item.clone(),
        machine: cx.global.machine.clone(),
        at: None,
        hours: args.hours,
        done: args.done.clone(),
        by: args.by.clone(),
        temporary: args.temporary.clone(),
        cause: args.cause.clone(),
        minutes: args.minutes,
    };
    act::record(
        Record::from(repair),
        &[
            ("done", "--done"),
            ("hours", "--hours"),
            ("by", "--by"),
            ("temporary", "--temporary"),
            ("cause", "--cause"),
            ("minutes", "--minutes"),
        ],
        cx,
        |item| {
            let done = match &args.temporary {
                None => {
                    format!("{item}: repair recorded. Look at it again: a sound look confirms it.")
                }
                Some(until) => format!(
                    "{item}: temporary repair recorded, until {until}. It stays worn until a lasting one; look at it again to see that it holds."
                ),
            };
            format!("{done}{}", from_locker(&args.item, cx))
        },
    )
}

/// What the locker has for it, offered and not taken.
fn from_locker(of: &str, cx: &Context) -> String {
    let Ok((_, history, condition)) = cx.boat() else {
        return String::new();
    };
    offered(&condition, &history, of, cx.global.machine.as_deref())
}

/// The spares aboard for an item or a task, each with how it is taken out of the locker.
pub(super) fn offered(
    condition: &Condition,
    history: &History,
    of: &str,
    machine: Option<&str>,
) -> String {
    let offered = condition.spares_for(history, of, machine);
    let each = offered.iter().map(|spare| {
        format!(
            " If one from the locker went in ({}): handlamp locker use {} --for {of}",
            spare.words, spare.spare
        )
    });
    each.collect()
}
