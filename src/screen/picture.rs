//! The screen as a picture.

use super::app::App;
use super::svg::{self, Palette};
use super::theme::ThemeName;

impl App {
    /// The screen at a size as SVG, from its very cells.
    pub fn picture_at(&self, columns: u16, rows: u16, palette: &Palette) -> String {
        svg::svg(&self.buffer(columns, rows), palette, "handlamp")
    }

    /// Writes the screen into the folder of pictures.
    pub(super) fn picture(&mut self) {
        let (width, height) = self.size;
        let palette = match self.setup.theme.name {
            ThemeName::Night => Palette::NIGHT,
            _ => Palette::DARK,
        };
        let svg = self.picture_at(width, height, &palette);
        let name = format!(
            "handlamp-{}.svg",
            self.setup.clock.now().format("%Y%m%dT%H%M%S")
        );
        let path = self.setup.pictures.join(name);
        match std::fs::write(&path, svg) {
            Ok(()) => self.tell(format!("picture written: {}", path.display())),
            Err(error) => self.warn(format!(
                "no picture: {} cannot be written ({error})",
                path.display()
            )),
        }
    }
}
