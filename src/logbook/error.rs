//! What can go wrong with a logbook, where, and what to do about it.

use std::io;
use std::path::PathBuf;

/// Every failure of this room, one sentence each. Paths come from outside: filter the text before
/// it reaches a terminal.
#[derive(Debug, thiserror::Error)]
pub enum LogbookError {
    /// A file or folder cannot be read.
    #[error("{} cannot be read ({source}); check that it is there and that you may read it", path.display())]
    CannotRead {
        /// What was to be read.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A file cannot be written; nothing of it counts.
    #[error("{} cannot be written ({source}); check the free space and that you may write there", path.display())]
    CannotWrite {
        /// What was to be written.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Records are not on disk. The session keeps them and can try again.
    #[error(
        "NOT SAVED: {unsaved} record(s) are in memory only, because {} cannot be written ({source}); free some space, try again, or save to another folder",
        path.display()
    )]
    NotSaved {
        /// The file or folder that refused.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
        /// How many records wait.
        unsaved: usize,
    },
    /// A record has no form that could be written. Nothing was changed.
    #[error("a record \"{ev}\" cannot be written: {why}")]
    BadRecord {
        /// The record's name.
        ev: String,
        /// What is wrong with it.
        why: String,
    },
    /// A record is too long for one line. Nothing was changed.
    #[error(
        "a record \"{ev}\" is {bytes} bytes long and the limit is {limit}; shorten the note or split it"
    )]
    TooLong {
        /// The record's name.
        ev: String,
        /// Its length as a line.
        bytes: usize,
        /// The longest line allowed.
        limit: usize,
    },
    /// A batch is too large for one file. Nothing was changed.
    #[error(
        "the batch is {bytes} bytes long and the limit for one file is {limit}; split it into several"
    )]
    BatchTooLarge {
        /// Length of the batch.
        bytes: u64,
        /// The largest file allowed.
        limit: u64,
    },
    /// Two names of one folder, or a folder inside the other.
    #[error("{} and {} are the same logbook or lie inside each other; name two separate folders", into.display(), from.display())]
    SameFolder {
        /// The logbook to merge into.
        into: PathBuf,
        /// The logbook to take from.
        from: PathBuf,
    },
    /// Two logbooks of different boats.
    #[error("{} and {} are logbooks of different boats; merge only copies of one", into.display(), from.display())]
    OtherBoat {
        /// The logbook to merge into.
        into: PathBuf,
        /// The logbook to take from.
        from: PathBuf,
    },
    /// A picture kept by its content no longer has that content.
    #[error("{} has been changed: its content no longer matches its name; restore it from a copy of the logbook", path.display())]
    PhotoChanged {
        /// The file with the picture.
        path: PathBuf,
    },
    /// What was kept of a report issued is not that any more.
    #[error("{} has been changed: it is not what was issued; restore it from a copy of the logbook", path.display())]
    IssuedChanged {
        /// The file.
        path: PathBuf,
    },
    /// A text kept by its content no longer has that content.
    #[error("{} has been changed: its text no longer matches its name; restore it from a copy of the logbook", path.display())]
    TextChanged {
        /// The file with the text.
        path: PathBuf,
    },
}

impl LogbookError {
    /// The error for a path that cannot be read.
    pub fn cannot_read(path: impl Into<PathBuf>, source: io::Error) -> Self {
        Self::CannotRead {
            path: path.into(),
            source,
        }
    }

    /// The error for a path that cannot be written.
    pub fn cannot_write(path: impl Into<PathBuf>, source: io::Error) -> Self {
        Self::CannotWrite {
            path: path.into(),
            source,
        }
    }

    /// Why, in a few words for a narrow line: what the system said, without the place.
    pub fn in_short(&self) -> String {
        match self {
            Self::CannotRead { source, .. }
            | Self::CannotWrite { source, .. }
            | Self::NotSaved { source, .. } => in_short(source),
            other => other.to_string(),
        }
    }
}

/// What the system says, as a skipper would.
fn in_short(error: &io::Error) -> String {
    use io::ErrorKind as Kind;
    let plain = match (error.kind(), error.raw_os_error()) {
        (Kind::StorageFull, _) => "the disk is full",
        (Kind::QuotaExceeded, _) => "your share of the disk is full",
        (Kind::ReadOnlyFilesystem, _) => "the disk is read-only",
        (Kind::PermissionDenied, _) => "you may not write there",
        (Kind::FileTooLarge, _) => "a file would be too large",
        (Kind::NotFound, _) => "its folder is gone",
        (Kind::NotADirectory, _) => "a file is in the folder's place",
        (Kind::Interrupted | Kind::TimedOut, _) => "the disk does not answer",
        (_, Some(5)) => "the disk fails",
        (_, Some(23 | 24)) => "too many files are open",
        _ => {
            let told = error.to_string();
            let short = told.split(" (os error").next().unwrap_or(&told);
            return short.to_owned();
        }
    };
    plain.to_owned()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use rustix::io::Errno;

    #[test]
    fn a_few_words_say_what_the_disk_says() {
        for (errno, says) in [
            (Errno::NOSPC, "the disk is full"),
            (Errno::DQUOT, "your share of the disk is full"),
            (Errno::ROFS, "the disk is read-only"),
            (Errno::ACCESS, "you may not write there"),
            (Errno::FBIG, "a file would be too large"),
            (Errno::IO, "the disk fails"),
            (Errno::MFILE, "too many files are open"),
            (Errno::LOOP, "Too many levels of symbolic links"),
        ] {
            let error = LogbookError::cannot_write("log", errno.into());
            assert_eq!(error.in_short(), says);
        }
        let gone = io::Error::other("it was replaced or removed");
        let error = LogbookError::cannot_write("log", gone);
        assert_eq!(error.in_short(), "it was replaced or removed");
    }
}
