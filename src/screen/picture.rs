//! The screen as a picture.

use std::path::PathBuf;

use crate::logbook::named::{NotWritten, Over, write_named};
use crate::paint::svg::{self, Palette};
use crate::paint::theme::ThemeName;
use crate::screen::app::App;

/// Names tried for one picture.
const TRIES: u32 = 100;

impl App {
    /// The screen at a size as SVG, from its very cells.
    pub fn picture_at(&self, columns: u16, rows: u16, palette: &Palette) -> String {
        svg::svg(&self.buffer(columns, rows), palette, "handlamp")
    }

    /// Writes the screen into the folder of pictures.
    pub(super) fn picture(&mut self) {
        let (width, height) = self.size;
        let palette = match self.base.shared.setup.theme.name {
            ThemeName::Night => Palette::NIGHT,
            _ => Palette::DARK,
        };
        let svg = self.picture_at(width, height, &palette);
        match self.write_picture(svg.as_bytes()) {
            Ok(path) => self
                .base
                .shared
                .tell(format!("picture written: {}", path.display())),
            Err(error) => self.base.shared.warn(format!("no picture: {error}")),
        }
    }

    /// Under a name of this second that nothing bears; others may have put something there, and it
    /// stays.
    fn write_picture(&self, svg: &[u8]) -> Result<PathBuf, NotWritten> {
        let second = self.base.shared.setup.clock.now().format("%Y%m%dT%H%M%S");
        let mut n = 1;
        loop {
            let more = if n > 1 {
                format!("-{n}")
            } else {
                String::new()
            };
            let name = format!("handlamp-{second}{more}.svg");
            let path = self.base.shared.setup.pictures.join(name);
            match write_named(&path, svg, Over::Nothing) {
                Ok(()) => return Ok(path),
                Err(NotWritten::Place(..) | NotWritten::Taken(_)) if n < TRIES => n += 1,
                Err(error) => return Err(error),
            }
        }
    }
}
