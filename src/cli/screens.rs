//! What the screens are opened with, and where they cannot be.

use std::io::IsTerminal;
use std::path::PathBuf;
use std::rc::Rc;
use std::sync::Arc;

use super::context::Context;
use super::failure::Failure;
use super::place;
use crate::checklist::Library;
use crate::logbook::Clock;
use crate::screen::theme::ThemeName;

/// Everything the screens need to know of the command line.
pub struct Opening {
    /// The logbook's folder, which need not exist yet.
    pub root: PathBuf,
    /// Time.
    pub clock: Rc<dyn Clock>,
    /// What can be looked at.
    pub library: Arc<Library>,
    /// Fixes ids where the time is fixed.
    pub seed: Option<u64>,
    /// The theme named by `--theme`.
    pub theme: Option<ThemeName>,
    /// The folder of `config.json`; none where the system knows none.
    pub config: Option<PathBuf>,
    /// Straight into a walk: checklist and machine.
    pub walk: Option<(String, String)>,
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
        config: place::config(),
        walk: None,
    })
}

/// Refuses where the screens could not be drawn or would not hear a key.
///
/// # Errors
/// One sentence that points to the commands.
pub fn refuse_without_terminal() -> Result<(), Failure> {
    let hint = "every record can be written and read by commands too; see: handlamp --help";
    if !std::io::stdin().is_terminal() || !std::io::stdout().is_terminal() {
        return Err(Failure::usage(format!(
            "the screens need a terminal; {hint}"
        )));
    }
    let term = std::env::var("TERM").unwrap_or_default();
    if term.is_empty() || term == "dumb" {
        return Err(Failure::usage(format!(
            "this terminal (TERM '{term}') cannot place text on a screen; {hint}"
        )));
    }
    Ok(())
}
