//! The union of two copies of a logbook: every file that has a record the other lacks is copied
//! whole. Nothing is rewritten on either side, so merging twice, or in any order, ends the same.

use std::collections::{HashMap, HashSet};
use std::fs;
use std::io;
use std::os::unix::fs::MetadataExt;
use std::path::{Component, Path, PathBuf};

use super::alike::Alike;
use super::book::boat_of;
use super::disk::Disk;
use super::error::LogbookError;
use super::folder::{Folder, MAX_FILE, MAX_SMALL, MAX_TEXT, random_chars};
use super::issued::copy_issued;
use super::line::{Checked, decode_beside};
use super::photos::{copy_photo, copy_photos};
use super::problem::Problem;
use super::read::{find_files, lines};
use super::replace::{hex, keep_text, replace_file};
use super::stamp::Stamp;
use super::whole::publish;

/// What a merge brought in.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Merged {
    /// Record files copied.
    pub files: usize,
    /// Records among them that were not here before.
    pub records: usize,
    /// Kept texts copied.
    pub texts: usize,
    /// Pictures copied.
    pub photos: usize,
    /// Files of reports issued copied: content and pages.
    pub issued: usize,
    /// The other copy had the boat's profile and this one had none.
    pub boat: bool,
    /// Whether they are of one boat was told by their profiles' names alone, since one of them holds
    /// no record of a profile.
    pub by_name: bool,
    /// What could not be read in the other copy.
    pub problems: Vec<Problem>,
}

/// Whether two `boat.json`, as bytes (`None` where there is none), are of one boat: asked where one
/// of the logs holds no record of a profile. Two logs that hold some are of one boat where they have
/// one of these records in common.
pub type SameBoat = dyn Fn(Option<&[u8]>, Option<&[u8]>) -> bool;

/// Bring into the logbook `into` what the copy at `from` has and it has not. `from` is only read.
/// `same_boat` is given the profile of `into`, then that of `from`.
///
/// # Errors
/// [`LogbookError::SameFolder`], [`LogbookError::OtherBoat`], [`LogbookError::CannotRead`] for
/// the folder of either log, [`LogbookError::CannotWrite`]. Files copied before an error are
/// complete and stay; merging again goes on from there.
pub fn merge(
    disk: &dyn Disk,
    into: &Folder,
    from: &Folder,
    same_boat: &SameBoat,
    rng: &mut fastrand::Rng,
) -> Result<Merged, LogbookError> {
    refuse_overlap(into.root(), from.root())?;
    let boat = disk.read(&from.boat(), MAX_SMALL).ok();
    let own_boat = disk.read(&into.boat(), MAX_SMALL).ok();
    let mut merged = Merged::default();
    let own = Known::of(disk, into, &mut Vec::new())?;
    let other = Known::of(disk, from, &mut merged.problems)?;
    let by_id = !own.profiles.is_empty() && !other.profiles.is_empty();
    let same = if by_id {
        !own.profiles.is_disjoint(&other.profiles)
    } else {
        same_boat(own_boat.as_deref(), boat.as_deref())
    };
    if !same {
        return Err(LogbookError::OtherBoat {
            into: into.root().to_owned(),
            from: from.root().to_owned(),
        });
    }
    let known = own_boat.is_some() || !own.profiles.is_empty();
    let told = boat.is_some() || !other.profiles.is_empty();
    merged.by_name = !by_id && known && told;
    copy_texts(disk, into, from, rng, &mut merged)?;
    // Before the looks that name them.
    merged.photos = copy_photos(disk, into, from, rng, &mut merged.problems)?;
    merged.issued = copy_issued(disk, into, from, rng, &mut merged.problems)?;
    copy_records(disk, (into, own), (from, other), rng, &mut merged)?;
    // A file that is no profile is no help here either.
    let boat = boat.filter(|bytes| boat_of(bytes).is_ok());
    if let (None, Some(boat)) = (own_boat, boat) {
        replace_file(disk, &into.boat(), &boat, rng)?;
        merged.boat = true;
    }
    Ok(merged)
}

/// Bring along, to a folder that the program goes on in, all that opening it needs: texts and
/// records of the logbook it leaves, the pictures of these names, and last the profile, so that the
/// folder opens as the boat's logbook or not at all.
///
/// # Errors
/// What could not be read there or written here, and then there is no profile.
pub(crate) fn bring_along<'a>(
    disk: &dyn Disk,
    into: &Folder,
    from: &Folder,
    photos: impl IntoIterator<Item = &'a str>,
    rng: &mut fastrand::Rng,
) -> Result<(), LogbookError> {
    let mut merged = Merged::default();
    let boat = disk.read(&from.boat(), MAX_SMALL);
    let boat = boat.map_err(|e| LogbookError::cannot_read(from.boat(), e))?;
    copy_texts(disk, into, from, rng, &mut merged)?;
    for name in photos {
        copy_photo(disk, into, from, name, rng)?;
    }
    copy_issued(disk, into, from, rng, &mut merged.problems)?;
    let own = Known::of(disk, into, &mut Vec::new())?;
    let other = Known::of(disk, from, &mut merged.problems)?;
    copy_records(disk, (into, own), (from, other), rng, &mut merged)?;
    if let Some(problem) = merged.problems.first() {
        let why = io::Error::other(problem.message.clone());
        return Err(LogbookError::cannot_read(
            from.root().join(&problem.file),
            why,
        ));
    }
    if disk.read(&into.boat(), MAX_SMALL).is_err() {
        replace_file(disk, &into.boat(), &boat, rng)?;
    }
    Ok(())
}

/// Two names for one folder, or one inside the other, are a slip of the hand.
fn refuse_overlap(into: &Path, from: &Path) -> Result<(), LogbookError> {
    let source = fs::canonicalize(from).map_err(|e| LogbookError::cannot_read(from, e))?;
    // A logbook not yet made cannot overlap, except by being made inside the other.
    let target = fs::canonicalize(into)
        .or_else(|_| std::path::absolute(into))
        .map_err(|e| LogbookError::cannot_read(into, e))?;
    let inode = |path: &Path| fs::metadata(path).ok().map(|m| (m.dev(), m.ino()));
    let same = inode(&target).is_some() && inode(&target) == inode(&source);
    if same || target.starts_with(&source) || source.starts_with(&target) {
        return Err(LogbookError::SameFolder {
            into: into.to_owned(),
            from: from.to_owned(),
        });
    }
    Ok(())
}

/// What a log holds.
#[derive(Default)]
struct Known {
    /// Digests of its records.
    records: HashSet<String>,
    /// Ids of its records of a profile.
    profiles: HashSet<String>,
    /// Its files, with the time mark of the first record of each.
    files: HashMap<PathBuf, Stamp>,
}

impl Known {
    fn of(
        disk: &dyn Disk,
        folder: &Folder,
        problems: &mut Vec<Problem>,
    ) -> Result<Known, LogbookError> {
        let mut known = Known::default();
        let mut alike = Alike::default();
        for path in find_files(disk, folder.root(), problems)? {
            let bytes = disk.read(&folder.root().join(&path), MAX_FILE);
            let mut begins = None;
            for line in bytes.iter().flat_map(|bytes| lines(bytes)) {
                let Ok(entry) = decode_beside(line.text, &mut alike) else {
                    continue;
                };
                begins.get_or_insert(entry.stamp);
                known.records.insert(hex(line.text));
                if &*entry.ev == "boat" && entry.checked == Checked::Good {
                    known.profiles.insert(entry.id.as_str().to_owned());
                }
            }
            known.files.insert(path, begins.unwrap_or_default());
        }
        Ok(known)
    }
}

fn copy_records(
    disk: &dyn Disk,
    (into, own): (&Folder, Known),
    (from, other): (&Folder, Known),
    rng: &mut fastrand::Rng,
    merged: &mut Merged,
) -> Result<(), LogbookError> {
    let mut known = own.records;
    let mut alike = Alike::default();
    // The oldest first: a session is copied after those it had read, so a merge that is stopped
    // leaves none that misses another.
    let mut found: Vec<_> = other.files.into_iter().collect();
    found.sort_by(|(a, begins), (b, too)| (begins, a).cmp(&(too, b)));
    for (path, _) in found {
        let bytes = match disk.read(&from.root().join(&path), MAX_FILE) {
            Ok(bytes) => bytes,
            Err(e) => {
                merged.problems.push(Problem::refused_file(&path, &e));
                continue;
            }
        };
        let before = known.len();
        known.extend(records(&bytes, &mut alike).map(hex));
        if known.len() == before {
            continue;
        }
        merged.records += known.len() - before;
        merged.files += 1;
        publish_copy(disk, into, &path, &bytes, rng)?;
    }
    Ok(())
}

/// The lines that are records, sound or changed; torn and damaged ones alone are no reason to copy.
fn records<'a>(bytes: &'a [u8], alike: &mut Alike) -> impl Iterator<Item = &'a [u8]> {
    let texts = lines(bytes).map(|line| line.text);
    texts.filter(|text| decode_beside(text, alike).is_ok())
}

/// Under its own name, or with a few letters more if the name is taken by another file.
fn publish_copy(
    disk: &dyn Disk,
    into: &Folder,
    path: &Path,
    bytes: &[u8],
    rng: &mut fastrand::Rng,
) -> Result<(), LogbookError> {
    let plain = path.components().all(|c| matches!(c, Component::Normal(_)));
    let own = if plain {
        path
    } else {
        Path::new("log/copy.jsonl")
    };
    let mut target = into.root().join(own);
    for _ in 0..8 {
        match publish(disk, into, &target, bytes, &random_chars(rng, 8)) {
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {
                target = beside(&into.root().join(own), rng);
            }
            done => return done.map_err(|e| LogbookError::cannot_write(target, e)),
        }
    }
    Err(LogbookError::cannot_write(
        target,
        io::ErrorKind::AlreadyExists.into(),
    ))
}

fn beside(path: &Path, rng: &mut fastrand::Rng) -> PathBuf {
    let mut name = path.file_stem().unwrap_or_default().to_owned();
    name.push(format!("-{}.jsonl", random_chars(rng, 6)));
    path.with_file_name(name)
}

/// Texts whose content still matches their names.
fn copy_texts(
    disk: &dyn Disk,
    into: &Folder,
    from: &Folder,
    rng: &mut fastrand::Rng,
    merged: &mut Merged,
) -> Result<(), LogbookError> {
    let listed = match disk.list(&from.texts()) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(()),
        listed => listed.map_err(|e| LogbookError::cannot_read(from.texts(), e))?,
    };
    for (name, _) in listed {
        let path = Path::new("texts").join(&name);
        let name = name.to_string_lossy().into_owned();
        let Some(hash) = name
            .strip_suffix(".json")
            .filter(|_| !name.starts_with('.'))
        else {
            continue;
        };
        match disk.read(&from.root().join(&path), MAX_TEXT) {
            Ok(bytes) if hex(&bytes) == hash => {
                if disk.read(&into.texts().join(&name), MAX_TEXT).ok() != Some(bytes.clone()) {
                    keep_text(disk, into, &bytes, rng)?;
                    merged.texts += 1;
                }
            }
            Ok(_) => merged.problems.push(Problem::with_file(
                &path,
                super::problem::ProblemKind::ChangedOutside,
                "its text no longer matches its name and was not copied",
            )),
            Err(e) => merged.problems.push(Problem::refused_file(&path, &e)),
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests;
