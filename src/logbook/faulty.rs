//! For tests: the real disk with failures on order.
#![allow(clippy::expect_used)]

use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::ffi::OsString;
use std::io;
use std::ops::Range;
use std::path::Path;
use std::rc::Rc;

use chrono::DateTime;

use super::disk::{Disk, DiskFile, Kind, RealDisk};
use super::{FixedClock, Folder, Log, Session, Stamp, read_log};

/// A folder that a logbook can be in.
pub(super) fn book() -> tempfile::TempDir {
    tempfile::tempdir().expect("a temporary folder")
}

/// A clock that shows a morning in November.
pub(super) fn clock() -> FixedClock {
    let now = DateTime::parse_from_rfc3339("2026-11-25T07:21:27+01:00").expect("a time");
    FixedClock::new(now)
}

pub(super) fn read(root: &Path) -> Log {
    read_log(root, &clock()).expect("a logbook that can be read")
}

pub(super) fn session_on(disk: Box<dyn Disk>, root: &Path) -> Session {
    let rng = fastrand::Rng::with_seed(7);
    Session::new(disk, Folder::new(root), "0.1.0", Stamp(0, 0), rng)
}

/// A call that can be made to fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Op {
    MakeDir,
    Create,
    Write,
    SyncData,
    SyncAll,
    SyncDir,
    Rename,
    CutBack,
}

/// Counts every call, and fails those of one kind whose number (from 0) lies in a range.
#[derive(Clone)]
pub(super) struct FaultyDisk(Rc<Plan>);

struct Plan {
    fault: RefCell<Option<(Op, Range<usize>)>>,
    error: Cell<io::ErrorKind>,
    /// Bytes a failing write still takes before its error, as when a disk runs full.
    taken: Cell<usize>,
    /// The most that one write takes.
    at_most: Cell<usize>,
    seen: RefCell<HashMap<Op, usize>>,
    order: RefCell<Vec<Op>>,
}

impl FaultyDisk {
    /// No failures at all.
    pub(super) fn sound() -> Self {
        Self(Rc::new(Plan {
            fault: RefCell::new(None),
            error: Cell::new(io::ErrorKind::StorageFull),
            taken: Cell::new(0),
            at_most: Cell::new(usize::MAX),
            seen: RefCell::default(),
            order: RefCell::default(),
        }))
    }

    pub(super) fn failing(op: Op, calls: Range<usize>) -> Self {
        let disk = Self::sound();
        disk.fail(op, calls);
        disk
    }

    /// From now on fail these calls, counted from now.
    pub(super) fn fail(&self, op: Op, calls: Range<usize>) {
        self.0.seen.borrow_mut().clear();
        *self.0.fault.borrow_mut() = Some((op, calls));
    }

    pub(super) fn heal(&self) {
        *self.0.fault.borrow_mut() = None;
    }

    pub(super) fn with_error(self, kind: io::ErrorKind) -> Self {
        self.0.error.set(kind);
        self
    }

    pub(super) fn taking(self, bytes: usize) -> Self {
        self.0.taken.set(bytes);
        self
    }

    pub(super) fn writing_at_most(self, bytes: usize) -> Self {
        self.0.at_most.set(bytes);
        self
    }

    /// Every call so far, in order.
    pub(super) fn calls(&self) -> Vec<Op> {
        self.0.order.borrow().clone()
    }

    fn pass(&self, op: Op) -> io::Result<()> {
        self.0.order.borrow_mut().push(op);
        let mut seen = self.0.seen.borrow_mut();
        let count = seen.entry(op).or_insert(0);
        *count += 1;
        match &*self.0.fault.borrow() {
            Some((which, calls)) if *which == op && calls.contains(&(*count - 1)) => {
                Err(self.0.error.get().into())
            }
            _ => Ok(()),
        }
    }
}

impl Disk for FaultyDisk {
    fn make_dir(&self, path: &Path) -> io::Result<bool> {
        self.pass(Op::MakeDir)?;
        RealDisk.make_dir(path)
    }

    fn create_new(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        self.pass(Op::Create)?;
        Ok(Box::new(FaultyFile {
            file: RealDisk.create_new(path)?,
            disk: self.clone(),
            used_up: false,
        }))
    }

    fn sync_dir(&self, path: &Path) -> io::Result<()> {
        self.pass(Op::SyncDir)?;
        RealDisk.sync_dir(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.pass(Op::Rename)?;
        RealDisk.rename(from, to)
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.pass(Op::Rename)?;
        RealDisk.rename_new(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        RealDisk.remove(path)
    }

    fn list(&self, path: &Path) -> io::Result<Vec<(OsString, Kind)>> {
        RealDisk.list(path)
    }

    fn read(&self, path: &Path, limit: u64) -> io::Result<Vec<u8>> {
        RealDisk.read(path, limit)
    }
}

struct FaultyFile {
    file: Box<dyn DiskFile>,
    disk: FaultyDisk,
    used_up: bool,
}

impl DiskFile for FaultyFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let taken = self.disk.0.taken.get();
        match self.disk.pass(Op::Write) {
            // A short count first; the error comes with the next call, as the system does it.
            Err(_) if taken > 0 && !self.used_up => {
                self.used_up = true;
                self.file.write(&bytes[..taken.min(bytes.len())])
            }
            Err(e) => {
                self.used_up = false;
                Err(e)
            }
            Ok(()) => {
                let most = self.disk.0.at_most.get().min(bytes.len());
                self.file.write(&bytes[..most])
            }
        }
    }

    fn sync_data(&mut self) -> io::Result<()> {
        self.disk.pass(Op::SyncData)?;
        self.file.sync_data()
    }

    fn sync_all(&mut self) -> io::Result<()> {
        self.disk.pass(Op::SyncAll)?;
        self.file.sync_all()
    }

    fn cut_back(&mut self, from: u64, to: u64) -> io::Result<()> {
        self.disk.pass(Op::CutBack)?;
        self.file.cut_back(from, to)
    }

    fn is_at(&self, path: &Path) -> bool {
        self.file.is_at(path)
    }
}
