//! The terminal modes the program uses, entered and left in one place from any thread.
//!
//! Nothing here takes the lock of the standard output, so leaving works while the main thread is
//! stuck in a write or a panic.

use std::io;
use std::sync::atomic::{AtomicBool, Ordering};

use crossterm::terminal::{disable_raw_mode, enable_raw_mode};
use rustix::event::{PollFd, PollFlags, poll};
use rustix::io::Errno;

/// Alternate screen, empty, cursor hidden until the first frame, pastes marked.
const ENTER: &[u8] = b"\x1b[?1049h\x1b[2J\x1b[H\x1b[?25l\x1b[?2004h";
/// The reverse, and the end of a frame that may have been cut; the cursor is shown last because
/// some terminals keep its state for each screen.
const LEAVE: &[u8] = b"\x1b[?2026l\x1b[?2004l\x1b[0m\x1b[?25h\x1b[?1049l\x1b[?25h";

static ON: AtomicBool = AtomicBool::new(false);

/// Whether the program holds the terminal now.
pub(crate) fn are_on() -> bool {
    ON.load(Ordering::SeqCst)
}

/// Enters every mode, or enters them again after something outside may have changed them.
///
/// # Errors
/// The terminal refuses; whatever was entered is left again.
pub(crate) fn enter() -> io::Result<()> {
    ON.store(true, Ordering::SeqCst);
    // Leaving raw mode first makes entering it count: a shell may have reset it meanwhile.
    let entered = disable_raw_mode()
        .and_then(|()| enable_raw_mode())
        .and_then(|()| write_to_terminal(ENTER));
    if entered.is_err() {
        leave();
    }
    entered
}

/// Leaves every mode. Doing it again, from whatever thread, does nothing.
pub(crate) fn leave() {
    if ON.swap(false, Ordering::SeqCst) {
        // A terminal that is gone cannot be helped; both steps are tried all the same.
        let _ = disable_raw_mode();
        let _ = write_to_terminal(LEAVE);
    }
}

/// Writes all bytes to the terminal without buffer or lock.
///
/// # Errors
/// The terminal is gone.
pub(crate) fn write_to_terminal(mut bytes: &[u8]) -> io::Result<()> {
    let terminal = rustix::stdio::stdout();
    while !bytes.is_empty() {
        match rustix::io::write(terminal, bytes) {
            Ok(0) => return Err(io::ErrorKind::WriteZero.into()),
            Ok(n) => bytes = &bytes[n..],
            Err(Errno::INTR) => {}
            Err(Errno::AGAIN) => {
                // Some other program left the shared terminal in non-blocking mode.
                match poll(&mut [PollFd::new(&terminal, PollFlags::OUT)], None) {
                    Ok(_) | Err(Errno::INTR) => {}
                    Err(error) => return Err(error.into()),
                }
            }
            Err(error) => return Err(error.into()),
        }
    }
    Ok(())
}
