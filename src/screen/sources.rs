//! Where pictures come from: the folder last used, and what was taken in of it.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use chrono::FixedOffset;

use crate::logbook::pictures::{Found, keep_folder, last_folder, pictures_in};
use crate::screen::complete::folder_of;

/// What is known of it while the program runs.
#[derive(Default)]
pub struct Sources {
    /// The folder of the last one, as typed; none before it was asked for.
    from: Option<String>,
    /// The files taken in.
    taken: BTreeSet<PathBuf>,
    /// The last of them.
    last: Option<PathBuf>,
}

impl Sources {
    /// The folder from which a picture is asked, as it stands in the line; at first the one used before
    /// the program began, which is kept in `place`.
    pub fn from(&mut self, place: Option<&Path>) -> String {
        let kept = || place.and_then(last_folder).unwrap_or_default();
        self.from.get_or_insert_with(kept).clone()
    }

    /// A picture was taken in, by its path as typed.
    pub fn took(&mut self, typed: &str, path: PathBuf, place: Option<&Path>) {
        let from = Some(folder_of(typed));
        if self.from != from
            && let Some(place) = place
        {
            keep_folder(place, &path);
        }
        self.from = from;
        self.taken.insert(path.clone());
        self.last = Some(path);
    }

    /// The files taken in.
    pub fn taken(&self) -> &BTreeSet<PathBuf> {
        &self.taken
    }

    /// The one taken in last.
    pub fn last(&self) -> Option<&Path> {
        self.last.as_deref()
    }

    /// The one that stands behind it in its folder and was not taken in.
    pub fn next(&self, zone: FixedOffset) -> Option<Found> {
        let last = self.last.as_ref()?;
        let listed = pictures_in(last.parent()?, zone).ok()?.pictures.into_iter();
        let mut behind = listed.skip_while(|found| found.path != *last);
        behind.find(|found| !self.taken.contains(&found.path) && found.path.to_str().is_some())
    }
}
