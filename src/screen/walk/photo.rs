//! Taking a picture in by its path.

use crate::screen::complete::{PICTURE_HINT, folder_of, path_of};
use crate::screen::layers::Layer;
use crate::screen::walk::ask::Line;
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::walk::Spot;

impl WalkScreen {
    /// Asks for a picture's path, from the folder of the last one on.
    pub fn open_photo(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let title = self.title_of(spot, "picture");
        let layer = Layer::typed(title, PICTURE_HINT, &cx.pictures_from, Line::Photo(spot));
        cx.ask(layer);
    }

    /// Keeps the picture, says so in the look, and asks what it shows. The picture is on record
    /// before that: whoever stops here has only no caption.
    pub fn take_photo(&mut self, spot: Spot, text: &str, cx: &mut Turn<'_>) -> Result<(), String> {
        if text.is_empty() {
            return Err("name a file; Esc leaves".into());
        }
        let path = path_of(text);
        let photo = cx.book.keep_photo(&path, None).map_err(|e| e.to_string())?;
        cx.pictures_from = folder_of(text);
        let title = format!("{}: what does it show?", photo.words());
        if self.amend(spot, |d| d.photos.push(photo), cx) {
            let hint = "a few words; Enter: not said";
            cx.ask(Layer::line(title, hint, Line::Caption(spot)));
        }
        Ok(())
    }

    /// Says what the picture just taken in shows.
    pub fn take_caption(&mut self, spot: Spot, text: &str, cx: &mut Turn<'_>) {
        let caption = Some(text.to_owned()).filter(|t| !t.is_empty());
        if caption.is_some() {
            self.amend(
                spot,
                |d| {
                    if let Some(photo) = d.photos.last_mut() {
                        photo.caption = caption;
                    }
                },
                cx,
            );
        }
        cx.tell("the picture is kept");
    }
}
