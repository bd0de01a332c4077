//! One run of the program writing its records. A record is acknowledged only after its bytes are
//! synced; what cannot be saved stays here, counted, until it can.
//!
//! The session keeps all its lines in memory. When its file can no longer be trusted (replaced or
//! removed by someone, or a sync failed), it writes all of them to a new file: the ids are the
//! same, so nothing counts twice. After a failed sync the system may call the lost pages clean,
//! and a second sync of the same file would succeed without saving anything (Rebello and others,
//! 2020), so such a file is never used again.

use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::clock::{Clock, wall_ms};
use super::disk::{Disk, DiskFile, make_dirs, write_all};
use super::error::LogbookError;
use super::folder::{Folder, file_name, session_id};
use super::line::{self, Entry, EntryId};
use super::stamp::{Stamp, StampClock};
use super::whole::sync_names;

/// The version of the records' meaning; raised only when an older program would misread them.
pub const FORMAT: u32 = 1;
/// A session this long goes on as a new one, so that what is kept in memory stays small.
const LONG: usize = 8 * 1024 * 1024;

/// Ids `device-session-0`, `-1`, `-2`: no number is left out, so a missing line shows.
#[derive(Clone)]
pub(crate) struct Numbering {
    session: String,
    next: u32,
}

impl Numbering {
    pub(crate) fn fresh(device: &str, rng: &mut fastrand::Rng) -> Self {
        Self {
            session: format!("{device}-{}", session_id(rng)),
            next: 0,
        }
    }

    pub(crate) fn next(&mut self) -> EntryId {
        let id = EntryId::numbered(&self.session, self.next);
        self.next += 1;
        id
    }
}

/// The session's file while it can be trusted.
struct Open {
    file: Box<dyn DiskFile>,
    path: PathBuf,
    /// Bytes in it that were acknowledged.
    length: u64,
    /// Lines in it that were acknowledged, always the session's first ones.
    lines: usize,
}

/// The file that failed, and what the system said.
type Failed = (PathBuf, io::Error);

/// The writing side of a logbook. Dropping it loses nothing that was acknowledged.
pub struct Session {
    disk: Box<dyn Disk>,
    folder: Folder,
    app: String,
    device: String,
    rng: fastrand::Rng,
    stamps: StampClock,
    /// The newest time mark known when the session began.
    began_after: Stamp,
    numbering: Numbering,
    /// Every line of this session, the session line first.
    lines: Vec<String>,
    /// Bytes of all of them.
    bytes: usize,
    /// How many of them are on disk for certain.
    saved: usize,
    /// The last line is the mark of a clean end.
    ended: bool,
    open: Option<Open>,
    last_sync: Duration,
}

impl Session {
    /// A session that has written nothing yet, and makes no file before its first record.
    /// `newest` is the newest time mark of the log as read; `rng` makes ids and file names.
    #[must_use]
    pub fn new(
        disk: Box<dyn Disk>,
        folder: Folder,
        app: &str,
        newest: Stamp,
        mut rng: fastrand::Rng,
    ) -> Self {
        let device = folder.device_id(&*disk, &mut rng);
        Self {
            numbering: Numbering::fresh(&device, &mut rng),
            disk,
            folder,
            app: app.to_owned(),
            device,
            rng,
            stamps: StampClock::after(newest),
            began_after: newest,
            lines: Vec::new(),
            bytes: 0,
            saved: 0,
            ended: false,
            open: None,
            last_sync: Duration::ZERO,
        }
    }

    /// Record one or more records (name and JSON object) and return their ids once they are on
    /// stable storage, all in one write and one sync.
    ///
    /// # Errors
    /// [`LogbookError::BadRecord`] or [`LogbookError::TooLong`]: nothing has changed.
    /// [`LogbookError::NotSaved`]: the records are kept, in order; [`retry`](Self::retry) or
    /// [`move_to`](Self::move_to) may save them, and so does the next append.
    pub fn append(
        &mut self,
        records: &[(&str, String)],
        clock: &dyn Clock,
    ) -> Result<Vec<EntryId>, LogbookError> {
        if records.is_empty() {
            return Ok(Vec::new());
        }
        if self.bytes > LONG && self.saved == self.lines.len() {
            self.finish(clock)?;
            self.numbering = Numbering::fresh(&self.device, &mut self.rng);
            self.began_after = self.stamps.last();
            (self.lines, self.bytes, self.saved, self.open) = (Vec::new(), 0, 0, None);
        }
        // All lines first: one that cannot be written must not leave the others half recorded.
        let mut numbering = self.numbering.clone();
        let mut lines = Vec::with_capacity(records.len() + 1);
        if self.lines.is_empty() {
            lines.push(self.session_line(&mut numbering, clock)?);
        }
        let mut ids = Vec::with_capacity(records.len());
        for (ev, rec) in records {
            let id = numbering.next();
            lines.push(self.line(&id, ev, rec, clock)?);
            ids.push(id);
        }
        self.numbering = numbering;
        self.bytes += lines.iter().map(String::len).sum::<usize>();
        self.lines.append(&mut lines);
        self.ended = false;
        match self.save(clock) {
            Ok(()) => Ok(ids),
            Err(LogbookError::NotSaved {
                path,
                source,
                unsaved,
                ..
            }) => Err(LogbookError::NotSaved {
                path,
                source,
                unsaved,
                ids,
            }),
            Err(other) => Err(other),
        }
    }

    /// Try again to save what is not saved. Does nothing when nothing waits.
    ///
    /// # Errors
    /// [`LogbookError::NotSaved`].
    pub fn retry(&mut self, clock: &dyn Clock) -> Result<(), LogbookError> {
        self.save(clock)
    }

    /// Go on in another folder, with all records of this session written there. On failure the
    /// session stays where it was.
    ///
    /// # Errors
    /// [`LogbookError::NotSaved`], naming the other folder.
    pub fn move_to(&mut self, root: &Path, clock: &dyn Clock) -> Result<(), LogbookError> {
        let old_folder = std::mem::replace(&mut self.folder, Folder::new(root));
        let old_file = self.open.take();
        if self.lines.is_empty() {
            return Ok(());
        }
        let moved = self.save_to_new_file(clock);
        if moved.is_err() {
            if let Some(begun) = self.open.take() {
                self.give_up(begun);
            }
            self.folder = old_folder;
            self.open = old_file;
        }
        moved.map_err(|failed| self.not_saved(failed))
    }

    /// Mark a clean end. Does nothing when the session wrote nothing.
    ///
    /// # Errors
    /// [`LogbookError::NotSaved`]; with [`unsaved`](Self::unsaved) at 0 only the mark is missing.
    pub fn finish(&mut self, clock: &dyn Clock) -> Result<(), LogbookError> {
        if !self.ended && !self.lines.is_empty() {
            let mut numbering = self.numbering.clone();
            let line = self.end_line(&mut numbering, self.lines.len() - 1, clock)?;
            self.numbering = numbering;
            self.bytes += line.len();
            self.lines.push(line);
            self.ended = true;
        }
        self.save(clock)
    }

    /// Bring the disk up to the lines in memory: in the file at hand if it can be trusted, else in
    /// a new one.
    fn save(&mut self, clock: &dyn Clock) -> Result<(), LogbookError> {
        if self.saved == self.lines.len() {
            return Ok(());
        }
        if let Some(open) = self.open.take() {
            match self.write_out(open, clock) {
                Ok(()) => return Ok(()),
                // Still the session's file, so nothing is wrong but the room in it.
                Err(failed) if self.open.is_some() => return Err(self.not_saved(failed)),
                Err(_) => {}
            }
        }
        self.save_to_new_file(clock)
            .map_err(|failed| self.not_saved(failed))
    }

    fn save_to_new_file(&mut self, clock: &dyn Clock) -> Result<(), Failed> {
        let open = self.create(clock)?;
        self.write_out(open, clock)?;
        self.furnish();
        Ok(())
    }

    /// A new file under a name never used before. Refused for anything already there, so neither
    /// another session's file nor a planted link is ever written to.
    fn create(&mut self, clock: &dyn Clock) -> Result<Open, Failed> {
        let dir = self.folder.year(clock.now());
        make_dirs(&*self.disk, &dir).map_err(|e| (dir.clone(), e))?;
        let mut tries = 0;
        loop {
            let path = dir.join(file_name(clock.now(), &self.device, &mut self.rng));
            match self.disk.create_new(&path) {
                Ok(file) => {
                    return Ok(Open {
                        file,
                        path,
                        length: 0,
                        lines: 0,
                    });
                }
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists && tries < 8 => tries += 1,
                Err(e) => return Err((path, e)),
            }
        }
    }

    /// Write the lines the file lacks, make sure the file is still the one under its name, sync,
    /// and only then count them as saved. Afterwards `self.open` holds the file if it can still be
    /// trusted, and nothing if it is given up.
    fn write_out(&mut self, mut open: Open, clock: &dyn Clock) -> Result<(), Failed> {
        let batch = self.lines[open.lines..].concat();
        if let Err((written, e)) = write_all(&mut *open.file, batch.as_bytes()) {
            let failed = (open.path.clone(), e);
            let dirty = open.length + written as u64;
            // No room: cut back what was never acknowledged, and the file is as it was.
            if is_no_room(&failed.1) && open.file.cut_back(dirty, open.length).is_ok() {
                self.open = Some(open);
            } else {
                self.give_up(open);
            }
            return Err(failed);
        }
        // A file-syncing tool may have put another file in its place; ours is then nameless.
        if !open.file.is_at(&open.path) {
            let failed = (open.path, io::Error::other("it was replaced or removed"));
            return Err(failed);
        }
        if let Err(e) = self.sync(&mut open, clock) {
            let failed = (open.path.clone(), e);
            self.give_up(open);
            return Err(failed);
        }
        open.length += batch.len() as u64;
        open.lines = self.lines.len();
        self.saved = self.lines.len();
        self.open = Some(open);
        Ok(())
    }

    /// The first time with its name and the folders that lead to it, later the content alone.
    fn sync(&mut self, open: &mut Open, clock: &dyn Clock) -> io::Result<()> {
        let started = clock.monotonic();
        let synced = if open.lines == 0 {
            let dir = open.path.parent().unwrap_or(self.folder.root());
            open.file
                .sync_all()
                .and_then(|()| sync_names(&*self.disk, &self.folder, dir))
        } else {
            open.file.sync_data()
        };
        self.last_sync = clock.monotonic().saturating_sub(started);
        synced
    }

    /// Leave a file that cannot be trusted any more. If nothing in it was ever acknowledged, and
    /// it is still ours, it goes, lest every retry leave one behind.
    fn give_up(&self, open: Open) {
        if open.lines == 0 && open.file.is_at(&open.path) {
            let _ = self.disk.remove(&open.path);
        }
    }

    fn not_saved(&self, (path, source): Failed) -> LogbookError {
        LogbookError::NotSaved {
            path,
            source,
            unsaved: self.unsaved(),
            ids: Vec::new(),
        }
    }

    /// One line with the next time mark.
    pub(crate) fn line(
        &mut self,
        id: &EntryId,
        ev: &str,
        rec: &str,
        clock: &dyn Clock,
    ) -> Result<String, LogbookError> {
        let stamp = self.stamps.next(wall_ms(clock));
        line::encode(id, stamp, clock.now(), ev, rec)
    }

    /// The first line of a file: who wrote it, and the newest time mark known by then.
    pub(crate) fn session_line(
        &mut self,
        numbering: &mut Numbering,
        clock: &dyn Clock,
    ) -> Result<String, LogbookError> {
        let rec = serde_json::json!({"app": self.app, "fmt": FORMAT, "after": self.began_after});
        self.line(&numbering.next(), "session", &rec.to_string(), clock)
    }

    /// The last line of a file: how many records stand between it and the first.
    pub(crate) fn end_line(
        &mut self,
        numbering: &mut Numbering,
        records: usize,
        clock: &dyn Clock,
    ) -> Result<String, LogbookError> {
        let rec = format!("{{\"n\":{records}}}");
        self.line(&numbering.next(), "end", &rec, clock)
    }

    pub(crate) fn furnish(&mut self) {
        self.folder
            .furnish(&*self.disk, &self.device, &mut self.rng);
    }

    pub(crate) fn rng(&mut self) -> &mut fastrand::Rng {
        &mut self.rng
    }

    pub(crate) fn disk(&self) -> &dyn Disk {
        &*self.disk
    }

    /// Take in the newest time mark of other sessions, so that the next record sorts after them.
    pub fn observe(&mut self, newest: Stamp, clock: &dyn Clock) {
        self.stamps.observe(newest, wall_ms(clock));
    }

    /// Where this session writes.
    #[must_use]
    pub fn folder(&self) -> &Folder {
        &self.folder
    }

    /// This device's id in the logbook.
    #[must_use]
    pub fn device(&self) -> &str {
        &self.device
    }

    /// The records made so far that came after the first `skip`, saved or not, as a reader will
    /// see them; without the session's own first and last lines.
    pub fn records(&self, skip: usize) -> impl Iterator<Item = Entry> + '_ {
        self.lines
            .iter()
            .skip(1)
            .filter_map(|line| line::decode(line.trim_end().as_bytes()).ok())
            .filter(|entry| &*entry.ev != "end")
            .skip(skip)
    }

    /// How many records are in memory only.
    #[must_use]
    pub fn unsaved(&self) -> usize {
        let first = usize::from(self.saved == 0 && !self.lines.is_empty());
        let waiting = self.lines.len() - self.saved - first;
        waiting - usize::from(self.ended && waiting > 0)
    }

    /// The lines that are not saved, as they would stand in a file, without line ends.
    #[must_use]
    pub fn unsaved_lines(&self) -> Vec<String> {
        let lines = &self.lines[self.saved..];
        lines
            .iter()
            .map(|line| line.trim_end().to_owned())
            .collect()
    }

    /// How long the last sync took, by the monotonic clock.
    #[must_use]
    pub fn last_sync(&self) -> Duration {
        self.last_sync
    }
}

/// Errors after which the same file may take more later.
fn is_no_room(e: &io::Error) -> bool {
    matches!(
        e.kind(),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded
    )
}

#[cfg(test)]
#[path = "session_tests.rs"]
mod tests;
