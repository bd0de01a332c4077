//! Frames to the terminal: gathered whole, sent in one synchronised write.

use std::cell::RefCell;
use std::io::{self, Write};
use std::rc::Rc;

use crate::terminal::modes;

/// Asks the terminal to show what follows at once; terminals that do not know it ignore it.
const BEGIN: &[u8] = b"\x1b[?2026h";
const END: &[u8] = b"\x1b[?2026l";

/// The writer under the drawing backend. Writing and flushing only gather; [`Frames::send`] puts
/// the frame on the terminal. Dropping it writes nothing, so half a frame can never land on the
/// user's own screen after the modes were left.
#[derive(Clone, Debug, Default)]
pub struct Frames(Rc<RefCell<Vec<u8>>>);

impl Frames {
    /// Sends what was gathered, if the program still holds the terminal.
    ///
    /// # Errors
    /// The terminal is gone or refuses the bytes.
    pub fn send(&self) -> io::Result<()> {
        let frame = self.0.take();
        if frame.is_empty() || !modes::are_on() {
            return Ok(());
        }
        modes::write_to_terminal(&[BEGIN, &frame, END].concat())
    }
}

impl Write for Frames {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.borrow_mut().extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
