//! From lines in memory to lines on disk: write, check, sync, and only then count as saved.
//!
//! The session keeps all its lines. When its file can no longer be trusted (replaced or removed by
//! someone, or a sync failed), all of them go to a new file: the ids are the same, so nothing
//! counts twice. After a failed sync the system may call the lost pages clean, and a second sync
//! of the same file would succeed without saving anything (Rebello and others, 2020), so such a
//! file is never used again.

use std::io;
use std::path::{Path, PathBuf};

use super::Session;
use crate::logbook::clock::Clock;
use crate::logbook::disk::{DiskFile, make_dirs, sync_file, sync_names, write_all};
use crate::logbook::error::LogbookError;
use crate::logbook::folder::file_name;
use crate::safety::{Safety, stands};

/// The session's file while it can be trusted.
pub(super) struct Open {
    file: Box<dyn DiskFile>,
    path: PathBuf,
    /// Bytes in it that were acknowledged.
    length: u64,
    /// Lines in it that were acknowledged, always the session's first ones.
    lines: usize,
}

impl Open {
    /// Where it is, and the bytes in it that were acknowledged.
    pub(super) fn place(&self) -> (&Path, u64) {
        (&self.path, self.length)
    }
}

/// The file that failed, and what the system said.
type Failed = (PathBuf, io::Error);

impl Session {
    /// Bring the disk up to the lines in memory: in the file at hand if it can be trusted, else in
    /// a new one.
    pub(super) fn save(&mut self, clock: &dyn Clock) -> Result<(), LogbookError> {
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

    pub(super) fn save_to_new_file(&mut self, clock: &dyn Clock) -> Result<(), Failed> {
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
        if !stands(Safety::AcknowledgeLast) {
            open = self.synced(open, clock)?;
        }
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
        if stands(Safety::AcknowledgeLast) {
            open = self.synced(open, clock)?;
        }
        open.length += batch.len() as u64;
        open.lines = self.lines.len();
        self.saved = self.lines.len();
        self.open = Some(open);
        Ok(())
    }

    /// The same file, synced; or given up, for after a failed sync no other proves anything.
    fn synced(&mut self, mut open: Open, clock: &dyn Clock) -> Result<Open, Failed> {
        let mut synced = self.sync(&mut open, clock);
        if synced.is_err() && !stands(Safety::FreshFile) {
            synced = self.sync(&mut open, clock);
        }
        match synced {
            Ok(()) => Ok(open),
            Err(e) => {
                let failed = (open.path.clone(), e);
                self.give_up(open);
                Err(failed)
            }
        }
    }

    /// The first time with its name and the folders that lead to it, later the content alone.
    fn sync(&mut self, open: &mut Open, clock: &dyn Clock) -> io::Result<()> {
        let started = clock.monotonic();
        let synced = if open.lines == 0 {
            let dir = open.path.parent().unwrap_or(self.folder.root());
            sync_file(&mut *open.file)
                .and_then(|()| sync_names(&*self.disk, self.folder.root(), dir))
        } else if stands(Safety::Sync) {
            open.file.sync_data()
        } else {
            Ok(())
        };
        self.last_sync = clock.monotonic().saturating_sub(started);
        synced
    }

    /// Leave a file that cannot be trusted any more. If nothing in it was ever acknowledged, and
    /// it is still ours, it goes, lest every retry leave one behind.
    pub(super) fn give_up(&self, open: Open) {
        if open.lines == 0 && open.file.is_at(&open.path) {
            let _ = self.disk.remove(&open.path);
        }
    }

    pub(super) fn not_saved(&self, (path, source): Failed) -> LogbookError {
        LogbookError::NotSaved {
            path,
            source,
            unsaved: self.unsaved(),
        }
    }
}

/// Errors after which the same file may take more later.
fn is_no_room(e: &io::Error) -> bool {
    matches!(
        e.kind(),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded
    )
}
