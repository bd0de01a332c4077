//! Waiting for a report: how far it is, on the standard error where that is a terminal, and the end
//! by a signal, which leaves neither half a file nor half a line.

use std::io::{self, IsTerminal, Write};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

use signal_hook::consts::{SIGHUP, SIGINT, SIGQUIT, SIGTERM};
use signal_hook::flag;

use super::columns_of;
use crate::paint::glyphs::Glyphs;
use crate::report::making::{Making, Stage};
use crate::report::write::WriteError;
use crate::terminal::signals::die_by;
use crate::text::{fit, pad};

/// How often it is looked at.
const LOOK: Duration = Duration::from_millis(100);
/// Columns of the bar.
const BAR: usize = 30;
/// Columns that the echo of a key takes.
const ECHO: usize = 2;

/// Waits for the report. A signal that ends the program gives it up first.
///
/// # Errors
/// What became of it.
pub fn wait<T>(making: Making<T>) -> Result<T, WriteError> {
    let ends = Ends::watch();
    let mut line = Line::default();
    loop {
        if let Some(answer) = making.answer(LOOK) {
            line.clear();
            return answer;
        }
        if let Some(signal) = ends.asked() {
            drop(making);
            line.clear();
            die_by(signal);
        }
        line.show(making.stage());
    }
}

/// Signals that end the program, noted while it waits. Afterwards each does what it always does.
struct Ends {
    signal: Arc<AtomicUsize>,
    over: Arc<AtomicBool>,
}

impl Ends {
    fn watch() -> Ends {
        let ends = Ends {
            signal: Arc::default(),
            over: Arc::default(),
        };
        let ignored = ignored_signals();
        for signal in [SIGINT, SIGTERM, SIGHUP, SIGQUIT] {
            // Who started the program with a signal ignored wants it ignored.
            if ignored & (1 << (signal - 1)) != 0 {
                continue;
            }
            // Where the system refuses, the signal ends the program at once, as ever.
            let _ = flag::register_conditional_default(signal, Arc::clone(&ends.over));
            let number = signal.unsigned_abs() as usize;
            let _ = flag::register_usize(signal, Arc::clone(&ends.signal), number);
        }
        ends
    }

    fn asked(&self) -> Option<i32> {
        let signal = i32::try_from(self.signal.load(Ordering::SeqCst)).ok();
        signal.filter(|signal| *signal != 0)
    }
}

impl Drop for Ends {
    fn drop(&mut self) {
        self.over.store(true, Ordering::SeqCst);
    }
}

/// A bit for each signal the program was started without, the lowest for signal 1; none where the
/// system does not tell.
fn ignored_signals() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status.lines().find_map(|l| l.strip_prefix("SigIgn:"));
    mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok())
        .unwrap_or(0)
}

/// The one line that says how far it is.
#[derive(Default)]
struct Line {
    shown: String,
    columns: usize,
}

impl Line {
    fn show(&mut self, stage: Stage) {
        let mut out = io::stderr();
        if !out.is_terminal() {
            return;
        }
        let said = match stage {
            Stage::Gathering => "putting the report together".to_owned(),
            Stage::Photographs { done, total } => {
                let bar = Glyphs::Ascii.bar(done, total, BAR);
                format!("[{bar}] {done} of {total} photographs")
            }
            Stage::Writing => "writing the file".to_owned(),
        };
        // The last column is left free: some terminals break the line there.
        let columns = columns_of(&out).saturating_sub(1);
        if (said.as_str(), columns) == (self.shown.as_str(), self.columns) {
            return;
        }
        // The cursor goes back to the beginning, so that what a terminal echoes of ^C is cleared with
        // the rest; where that comes in between it finds room on the line.
        let room = columns.saturating_sub(ECHO);
        let line = format!("\r{}\r", pad(&fit(&said, room), room));
        let _ = out.write_all(line.as_bytes());
        (self.shown, self.columns) = (said, columns);
    }

    fn clear(&mut self) {
        if !self.shown.is_empty() {
            let blank = format!("\r{}\r", " ".repeat(self.columns));
            let _ = io::stderr().write_all(blank.as_bytes());
            self.shown.clear();
        }
    }
}
