//! The pictures of an item: one taken in by its path, those there are looked at, named, moved to another
//! item, taken off.

use crate::logbook::record::Record;
use crate::screen::layers::files::Look;
use crate::screen::layers::{Layer, LineInput};
use crate::screen::pictures::{ask_path, look_at, shows, take_in};
use crate::screen::walk::ask::{Found, Line, Pick, Pictured};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::text::safe_line;
use crate::walk::{Photo, Spot};

/// The line that takes a picture in.
const TAKE_IN: &str = "take one in, from a file";

/// Which of several pictures this is, in words; the last of the sentence is what it shows.
fn numbered(n: usize, of: usize, photo: &Photo) -> String {
    match of {
        1 => shows(photo),
        _ => format!("picture {} of {of}: {}", n + 1, shows(photo)),
    }
}

impl WalkScreen {
    /// Where there are pictures of the item, which one; else asks for a path at once.
    pub fn open_photo(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let pictures = self.pictures(spot, cx);
        if pictures.is_empty() {
            return self.ask_photo(spot, cx);
        }
        let of = pictures.len();
        let told = pictures.iter().enumerate().map(|(n, (photo, own))| {
            let when = if own.is_some() {
                ""
            } else {
                ", of the look before"
            };
            format!("{}{when}", numbered(n, of, photo))
        });
        let options = [TAKE_IN.to_owned()].into_iter().chain(told).collect();
        let title = self.title_of(spot, "pictures");
        cx.ask(Layer::choice(
            title,
            options,
            Pick::Pictures(spot, pictures),
        ));
    }

    /// A picture taken right after a grade is of what was graded, though one stands before the next by
    /// now; of several things graded at once it is asked. False where one still stands there.
    pub(super) fn photo_of_just(&mut self, mut just: Vec<Spot>, cx: &mut Turn<'_>) -> bool {
        if self.is_found() || just.contains(&self.at) {
            return false;
        }
        match just.as_slice() {
            [] => false,
            [only] => {
                self.open_photo(*only, cx);
                let title = safe_line(self.item(self.at).map_or("", |item| &item.title));
                cx.tell(format!(
                    "of what was just graded; Esc and once more: of {title}"
                ));
                true
            }
            _ => {
                let of = |s: &Spot| safe_line(self.item(*s).map_or("", |i| &i.title)).into_owned();
                let mut options: Vec<String> = just
                    .iter()
                    .map(|s| format!("{}, just graded", of(s)))
                    .collect();
                options.push(format!("{}, in front", of(&self.at)));
                just.push(self.at);
                cx.ask(Layer::choice(
                    "A picture of which?",
                    options,
                    Pick::PictureOf(just),
                ));
                true
            }
        }
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
    pub fn ask_with_picture(&self, spot: Spot, pictures: &[Pictured], n: usize, cx: &mut Turn<'_>) {
        let Some(picture) = pictures.get(n) else {
            return;
        };
        let title = numbered(n, pictures.len(), &picture.0);
        if picture.1.is_none() {
            return look_at(title, &picture.0, cx);
        }
        let options = [
            "look at it",
            "say what it shows",
            "take it off this look",
            "move it to another item of this walk",
        ];
        let options = options.map(str::to_owned).into();
        let ask = Pick::WithPicture(spot, picture.clone(), title.clone());
        cx.ask(Layer::choice(title, options, ask));
    }

    /// Does what was picked.
    pub fn with_picture(
        &mut self,
        spot: Spot,
        (photo, own): Pictured,
        (at, title): (usize, String),
        cx: &mut Turn<'_>,
    ) {
        let Some(own) = own else { return };
        match at {
            0 => look_at(title, &photo, cx),
            1 => {
                let words = photo.caption.clone().unwrap_or_default();
                let hint = "a few words; empty: not said";
                let line = Line::Caption(spot, own, false);
                cx.ask(Layer::typed("What does it show?", hint, &words, line));
            }
            2 => {
                if self.amend(spot, |d| take_out(&mut d.photos, own), cx) {
                    cx.tell("off this look; its file stays in the logbook");
                }
            }
            _ => {
                let hint = "a part of the name of the item that it shows";
                let line = Line::MovePhoto(spot, own);
                cx.ask(Layer::line(format!("{title}: to which item?"), hint, line));
            }
        }
    }

    /// Moves a picture to the item of this walk that has a text in its name; where several have, asks
    /// which.
    pub fn move_photo_typed(
        &mut self,
        (spot, own): (Spot, usize),
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        if text.is_empty() {
            return Err("a part of its name; Esc leaves the picture here".into());
        }
        let mut found = self.find(text);
        found.retain(|s| *s != spot);
        // Of an item asked more than once, where it was looked at.
        found.sort_by_key(|s| self.standing_look(cx.book, *s).is_none());
        match self.first_of_each(found, text).as_slice() {
            [] => Err("nothing else in this walk has that in its name".into()),
            [only] => {
                self.move_photo((spot, own), *only, cx);
                Ok(())
            }
            several => {
                let places = several
                    .iter()
                    .map(|s| self.offered(&Found::Asked(*s), text));
                let options = places.collect();
                let ask = Pick::MoveTo(spot, own, several.to_vec());
                cx.ask(Layer::choice("Which one?", options, ask));
                Ok(())
            }
        }
    }

    /// Moves a picture to another place. The looks that are to stand are written before those that go are
    /// taken back, the new place first: wherever that breaks off, the picture stands somewhere.
    pub fn move_photo(&mut self, (spot, own): (Spot, usize), to: Spot, cx: &mut Turn<'_>) {
        let book = &*cx.book;
        let photos = self.standing_details(book, spot).photos;
        let Some(photo) = photos.get(own).cloned() else {
            return;
        };
        let seen = self.standing_look(book, to).is_some();
        let there = self.amended(book, to, |d| d.photos.push(photo));
        let here = self.amended(book, spot, |d| take_out(&mut d.photos, own));
        let Some((there, here)) = there.zip(here) else {
            return;
        };
        let looks = [&there, &here].into_iter().any(|(_, back)| back.is_some());
        let records = [there, here].into_iter();
        let records = records.flat_map(|(stands, back)| [Some(stands), back]);
        let records: Vec<Record> = records.flatten().collect();
        if self.walk_record(records, looks, cx) {
            let name = safe_line(self.item(to).map_or("", |item| &item.title)).into_owned();
            cx.tell(match seen {
                true => format!("the picture is with {name} now"),
                false => format!("the picture waits with {name}; its grade takes it along"),
            });
        }
    }

    /// Asks for a picture's path, from the folder of the last one on.
    pub fn ask_photo(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let title = self.title_of(spot, "picture");
        ask_path(title, "", false, Line::Photo(spot), cx);
    }

    /// Keeps the picture, says so in the look, and asks what it shows. The picture is on record
    /// before that: whoever stops here has only no caption.
    pub fn take_photo(&mut self, spot: Spot, text: &str, cx: &mut Turn<'_>) -> Result<(), String> {
        let photo = take_in(text, cx)?;
        let title = format!("{}: what does it show?", photo.words());
        let at = self.standing_details(cx.book, spot).photos.len();
        if self.amend(spot, |d| d.photos.push(photo), cx) {
            let hint = "a few words; Enter: not said".to_owned();
            let mut line = LineInput::new(title, hint, "");
            line.look = cx.pictures.last().map(|path| Look::at(path.to_owned()));
            let next = cx.pictures.next(*cx.book.now().offset());
            line.another = next.map(|found| found.name);
            cx.ask(Layer::Line(line, Line::Caption(spot, at, false)));
        }
        Ok(())
    }

    /// Says what a picture of the look shows, by its place among them; where `another`, takes the next one
    /// of its folder in too.
    pub fn take_caption(
        &mut self,
        (spot, at, another): (Spot, usize, bool),
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
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
        if another {
            let next = cx.pictures.next(*cx.book.now().offset());
            let next = next.ok_or("no other picture is there any more")?;
            return self.take_photo(spot, &next.path.to_string_lossy(), cx);
        }
        cx.tell("the picture is kept");
        Ok(())
    }
}

fn take_out(photos: &mut Vec<Photo>, at: usize) {
    if at < photos.len() {
        photos.remove(at);
    }
}
