//! What the screens are opened with, and where they cannot be.

use std::path::PathBuf;
use std::rc::Rc;
use std::sync::Arc;

use super::context::Context;
use super::failure::Failure;
use crate::checklist::Library;
use crate::logbook::Clock;
use crate::paint::theme::ThemeName;
use crate::settings::Config;
use crate::terminal::guard;

/// Everything the screens need to know of the command line.
pub struct Opening {
    /// The logbook's folder, which need not exist yet.
    pub root: PathBuf,
    /// The computer's time, or what `--now` says.
    pub clock: Rc<dyn Clock>,
    /// What can be looked at.
    pub library: Arc<Library>,
    /// Fixes ids where the time is fixed.
    pub seed: Option<u64>,
    /// The theme named by `--theme`.
    pub theme: Option<ThemeName>,
    /// Keys, theme, marks and name, as `config.json` has them.
    pub settings: Config,
    /// Straight into a walk.
    pub walk: Option<WalkOpened>,
}

/// A walk the screens open straight in.
#[derive(Clone)]
pub struct WalkOpened {
    /// Checklist id.
    pub checklist: String,
    /// Machine id.
    pub machine: String,
    /// The guest who walks; none where the owner does.
    pub guest: Option<String>,
}

/// The screens as the options every command takes say.
///
/// # Errors
/// There is no terminal to draw on, or no home to keep a logbook in.
pub fn opening(cx: &Context) -> Result<Opening, Failure> {
    refuse_without_terminal()?;
    Ok(Opening {
        root: cx.root()?,
        clock: Rc::clone(&cx.clock),
        library: cx.library()?,
        seed: cx.seed(""),
        theme: cx.global.theme,
        settings: cx.settings()?,
        walk: None,
    })
}

/// Refuses where the screens could not be drawn or would not hear a key.
///
/// # Errors
/// One sentence that points to the commands.
pub fn refuse_without_terminal() -> Result<(), Failure> {
    guard::check().map_err(Failure::usage)
}
