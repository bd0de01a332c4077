//! `walk`: the screens, straight in a walk.

use clap::Args;

use super::context::Context;
use super::failure::Failure;
use super::screens::{self, Opening, WalkOpened};
use crate::checklist::{Library, nearest};
use crate::defects::admit::too_long;
use crate::logbook::import::NO_GUESTS;

/// Options of `walk`.
#[derive(Args, Debug)]
pub struct WalkArgs {
    /// Id of the checklist: daily, outboard, leak-run, survey, or one of your own
    pub checklist: String,
    /// A guest of this name walks: it can raise a stop, and lifts none and confirms no repair
    #[arg(long, value_name = "NAME")]
    pub guest: Option<String>,
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
    let signs = list.filter(|list| args.guest.is_some() && !list.closes_with.is_for_guests());
    let signs = signs.map(|_| NO_GUESTS.to_owned());
    let name = args.guest.as_deref().map(|name| too_long("guest", name));
    let name = name.flatten().map(|(_, told)| told);
    if let Some(why) = unsuited.or(signs).or(name) {
        return Err(Failure::usage(why));
    }
    let opening = screens::opening(cx)?;
    Ok(Opening {
        walk: Some(WalkOpened {
            checklist: args.checklist.clone(),
            machine,
            guest: args.guest.clone(),
        }),
        ..opening
    })
}
