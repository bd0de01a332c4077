//! An open logbook takes in what others have written since: another window, a command, a copy
//! brought by a syncing tool.

use std::collections::HashSet;
use std::io;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::profile::read_file;
use super::{Book, Seen, Written};
use crate::logbook::clock::wall_ms;
use crate::logbook::error::LogbookError;
use crate::logbook::folder::numbered;
use crate::logbook::marks::Mark;
use crate::logbook::order::BEHIND_MS;
use crate::logbook::read::read_log_with;
use crate::safety::{Safety, stands};

/// What a reading anew has brought.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct News {
    /// Ids of records that were not known, in the order of the log.
    pub came: Vec<String>,
    /// How many records that were known are in the folder no more.
    pub gone: usize,
    /// The boat's profile is another.
    pub profile: bool,
}

impl Book {
    /// Takes in what others have written since the log was read; none where nothing has changed,
    /// which is found out for little. What this session recorded stays, saved or not, and its next
    /// record sorts after all that was read.
    ///
    /// # Errors
    /// The log cannot be read any more; what was read before stands, and until it can be read again
    /// every answer says that what came since is not counted.
    pub fn refresh(&mut self) -> Result<Option<News>, LogbookError> {
        let read = self.read_again();
        let why = read.as_ref().err().map(ToString::to_string);
        if why != self.unread_since {
            self.unread_since = why;
            self.doubt_anew();
        }
        read
    }

    /// True while the log cannot be read again.
    pub fn is_cut_off(&self) -> bool {
        self.unread_since.is_some()
    }

    fn read_again(&mut self) -> Result<Option<News>, LogbookError> {
        let root = self.folder.root().to_owned();
        let own = self.session.own_file();
        if !stands(Safety::Refresh) || !self.seen.is_changed(&root, own) {
            return Ok(None);
        }
        let own = own.map(|(path, bytes)| (path.to_owned(), bytes));
        let seen = Seen::before_reading(&root);
        if self.seen.has_log() && !seen.has_log() {
            let gone = io::Error::from(io::ErrorKind::NotFound);
            return Err(LogbookError::cannot_read(self.folder.log(), gone));
        }
        if own.as_ref().is_some_and(|own| !is_whole(own, &root)) {
            self.session.mistrust_file();
        }
        let in_memory = if own.is_some() && self.session.unsaved() == 0 {
            Vec::new()
        } else {
            self.session.whole_text().into_bytes()
        };
        let mut log = read_log_with(&root, &*self.clock, &in_memory)?;
        for file in &mut log.files {
            let mine = own.as_ref().is_some_and(|(path, _)| *path == file.path);
            file.live &= !mine && seen.names(&file.path);
        }
        let (newest, beside) = (log.newest, log.beside.clone());
        // A profile that cannot be read just now is no reason to forget the one before.
        let profile = read_file(&self.folder).or_else(|_| Ok(self.profile().clone().into()));
        let (clock, base) = (Rc::clone(&self.clock), Arc::clone(&self.base));
        let folder = self.folder.clone();
        let Ok(mut fresh) = Book::of(folder, profile, (log, seen), clock, base, None) else {
            return Ok(None);
        };
        std::mem::swap(&mut fresh.session, &mut self.session);
        std::mem::swap(&mut fresh.rng, &mut self.rng);
        std::mem::swap(&mut fresh.known, &mut self.known);
        std::mem::swap(&mut fresh.trouble, &mut self.trouble);
        std::mem::swap(&mut fresh.rescued, &mut self.rescued);
        std::mem::swap(&mut fresh.beside, &mut self.beside);
        let before = std::mem::replace(self, fresh);
        self.session.observe(newest, &*self.clock);
        self.session.knows(beside);
        let news = self.news(&before);
        self.doubt_anew();
        Ok(Some(news))
    }

    /// The folders in which others write: the logbook's own, and those of the log.
    pub fn folders(&self) -> Vec<PathBuf> {
        self.seen.folders(self.folder.root())
    }

    /// The time of the newest record, and that of this computer's clock, where the clock is behind it
    /// by more than a few minutes.
    pub fn clock_behind(&self) -> Option<(DateTime<FixedOffset>, DateTime<FixedOffset>)> {
        let now = self.clock.now();
        let newest = self.session.newest().0;
        let behind = newest.saturating_sub(wall_ms(&*self.clock)) > BEHIND_MS;
        let newest = DateTime::from_timestamp_millis(i64::try_from(newest).ok()?)?;
        behind.then(|| (newest.with_timezone(now.offset()), now))
    }

    /// Whether a record was made on this computer, as far as its id says; a batch may name its own.
    pub fn is_of_this_computer(&self, id: &str) -> bool {
        numbered(id).is_none_or(|(session, _)| session.starts_with(self.session.device()))
    }

    fn news(&mut self, before: &Book) -> News {
        fn ids(book: &Book) -> HashSet<&str> {
            let written = book.written.iter().map(|w| &*w.id);
            written
                .chain(book.unread.iter().map(String::as_str))
                .collect()
        }
        fn beyond<'a>(book: &'a Book, other: &Book) -> Vec<&'a Written> {
            let known = ids(other);
            let new = |w: &&Written| !known.contains(&*w.id);
            book.written.iter().filter(new).collect()
        }
        let gone = beyond(before, self);
        let came = beyond(self, before);
        let news = News {
            came: came.iter().map(|w| w.id.to_string()).collect(),
            gone: gone.len(),
            profile: before.boat() != self.boat(),
        };
        if let Some(last) = gone.last().filter(|_| !self.is_behind()) {
            self.remember(Mark {
                boat: before.boat_id().to_owned(),
                record: last.id.to_string(),
                at: last.at,
            });
        }
        news
    }
}

/// Whether a session's file is as long as the session wrote it.
fn is_whole((path, bytes): &(PathBuf, u64), root: &Path) -> bool {
    let about = root.join(path).symlink_metadata();
    about.is_ok_and(|about| about.is_file() && about.len() == *bytes)
}
