//! The part of the terminal that is drawn on. A window can claim any size up to 65535×65535, and
//! cells for all of it would take more memory than there is.

use std::cell::Cell;
use std::io::{self, Write};

use ratatui::backend::{Backend, ClearType, CrosstermBackend, WindowSize};
use ratatui::buffer;
use ratatui::layout::{Position, Size};

use crate::terminal::encode::Encoder;
use crate::terminal::frames::Frames;
use crate::terminal::signals;

/// The most that is drawn: more columns and rows than any screen shows at a size that can be read.
/// This project's own figure.
pub const MOST: Size = Size::new(1000, 400);
/// What a terminal that does not know its size is taken for, as is common practice.
const UNKNOWN: Size = Size::new(80, 24);

/// The part of a window of this size that is drawn on.
pub fn bounded(size: Size) -> Size {
    match size {
        Size::ZERO => UNKNOWN,
        size => Size::new(size.width.min(MOST.width), size.height.min(MOST.height)),
    }
}

/// The terminal, never larger than [`MOST`].
pub struct Bounded {
    backend: CrosstermBackend<Frames>,
    encoder: Encoder,
    /// As the terminal said, until it may have changed.
    size: Cell<Option<Size>>,
    /// Whether the cursor shows, where that is known.
    cursor: Option<bool>,
}

impl Bounded {
    /// Over the frames that go to the terminal.
    pub fn new(frames: Frames) -> Bounded {
        Bounded {
            backend: CrosstermBackend::new(frames),
            encoder: Encoder::default(),
            size: Cell::new(None),
            cursor: None,
        }
    }

    /// The size of the terminal may be another: it is asked for again.
    pub fn ask_anew(&self) {
        self.size.set(None);
    }
}

impl Backend for Bounded {
    type Error = io::Error;

    fn draw<'a, I>(&mut self, content: I) -> io::Result<()>
    where
        I: Iterator<Item = (u16, u16, &'a buffer::Cell)>,
    {
        let frame = self.encoder.frame(self.size()?, content);
        self.backend.write_all(&frame)
    }

    fn hide_cursor(&mut self) -> io::Result<()> {
        match self.cursor.replace(false) {
            Some(false) => Ok(()),
            _ => self.backend.hide_cursor(),
        }
    }

    fn show_cursor(&mut self) -> io::Result<()> {
        match self.cursor.replace(true) {
            Some(true) => Ok(()),
            _ => self.backend.show_cursor(),
        }
    }

    fn get_cursor_position(&mut self) -> io::Result<Position> {
        self.backend.get_cursor_position()
    }

    fn set_cursor_position<P: Into<Position>>(&mut self, position: P) -> io::Result<()> {
        self.backend.set_cursor_position(position)
    }

    fn clear(&mut self) -> io::Result<()> {
        self.clear_region(ClearType::All)
    }

    fn clear_region(&mut self, region: ClearType) -> io::Result<()> {
        // Whatever wrote there before may have set modes as well.
        self.encoder.cleared();
        self.cursor = None;
        self.backend.clear_region(region)
    }

    fn size(&self) -> io::Result<Size> {
        if let Some(size) = self.size.get().filter(|_| !signals::was_resized()) {
            return Ok(size);
        }
        let size = self.backend.size().map(bounded)?;
        self.size.set(Some(size));
        Ok(size)
    }

    fn window_size(&mut self) -> io::Result<WindowSize> {
        let WindowSize {
            columns_rows,
            pixels,
        } = self.backend.window_size()?;
        Ok(WindowSize {
            columns_rows: bounded(columns_rows),
            pixels,
        })
    }

    fn flush(&mut self) -> io::Result<()> {
        Backend::flush(&mut self.backend)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_window_of_any_size_is_drawn_on_as_far_as_anybody_sees() {
        for ((columns, rows), drawn) in [
            ((32767, 32767), (1000, 400)),
            ((65535, 1), (1000, 1)),
            ((500, 200), (500, 200)),
            ((1, 1), (1, 1)),
            ((0, 5), (0, 5)),
            ((0, 0), (80, 24)),
        ] {
            assert_eq!(bounded(Size::new(columns, rows)), drawn.into());
        }
    }
}
