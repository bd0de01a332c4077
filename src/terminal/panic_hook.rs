//! A panic leaves the terminal usable and its message readable, on whatever thread it happens.

use std::io::Write;
use std::panic::PanicHookInfo;
use std::thread;

use crate::logbook::rescue;
use crate::terminal::modes;

/// Exit code of a program that panicked.
const PANICKED: i32 = 101;

/// Installs the hook for the whole process; the calling thread counts as the main one. A panic
/// there goes on unwinding, so that owners on the stack can save; a panic on any other thread
/// ends the process at once, because the screens would go on without a terminal under them.
pub(crate) fn install() {
    let main = thread::current().id();
    std::panic::set_hook(Box::new(move |info| {
        modes::leave();
        // Standard error may be gone with the terminal, and a panic here would end all at once.
        let mut error = std::io::stderr();
        let _ = writeln!(error, "{}", describe(info));
        let rescued = rescue::write_all_held();
        if rescued.is_empty() {
            let _ = writeln!(error, "What was graded is saved.");
        }
        for sentence in rescue::told(&rescued) {
            let _ = writeln!(error, "{}", printable(&sentence));
        }
        if thread::current().id() != main {
            std::process::exit(PANICKED);
        }
    }));
}

fn describe(info: &PanicHookInfo<'_>) -> String {
    let payload = info.payload();
    let what = payload
        .downcast_ref::<&str>()
        .copied()
        .or_else(|| payload.downcast_ref::<String>().map(String::as_str))
        .unwrap_or("no message");
    let place = info
        .location()
        .map(|at| format!(" ({}:{})", at.file(), at.line()))
        .unwrap_or_default();
    printable(&format!(
        "handlamp stopped on an error of its own: {what}{place}."
    ))
}

/// The text on one line without anything a terminal would obey: a message may quote user data.
fn printable(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::printable;

    #[test]
    fn a_message_cannot_command_the_terminal() {
        assert_eq!(printable("a\u{1b}[2J\r\n\u{9b}31mb\tc"), "a [2J   31mb c");
    }
}
