//! The few small files that change (the boat's profile, this device's id), replaced so that a
//! crash leaves either the old text or the new; and texts kept once each under their own hash.

use std::io;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use super::disk::{Disk, create_temp, make_dirs, sync_file, sync_names, write_all};
use super::error::LogbookError;
use super::folder::{Folder, MAX_TEXT, random_chars};

/// The most that is written between two looks at whether to stop, bytes.
const PIECE: usize = 1 << 20;

/// Replace the content of `path`, or make it: a new file beside it, written, synced, moved over,
/// and the folders that lead to it synced. Missing folders are made.
///
/// # Errors
/// [`LogbookError::CannotWrite`]; the old content is then still there, unless only the last step
/// (syncing the folder) failed, after which it is one or the other.
pub fn replace_file(
    disk: &dyn Disk,
    path: &Path,
    bytes: &[u8],
    rng: &mut fastrand::Rng,
) -> Result<(), LogbookError> {
    replace_file_unless(disk, path, bytes, rng, &|| false).map(drop)
}

/// The same for content that takes its time. `stopped` is asked as it is written and a last time
/// before it takes its place. False where it was stopped: the old content is then still there, and
/// nothing beside it.
///
/// # Errors
/// As for [`replace_file`].
pub fn replace_file_unless(
    disk: &dyn Disk,
    path: &Path,
    bytes: &[u8],
    rng: &mut fastrand::Rng,
    stopped: &dyn Fn() -> bool,
) -> Result<bool, LogbookError> {
    put_file(disk, path, bytes, rng, Place::Any, stopped)
        .map_err(|e| LogbookError::cannot_write(path, e))
}

/// Where a whole file may be put.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Place {
    /// Over whatever bears the name, or where nothing does.
    Any,
    /// Only where nothing bears the name.
    New,
}

/// The steps of [`replace_file_unless`], with what the system says.
///
/// # Errors
/// What the system says; `AlreadyExists` where the name of a new file is taken.
pub(crate) fn put_file(
    disk: &dyn Disk,
    path: &Path,
    bytes: &[u8],
    rng: &mut fastrand::Rng,
    place: Place,
    stopped: &dyn Fn() -> bool,
) -> io::Result<bool> {
    let above = path.parent().filter(|p| !p.as_os_str().is_empty());
    let folder = above.unwrap_or(Path::new("."));
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let stem = format!("{name}.{}", random_chars(rng, 6));
    make_dirs(disk, folder)?;
    let (temp, mut file) = create_temp(disk, folder, &stem)?;
    let moved = (|| {
        for piece in bytes.chunks(PIECE) {
            if stopped() {
                return Ok(false);
            }
            write_all(&mut *file, piece).map_err(|(_, e)| e)?;
        }
        sync_file(&mut *file)?;
        if stopped() {
            return Ok(false);
        }
        let moved = match place {
            Place::Any => disk.rename(&temp, path),
            Place::New => disk.rename_new(&temp, path),
        };
        moved.map(|()| true)
    })();
    if !matches!(moved, Ok(true)) {
        // Ours alone and of no use to anyone; if it cannot go, readers ignore it.
        let _ = disk.remove(&temp);
        return moved;
    }
    sync_names(disk, folder, folder).map(|()| true)
}

/// Keep a text under the SHA-256 of its content and return that name. A text already kept is not
/// written again.
///
/// # Errors
/// [`LogbookError::CannotWrite`].
pub fn keep_text(
    disk: &dyn Disk,
    folder: &Folder,
    bytes: &[u8],
    rng: &mut fastrand::Rng,
) -> Result<String, LogbookError> {
    let name = hex(bytes);
    let place = (folder.root(), folder.texts());
    keep_under(disk, place, &format!("{name}.json"), (bytes, MAX_TEXT), rng)?;
    Ok(name)
}

/// Keep bytes under a name made of their content, in a folder beneath the root, whole and synced with
/// its name; at most so many bytes are read of what is there. What is there already is not written
/// again.
///
/// # Errors
/// [`LogbookError::CannotWrite`].
pub(super) fn keep_under(
    disk: &dyn Disk,
    (root, dir): (&Path, PathBuf),
    name: &str,
    (bytes, most): (&[u8], u64),
    rng: &mut fastrand::Rng,
) -> Result<(), LogbookError> {
    let path = dir.join(name);
    if disk.read(&path, most).ok().as_deref() != Some(bytes) {
        replace_file(disk, &path, bytes, rng)?;
    }
    // Whoever kept it may have been stopped before its name was on stable storage.
    sync_names(disk, root, &dir).map_err(|e| LogbookError::cannot_write(&path, e))
}

/// The text kept under `name`.
///
/// # Errors
/// [`LogbookError::CannotRead`], or [`LogbookError::TextChanged`] when it no longer matches its
/// name.
pub fn kept_text(disk: &dyn Disk, folder: &Folder, name: &str) -> Result<Vec<u8>, LogbookError> {
    let plain = name.len() == 64 && name.bytes().all(|b| b.is_ascii_hexdigit());
    let path = folder.texts().join(format!("{name}.json"));
    if !plain {
        // The name comes from a record: never let one lead out of the folder.
        return Err(LogbookError::cannot_read(
            folder.texts(),
            io::ErrorKind::InvalidInput.into(),
        ));
    }
    let bytes = disk
        .read(&path, MAX_TEXT)
        .map_err(|e| LogbookError::cannot_read(&path, e))?;
    if hex(&bytes) == name {
        Ok(bytes)
    } else {
        Err(LogbookError::TextChanged { path })
    }
}

/// SHA-256 as 64 lower-case hexadecimal digits.
pub(crate) fn hex(bytes: &[u8]) -> String {
    hex_of(&Sha256::digest(bytes))
}

/// Bytes as lower-case hexadecimal digits.
pub(crate) fn hex_of(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    let mut text = String::with_capacity(2 * bytes.len());
    for byte in bytes {
        for digit in [byte >> 4, byte & 15] {
            text.push(char::from(DIGITS[usize::from(digit)]));
        }
    }
    text
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::logbook::RealDisk;
    use crate::logbook::faulty::{FaultyDisk, Op};
    use std::fs;
    use std::os::unix::fs::PermissionsExt;

    #[test]
    fn a_failure_at_any_step_leaves_the_old_text_or_the_new() {
        for (op, old_stays) in [
            (Op::Create, true),
            (Op::Write, true),
            (Op::SyncAll, true),
            (Op::Rename, true),
            (Op::SyncDir, false),
        ] {
            let dir = tempfile::tempdir().unwrap();
            let path = dir.path().join("boat.json");
            fs::write(&path, "old").unwrap();
            let disk = FaultyDisk::failing(op, 0..1);
            let mut rng = fastrand::Rng::with_seed(1);
            assert!(replace_file(&disk, &path, b"new", &mut rng).is_err());
            let expected = if old_stays { "old" } else { "new" };
            assert_eq!(fs::read_to_string(&path).unwrap(), expected);
            assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1, "{op:?}");
            replace_file(&disk, &path, b"new", &mut rng).unwrap();
            assert_eq!(fs::read_to_string(&path).unwrap(), "new");
            assert_eq!(
                fs::metadata(&path).unwrap().permissions().mode() & 0o777,
                0o600
            );
        }
    }

    #[test]
    fn stopped_at_any_piece_it_leaves_the_old_text_alone() {
        let long = vec![b'x'; 3 * PIECE];
        // Before each piece, and before the new file takes its place.
        for last in 1..=4 {
            let dir = tempfile::tempdir().unwrap();
            let path = dir.path().join("report.html");
            fs::write(&path, "old").unwrap();
            let asked = std::cell::Cell::new(0);
            let stopped = || {
                asked.set(asked.get() + 1);
                asked.get() == last
            };
            let mut rng = fastrand::Rng::with_seed(1);
            let done = replace_file_unless(&RealDisk, &path, &long, &mut rng, &stopped);
            assert!(!done.unwrap());
            assert_eq!(asked.get(), last);
            assert_eq!(fs::read_to_string(&path).unwrap(), "old");
            assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
            let done = replace_file_unless(&RealDisk, &path, &long, &mut rng, &|| false);
            assert!(done.unwrap());
            assert_eq!(fs::read(&path).unwrap(), long);
        }
    }

    #[test]
    fn texts_are_kept_once_and_checked_when_read() {
        let dir = tempfile::tempdir().unwrap();
        let folder = Folder::new(dir.path().join("book"));
        let mut rng = fastrand::Rng::with_seed(1);
        let name = keep_text(&RealDisk, &folder, b"{}", &mut rng).unwrap();
        assert_eq!(
            name,
            keep_text(&RealDisk, &folder, b"{}", &mut rng).unwrap()
        );
        assert_eq!(
            name,
            "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"
        );
        assert_eq!(kept_text(&RealDisk, &folder, &name).unwrap(), b"{}");
        fs::write(folder.texts().join(format!("{name}.json")), "{ }").unwrap();
        assert!(matches!(
            kept_text(&RealDisk, &folder, &name),
            Err(LogbookError::TextChanged { .. })
        ));
        assert!(kept_text(&RealDisk, &folder, "../../etc/passwd").is_err());
        // A changed text heals when the same one is kept again.
        keep_text(&RealDisk, &folder, b"{}", &mut rng).unwrap();
        assert_eq!(kept_text(&RealDisk, &folder, &name).unwrap(), b"{}");
    }
}
