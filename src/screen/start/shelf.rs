//! Several boats: which of the logbooks in a folder is opened.

use std::path::{Path, PathBuf};

use crate::logbook::shelf::{OnShelf, logbooks_in, place_for};
use crate::text::{fit, safe_line};

/// Columns of a name and of a folder, so that both show in a small window.
const LONGEST: usize = 24;

/// The logbooks in a folder that is none itself.
pub struct Shelf {
    /// The folder they lie in.
    pub dir: PathBuf,
    found: Vec<OnShelf>,
}

impl Shelf {
    /// What stands in a folder; none where no logbook does.
    pub fn at(dir: &Path) -> Option<Shelf> {
        let found = logbooks_in(dir).ok().filter(|found| !found.is_empty())?;
        let dir = dir.to_owned();
        Some(Shelf { dir, found })
    }

    /// The boats to choose from, and what else there is. Boats of one name are told apart by their
    /// folders.
    pub fn options(&self) -> Vec<String> {
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
        options
    }

    /// The folder of the boat at a place of the options.
    pub fn root(&self, at: usize) -> Option<&Path> {
        self.found.get(at).map(|(root, _)| root.as_path())
    }

    /// True for the place of the options that begins a logbook.
    pub fn is_new(&self, at: usize) -> bool {
        at == self.found.len()
    }

    /// A folder beside the others for a boat of this name.
    pub fn place_for(&self, name: &str) -> PathBuf {
        place_for(&self.dir, name)
    }
}
