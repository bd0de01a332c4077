//! `walk`: the screens, straight in a walk.

use clap::Args;

use super::context::Context;
use super::failure::Failure;
use super::screens::{self, Opening};
use crate::checklist::nearest;

/// Options of `walk`.
#[derive(Args, Debug)]
pub struct WalkArgs {
    /// Id of the checklist: daily, leak-run, survey, or one of your own
    pub checklist: String,
}

/// What the screens are to open.
///
/// # Errors
/// There is no such checklist or machine, or no terminal to draw on.
pub fn open(args: &WalkArgs, cx: &Context) -> Result<Opening, Failure> {
    let library = cx.library_at_hand()?;
    if library.checklist(&args.checklist).is_none() {
        let ids = || library.checklists().iter().map(|c| c.id.as_str());
        return Err(Failure::usage(format!(
            "there is no checklist '{}'{}; there are {}",
            args.checklist,
            nearest(&args.checklist, ids()).unwrap_or_default(),
            ids().collect::<Vec<_>>().join(", ")
        )));
    }
    screens::refuse_without_terminal()?;
    let machine = cx.machine(&cx.book()?)?;
    let opening = screens::opening(cx)?;
    Ok(Opening {
        walk: Some((args.checklist.clone(), machine)),
        ..opening
    })
}
