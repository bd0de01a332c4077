//! A boat's logbook in use: read once, folded, and written to record by record.

mod behind;
mod refresh;

pub use behind::Missing;
pub use refresh::News;

use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;

use chrono::{DateTime, FixedOffset};
use rustix::fs::{Access, access};

use super::clock::Clock;
use super::disk::{Disk, RealDisk};
use super::error::LogbookError;
use super::fold::{Written, apply, fold};
use super::folder::{Folder, MAX_SMALL};
use super::line::EntryId;
use super::photos::{keep_photo, kept_photo, photo_problems, read_picture};
use super::problem::{Problem, copy_aside};
use super::read::{Log, read_log};
use super::record::Record;
use super::replace::{keep_text, replace_file};
use super::seen::Seen;
use super::session::Session;
use super::whole::Given;
use crate::boat::Boat;
use crate::checklist::{Checklist, Library};
use crate::defects::History;
use crate::defects::condition::Condition;
use crate::text::json_guard;
use crate::walk::Photo;

/// An open logbook.
pub struct Book {
    folder: Folder,
    session: Session,
    clock: Rc<dyn Clock>,
    rng: fastrand::Rng,
    library: Arc<Library>,
    boat: Boat,
    written: Vec<Written>,
    history: History,
    problems: Vec<Problem>,
    newer: usize,
    others: usize,
    /// Ids of records kept and not understood.
    unread: Vec<String>,
    /// What the log looked like when it was read.
    seen: Seen,
    /// What this computer had seen of the logbook before.
    known: behind::Known,
    /// Why the last attempt to save failed, while records wait.
    trouble: Option<String>,
}

/// Why a logbook cannot be opened.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// There is no boat in the folder.
    #[error("{} holds no logbook yet; begin one with: handlamp boat new, or look at: handlamp demo", .0.display())]
    NoBoat(PathBuf),
    /// The profile is there but cannot be understood.
    #[error("{} cannot be understood: {why}; mend it, or put an earlier copy in its place", path.display())]
    BadBoat {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        why: String,
    },
    /// The record cannot be read.
    #[error(transparent)]
    Log(#[from] LogbookError),
}

/// Why a picture is not kept.
#[derive(Debug, thiserror::Error)]
pub enum NotKept {
    /// What is wrong with the person's file, one sentence.
    #[error("{0}")]
    Picture(String),
    /// The logbook cannot be written.
    #[error(transparent)]
    Log(#[from] LogbookError),
}

/// The boat's profile in a logbook.
///
/// # Errors
/// [`OpenError`]: there is none, or it cannot be read or understood.
pub fn read_boat(folder: &Folder) -> Result<Boat, OpenError> {
    let path = folder.boat();
    let bytes = match RealDisk.read(&path, MAX_SMALL) {
        Ok(bytes) => bytes,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
            return Err(OpenError::NoBoat(folder.root().to_owned()));
        }
        Err(e) => return Err(LogbookError::cannot_read(path, e).into()),
    };
    boat_of(&bytes).map_err(|e| OpenError::BadBoat {
        path,
        why: e.to_string(),
    })
}

/// A profile from the bytes of its file; an editor may have put a byte-order mark before it.
pub(crate) fn boat_of(bytes: &[u8]) -> serde_json::Result<Boat> {
    serde_json::from_slice(bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes))
}

impl Book {
    /// Opens the logbook in a folder. Reading changes nothing on disk.
    ///
    /// # Errors
    /// [`OpenError`]; damage within the record is no error but a problem to be told.
    pub fn open(
        root: &Path,
        clock: Rc<dyn Clock>,
        library: Arc<Library>,
        seed: Option<u64>,
    ) -> Result<Book, OpenError> {
        let folder = Folder::new(root);
        let boat = read_boat(&folder)?;
        let seen = Seen::before_reading(root);
        let log = read_log(root, &*clock)?;
        Ok(Book::of(folder, boat, (log, seen), clock, library, seed))
    }

    /// Begins a logbook in a folder that has none.
    ///
    /// # Errors
    /// Where the folder cannot be written.
    pub fn create(
        root: &Path,
        boat: Boat,
        clock: Rc<dyn Clock>,
        library: Arc<Library>,
        seed: Option<u64>,
    ) -> Result<Book, OpenError> {
        let folder = Folder::new(root);
        let seen = Seen::before_reading(root);
        let log = (read_log(root, &*clock)?, seen);
        let mut book = Book::of(folder, boat.clone(), log, clock, library, seed);
        book.set_boat(boat)?;
        Ok(book)
    }

    fn of(
        folder: Folder,
        boat: Boat,
        (mut log, mut seen): (Log, Seen),
        clock: Rc<dyn Clock>,
        library: Arc<Library>,
        seed: Option<u64>,
    ) -> Book {
        // A fixed seed must not give two sessions one id: what the log holds already goes into it.
        let mut rng = seed.map_or_else(fastrand::Rng::new, |seed| {
            let held = (log.entries.len() as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15);
            fastrand::Rng::with_seed(seed ^ held)
        });
        let app = concat!("handlamp ", env!("CARGO_PKG_VERSION"));
        let session = Session::new(
            Box::new(RealDisk),
            folder.clone(),
            app,
            log.newest,
            rng.fork(),
        );
        let mut written = Vec::with_capacity(log.entries.len());
        let mut refused = Vec::new();
        let mut newer = 0;
        let mut unread = Vec::new();
        seen.read(&log.files);
        // Each entry goes as its record comes, whose memory is then there for the next.
        for entry in std::mem::take(&mut log.entries) {
            match Record::read(&entry.ev, entry.rec.get()) {
                Some(Ok(record)) => written.push(Written {
                    id: entry.id.into_text(),
                    at: entry.at,
                    record,
                }),
                Some(Err(error)) => {
                    refused.push(Problem::not_understood(&log, &entry, &error.to_string()));
                    unread.push(entry.id.into_text());
                }
                None if matches!(&*entry.ev, "session" | "end") => {}
                None => {
                    newer += 1;
                    unread.push(entry.id.into_text());
                }
            }
        }
        let history = fold(&written);
        let others = log.files.iter().filter(|file| file.live).count();
        let mut problems = log.problems;
        problems.append(&mut refused);
        Book {
            folder,
            session,
            clock,
            rng,
            library,
            boat,
            written,
            history,
            problems,
            newer,
            others,
            unread,
            seen,
            known: behind::Known::default(),
            trouble: None,
        }
    }

    /// The profile.
    pub fn boat(&self) -> &Boat {
        &self.boat
    }

    /// What tells this boat from another of the same name: the id of the record that first set up
    /// her profile, the same in every copy of the logbook; her name where that record is lost.
    pub fn boat_id(&self) -> &str {
        let profile = |w: &&Written| matches!(w.record, Record::Profile(_));
        let first = self.written.iter().find(profile);
        first.map_or(&self.boat.name, |w| &w.id)
    }

    /// What can be looked at.
    pub fn library(&self) -> &Arc<Library> {
        &self.library
    }

    /// The state the records describe.
    pub fn history(&self) -> &History {
        &self.history
    }

    /// Every record understood, in the order of the log.
    pub fn written(&self) -> &[Written] {
        &self.written
    }

    /// What is wrong with the record, in plain words.
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// Copies the damaged bytes of the record to `aside/`, for a person to look at; how many copies
    /// are new. Nothing else is changed.
    ///
    /// # Errors
    /// Where they cannot be read any more, or not be written.
    pub fn copy_aside(&mut self) -> Result<usize, LogbookError> {
        copy_aside(&RealDisk, &self.folder, &self.problems, &mut self.rng)
    }

    /// Records of a later version, kept and not counted.
    pub fn newer(&self) -> usize {
        self.newer
    }

    /// Sessions that were writing to it when it was opened, in other windows; a stopped one too.
    pub fn others(&self) -> usize {
        self.others
    }

    /// Whether the folder can be written to, as far as its rights and its file system say.
    pub fn is_writable(&self) -> bool {
        let log = self.folder.log();
        let place = if log.exists() {
            log.as_path()
        } else {
            self.root()
        };
        access(place, Access::WRITE_OK | Access::EXEC_OK).is_ok()
    }

    /// The folder.
    pub fn root(&self) -> &Path {
        self.folder.root()
    }

    /// The wall clock.
    pub fn now(&self) -> DateTime<FixedOffset> {
        self.clock.now()
    }

    /// Time that never goes back.
    pub fn monotonic(&self) -> Duration {
        self.clock.monotonic()
    }

    /// The condition of the boat now.
    pub fn condition(&self) -> Condition {
        Condition::of(
            &self.boat,
            Arc::clone(&self.library),
            &self.history,
            self.now(),
        )
    }

    /// Records in one write and one sync, and takes them into the state. Where they cannot be
    /// saved they are in the state and in memory all the same; [`Book::trouble`] says why and
    /// [`Book::retry`] tries again. Returns their ids.
    ///
    /// # Errors
    /// A record that has no form that could be written; nothing has changed.
    pub fn record(&mut self, records: Vec<Record>) -> Result<Vec<String>, LogbookError> {
        let mut lines = Vec::with_capacity(records.len());
        for record in &records {
            lines.push((record.event(), payload(record)?));
        }
        match self.session.append(&lines, &*self.clock) {
            Ok(_) => self.trouble = None,
            Err(error @ LogbookError::NotSaved { .. }) => self.trouble = Some(error.to_string()),
            Err(error) => return Err(error),
        }
        let ids: Vec<String> = self
            .session
            .latest()
            .iter()
            .map(|entry| entry.id.as_str().to_owned())
            .collect();
        let finished = |record: &Record| matches!(record, Record::WalkFinished(_));
        let worth_a_mark = records.iter().any(finished);
        self.take_in(&ids, records);
        if worth_a_mark {
            self.keep_mark();
        }
        Ok(ids)
    }

    /// Records a batch whole or not at all, in a file of its own. Ids that a record brings are
    /// kept, so that recording it twice changes nothing.
    ///
    /// # Errors
    /// Nothing of the batch is in the logbook.
    pub fn record_batch(
        &mut self,
        batch: Vec<(Option<EntryId>, Record)>,
    ) -> Result<Vec<String>, LogbookError> {
        let known: std::collections::HashSet<&str> =
            self.written.iter().map(|w| w.id.as_str()).collect();
        let fresh: Vec<_> = batch
            .into_iter()
            .filter(|(id, _)| id.as_ref().is_none_or(|id| !known.contains(id.as_str())))
            .collect();
        drop(known);
        if fresh.is_empty() {
            return Ok(Vec::new());
        }
        let mut given = Vec::with_capacity(fresh.len());
        for (id, record) in &fresh {
            given.push(Given {
                id: id.clone(),
                ev: record.event().to_owned(),
                rec: payload(record)?,
            });
        }
        let ids = self.session.append_whole_file(&given, &*self.clock)?;
        let ids: Vec<String> = ids.iter().map(|id| id.as_str().to_owned()).collect();
        self.take_in(&ids, fresh.into_iter().map(|(_, record)| record).collect());
        self.keep_mark();
        Ok(ids)
    }

    fn take_in(&mut self, ids: &[String], records: Vec<Record>) {
        let at = self.clock.now();
        let mut anew = false;
        for (id, record) in ids.iter().zip(records) {
            let written = Written {
                id: id.clone(),
                at,
                record,
            };
            anew |= !apply(&mut self.history, &self.written, &written);
            self.written.push(written);
        }
        if anew {
            self.history = fold(&self.written);
        }
        self.known.wrote = true;
        self.tell_missing();
    }

    /// Replaces the profile, and records it so that even the file can be lost.
    ///
    /// # Errors
    /// Where the file cannot be written; the old profile stays.
    pub fn set_boat(&mut self, boat: Boat) -> Result<(), LogbookError> {
        let text = serde_json::to_string_pretty(&boat).map_err(|e| LogbookError::BadRecord {
            ev: "boat".into(),
            why: e.to_string(),
        })?;
        replace_file(
            &RealDisk,
            &self.folder.boat(),
            format!("{}\n", json_guard(&text)).as_bytes(),
            &mut self.rng,
        )?;
        self.boat = boat.clone();
        self.record(vec![Record::Profile(boat)])?;
        Ok(())
    }

    /// Keeps the text of a checklist and the catalogue under its content hash, so that a walk
    /// knows what was asked; the hash.
    ///
    /// # Errors
    /// Where the folder cannot be written.
    pub fn keep_asked(&mut self, checklist: &Checklist) -> Result<String, LogbookError> {
        #[derive(serde::Serialize)]
        struct Asked<'a> {
            checklist: &'a Checklist,
            catalogue: crate::checklist::catalogue::CatalogueFile,
        }
        let asked = Asked {
            checklist,
            catalogue: self.library.catalogue.to_file(),
        };
        let text = serde_json::to_string(&asked).map_err(|e| LogbookError::BadRecord {
            ev: "walk".into(),
            why: e.to_string(),
        })?;
        let text = json_guard(&text);
        keep_text(&RealDisk, &self.folder, text.as_bytes(), &mut self.rng)
    }

    /// Takes a person's picture in: its content is kept, whole and synced, before this returns.
    ///
    /// # Errors
    /// [`NotKept`]: what is wrong with the file, or why it cannot be kept.
    pub fn keep_photo(&mut self, path: &Path, caption: Option<String>) -> Result<Photo, NotKept> {
        let picture = read_picture(path).map_err(NotKept::Picture)?;
        let kept = keep_photo(&RealDisk, &self.folder, &picture, &mut self.rng)?;
        let name = path.file_name().unwrap_or(path.as_os_str());
        Ok(Photo {
            path: name.to_string_lossy().into_owned(),
            caption,
            kept: Some(kept),
            bytes: Some(picture.bytes.len() as u64),
        })
    }

    /// The content of a kept picture, by its name under `photos/`.
    ///
    /// # Errors
    /// It is not there, cannot be read, or is not what was kept.
    pub fn photo(&self, kept: &str) -> Result<Vec<u8>, LogbookError> {
        kept_photo(&RealDisk, &self.folder, kept)
    }

    /// What is wrong with the pictures; each one is read.
    pub fn photo_problems(&self) -> Vec<Problem> {
        let looks = self.history.walks.iter().flat_map(|w| &w.looks);
        let looked = looks.flat_map(|timed| &timed.look.photos);
        let ahead = self.history.drafts.iter().flat_map(|d| &d.details.photos);
        let named = looked.chain(ahead).filter_map(|p| p.kept.as_deref());
        photo_problems(&RealDisk, &self.folder, named)
    }

    /// A new id for a walk: readable, unique by its random end.
    pub fn new_walk_id(&mut self) -> String {
        let mark: String = std::iter::repeat_with(|| self.rng.lowercase())
            .take(5)
            .collect();
        format!("{}-{mark}", self.now().format("%Y%m%d-%H%M"))
    }

    /// Records that are in memory only.
    pub fn unsaved(&self) -> usize {
        self.session.unsaved()
    }

    /// Why they could not be saved.
    pub fn trouble(&self) -> Option<&str> {
        self.trouble.as_deref().filter(|_| self.unsaved() > 0)
    }

    /// The lines of unsaved records, for printing when all else fails.
    pub fn unsaved_lines(&self) -> Vec<String> {
        self.session.unsaved_lines()
    }

    /// Tries to save again.
    pub fn retry(&mut self) -> bool {
        let saved = self.session.retry(&*self.clock);
        self.trouble = saved.err().map(|e| e.to_string());
        self.trouble.is_none()
    }

    /// Goes on in another folder, with every record of this session written there.
    ///
    /// # Errors
    /// Where that folder cannot be written either.
    pub fn move_to(&mut self, root: &Path) -> Result<(), LogbookError> {
        self.session.move_to(root, &*self.clock)?;
        self.trouble = None;
        Ok(())
    }

    /// How long the last sync took.
    pub fn last_sync(&self) -> Duration {
        self.session.last_sync()
    }

    /// Marks a clean end.
    pub fn finish(&mut self) {
        // Only the mark can be missing; what was recorded is safe or told already.
        let _ = self.session.finish(&*self.clock);
        let _ = self.refresh();
        self.keep_mark();
    }
}

fn payload(record: &Record) -> Result<String, LogbookError> {
    record.payload().map_err(|e| LogbookError::BadRecord {
        ev: record.event().to_owned(),
        why: e.to_string(),
    })
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
