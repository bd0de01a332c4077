//! A boat's logbook in use: read once, folded, and written to record by record.

mod behind;
mod open;
mod own;
mod profile;
mod refresh;
mod state;

pub use behind::{Missing, ToSay};
pub use refresh::News;

use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;

use chrono::{DateTime, FixedOffset};
use rustix::fs::{Access, access};

use super::clock::Clock;
use super::course::is_live;
use super::disk::RealDisk;
use super::doubts::{Suspect, doubts, to_accept};
use super::error::LogbookError;
use super::fold::{apply, fold};
use super::folder::Folder;
use super::issued::{Kept, contents, issued_problems, keep_issued, kept_issued};
use super::line::EntryId;
use super::merge::bring_along;
use super::photos::{keep_photo, kept_by, kept_photo, photo_problems, read_picture};
use super::placed::Written;
use super::problem::{Problem, copy_aside};
use super::reckoned::name_sources;
use super::record::{ClockFound, Loss, Record};
use super::replace::keep_text;
use super::rescue::{Rescue, hold, release};
use super::rescued::Rescued;
use super::seen::Seen;
use super::session::Session;
use super::texts;
use super::whole::Given;
use crate::boat::Boat;
use crate::checklist::{BoatsOwn, Checklist, Library};
use crate::defects::condition::Condition;
use crate::defects::{Doubt, History, NotCounted};
use crate::walk::Photo;

use profile::InForce;
pub(crate) use profile::boat_of;
pub(super) use profile::unknown;
pub use profile::{Differs, profile_in, read_boat};
use state::State;

/// An open logbook.
pub struct Book {
    folder: Folder,
    session: Session,
    clock: Rc<dyn Clock>,
    rng: fastrand::Rng,
    /// Built in, with the settings folder on top.
    base: Arc<Library>,
    own: BoatsOwn,
    state: State,
    profile: InForce,
    written: Vec<Written>,
    problems: Vec<Problem>,
    /// What of the record no answer counts.
    suspects: Vec<Suspect>,
    /// What else none counts, told by whoever looked beside the log.
    beside: Vec<Doubt>,
    /// Sessions whose clock was found wrong, to be recorded with the next record.
    clocks: Vec<ClockFound>,
    newer: usize,
    others: usize,
    /// What became of records that could not be saved when the program last ended.
    rescued: Rescued,
    /// Ids of records kept and not understood.
    unread: Vec<String>,
    /// What the log looked like when it was read.
    seen: Seen,
    /// Why the log could not be read again, while it cannot.
    unread_since: Option<String>,
    /// What this computer had seen of the logbook before.
    known: behind::Known,
    /// What somebody can say of what is not counted.
    to_say: Option<ToSay>,
    /// Why the last attempt to save failed, while records wait.
    trouble: Option<LogbookError>,
}

/// So many records at once are folded with all there are: put in one by one, each beginning of a walk
/// looks through all before it.
const MANY: usize = 500;

/// Why a logbook cannot be opened.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// There is no boat in the folder.
    #[error("{} holds no logbook yet; begin one with: handlamp boat new, or look at: handlamp demo", .0.display())]
    NoBoat(PathBuf),
    /// There are records in the folder, and nowhere the profile of the boat.
    #[error("{} holds records and no profile of the boat; bring them into her own logbook with: handlamp logbook merge {}, or give her a profile with: handlamp boat new FILE", .0.display(), .0.display())]
    NoProfile(PathBuf),
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

impl Book {
    fn fold_anew(&mut self) {
        *self.state.history_mut() = fold(&self.written);
        self.doubt_anew();
    }

    fn doubt_anew(&mut self) {
        let mut all = doubts(&self.suspects, &self.written, self.history());
        let losses = all.iter().any(Doubt::blocks);
        all.extend(self.beside.iter().cloned());
        let unread = self.unread_since.iter().map(|why| {
            let why = format!("{why}; what others recorded since is not known");
            Doubt::blocking(NotCounted::because(why))
        });
        all.extend(unread);
        let missing = self.missing();
        self.to_say = match missing.iter().any(|m| m.open) {
            true => Some(ToSay::GoOn),
            false => losses.then_some(ToSay::Known),
        };
        all.extend(missing.into_iter().map(|m| match m.open {
            true => Doubt::blocking(m.told),
            false => Doubt::said(m.told),
        }));
        self.state.history_mut().doubts = all;
    }

    /// What still forbids a clear verdict and can be accepted, as a record names it.
    pub fn losses(&self) -> Vec<Loss> {
        to_accept(&self.suspects, &self.written, self.history())
    }

    /// How many things no answer counts that no record shows: what is damaged, lost or of a later version,
    /// what lies beside the log, and what somebody has gone on without.
    pub fn not_counted(&self) -> usize {
        self.suspects.len() + self.beside.len() + self.missing().len()
    }

    /// The boat that answers speak of: her profile, and what records name beside it.
    pub fn boat(&self) -> &Boat {
        self.state.boat()
    }

    /// What can be looked at.
    pub fn library(&self) -> &Arc<Library> {
        self.state.library()
    }

    /// The state the records describe.
    pub fn history(&self) -> &History {
        self.state.history()
    }

    /// The same, to be shared.
    pub fn shared_history(&self) -> Rc<History> {
        Rc::clone(self.state.history())
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

    /// The clock and the library it was opened with, without what the logbook carries.
    pub(super) fn read_with(&self) -> (Rc<dyn Clock>, Arc<Library>) {
        (Rc::clone(&self.clock), Arc::clone(&self.base))
    }

    /// The condition of the boat now, folded once for all that ask within a minute.
    pub fn condition(&self) -> Rc<Condition> {
        self.state.condition(self.now())
    }

    /// Records in one write and one sync, and takes them into the state. Where they cannot be
    /// saved they are in the state and in memory all the same; [`Book::trouble`] says why and
    /// [`Book::retry`] tries again. Returns their ids.
    ///
    /// # Errors
    /// A record that has no form that could be written; nothing has changed.
    pub fn record(&mut self, records: Vec<Record>) -> Result<Vec<String>, LogbookError> {
        self.take_over(&records.iter().collect::<Vec<_>>());
        // What was found of clocks goes with whatever is written first.
        let own = self.clocks.len();
        let clocks = self.clocks.iter().cloned().map(Record::from);
        let mut records: Vec<Record> = clocks.chain(records).collect();
        name_sources(&self.written, &mut records);
        let mut lines = Vec::with_capacity(records.len());
        for record in &records {
            lines.push((record.event(), payload(record)?));
        }
        match self.session.append(&lines, &*self.clock) {
            Ok(_) => self.trouble = None,
            Err(error @ LogbookError::NotSaved { .. }) => self.trouble = Some(error),
            Err(error) => return Err(error),
        }
        self.clocks.clear();
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
        self.watch();
        Ok(ids.into_iter().skip(own).collect())
    }

    /// Holds what waits for whatever ends the program, and lets go of it once it is saved.
    fn watch(&self) {
        let root = self.session.folder().root();
        match self.unsaved() {
            0 => release(root),
            records => hold(Rescue {
                root: root.to_owned(),
                boat: self.boat().name.clone(),
                boat_id: self.boat_id().to_owned(),
                lines: self.session.whole_text(),
                records,
            }),
        }
    }

    /// What became of the records that could not be saved when the program last ended.
    pub fn rescued(&self) -> &Rescued {
        &self.rescued
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
        let known: std::collections::HashSet<&str> = self.written.iter().map(|w| &*w.id).collect();
        let fresh: Vec<_> = batch
            .into_iter()
            .filter(|(id, _)| id.as_ref().is_none_or(|id| !known.contains(id.as_str())))
            .collect();
        drop(known);
        if fresh.is_empty() {
            return Ok(Vec::new());
        }
        self.take_over(&fresh.iter().map(|(_, record)| record).collect::<Vec<_>>());
        let clocks = self.clocks.iter().cloned().map(Record::from);
        let own = clocks.len();
        let mut fresh: Vec<_> = clocks.map(|clock| (None, clock)).chain(fresh).collect();
        name_sources(&self.written, fresh.iter_mut().map(|(_, record)| record));
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
        self.clocks.clear();
        let left = fresh.iter().any(|(_, r)| matches!(r, Record::Retired(_)));
        self.take_in(&ids, fresh.into_iter().map(|(_, record)| record).collect());
        if left {
            self.file_follows();
        }
        self.keep_mark();
        Ok(ids.into_iter().skip(own).collect())
    }

    fn take_in(&mut self, ids: &[String], records: Vec<Record>) {
        let at = self.clock.now();
        let mut anew = records.len() >= MANY;
        let mut told = false;
        let of_profile = records.iter().any(|r| self.concerns_profile(r));
        for (id, record) in ids.iter().zip(records) {
            let written = Written::new(id.clone(), at, record);
            told |= !written.record.at().is_none_or(|own| is_live(own, at));
            anew = anew || !apply(self.state.history_mut(), &self.written, &written);
            self.written.push(written);
        }
        if anew {
            self.fold_anew();
        } else if told || self.has_doubts() {
            self.doubt_anew();
        }
        if anew || of_profile {
            self.settle_profile();
        }
        self.known.wrote = true;
    }

    /// Keeps the text of a checklist and the catalogue under its content hash, so that a walk
    /// knows what was asked; the hash.
    ///
    /// # Errors
    /// Where the folder cannot be written.
    pub fn keep_asked(&mut self, checklist: &Checklist) -> Result<String, LogbookError> {
        let text = self.library().asked_text(checklist);
        let text = text.map_err(|e| LogbookError::BadRecord {
            ev: "walk".into(),
            why: e.to_string(),
        })?;
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

    /// What is wrong with the pictures, those among them that only records taken back name, since these
    /// can be put back; each one is read.
    pub fn photo_problems(&self) -> Vec<Problem> {
        photo_problems(&RealDisk, &self.folder, kept_by(&self.written))
    }

    /// Keeps content or page of a report, whole and synced, and returns its digest.
    ///
    /// # Errors
    /// Where the folder cannot be written.
    pub fn keep_issued(&mut self, kept: Kept, bytes: &[u8]) -> Result<String, LogbookError> {
        keep_issued(&RealDisk, &self.folder, (kept, bytes), &mut self.rng)
    }

    /// What is kept of a report, by its digest.
    ///
    /// # Errors
    /// It is not there, cannot be read, or is not what was kept.
    pub fn issued(&self, kept: Kept, digest: &str) -> Result<Vec<u8>, LogbookError> {
        kept_issued(&RealDisk, &self.folder, (kept, digest))
    }

    /// The digests of all content kept of reports, with those that no record names.
    ///
    /// # Errors
    /// The folder cannot be listed.
    pub fn issued_contents(&self) -> Result<Vec<String>, LogbookError> {
        contents(&RealDisk, &self.folder)
    }

    /// What is wrong with what is kept of reports issued; each file is read.
    pub fn issued_problems(&self) -> Vec<Problem> {
        issued_problems(&RealDisk, &self.folder, &self.written)
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
    pub fn trouble(&self) -> Option<&LogbookError> {
        self.trouble.as_ref().filter(|_| self.unsaved() > 0)
    }

    /// The lines of unsaved records, for printing when all else fails.
    pub fn unsaved_lines(&self) -> Vec<String> {
        self.session.unsaved_lines()
    }

    /// Tries to save again.
    pub fn retry(&mut self) -> bool {
        let saved = self.session.retry(&*self.clock);
        self.trouble = saved.err();
        self.watch();
        self.trouble.is_none()
    }

    /// Goes on in another folder, with every record of this session written there, and with all
    /// else that opening it as the boat's logbook needs, as far as that can be read and written.
    ///
    /// # Errors
    /// Where that folder cannot be written either, or is another boat's.
    pub fn move_to(&mut self, root: &Path) -> Result<Moved, LogbookError> {
        let root = &std::path::absolute(root).map_err(|e| LogbookError::cannot_write(root, e))?;
        let into = Folder::new(root);
        let other = |boat: &Boat| boat.name.trim() != self.boat().name.trim();
        if read_boat(&into).is_ok_and(|boat| other(&boat)) {
            return Err(LogbookError::OtherBoat {
                into: into.root().to_owned(),
                from: self.root().to_owned(),
            });
        }
        texts::copy_to(&into, &self.folder, &self.written, &mut self.rng)?;
        let left = self.session.folder().root().to_owned();
        self.session.move_to(root, &*self.clock)?;
        self.trouble = None;
        release(&left);
        let own = self.session.ids();
        let own = self.written.iter().filter(|w| own.contains(&*w.id));
        let brought = bring_along(&RealDisk, &into, &self.folder, kept_by(own), &mut self.rng);
        Ok(match brought {
            Ok(()) => {
                self.folder = into;
                Moved::Whole
            }
            Err(why) => Moved::SessionAlone(why),
        })
    }

    /// Where it is written now, which another folder may be.
    pub fn writes_to(&self) -> &Path {
        self.session.folder().root()
    }
}

/// What lies in another folder after going on there.
#[derive(Debug)]
pub enum Moved {
    /// The boat's logbook, which opens there.
    Whole,
    /// The records of this session and no more, and why.
    SessionAlone(LogbookError),
}

impl Book {
    /// How long the last sync took.
    pub fn last_sync(&self) -> Duration {
        self.session.last_sync()
    }

    /// Marks a clean end.
    pub fn finish(&mut self) {
        // Only the mark can be missing; what was recorded is safe or told already.
        let _ = self.session.finish(&*self.clock);
        self.watch();
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
