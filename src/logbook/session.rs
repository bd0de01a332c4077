//! One run of the program writing its records. A record is acknowledged only after its bytes are
//! synced; what cannot be saved stays here, counted, until it can.
//!
//! The steps from lines in memory to lines on disk are in `save`.

mod save;

use std::ops::Range;
use std::path::Path;
use std::time::Duration;

use super::clock::{Clock, wall_ms};
use super::disk::Disk;
use super::error::LogbookError;
use super::folder::{Folder, session_id};
use super::line::{self, Entry, EntryId};
use super::stamp::{Stamp, StampClock};

use save::Open;

/// The version of the records' meaning; raised only when an older program would misread them.
pub const FORMAT: u32 = 2;
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
    /// The last marks of other files known when it began that nothing else names.
    beside: Vec<Stamp>,
    numbering: Numbering,
    /// Every line of this session, the session line first.
    lines: Vec<String>,
    /// Bytes of all of them.
    bytes: usize,
    /// How many of them are on disk for certain.
    saved: usize,
    /// Which of them the latest append made.
    latest: Range<usize>,
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
            beside: Vec::new(),
            lines: Vec::new(),
            bytes: 0,
            saved: 0,
            latest: 0..0,
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
        self.latest = 0..0;
        if records.is_empty() {
            return Ok(Vec::new());
        }
        // Without its end on disk the session goes on: its file may be gone, and then these lines
        // are the only copy, and the new records wait with them.
        let long = self.bytes > LONG && self.saved == self.lines.len();
        if long && self.finish(clock).is_ok() {
            self.numbering = Numbering::fresh(&self.device, &mut self.rng);
            self.began_after = self.stamps.last();
            self.beside.clear();
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
        self.latest = self.lines.len() - ids.len()..self.lines.len();
        self.ended = false;
        self.save(clock)?;
        Ok(ids)
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
        let rec = self.begins(self.began_after);
        self.line(&numbering.next(), "session", &rec, clock)
    }

    /// What the first line of a file says, by the newest time mark known.
    pub(crate) fn begins(&self, after: Stamp) -> String {
        let mut rec = serde_json::json!({"app": self.app, "fmt": FORMAT, "after": after});
        if !self.beside.is_empty() {
            rec["beside"] = serde_json::json!(self.beside);
        }
        rec.to_string()
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

    /// Take in the last marks of other files as read, see [`Log::beside`](super::Log::beside); those
    /// read after its first line was written are left to the next session.
    pub fn knows(&mut self, beside: Vec<Stamp>) {
        if self.lines.is_empty() {
            self.beside = beside;
        }
    }

    /// Take in the newest time mark of other sessions, so that the next record sorts after them.
    pub fn observe(&mut self, newest: Stamp, clock: &dyn Clock) {
        self.stamps.observe(newest, wall_ms(clock));
    }

    /// The newest time mark given out or taken in.
    #[must_use]
    pub fn newest(&self) -> Stamp {
        self.stamps.last()
    }

    /// The session's file, relative to the folder, and the length of what was acknowledged in it;
    /// none before the first record, and where no file can be trusted.
    pub(crate) fn own_file(&self) -> Option<(&Path, u64)> {
        let (path, length) = self.open.as_ref()?.place();
        Some((path.strip_prefix(self.folder.root()).ok()?, length))
    }

    /// Its file is not what was written to it: nothing in it counts as saved any more, and the next
    /// attempt to save writes every line to a new one.
    pub(crate) fn mistrust_file(&mut self) {
        self.open = None;
        self.saved = 0;
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

    /// The records of the latest append, saved or waiting, as a reader will see them. Empty after
    /// an append that was refused.
    #[must_use]
    pub fn latest(&self) -> Vec<Entry> {
        entries(&self.lines[self.latest.clone()]).collect()
    }

    /// How many records are in memory only.
    #[must_use]
    pub fn unsaved(&self) -> usize {
        let waiting = entries(&self.lines[self.saved..]);
        let marks = ["session", "end"];
        waiting.filter(|e| !marks.contains(&&*e.ev)).count()
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

    /// The ids of this session's lines.
    #[must_use]
    pub fn ids(&self) -> std::collections::HashSet<String> {
        entries(&self.lines).map(|e| e.id.to_string()).collect()
    }

    /// All lines of this session, saved or not, each with its end.
    #[must_use]
    pub fn whole_text(&self) -> String {
        self.lines.concat()
    }

    /// How long the last sync took, by the monotonic clock.
    #[must_use]
    pub fn last_sync(&self) -> Duration {
        self.last_sync
    }
}

/// Lines in memory as a reader will see them.
fn entries(lines: &[String]) -> impl Iterator<Item = Entry> {
    let read = |line: &String| line::decode(line.trim_end().as_bytes()).ok();
    lines.iter().filter_map(read)
}

#[cfg(test)]
mod tests;
