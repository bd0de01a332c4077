//! Files that a person names, or that lie where others may write: whole or not at all, for their
//! user alone, in the place of a plain file or of nothing. A link is never followed, and what is no
//! plain file is never opened.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::disk::{Disk, RealDisk};
use super::error::LogbookError;
use super::folder::MAX_FILE;
use super::replace::{Place, put_file};

/// What may be written over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Over<'a> {
    /// Any plain file.
    Any,
    /// A plain file that is empty or begins so.
    Begins(&'a str),
    /// Nothing at all.
    Nothing,
}

/// Why a file was not written. What was there before is as it was.
#[derive(Debug, thiserror::Error)]
pub enum NotWritten {
    /// Something else than a plain file bears the name.
    #[error("{place} is {what}; name a plain file", place = .0.display(), what = .1)]
    Place(PathBuf, &'static str),
    /// A file bears the name already.
    #[error("{} is there already; name a new file", .0.display())]
    Taken(PathBuf),
    /// The file of that name is of another kind.
    #[error("{} holds something else; name a new file", .0.display())]
    Else(PathBuf),
    /// The disk said no.
    #[error(transparent)]
    Disk(#[from] LogbookError),
}

/// Whether a plain file is there already. Links, folders, pipes and devices are refused.
///
/// # Errors
/// [`NotWritten::Place`], or the place cannot be looked at.
pub fn is_there(path: &Path) -> Result<bool, NotWritten> {
    let refuse = |what| Err(NotWritten::Place(path.to_owned(), what));
    match fs::symlink_metadata(path) {
        Ok(found) if found.is_file() => Ok(true),
        Ok(found) if found.is_dir() => refuse("a folder"),
        Ok(found) if found.is_symlink() => refuse("a link to somewhere else"),
        Ok(_) => refuse("a device or pipe"),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(e) => Err(LogbookError::cannot_read(path, e).into()),
    }
}

/// Writes a file whole.
///
/// # Errors
/// [`NotWritten`].
pub fn write_named(path: &Path, bytes: &[u8], over: Over<'_>) -> Result<(), NotWritten> {
    write_named_unless(path, bytes, over, &|| false).map(drop)
}

/// The same for content that takes its time: false where `stopped` said so meanwhile, and then
/// nothing is changed.
///
/// # Errors
/// [`NotWritten`].
pub fn write_named_unless(
    path: &Path,
    bytes: &[u8],
    over: Over<'_>,
    stopped: &dyn Fn() -> bool,
) -> Result<bool, NotWritten> {
    let full = std::path::absolute(path).map_err(|e| LogbookError::cannot_write(path, e))?;
    if is_there(path)? {
        match over {
            Over::Any => {}
            Over::Nothing => return Err(NotWritten::Taken(path.to_owned())),
            Over::Begins(head) => match RealDisk.read(&full, MAX_FILE) {
                Ok(known) if known.is_empty() || known.starts_with(head.as_bytes()) => {}
                Err(e) if e.kind() != io::ErrorKind::FileTooLarge => {
                    return Err(LogbookError::cannot_read(path, e).into());
                }
                _ => return Err(NotWritten::Else(path.to_owned())),
            },
        }
    }
    // Asked before anything is made, missing folders too.
    if stopped() {
        return Ok(false);
    }
    let place = match over {
        Over::Nothing => Place::New,
        Over::Any | Over::Begins(_) => Place::Any,
    };
    let mut rng = fastrand::Rng::new();
    match put_file(&RealDisk, &full, bytes, &mut rng, place, stopped) {
        Ok(written) => Ok(written),
        Err(e) if e.kind() == io::ErrorKind::AlreadyExists && place == Place::New => {
            Err(NotWritten::Taken(path.to_owned()))
        }
        Err(e) => Err(LogbookError::cannot_write(path, e).into()),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::os::unix::fs::{PermissionsExt, symlink};

    #[test]
    fn only_a_plain_file_of_its_kind_is_written_over() {
        let dir = tempfile::tempdir().unwrap();
        let at = |name: &str| dir.path().join(name);
        fs::write(at("mine"), "precious").unwrap();
        fs::write(at("page"), "<p>old").unwrap();
        fs::write(at("empty"), "").unwrap();
        fs::create_dir(at("folder")).unwrap();
        symlink(at("mine"), at("link")).unwrap();
        symlink(at("nowhere"), at("loose")).unwrap();
        rustix::fs::mkfifoat(rustix::fs::CWD, at("pipe"), 0o600.into()).unwrap();
        for over in [Over::Any, Over::Begins("<p>"), Over::Nothing] {
            for name in ["folder", "link", "loose", "pipe"] {
                let refused = write_named(&at(name), b"<p>new", over);
                assert!(matches!(refused, Err(NotWritten::Place(..))), "{name}");
            }
        }
        let page = |name: &str| write_named(&at(name), b"<p>new", Over::Begins("<p>"));
        assert!(matches!(page("mine"), Err(NotWritten::Else(_))));
        page("page").unwrap();
        page("empty").unwrap();
        let new = |name: &str| write_named(&at(name), b"<p>new", Over::Nothing);
        assert!(matches!(new("mine"), Err(NotWritten::Taken(_))));
        new("made/below").unwrap();
        assert_eq!(fs::read_to_string(at("mine")).unwrap(), "precious");
        assert!(!at("nowhere").exists());
        for name in ["page", "empty", "made/below"] {
            assert_eq!(fs::read_to_string(at(name)).unwrap(), "<p>new");
            let mode = fs::metadata(at(name)).unwrap().permissions().mode();
            assert_eq!(mode & 0o777, 0o600, "{name}");
        }
    }
}
