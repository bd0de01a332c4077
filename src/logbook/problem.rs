//! What can be wrong in a logbook's files, in plain words. Reading never changes a file; damaged
//! bytes are copied to `aside/` only when asked for.

use std::fmt;
use std::io;
use std::ops::Range;
use std::path::{Path, PathBuf};

use super::disk::Disk;
use super::doubts::Remains;
use super::error::LogbookError;
use super::folder::{Folder, MAX_FILE};
use super::line::Entry;
use super::replace::{hex, replace_file};

/// How much a problem matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Gravity {
    /// Worth knowing; no acknowledged record is lost or in doubt.
    Notice,
    /// A record is lost, or cannot be taken at its word.
    Damage,
}

/// What is wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ProblemKind {
    /// The last line has no newline: an interrupted write, or an end cut off.
    Torn,
    /// A line that is no record.
    BadLine,
    /// A record whose checksum is wrong or missing.
    ChangedOutside,
    /// Numbers are missing within a session.
    Missing,
    /// A record that a later session had read is not here.
    NotHere,
    /// Records are missing that somebody has gone on without.
    GoneOn,
    /// A session without the mark of a clean end: stopped, or cut.
    NoEnd,
    /// A picture that a look names is not there.
    PhotoMissing,
    /// A text of what was asked is not there.
    TextMissing,
    /// What was kept of a report issued is not there.
    IssuedMissing,
    /// Something kept of a report that no record says was issued.
    IssuedAlone,
    /// Two records with different content carry one id.
    SameId,
    /// The same of records that begin a walk, so that looks may stand under the wrong machine.
    SameWalk,
    /// Written by a later version.
    Newer,
    /// A link, pipe, device, socket or folder under a record file's name.
    NotAFile,
    /// A file beyond the size that is read.
    TooLarge,
    /// A file or folder the system refuses to show.
    Unreadable,
    /// Records dated far in the future.
    ClockAhead,
    /// This computer's clock is behind most of the records.
    ClockBehind,
    /// Others than its user may write to it.
    OpenToOthers,
    /// The profile and its file differ, or something of a profile is not known here.
    Profile,
    /// A sound line whose content makes no sense to the reader of records.
    NotUnderstood,
}

impl ProblemKind {
    /// How much it matters.
    #[must_use]
    pub fn gravity(self) -> Gravity {
        match self {
            Self::Torn
            | Self::GoneOn
            | Self::NoEnd
            | Self::IssuedAlone
            | Self::Newer
            | Self::ClockAhead
            | Self::ClockBehind
            | Self::OpenToOthers
            | Self::Profile => Gravity::Notice,
            _ => Gravity::Damage,
        }
    }
}

/// One thing wrong, and where. Names come from the disk: filter the text before showing it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// The file, relative to the logbook's folder; empty when it concerns no single file.
    pub file: PathBuf,
    /// The line, from 1.
    pub line: Option<u32>,
    /// What kind of problem.
    pub kind: ProblemKind,
    /// One plain sentence without a full stop.
    pub message: String,
    /// Which bytes of the file are meant.
    pub bytes: Option<Range<u64>>,
    /// What a damaged line can still tell.
    pub remains: Option<Remains>,
}

impl Problem {
    /// A problem with a file as a whole.
    pub(crate) fn with_file(file: &Path, kind: ProblemKind, message: impl Into<String>) -> Self {
        Self {
            file: file.to_owned(),
            line: None,
            kind,
            message: message.into(),
            bytes: None,
            remains: None,
        }
    }

    /// A file or folder that could not be read.
    pub(crate) fn refused_file(path: &Path, e: &io::Error) -> Self {
        let (kind, why) = match e.kind() {
            io::ErrorKind::InvalidInput => (
                ProblemKind::NotAFile,
                "this is not a regular file and was not opened".to_owned(),
            ),
            io::ErrorKind::FileTooLarge => (
                ProblemKind::TooLarge,
                format!(
                    "this file is larger than {} MiB and was not read",
                    MAX_FILE >> 20
                ),
            ),
            _ => (
                ProblemKind::Unreadable,
                format!("this cannot be read ({e})"),
            ),
        };
        Self::with_file(path, kind, why)
    }

    /// A record that was read, but whose content its reader refuses: `why` in a few words.
    #[must_use]
    pub fn not_understood(file: &Path, entry: &Entry, why: &str) -> Self {
        let why = format!(
            "the record {} \"{}\" makes no sense: {why}",
            entry.id, entry.ev
        );
        Self {
            line: Some(entry.line),
            ..Self::with_file(file, ProblemKind::NotUnderstood, why)
        }
    }

    /// How much it matters.
    #[must_use]
    pub fn gravity(&self) -> Gravity {
        self.kind.gravity()
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.file.as_os_str().is_empty() {
            write!(f, "{}", self.file.display())?;
            if let Some(line) = self.line {
                write!(f, ", line {line}")?;
            }
            f.write_str(": ")?;
        }
        f.write_str(&self.message)
    }
}

/// Copy the bytes of damaged and unfinished lines to `aside/`, each in a file that begins with a
/// line saying whence. The same damage is copied once. Returns how many copies are new.
///
/// # Errors
/// [`LogbookError::CannotRead`] or [`LogbookError::CannotWrite`].
pub fn copy_aside(
    disk: &dyn Disk,
    folder: &Folder,
    problems: &[Problem],
    rng: &mut fastrand::Rng,
) -> Result<usize, LogbookError> {
    let mut copied = 0;
    // Problems come file by file, so the one read last is mostly the one needed next.
    let mut held: (PathBuf, Vec<u8>) = Default::default();
    for problem in problems {
        let (Some(range), Some(line)) = (&problem.bytes, problem.line) else {
            continue;
        };
        let path = folder.root().join(&problem.file);
        if held.0 != path {
            let bytes = disk.read(&path, MAX_FILE);
            let bytes = bytes.map_err(|e| LogbookError::cannot_read(&path, e))?;
            held = (path, bytes);
        }
        let bytes = &held.1;
        let index = |at: u64| usize::try_from(at).unwrap_or(usize::MAX).min(bytes.len());
        let damaged = &bytes[index(range.start)..index(range.end)];
        let mut copy = format!(
            "From {}, line {line}, bytes {} to {}:\n",
            problem.file.display(),
            range.start,
            range.end
        )
        .into_bytes();
        copy.extend_from_slice(damaged);
        let target = folder.aside().join(format!("{}.txt", &hex(&copy)[..16]));
        if disk.read(&target, MAX_FILE).is_err() {
            replace_file(disk, &target, &copy, rng)?;
            copied += 1;
        }
    }
    Ok(copied)
}
