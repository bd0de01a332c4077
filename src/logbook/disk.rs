//! The system calls the protocol rests on, and nothing else. Everything that writes goes through
//! [`Disk`], so a test can stand in its place, fail any call, or keep only what was synced.

use std::ffi::OsString;
use std::fs::{self, DirBuilder, File, OpenOptions};
use std::io::{self, Read, Write};
use std::os::unix::fs::{DirBuilderExt, MetadataExt, OpenOptionsExt};
use std::path::{Path, PathBuf};

use rustix::fs::{
    CWD, FlockOperation, Gid, OFlags, RenameFlags, Uid, fchown, flock, renameat_with,
};
use rustix::io::Errno;
use rustix::process::geteuid;

use crate::safety::{Safety, stands};

/// A file opened for appending, known to be new and ours.
pub trait DiskFile {
    /// One `write`: how many bytes of `bytes` were taken, which may be fewer than all.
    ///
    /// # Errors
    /// What the system says.
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize>;

    /// Content, and as much of the rest as is needed to find it, on stable storage.
    ///
    /// # Errors
    /// What the system says. After one, no later success on this file means anything.
    fn sync_data(&mut self) -> io::Result<()>;

    /// Content and all else about the file on stable storage.
    ///
    /// # Errors
    /// As for [`sync_data`](Self::sync_data).
    fn sync_all(&mut self) -> io::Result<()>;

    /// Cut the file back from exactly `from` bytes to `to`; refused if it has another length.
    ///
    /// # Errors
    /// What the system says, or that the length is not as expected.
    fn cut_back(&mut self, from: u64, to: u64) -> io::Result<()>;

    /// Whether `path` still leads to this very file.
    fn is_at(&self, path: &Path) -> bool;
}

/// What a name in a folder leads to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A regular file.
    File,
    /// A folder.
    Folder,
    /// A symbolic link, wherever it leads.
    Link,
    /// A pipe, socket or device.
    Other,
}

/// A place with folders and files.
pub trait Disk {
    /// Make one folder, for this user alone (0700). `false` if it was there already.
    ///
    /// # Errors
    /// What the system says, `NotFound` when the parent is missing.
    fn make_dir(&self, path: &Path) -> io::Result<bool>;

    /// Make a new file for appending, for this user alone (0600), and mark it as in use.
    ///
    /// # Errors
    /// What the system says; `AlreadyExists` for anything there under that name, even a link.
    fn create_new(&self, path: &Path) -> io::Result<Box<dyn DiskFile>>;

    /// The names in a folder on stable storage.
    ///
    /// # Errors
    /// What the system says.
    fn sync_dir(&self, path: &Path) -> io::Result<()>;

    /// Move a file over another, or to where none is.
    ///
    /// # Errors
    /// What the system says.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Move a file to where none is.
    ///
    /// # Errors
    /// What the system says; `AlreadyExists` when the name is taken.
    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Remove a file.
    ///
    /// # Errors
    /// What the system says.
    fn remove(&self, path: &Path) -> io::Result<()>;

    /// What is in a folder, in no particular order; links are not followed.
    ///
    /// # Errors
    /// What the system says, `NotFound` when there is no such folder.
    fn list(&self, path: &Path) -> io::Result<Vec<(OsString, Kind)>>;

    /// Read a regular file of at most `limit` bytes; never waits on a pipe, never follows a link.
    ///
    /// # Errors
    /// What the system says; `InvalidInput` for what is no regular file, `FileTooLarge`.
    fn read(&self, path: &Path, limit: u64) -> io::Result<Vec<u8>>;
}

/// The computer's own file system.
#[derive(Debug, Clone, Copy, Default)]
pub struct RealDisk;

impl Disk for RealDisk {
    fn make_dir(&self, path: &Path) -> io::Result<bool> {
        match DirBuilder::new().mode(0o700).create(path) {
            Ok(()) => {
                let flags = OFlags::DIRECTORY | OFlags::NOFOLLOW;
                if geteuid().is_root()
                    && let Ok(folder) = OpenOptions::new()
                        .read(true)
                        .custom_flags(flags.bits().cast_signed())
                        .open(path)
                {
                    hand_over(&folder, path);
                }
                Ok(true)
            }
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists && path.is_dir() => Ok(false),
            Err(e) => Err(e),
        }
    }

    fn create_new(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let file = OpenOptions::new()
            .append(true)
            .create_new(true)
            .mode(0o600)
            .open(path)?;
        if geteuid().is_root() {
            hand_over(&file, path);
        }
        // Tells other windows that this session is live. Some network disks know no locks; safety
        // never rests on one.
        let _ = flock(&file, FlockOperation::NonBlockingLockExclusive);
        Ok(Box::new(RealFile(file)))
    }

    fn sync_dir(&self, path: &Path) -> io::Result<()> {
        match File::open(path)?.sync_all() {
            // Some network and user-space file systems have no such call for folders.
            Err(e)
                if matches!(
                    e.kind(),
                    io::ErrorKind::InvalidInput | io::ErrorKind::Unsupported
                ) =>
            {
                Ok(())
            }
            done => done,
        }
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        match renameat_with(CWD, from, CWD, to, RenameFlags::NOREPLACE) {
            // Not every file system can refuse by itself.
            Err(Errno::INVAL | Errno::NOSYS | Errno::NOTSUP) => match fs::symlink_metadata(to) {
                Ok(_) => Err(io::ErrorKind::AlreadyExists.into()),
                Err(_) => fs::rename(from, to),
            },
            done => Ok(done?),
        }
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn list(&self, path: &Path) -> io::Result<Vec<(OsString, Kind)>> {
        fs::read_dir(path)?
            .map(|item| {
                let item = item?;
                let kind = match item.file_type()? {
                    kind if kind.is_file() => Kind::File,
                    kind if kind.is_dir() => Kind::Folder,
                    kind if kind.is_symlink() => Kind::Link,
                    _ => Kind::Other,
                };
                Ok((item.file_name(), kind))
            })
            .collect()
    }

    fn read(&self, path: &Path, limit: u64) -> io::Result<Vec<u8>> {
        read_regular(path, limit).map(|(_, bytes)| bytes)
    }
}

/// Gives what root has just made to whom the folder around it belongs: a logbook used once with
/// root's rights stays readable to its owner. Where that fails it is saved all the same, and a
/// reader who may not read it says so.
fn hand_over(made: &File, path: &Path) {
    if let (Ok(ours), Some(Ok(around))) = (made.metadata(), path.parent().map(fs::metadata))
        && ours.uid() != around.uid()
    {
        let (user, group) = (Uid::from_raw(around.uid()), Gid::from_raw(around.gid()));
        let _ = fchown(made, Some(user), Some(group));
    }
}

struct RealFile(File);

impl DiskFile for RealFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    fn sync_data(&mut self) -> io::Result<()> {
        self.0.sync_data()
    }

    fn sync_all(&mut self) -> io::Result<()> {
        self.0.sync_all()
    }

    fn cut_back(&mut self, from: u64, to: u64) -> io::Result<()> {
        if self.0.metadata()?.len() != from {
            return Err(io::Error::other("someone else has changed the file"));
        }
        self.0.set_len(to)
    }

    fn is_at(&self, path: &Path) -> bool {
        match (self.0.metadata(), fs::symlink_metadata(path)) {
            (Ok(ours), Ok(there)) => {
                (ours.dev(), ours.ino()) == (there.dev(), there.ino()) && ours.nlink() > 0
            }
            _ => false,
        }
    }
}

/// Open a regular file, with its length. The kind is checked before opening, so that no pipe or device
/// is touched, and again after, in case it was swapped in between.
///
/// # Errors
/// What the system says; `InvalidInput` for what is no regular file.
pub(crate) fn open_regular(path: &Path) -> io::Result<(File, u64)> {
    let length = |meta: fs::Metadata| match meta.is_file() {
        true => Ok(meta.len()),
        false => Err(io::Error::new(
            io::ErrorKind::InvalidInput,
            "not a regular file",
        )),
    };
    length(fs::symlink_metadata(path)?)?;
    let flags = OFlags::NONBLOCK | OFlags::NOFOLLOW | OFlags::NOCTTY;
    let file = OpenOptions::new()
        .read(true)
        .custom_flags(flags.bits().cast_signed())
        .open(path)?;
    let length = length(file.metadata()?)?;
    Ok((file, length))
}

/// Open and read a regular file of at most `limit` bytes.
///
/// # Errors
/// As for [`open_regular`]; `FileTooLarge`.
pub(crate) fn read_regular(path: &Path, limit: u64) -> io::Result<(File, Vec<u8>)> {
    let (file, length) = open_regular(path)?;
    if length > limit {
        return Err(io::ErrorKind::FileTooLarge.into());
    }
    let mut bytes = Vec::with_capacity(usize::try_from(length).unwrap_or(0) + 1);
    (&file).take(limit + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > limit {
        return Err(io::ErrorKind::FileTooLarge.into());
    }
    Ok((file, bytes))
}

/// The text of a settings file of at most `limit` bytes. Settings are often links to where they are
/// kept, so a link is followed; what it leads to has to be a regular file all the same, for a pipe
/// or a device would be waited for without end.
///
/// # Errors
/// As for [`read_regular`]; `InvalidData` for what is not UTF-8.
pub(crate) fn read_settings(path: &Path, limit: u64) -> io::Result<String> {
    let (_, bytes) = read_regular(&fs::canonicalize(path)?, limit)?;
    String::from_utf8(bytes).map_err(|_| io::Error::new(io::ErrorKind::InvalidData, "not UTF-8"))
}

/// A new file under a name that no reader looks at. Where a run that was stopped left one behind,
/// the next free number goes into the name: a run with a fixed time makes the same names again.
///
/// # Errors
/// What the system says.
pub(crate) fn create_temp(
    disk: &dyn Disk,
    folder: &Path,
    stem: &str,
) -> io::Result<(PathBuf, Box<dyn DiskFile>)> {
    let mut path = folder.join(format!(".{stem}.tmp"));
    for n in 1..100 {
        match disk.create_new(&path) {
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {
                path = folder.join(format!(".{stem}.{n}.tmp"));
            }
            made => return made.map(|file| (path, file)),
        }
    }
    Err(io::ErrorKind::AlreadyExists.into())
}

/// Write all of `bytes`, going on after a short count or an interruption.
///
/// # Errors
/// How many bytes were written before the error, and the error.
pub(crate) fn write_all(file: &mut dyn DiskFile, bytes: &[u8]) -> Result<(), (usize, io::Error)> {
    let mut done = 0;
    while done < bytes.len() {
        match file.write(&bytes[done..]) {
            Ok(0) => return Err((done, io::ErrorKind::WriteZero.into())),
            Ok(n) => done += n,
            Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
            Err(e) => return Err((done, e)),
        }
    }
    Ok(())
}

/// Put a new file's content and all else about it on stable storage.
///
/// # Errors
/// As for [`DiskFile::sync_data`].
pub(crate) fn sync_file(file: &mut dyn DiskFile) -> io::Result<()> {
    if stands(Safety::Sync) {
        file.sync_all()
    } else {
        Ok(())
    }
}

/// Put the names in a folder on stable storage.
fn sync_folder(disk: &dyn Disk, path: &Path) -> io::Result<()> {
    if stands(Safety::FolderSync) {
        disk.sync_dir(path)
    } else {
        Ok(())
    }
}

/// Make a folder and those above it, and put the name of each new one on stable storage.
///
/// # Errors
/// What the system says.
pub(crate) fn make_dirs(disk: &dyn Disk, path: &Path) -> io::Result<()> {
    let parent = path.parent().filter(|up| !up.as_os_str().is_empty());
    let made = match (disk.make_dir(path), parent) {
        (Err(e), Some(up)) if e.kind() == io::ErrorKind::NotFound => {
            make_dirs(disk, up)?;
            disk.make_dir(path)?
        }
        (made, _) => made?,
    };
    if made {
        sync_folder(disk, parent.unwrap_or(Path::new(".")))?;
    }
    Ok(())
}

/// Put every name from `dir` up to the folder `root` on stable storage, and those above it. A
/// folder found in place may have been made by a program that was stopped before it could, or
/// whose sync failed.
///
/// Above `root` a refusal is passed over: such a folder may be another's, or on a disk that has
/// died and is being left for this one.
///
/// # Errors
/// What the system says of a folder from `dir` up to `root`.
pub(crate) fn sync_names(disk: &dyn Disk, root: &Path, dir: &Path) -> io::Result<()> {
    for up in dir.ancestors() {
        let here = up.as_os_str().is_empty();
        let synced = sync_folder(disk, if here { Path::new(".") } else { up });
        if up.starts_with(root) {
            synced?;
        }
    }
    Ok(())
}
