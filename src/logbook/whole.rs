//! A complete file of records, all or nothing: written and synced under a name that readers
//! ignore, then moved to its place. A batch from outside and a copy from another logbook arrive
//! this way.

use std::io;
use std::path::Path;

use chrono::{DateTime, FixedOffset};

use super::clock::Clock;
use super::disk::{Disk, create_temp, make_dirs, sync_file, sync_names, write_all};
use super::error::LogbookError;
use super::folder::{Folder, MAX_FILE, file_name, random_chars};
use super::line::{EntryId, encode};
use super::session::{Numbering, Session};
use super::stamp::Stamp;

/// A file of copied records is closed once it is as long.
const ONE_FILE: usize = 16 * 1024 * 1024;

/// A record handed in from outside.
#[derive(Debug, Clone)]
pub struct Given {
    /// Its own id if it brings one: recording it again then changes nothing.
    pub id: Option<EntryId>,
    /// What kind of record it is.
    pub ev: String,
    /// The record, a JSON object.
    pub rec: String,
}

/// A record copied from another logbook, with the mark and time it has here.
#[derive(Debug, Clone)]
pub(crate) struct Copied {
    /// Its id here.
    pub(crate) id: EntryId,
    /// Its time mark.
    pub(crate) stamp: Stamp,
    /// Wall time of its line.
    pub(crate) at: DateTime<FixedOffset>,
    /// What kind of record it is.
    pub(crate) ev: &'static str,
    /// The record, a JSON object.
    pub(crate) rec: String,
}

impl Session {
    /// Writes the records of another logbook, by their marks, into a folder that has none: in as many
    /// files as it takes, each of which had read the one before.
    ///
    /// # Errors
    /// As for [`append_whole_file`](Self::append_whole_file); files written before an error stay.
    pub(crate) fn copy_in(&mut self, records: &[Copied]) -> Result<(), LogbookError> {
        let device = self.device().to_owned();
        let mut after = Stamp::default();
        let mut rest = records.iter().peekable();
        while let Some(first) = rest.peek() {
            let (mut numbering, begun) = (Numbering::fresh(&device, self.rng()), first.at);
            let beginning = Stamp(first.stamp.0.saturating_sub(1), first.stamp.1);
            let session = self.begins(after);
            let mut bytes = encode(&numbering.next(), beginning, begun, "session", &session)?;
            let (mut last, mut n) = (first.stamp, 0);
            while let Some(record) = rest.next_if(|_| bytes.len() < ONE_FILE) {
                bytes.push_str(&encode(
                    &record.id,
                    record.stamp,
                    record.at,
                    record.ev,
                    &record.rec,
                )?);
                (last, n) = (record.stamp, n + 1);
            }
            let end = format!("{{\"n\":{n}}}");
            bytes.push_str(&encode(&numbering.next(), last.next(), begun, "end", &end)?);
            after = last.next();
            let folder = self.folder().clone();
            let path = folder.year(begun);
            let path = path.join(file_name(begun, &device, self.rng()));
            let mark = random_chars(self.rng(), 8);
            publish(self.disk(), &folder, &path, bytes.as_bytes(), &mark)
                .map_err(|e| LogbookError::cannot_write(&path, e))?;
        }
        self.furnish();
        Ok(())
    }

    /// Record a whole batch or none of it, in a file of its own. Returns the id of each record.
    ///
    /// # Errors
    /// [`LogbookError::BadRecord`] or [`LogbookError::TooLong`] for the first record that cannot
    /// be written, [`LogbookError::BatchTooLarge`], or [`LogbookError::CannotWrite`]. After any
    /// of them nothing of the batch is in the logbook.
    pub fn append_whole_file(
        &mut self,
        records: &[Given],
        clock: &dyn Clock,
    ) -> Result<Vec<EntryId>, LogbookError> {
        if records.is_empty() {
            return Ok(Vec::new());
        }
        let device = self.device().to_owned();
        let mut numbering = Numbering::fresh(&device, self.rng());
        let mut bytes = self.session_line(&mut numbering, clock)?;
        let mut ids = Vec::with_capacity(records.len());
        for record in records {
            let id = match &record.id {
                Some(id) => id.clone(),
                None => numbering.next(),
            };
            bytes.push_str(&self.line(&id, &record.ev, &record.rec, clock)?);
            ids.push(id);
        }
        bytes.push_str(&self.end_line(&mut numbering, records.len(), clock)?);
        let length = bytes.len() as u64;
        if length > MAX_FILE {
            return Err(LogbookError::BatchTooLarge {
                bytes: length,
                limit: MAX_FILE,
            });
        }
        let folder = self.folder().clone();
        let dir = folder.year(clock.now());
        let path = dir.join(file_name(clock.now(), &device, self.rng()));
        let mark = random_chars(self.rng(), 8);
        publish(self.disk(), &folder, &path, bytes.as_bytes(), &mark)
            .map_err(|e| LogbookError::cannot_write(&path, e))?;
        self.furnish();
        Ok(ids)
    }
}

/// Put a complete file at `path`, where no file is yet, below `log/`.
///
/// # Errors
/// What the system says, `AlreadyExists` when the name is taken. Nothing is left at `path`, or,
/// if even that fails, the complete file.
pub(crate) fn publish(
    disk: &dyn Disk,
    folder: &Folder,
    path: &Path,
    bytes: &[u8],
    mark: &str,
) -> io::Result<()> {
    let dir = path.parent().unwrap_or(folder.root());
    make_dirs(disk, &folder.log())?;
    make_dirs(disk, dir)?;
    let (temp, mut file) = create_temp(disk, &folder.log(), mark)?;
    let moved = write_all(&mut *file, bytes)
        .map_err(|(_, e)| e)
        .and_then(|()| sync_file(&mut *file))
        .and_then(|()| disk.rename_new(&temp, path));
    if moved.is_err() {
        let _ = disk.remove(&temp);
        return moved;
    }
    let synced = sync_names(disk, folder.root(), dir);
    if synced.is_err() {
        let _ = disk.remove(path);
    }
    synced
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::logbook::faulty::{FaultyDisk, Op, book, clock, read, session_on};
    use crate::logbook::{RealDisk, Stamp};

    fn batch(id: Option<&str>) -> Vec<Given> {
        let given = |id: Option<EntryId>, n: u32| Given {
            id,
            ev: "look".into(),
            rec: format!("{{\"n\":{n}}}"),
        };
        vec![given(id.and_then(EntryId::new), 1), given(None, 2)]
    }

    #[test]
    fn a_batch_is_all_there_or_not_at_all() {
        for op in [
            Op::MakeDir,
            Op::Create,
            Op::Write,
            Op::SyncAll,
            Op::Rename,
            Op::SyncDir,
        ] {
            let dir = book();
            let disk = FaultyDisk::failing(op, 0..1).taking(150);
            let mut session = session_on(Box::new(disk.clone()), dir.path());
            // A short count makes the second write the failing one.
            disk.fail(op, 0..2);
            assert!(
                session.append_whole_file(&batch(None), &clock()).is_err(),
                "{op:?}"
            );
            let log = read(dir.path());
            assert!(log.entries.is_empty() && log.problems.is_empty(), "{op:?}");
            disk.heal();
            session.append_whole_file(&batch(None), &clock()).unwrap();
            assert_eq!(read(dir.path()).entries.len(), 4);
        }
    }

    #[test]
    fn one_bad_record_refuses_the_batch() {
        let dir = book();
        let mut session = session_on(Box::new(RealDisk), dir.path());
        let mut records = batch(None);
        records[1].rec = "{".into();
        let refused = session.append_whole_file(&records, &clock());
        assert!(matches!(refused, Err(LogbookError::BadRecord { .. })));
        assert!(!dir.path().join("log").exists());
    }

    #[test]
    fn recording_twice_counts_once_where_ids_are_given() {
        let dir = book();
        let mut session = session_on(Box::new(RealDisk), dir.path());
        session
            .append_whole_file(&batch(Some("walk-1.belt")), &clock())
            .unwrap();
        let mut later = Session::new(
            Box::new(RealDisk),
            Folder::new(dir.path()),
            "0",
            Stamp(0, 0),
            fastrand::Rng::with_seed(99),
        );
        later
            .append_whole_file(&batch(Some("walk-1.belt")), &clock())
            .unwrap();
        let log = read(dir.path());
        assert!(log.problems.is_empty(), "{:?}", log.problems);
        let looks = log.entries.iter().filter(|e| &*e.ev == "look");
        assert_eq!(looks.count(), 3);
    }

    #[test]
    fn a_lost_line_of_a_batch_is_noticed_though_its_id_has_no_number() {
        let dir = book();
        let mut session = session_on(Box::new(RealDisk), dir.path());
        session
            .append_whole_file(&batch(Some("walk-1.belt")), &clock())
            .unwrap();
        let log = read(dir.path());
        let path = dir.path().join(&log.files[0].path);
        let text = std::fs::read_to_string(&path).unwrap();
        let less: String = text
            .lines()
            .filter(|l| !l.contains("walk-1.belt"))
            .map(|l| format!("{l}\n"))
            .collect();
        std::fs::write(&path, less).unwrap();
        assert_eq!(read(dir.path()).problems.len(), 1);
    }
}
