//! Taking the terminal and giving it back whatever happens.

use std::io::{self, IsTerminal};
use std::sync::mpsc::{self, Receiver};

use super::{modes, panic_hook, signals};
use crate::terminal::changes::{Changes, Followed};
use crate::terminal::input::{Arrivals, Input};

/// Why the screens cannot open. Each is one sentence with what to do instead.
#[derive(Debug, thiserror::Error)]
pub enum NoScreen {
    /// The input is a file or pipe.
    #[error(
        "the screens need a keyboard, but the input is not a terminal; the commands work without one: handlamp --help"
    )]
    Input,
    /// The output is a file or pipe.
    #[error(
        "the screens need a terminal, but the output is not one; the commands work without one: handlamp --help"
    )]
    Output,
    /// `TERM` is unset, empty or `dumb`.
    #[error(
        "the screens need a terminal that can place text, but TERM is unset or 'dumb'; set TERM (for example TERM=xterm), or use the commands: handlamp --help"
    )]
    Dumb,
    /// The system refuses what the screens need.
    #[error("the terminal cannot be used for the screens: {0}")]
    System(#[from] io::Error),
}

/// Reads that may wait for the loop; beyond it the terminal itself holds back what is typed.
const QUEUE: usize = 256;

/// Refuses where the screens could not be drawn or would not hear a key. Touches nothing.
///
/// # Errors
/// [`NoScreen`], with what to do instead.
pub fn check() -> Result<(), NoScreen> {
    let term = std::env::var_os("TERM");
    let term = term.as_ref().map(|t| t.to_string_lossy());
    refuse(
        io::stdin().is_terminal(),
        io::stdout().is_terminal(),
        term.as_deref(),
    )
}

/// Owns every terminal mode the program uses: raw input, alternate screen, cursor, marked pastes.
/// Dropping it gives the terminal back; so do a panic on any thread and the end by a signal.
pub struct Guard {
    pub(crate) events: Receiver<Arrivals>,
    pub(crate) followed: Followed,
    input: Input,
}

impl Guard {
    /// Checks the terminal, then takes it: handlers first, modes last, so there is no moment at
    /// which a signal or panic would leave it broken. Nothing is asked of the terminal.
    ///
    /// # Errors
    /// [`NoScreen`]; the terminal is untouched or given back.
    pub fn enter() -> Result<Guard, NoScreen> {
        check()?;
        // With NO_COLOR set, crossterm 0.29 resets all attributes where it should print no
        // colour, and the selection vanishes. The themes honour NO_COLOR instead.
        crossterm::style::force_color_output(true);
        let (sender, events) = mpsc::sync_channel(QUEUE);
        panic_hook::install();
        signals::ignore_file_size_signal()?;
        signals::watch(sender.clone())?;
        modes::enter()?;
        let changes = Changes::new();
        let input = Input::start(sender, changes.clone()).inspect_err(|_| modes::leave())?;
        Ok(Guard {
            events,
            followed: Followed::new(changes),
            input,
        })
    }

    /// Says one line before the first frame. A terminal that does not take it will not take a frame
    /// either, and is told then.
    pub fn say(&self, line: &'static str) {
        let _ = modes::write_to_terminal(format!("\x1b[2m{line}\x1b[0m").as_bytes());
    }

    /// Gives the terminal back, as dropping does. Doing it again does nothing.
    pub fn restore(&mut self) {
        modes::leave();
    }

    /// Gives the terminal back, stops the process, and takes the terminal again once continued.
    /// False, and nothing happens, where nothing could continue it.
    pub(crate) fn suspend(&mut self, whole_job: bool) -> io::Result<bool> {
        if !signals::can_stop() {
            return Ok(false);
        }
        self.input.pause();
        modes::leave();
        let stopped = signals::stop(whole_job);
        modes::enter()?;
        self.input.resume();
        stopped.map(|()| true)
    }

    /// Enters the modes again after a stop that could not be caught (SIGSTOP).
    pub(crate) fn retake(&mut self) -> io::Result<()> {
        modes::enter()
    }
}

impl Drop for Guard {
    fn drop(&mut self) {
        self.restore();
    }
}

fn refuse(input: bool, output: bool, term: Option<&str>) -> Result<(), NoScreen> {
    match (input, output, term) {
        (false, _, _) => Err(NoScreen::Input),
        (_, false, _) => Err(NoScreen::Output),
        (_, _, None | Some("" | "dumb")) => Err(NoScreen::Dumb),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_real_terminal_is_taken() {
        assert!(refuse(true, true, Some("xterm")).is_ok());
        assert!(refuse(true, true, Some("a-terminal-nobody-knows")).is_ok());
        assert!(matches!(refuse(false, false, None), Err(NoScreen::Input)));
        assert!(matches!(
            refuse(true, false, Some("xterm")),
            Err(NoScreen::Output)
        ));
        for term in [None, Some(""), Some("dumb")] {
            assert!(matches!(refuse(true, true, term), Err(NoScreen::Dumb)));
        }
    }

    #[test]
    fn every_refusal_is_one_sentence_that_says_what_to_do() {
        for error in [NoScreen::Input, NoScreen::Output, NoScreen::Dumb] {
            let text = error.to_string();
            assert!(
                text.contains("handlamp --help") && !text.contains('\n'),
                "{text}"
            );
        }
    }
}
