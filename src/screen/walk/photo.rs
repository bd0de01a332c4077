//! Taking a picture in by its path, and how it is named on screen.

use crate::screen::layers::{Layer, LineInput};
use crate::screen::walk::ask::Line;
use crate::screen::walk::complete::{complete, path_of};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::text::safe_line;
use crate::walk::{Photo, Spot};

impl WalkScreen {
    /// Asks for a picture's path, from the folder of the last one on.
    pub fn open_photo(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let title = self.title_of(spot, "picture");
        let hint = "the path of a JPEG or PNG; Tab completes it. The file itself stays as it is";
        let layer = Layer::typed(title, hint, &cx.pictures_from, Line::Photo(spot));
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
        let folder = text.rfind('/').map_or("", |at| &text[..=at]);
        cx.pictures_from = folder.trim_start_matches(['"', '\'']).to_owned();
        let title = format!("{}: what does it show?", named(&photo));
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

/// Completes the path in a line as far as there is no choice.
pub fn complete_path(line: &mut LineInput) {
    if !line.parts().1.is_empty() {
        return;
    }
    match complete(line.text()) {
        Ok(completed) => {
            line.clear();
            line.insert(&completed.text);
            if !completed.choices.is_empty() {
                line.hint = completed.choices.join("  ");
            }
        }
        Err(why) => line.error = Some(why),
    }
}

/// A picture by its name and size.
pub(crate) fn named(photo: &Photo) -> String {
    let name = safe_line(&photo.path);
    match photo.bytes {
        Some(bytes) if bytes < 1_000_000 => format!("{name}, {} kB", bytes.div_ceil(1000)),
        Some(bytes) => format!("{name}, {:.1} MB", bytes as f64 / 1e6),
        None => format!("{name}, by its path only"),
    }
}
