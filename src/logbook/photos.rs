//! Pictures, kept once each under the SHA-256 of their content and never changed: written whole and
//! synced before the record that names them is.

use std::collections::BTreeSet;
use std::io;
use std::path::Path;

use super::disk::{Disk, read_regular};
use super::error::LogbookError;
use super::folder::Folder;
use super::placed::Written;
use super::problem::{Problem, ProblemKind};
use super::replace::{hex, keep_under};
use crate::photo::{Clean, MAX_BYTES, clean};
use crate::text::safe_line;

/// Reads a person's picture and takes out what it tells of place, time and camera.
///
/// # Errors
/// One plain sentence that names the file: not there, not readable, no regular file, too large, no
/// picture, damaged. Nothing is waited for, and the file is only read.
pub fn read_picture(path: &Path) -> Result<Clean, String> {
    let name = path.display().to_string();
    let name = safe_line(&name).into_owned();
    let bytes = read_regular(path, MAX_BYTES).map_err(|e| match e.kind() {
        io::ErrorKind::NotFound => format!("{name} is not there; check the path"),
        io::ErrorKind::InvalidInput if path.is_dir() => {
            format!("{name} is a folder; name a picture in it")
        }
        io::ErrorKind::InvalidInput if path.is_symlink() => {
            format!("{name} is a link; name the picture itself")
        }
        io::ErrorKind::InvalidInput => format!("{name} is no regular file and was not opened"),
        io::ErrorKind::FileTooLarge => format!(
            "{name} is larger than {} MiB; save it smaller",
            MAX_BYTES >> 20
        ),
        _ => format!("{name} cannot be read ({e})"),
    });
    let (_, bytes) = bytes?;
    clean(&bytes).map_err(|e| format!("{name} {e}"))
}

/// Keeps a picture under the SHA-256 of its content and returns that name with its ending. A picture
/// already kept is not written again.
///
/// # Errors
/// [`LogbookError::CannotWrite`].
pub fn keep_photo(
    disk: &dyn Disk,
    folder: &Folder,
    picture: &Clean,
    rng: &mut fastrand::Rng,
) -> Result<String, LogbookError> {
    let name = format!("{}.{}", hex(&picture.bytes), picture.form.ending());
    put(disk, folder, &name, &picture.bytes, rng)?;
    Ok(name)
}

fn put(
    disk: &dyn Disk,
    folder: &Folder,
    name: &str,
    bytes: &[u8],
    rng: &mut fastrand::Rng,
) -> Result<(), LogbookError> {
    let place = (folder.root(), folder.photos());
    keep_under(disk, place, name, (bytes, MAX_BYTES), rng)
}

/// The hash in the name of a kept picture. Names come from records: none may lead out of the folder.
fn hash_in(name: &str) -> Option<&str> {
    let (hash, ending) = name.split_once('.')?;
    let plain = hash.len() == 64 && hash.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
    (plain && matches!(ending, "jpg" | "png")).then_some(hash)
}

/// The picture kept under `name`.
///
/// # Errors
/// [`LogbookError::CannotRead`], or [`LogbookError::PhotoChanged`] when it no longer matches its
/// name.
pub fn kept_photo(disk: &dyn Disk, folder: &Folder, name: &str) -> Result<Vec<u8>, LogbookError> {
    let Some(hash) = hash_in(name) else {
        let error = io::Error::new(io::ErrorKind::InvalidInput, "no name of a kept picture");
        return Err(LogbookError::cannot_read(folder.photos(), error));
    };
    let path = folder.photos().join(name);
    let bytes = disk
        .read(&path, MAX_BYTES)
        .map_err(|e| LogbookError::cannot_read(&path, e))?;
    if hex(&bytes) == hash {
        Ok(bytes)
    } else {
        Err(LogbookError::PhotoChanged { path })
    }
}

/// The pictures that records name, by the names they are kept under. Whatever asks which pictures belong
/// to records asks here.
pub(super) fn kept_by<'a>(
    records: impl IntoIterator<Item = &'a Written>,
) -> impl Iterator<Item = &'a str> {
    let photos = records.into_iter().flat_map(|w| w.record.names().photos);
    photos.filter_map(|photo| photo.kept.as_deref())
}

/// Names in the folder of pictures, hidden ones left out.
fn names(disk: &dyn Disk, folder: &Folder) -> io::Result<BTreeSet<String>> {
    let listed = match disk.list(&folder.photos()) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(BTreeSet::new()),
        listed => listed?,
    };
    let names = listed.into_iter().map(|(name, _)| name);
    Ok(names
        .map(|name| name.to_string_lossy().into_owned())
        .filter(|name| !name.starts_with('.'))
        .collect())
}

/// What is wrong with the pictures: those that a record names and that are missing, and those whose
/// content no longer matches their name. Every picture is read.
pub fn photo_problems<'a>(
    disk: &dyn Disk,
    folder: &Folder,
    named: impl IntoIterator<Item = &'a str>,
) -> Vec<Problem> {
    let place = Path::new("photos");
    let mut all = match names(disk, folder) {
        Ok(names) => names,
        Err(e) => return vec![Problem::refused_file(place, &e)],
    };
    all.extend(named.into_iter().map(str::to_owned));
    let told = |name: &str, kind, message: &str| {
        Some(Problem::with_file(&place.join(name), kind, message))
    };
    let wrong = |name: &String| match kept_photo(disk, folder, name) {
        Ok(_) => None,
        Err(LogbookError::PhotoChanged { .. }) => told(
            name,
            ProblemKind::ChangedOutside,
            "the picture no longer matches its name",
        ),
        Err(_) if hash_in(name).is_none() => told(
            name,
            ProblemKind::NotUnderstood,
            "this is no name of a kept picture",
        ),
        Err(LogbookError::CannotRead { source, .. })
            if source.kind() == io::ErrorKind::NotFound =>
        {
            told(
                name,
                ProblemKind::PhotoMissing,
                "a record names this picture and it is not there; another copy of the logbook may have it",
            )
        }
        Err(LogbookError::CannotRead { source, .. }) => {
            Some(Problem::refused_file(&place.join(name), &source))
        }
        Err(other) => told(name, ProblemKind::Unreadable, &other.to_string()),
    };
    all.iter().filter_map(wrong).collect()
}

/// Copies the pictures that `from` has and `into` has not, where they match their names; how many.
///
/// # Errors
/// Where one cannot be written, or the folder of pictures not be read.
pub(super) fn copy_photos(
    disk: &dyn Disk,
    into: &Folder,
    from: &Folder,
    rng: &mut fastrand::Rng,
    problems: &mut Vec<Problem>,
) -> Result<usize, LogbookError> {
    let mut copied = 0;
    let names = names(disk, from).map_err(|e| LogbookError::cannot_read(from.photos(), e))?;
    for name in names {
        if kept_photo(disk, into, &name).is_ok() {
            continue;
        }
        match kept_photo(disk, from, &name) {
            Ok(bytes) => {
                put(disk, into, &name, &bytes, rng)?;
                copied += 1;
            }
            Err(LogbookError::CannotRead { source, .. }) => {
                problems.push(Problem::refused_file(
                    &Path::new("photos").join(&name),
                    &source,
                ));
            }
            Err(_) => problems.push(Problem::with_file(
                &Path::new("photos").join(&name),
                ProblemKind::ChangedOutside,
                "the picture no longer matches its name and was not copied",
            )),
        }
    }
    Ok(copied)
}

/// Copies one picture by its name, unless it is there.
///
/// # Errors
/// It cannot be read, no longer matches its name, or cannot be written.
pub(super) fn copy_photo(
    disk: &dyn Disk,
    into: &Folder,
    from: &Folder,
    name: &str,
    rng: &mut fastrand::Rng,
) -> Result<(), LogbookError> {
    if kept_photo(disk, into, name).is_ok() {
        return Ok(());
    }
    put(disk, into, name, &kept_photo(disk, from, name)?, rng)
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
