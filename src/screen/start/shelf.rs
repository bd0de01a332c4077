//! Several boats: which of the logbooks in a folder is opened.

use std::path::{Path, PathBuf};

use crate::logbook::shelf::{OnShelf, logbooks_in, place_for};
use crate::screen::app::{App, Screen};
use crate::screen::layers::Layer;
use crate::screen::layers::ask::Ask;
use crate::screen::start::name_question;
use crate::text::{fit, safe_line};

/// Columns of a name and of a folder, so that both show in a small window.
const LONGEST: usize = 24;

/// The logbooks in a folder that is none itself.
pub struct Shelf {
    dir: PathBuf,
    found: Vec<OnShelf>,
}

impl Shelf {
    /// What stands in a folder; none where no logbook does.
    pub fn at(dir: &Path) -> Option<Shelf> {
        let found = logbooks_in(dir).ok().filter(|found| !found.is_empty())?;
        let dir = dir.to_owned();
        Some(Shelf { dir, found })
    }

    /// Asks which boat. Boats of one name are told apart by their folders.
    pub fn question(&self) -> Layer {
        let line = |(path, boat): &OnShelf| {
            let folder = path.file_name().unwrap_or_default().to_string_lossy();
            let folder = fit(&safe_line(&folder), LONGEST);
            match boat {
                Ok(boat) => format!("{} · {folder}", fit(&safe_line(&boat.name), LONGEST)),
                Err(_) => format!("{folder} · its profile cannot be read"),
            }
        };
        let mut options: Vec<String> = self.found.iter().map(line).collect();
        options.push("begin a logbook for another boat (three questions)".into());
        options.push("leave".into());
        Layer::choice("Which boat?", options, Ask::WhichBoat)
    }

    /// A folder beside the others for a boat of this name.
    pub fn place_for(&self, name: &str) -> PathBuf {
        place_for(&self.dir, name)
    }
}

impl App {
    /// A line of [`Shelf::question`] was picked.
    pub(crate) fn boat_picked(&mut self, at: usize) {
        let Some(shelf) = &self.shelf else { return };
        match shelf.found.get(at) {
            Some((root, _)) => {
                self.setup.root = root.clone();
                self.open_from_shelf();
            }
            None if at == shelf.found.len() => self.layers.push(name_question()),
            None => self.leaving = true,
        }
    }

    fn open_from_shelf(&mut self) {
        match self.setup.open_book() {
            Ok(book) => {
                self.book = Some(book);
                self.layers.clear();
                self.go_home();
                self.tell_problems();
            }
            Err(error) => {
                self.first_layer();
                self.warn(error.to_string());
            }
        }
    }

    /// Closes the logbook that is open and asks for another, unless it has something in memory only.
    pub(crate) fn back_to_shelf(&mut self) {
        if self.still_unsaved() {
            return;
        }
        if let Some(mut book) = self.book.take() {
            book.finish();
        }
        self.screen = Screen::Start;
        self.desk = Default::default();
        self.shelf = self.shelf.take().and_then(|shelf| Shelf::at(&shelf.dir));
        self.first_layer();
    }
}
