//! `walk`: the screens, straight in a walk.

use clap::Args;

use super::context::Context;
use super::failure::Failure;
use super::screens::{self, Opening};
use crate::checklist::{Library, nearest};

/// Options of `walk`.
#[derive(Args, Debug)]
pub struct WalkArgs {
    /// Id of the checklist: daily, outboard, leak-run, survey, or one of your own
    pub checklist: String,
}

/// What the screens are to open.
///
/// # Errors
/// There is no such checklist or machine, or no terminal to draw on.
pub fn open(args: &WalkArgs, cx: &Context) -> Result<Opening, Failure> {
    let known = |library: &Library| library.checklist(&args.checklist).is_some();
    // The logbook is read for one of the boat's own alone.
    let mut library = cx.library()?;
    if !known(&library) {
        library = cx.library_at_hand()?;
    }
    if !known(&library) {
        let ids = || library.checklists().iter().map(|c| c.id.as_str());
        return Err(Failure::usage(format!(
            "there is no checklist '{}'{}; there are {}",
            args.checklist,
            nearest(&args.checklist, ids()).unwrap_or_default(),
            ids().collect::<Vec<_>>().join(", ")
        )));
    }
    screens::refuse_without_terminal()?;
    let book = cx.book()?;
    let machine = cx.machine(&book)?;
    let walked = book.boat().machines.iter().find(|m| m.id == machine);
    let list = book.library().checklist(&args.checklist);
    let unsuited = list.zip(walked);
    let unsuited = unsuited.and_then(|(list, machine)| book.library().unsuited(list, machine));
    if let Some(why) = unsuited {
        return Err(Failure::usage(why));
    }
    let opening = screens::opening(cx)?;
    Ok(Opening {
        walk: Some((args.checklist.clone(), machine)),
        ..opening
    })
}
