//! `withdraw`: a defect was none.

use clap::Args;

use super::act;
use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use crate::defects::Withdrawal;
use crate::logbook::record::Record;

/// Options of `withdraw`.
#[derive(Args, Debug)]
pub struct WithdrawArgs {
    /// Catalogue id of the item
    pub item: String,
    /// Why it was none: misjudged, or gone by cleaning or adjusting
    #[arg(long, value_name = "TEXT")]
    pub why: String,
}

/// Runs the command.
///
/// # Errors
/// There is no defect to withdraw.
pub fn run(args: &WithdrawArgs, cx: &Context) -> Result<Answer, Failure> {
    let withdrawal = Withdrawal {
        item: args.item.clone(),
        machine: cx.global.machine.clone(),
        at: None,
        why: args.why.clone(),
    };
    act::record(Record::from(withdrawal), &[("why", "--why")], cx, |item| {
        format!("{item}: withdrawn.")
    })
}
