//! What the folders and files of a log looked like when they were read, so that a later look tells
//! for little whether anybody has written since.
//!
//! A look asks for the time of each folder and for the length of the files whose session has not
//! ended. Folders that had only just changed are asked for the number of their names too: the next
//! change may have come within the same tick of their time. Only where one of these differs is every
//! file asked for.

use std::collections::BTreeMap;
use std::fs::{self, Metadata};
use std::os::unix::fs::{DirEntryExt, MetadataExt};
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

use super::read::{LogFile, MAX_DEPTH, is_passed_over};

/// A log as it looked at one moment. All paths are relative to the logbook's folder.
#[derive(Debug, Clone, Default)]
pub(crate) struct Seen {
    folders: BTreeMap<PathBuf, FolderSeen>,
    files: BTreeMap<PathBuf, FileSeen>,
    /// Files without the mark of a clean end, which may still grow.
    growing: Vec<PathBuf>,
}

/// Coarser than the time of any file system in use; FAT keeps two seconds.
const TICK: i64 = 5;

#[derive(Debug, Clone, Copy)]
struct FolderSeen {
    inode: u64,
    /// Seconds and nanoseconds.
    changed: (i64, i64),
    names: usize,
    /// It had only just changed, or was the last of all that had.
    young: bool,
}

/// The length is 0 for what is no regular file.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
struct FileSeen {
    inode: u64,
    bytes: u64,
}

/// The file a session writes itself, relative to the logbook's folder, and how long it is.
pub(crate) type Own<'a> = Option<(&'a Path, u64)>;

impl Seen {
    /// The folders and names as they are now. Call it before reading: what changes meanwhile is
    /// then noticed by the next look.
    pub(crate) fn before_reading(root: &Path) -> Seen {
        let mut seen = Seen::default();
        seen.walk(root, Path::new("log"), 0);
        let now = SystemTime::now().duration_since(UNIX_EPOCH);
        let now = now.map_or(0, |now| i64::try_from(now.as_secs()).unwrap_or(0));
        let last = seen.folders.values().map(|folder| folder.changed).max();
        for folder in seen.folders.values_mut() {
            folder.young = folder.changed.0 >= now - TICK || Some(folder.changed) == last;
        }
        seen
    }

    /// Takes in how much of each file was read.
    pub(crate) fn read(&mut self, files: &[LogFile]) {
        for file in files {
            if let Some(seen) = self.files.get_mut(&file.path) {
                seen.bytes = file.bytes;
                if !file.ended {
                    self.growing.push(file.path.clone());
                }
            }
        }
    }

    /// The folders of the log, outermost first, with `root` before them.
    pub(crate) fn folders(&self, root: &Path) -> Vec<PathBuf> {
        let within = self.folders.keys().map(|folder| root.join(folder));
        std::iter::once(root.to_owned()).chain(within).collect()
    }

    /// Whether there is such a file.
    pub(crate) fn names(&self, path: &Path) -> bool {
        self.files.contains_key(path)
    }

    /// Whether there was a log at all.
    pub(crate) fn has_log(&self) -> bool {
        !self.folders.is_empty()
    }

    /// Whether anything but the session's `own` file has changed since it was read. What has changed
    /// stays noticed until the log is read anew.
    pub(crate) fn is_changed(&mut self, root: &Path, own: Own<'_>) -> bool {
        if !self.looks_other(root, own) {
            return false;
        }
        let mut now = Seen::before_reading(root);
        for (path, file) in &mut now.files {
            file.bytes = length(&root.join(path));
        }
        let mine = own.map(|(path, _)| path);
        let others = |seen: &Seen| -> Vec<(PathBuf, FileSeen)> {
            let files = seen
                .files
                .iter()
                .filter(|(path, _)| Some(path.as_path()) != mine);
            files.map(|(path, file)| (path.clone(), *file)).collect()
        };
        if self.own_differs(root, own) || others(&now) != others(self) {
            return true;
        }
        // Nothing but names that are not read, or the session's own file, is new.
        now.growing = std::mem::take(&mut self.growing);
        *self = now;
        false
    }

    /// The cheap look.
    fn looks_other(&self, root: &Path, own: Own<'_>) -> bool {
        let log = Path::new("log");
        if self.folders.is_empty() {
            return root.join(log).symlink_metadata().is_ok();
        }
        let moved = |(path, seen): (&PathBuf, &FolderSeen)| {
            let path = root.join(path);
            let about = about_folder(&path);
            let same = |m: &Metadata| m.ino() == seen.inode && time_of(m) == seen.changed;
            !about.as_ref().is_some_and(same)
                || seen.young && fs::read_dir(&path).map_or(0, Iterator::count) != seen.names
        };
        let mine = own.map(|(path, _)| path);
        let grown = |path: &&PathBuf| {
            let seen = self.files.get(*path).map(|file| file.bytes);
            Some(path.as_path()) != mine && Some(length(&root.join(path))) != seen
        };
        self.growing.iter().any(|path| grown(&path))
            || self.own_differs(root, own)
            || self.folders.iter().any(moved)
    }

    /// Whether the session's own file is neither as long as the session wrote it nor as it was read.
    fn own_differs(&self, root: &Path, own: Own<'_>) -> bool {
        own.is_some_and(|(path, bytes)| {
            let there = length(&root.join(path));
            let read = self.files.get(path).map_or(0, |file| file.bytes);
            there != bytes && there != read
        })
    }

    fn walk(&mut self, root: &Path, dir: &Path, depth: usize) {
        let place = root.join(dir);
        let Some(about) = about_folder(&place) else {
            return;
        };
        let listed = fs::read_dir(&place).map_or_else(|_| Vec::new(), Iterator::collect);
        let seen = FolderSeen {
            inode: about.ino(),
            changed: time_of(&about),
            names: listed.len(),
            young: true,
        };
        self.folders.insert(dir.to_owned(), seen);
        for entry in listed.into_iter().flatten() {
            let name = entry.file_name();
            if is_passed_over(&name) {
                continue;
            }
            let path = dir.join(&name);
            let is_folder = entry.file_type().is_ok_and(|kind| kind.is_dir());
            if is_folder && depth < MAX_DEPTH {
                self.walk(root, &path, depth + 1);
            } else {
                let inode = entry.ino();
                self.files.insert(path, FileSeen { inode, bytes: 0 });
            }
        }
    }
}

fn about_folder(path: &Path) -> Option<Metadata> {
    path.symlink_metadata().ok().filter(Metadata::is_dir)
}

fn time_of(about: &Metadata) -> (i64, i64) {
    (about.mtime(), about.mtime_nsec())
}

fn length(path: &Path) -> u64 {
    let about = path.symlink_metadata().ok().filter(Metadata::is_file);
    about.map_or(0, |about| about.len())
}
