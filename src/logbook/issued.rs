//! What was issued, kept by what it holds: the content of each report and its page, each written whole
//! and synced before the record that names it. And which records stand behind one, so that it can be
//! told when they are others.

use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use super::clock::Clock;
use super::disk::{Disk, RealDisk};
use super::error::LogbookError;
use super::folder::{Folder, MAX_TEXT};
use super::placed::Written;
use super::problem::{Problem, ProblemKind};
use super::read::read_log;
use super::record::Record;
use super::replace::{hex, hex_of, keep_under};
use crate::defects::Issued;

/// The most that is read of a page: far more than any with all its photographs as they were taken in.
pub const MAX_PAGE: u64 = 256 * 1024 * 1024;

/// What is kept of a report.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kept {
    /// What it says, as data.
    Content,
    /// The page that was given out.
    Page,
}

impl Kept {
    const fn ending(self) -> &'static str {
        match self {
            Kept::Content => "json",
            Kept::Page => "html",
        }
    }

    const fn most(self) -> u64 {
        match self {
            Kept::Content => MAX_TEXT,
            Kept::Page => MAX_PAGE,
        }
    }

    /// The name of the file, within the folder of what was issued.
    fn file(self, digest: &str) -> String {
        format!("{digest}.{}", self.ending())
    }
}

/// Keeps content or page under its SHA-256 and returns that name.
///
/// # Errors
/// [`LogbookError::CannotWrite`]; nothing bears the name then that is not whole.
pub fn keep_issued(
    disk: &dyn Disk,
    folder: &Folder,
    (kept, bytes): (Kept, &[u8]),
    rng: &mut fastrand::Rng,
) -> Result<String, LogbookError> {
    let digest = hex(bytes);
    let place = (folder.root(), folder.issued());
    keep_under(disk, place, &kept.file(&digest), (bytes, kept.most()), rng)?;
    Ok(digest)
}

/// Takes away content and page of a report that was not issued after all, so that its number is free and
/// their room too. What a record on the disk names stays; so does a file that cannot go, and
/// [`issued_problems`] tells it.
pub fn take_away_issued(folder: &Folder, clock: &dyn Clock, digests: [(Kept, &str); 2]) {
    let Ok(log) = read_log(folder.root(), clock) else {
        return;
    };
    for (kept, digest) in digests {
        let is_named = log
            .entries
            .iter()
            .any(|entry| entry.rec.get().contains(digest));
        if is_digest(digest) && !is_named {
            let _ = RealDisk.remove(&folder.issued().join(kept.file(digest)));
        }
    }
}

/// What is kept under a digest.
///
/// # Errors
/// [`LogbookError::CannotRead`], or [`LogbookError::IssuedChanged`] where it is not what was kept.
pub fn kept_issued(
    disk: &dyn Disk,
    folder: &Folder,
    (kept, digest): (Kept, &str),
) -> Result<Vec<u8>, LogbookError> {
    if !is_digest(digest) {
        // The name comes from a record: never let one lead out of the folder.
        let error = io::ErrorKind::InvalidInput.into();
        return Err(LogbookError::cannot_read(folder.issued(), error));
    }
    let path = folder.issued().join(kept.file(digest));
    let bytes = disk
        .read(&path, kept.most())
        .map_err(|e| LogbookError::cannot_read(&path, e))?;
    match hex(&bytes) == digest {
        true => Ok(bytes),
        false => Err(LogbookError::IssuedChanged { path }),
    }
}

fn is_digest(name: &str) -> bool {
    name.len() == 64 && name.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
}

/// All records of reports issued, those taken back too, in the order of the log.
pub fn all_issued(written: &[Written]) -> impl Iterator<Item = (&Written, &Issued)> {
    written.iter().filter_map(|w| match &w.record {
        Record::Issued(issued) => Some((w, &**issued)),
        _ => None,
    })
}

/// The names in the folder of what was issued, content alone, in their order.
///
/// # Errors
/// The folder cannot be listed.
pub fn contents(disk: &dyn Disk, folder: &Folder) -> Result<Vec<String>, LogbookError> {
    let names = names(disk, folder).map_err(|e| LogbookError::cannot_read(folder.issued(), e))?;
    let digest = |name: &String| {
        let digest = name.strip_suffix(".json")?;
        is_digest(digest).then(|| digest.to_owned())
    };
    Ok(names.iter().filter_map(digest).collect())
}

fn names(disk: &dyn Disk, folder: &Folder) -> io::Result<BTreeSet<String>> {
    let listed = match disk.list(&folder.issued()) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(BTreeSet::new()),
        listed => listed?,
    };
    let names = listed.into_iter().map(|(name, _)| name);
    let names = names.map(|name| name.to_string_lossy().into_owned());
    Ok(names.filter(|name| !name.starts_with('.')).collect())
}

/// What is wrong with what is kept of reports issued: missing, changed, or named by no record. Every
/// file is read.
pub fn issued_problems(disk: &dyn Disk, folder: &Folder, written: &[Written]) -> Vec<Problem> {
    let place = Path::new("issued");
    let mut left = match names(disk, folder) {
        Ok(names) => names,
        Err(e) => return vec![Problem::refused_file(place, &e)],
    };
    let mut problems = Vec::new();
    for (_, issued) in all_issued(written) {
        let parts = [
            (Kept::Content, &issued.content, "the content"),
            (Kept::Page, &issued.page, "the page"),
        ];
        for (kept, digest, what) in parts {
            let file = place.join(kept.file(digest));
            left.remove(&kept.file(digest));
            let of = format!("{what} of the report {}", issued.name());
            let Err(error) = kept_issued(disk, folder, (kept, digest)) else {
                continue;
            };
            problems.push(match error {
                LogbookError::IssuedChanged { .. } => {
                    let why = format!("{of} no longer matches its name, so it was changed");
                    Problem::with_file(&file, ProblemKind::ChangedOutside, why)
                }
                LogbookError::CannotRead { source, .. }
                    if source.kind() == io::ErrorKind::NotFound =>
                {
                    let why = format!("{of} is not there; another copy of the logbook may have it");
                    Problem::with_file(&file, ProblemKind::IssuedMissing, why)
                }
                LogbookError::CannotRead { source, .. } => Problem::refused_file(&file, &source),
                other => Problem::with_file(&file, ProblemKind::Unreadable, other.to_string()),
            });
        }
    }
    for name in left {
        let why = "no record names it: the program ended before the report was issued, or its line is lost; its number is not given again";
        problems.push(Problem::with_file(
            &place.join(name),
            ProblemKind::IssuedAlone,
            why,
        ));
    }
    problems
}

/// Copies what was issued to another folder; how many files are new there.
///
/// # Errors
/// What cannot be written; what cannot be read is told in `problems`.
pub(super) fn copy_issued(
    disk: &dyn Disk,
    into: &Folder,
    from: &Folder,
    rng: &mut fastrand::Rng,
    problems: &mut Vec<Problem>,
) -> Result<usize, LogbookError> {
    let mut copied = 0;
    let all = names(disk, from).map_err(|e| LogbookError::cannot_read(from.issued(), e))?;
    for name in all {
        let kinds = [Kept::Content, Kept::Page];
        let found = kinds.into_iter().find_map(|kept| {
            let digest = name.strip_suffix(kept.ending())?.strip_suffix('.')?;
            is_digest(digest).then_some((kept, digest))
        });
        let Some((kept, digest)) = found else {
            continue;
        };
        if kept_issued(disk, into, (kept, digest)).is_ok() {
            continue;
        }
        match kept_issued(disk, from, (kept, digest)) {
            Ok(bytes) => {
                keep_issued(disk, into, (kept, &bytes), rng)?;
                copied += 1;
            }
            Err(error) => problems.push(Problem::with_file(
                &PathBuf::from("issued").join(&name),
                ProblemKind::ChangedOutside,
                format!("{error}; it was not copied"),
            )),
        }
    }
    Ok(copied)
}

/// A digest of all that is on record of some walks: each record that names one, or takes back or puts
/// right one that does, as it stands in its line. Whatever is added to them later, lost or changed, by
/// whichever device, gives another.
pub fn records_digest(written: &[Written], walks: &[String]) -> String {
    let is_own = |walk: &str| walks.iter().any(|own| own == walk);
    let mut of_walks: BTreeSet<&str> = BTreeSet::new();
    let mut parts: Vec<(&str, String)> = Vec::new();
    let take = |w: &'_ Written| {
        let said = w.record.payload().unwrap_or_default();
        format!("{} {} {said}", w.id, w.trust.sound)
    };
    // What takes back or puts right may stand before what it names, after a merge.
    for w in written {
        let names = w.record.names().walk.is_some_and(|(walk, _)| is_own(walk));
        let own = matches!(w.record, Record::Issued(_) | Record::Draft(_));
        if names && !own {
            of_walks.insert(&w.id);
            parts.push((&w.id, take(w)));
        }
    }
    loop {
        let before = of_walks.len();
        for w in written {
            let of = match &w.record {
                Record::Undo(undo) => undo.of.as_str(),
                Record::Correction(correction) => correction.of.as_str(),
                _ => continue,
            };
            if of_walks.contains(of) && of_walks.insert(&w.id) {
                parts.push((&w.id, take(w)));
            }
        }
        if of_walks.len() == before {
            break;
        }
    }
    parts.sort_unstable();
    let mut whole = Sha256::new();
    for (_, part) in &parts {
        whole.update((part.len() as u64).to_be_bytes());
        whole.update(part);
    }
    hex_of(&whole.finalize())
}
