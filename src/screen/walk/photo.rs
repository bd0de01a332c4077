//! The pictures of an item: one taken in by its path, those there are looked at, named, taken off.

use crate::photo::scale::drawn;
use crate::screen::complete::{PICTURE_HINT, folder_of, path_of};
use crate::screen::layers::{Drawn, Layer};
use crate::screen::walk::ask::{Line, Pick, Pictured};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::text::safe_line;
use crate::walk::{Photo, Spot};

/// The line that takes a picture in.
const TAKE_IN: &str = "take one in, from a file";
/// Pixels of a picture on a screen at the most: twice the columns of a page.
const LONGEST: u32 = 200;

/// What a picture shows, else its name.
fn shows(photo: &Photo) -> String {
    let caption = photo
        .caption
        .as_deref()
        .filter(|caption| !caption.is_empty());
    safe_line(caption.unwrap_or(&photo.path)).into_owned()
}

impl WalkScreen {
    /// Where there are pictures of the item, which one; else asks for a path at once.
    pub fn open_photo(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let pictures = self.pictures(spot, cx);
        if pictures.is_empty() {
            return self.ask_photo(spot, cx);
        }
        let told = pictures.iter().map(|(photo, own)| {
            let when = if own.is_some() {
                ""
            } else {
                ", of the look before"
            };
            format!("{}{when}", shows(photo))
        });
        let options = [TAKE_IN.to_owned()].into_iter().chain(told).collect();
        let title = self.title_of(spot, "pictures");
        cx.ask(Layer::choice(
            title,
            options,
            Pick::Pictures(spot, pictures),
        ));
    }

    /// Those of the look made here, then those of the look before that.
    fn pictures(&self, spot: Spot, cx: &Turn<'_>) -> Vec<Pictured> {
        let own = self.standing_details(cx.book, spot).photos.into_iter();
        let own: Vec<Pictured> = own.enumerate().map(|(n, photo)| (photo, Some(n))).collect();
        let item = self.item(spot).filter(|_| !self.hides_past(cx.book, spot));
        let life = item.and_then(|item| self.before.life(&item.id, &self.started.machine));
        let before = life.and_then(|life| life.status.look.as_ref());
        let before = before.map_or(&[][..], |timed| &timed.look.photos);
        own.into_iter()
            .chain(before.iter().map(|photo| (photo.clone(), None)))
            .collect()
    }

    /// What is done with one of them; of an earlier look's it is only looked at.
    pub fn ask_with_picture(&self, spot: Spot, picture: Pictured, cx: &mut Turn<'_>) {
        if picture.1.is_none() {
            return self.show_picture(&picture.0, cx);
        }
        let options = ["look at it", "say what it shows", "take it off this look"];
        let options = options.map(str::to_owned).into();
        let title = shows(&picture.0);
        cx.ask(Layer::choice(
            title,
            options,
            Pick::WithPicture(spot, picture),
        ));
    }

    /// Does what was picked.
    pub fn with_picture(
        &mut self,
        spot: Spot,
        (photo, own): Pictured,
        at: usize,
        cx: &mut Turn<'_>,
    ) {
        let Some(own) = own else { return };
        match at {
            0 => self.show_picture(&photo, cx),
            1 => {
                let words = photo.caption.clone().unwrap_or_default();
                let hint = "a few words; empty: not said";
                let line = Line::Caption(spot, own);
                cx.ask(Layer::typed("What does it show?", hint, &words, line));
            }
            _ => {
                let taken = |photos: &mut Vec<Photo>| {
                    if own < photos.len() {
                        photos.remove(own);
                    }
                };
                if self.amend(spot, |d| taken(&mut d.photos), cx) {
                    cx.tell("off this look; its file stays in the logbook");
                }
            }
        }
    }

    fn show_picture(&self, photo: &Photo, cx: &mut Turn<'_>) {
        let Some(kept) = &photo.kept else {
            return cx.warn("only its path is known; take it in to see it here");
        };
        let bytes = cx.book.photo(kept).map_err(|error| error.to_string());
        let pixels = bytes.and_then(|b| drawn(&b, LONGEST).map_err(|error| error.to_string()));
        match pixels {
            Ok(pixels) => {
                let drawn = Drawn::Picture(Box::new(pixels));
                cx.ask(Layer::page_with(shows(photo), vec![photo.words()], drawn));
            }
            Err(why) => cx.warn(why),
        }
    }

    /// Asks for a picture's path, from the folder of the last one on.
    pub fn ask_photo(&mut self, spot: Spot, cx: &mut Turn<'_>) {
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
        let at = self.standing_details(cx.book, spot).photos.len();
        if self.amend(spot, |d| d.photos.push(photo), cx) {
            let hint = "a few words; Enter: not said";
            cx.ask(Layer::line(title, hint, Line::Caption(spot, at)));
        }
        Ok(())
    }

    /// Says what a picture of the look shows, by its place among them.
    pub fn take_caption(&mut self, spot: Spot, at: usize, text: &str, cx: &mut Turn<'_>) {
        let caption = Some(text.to_owned()).filter(|text| !text.is_empty());
        let photos = self.standing_details(cx.book, spot).photos;
        if photos.get(at).is_some_and(|photo| photo.caption != caption) {
            let said = |photos: &mut Vec<Photo>| {
                if let Some(photo) = photos.get_mut(at) {
                    photo.caption = caption;
                }
            };
            self.amend(spot, |d| said(&mut d.photos), cx);
        }
        cx.tell("the picture is kept");
    }
}
