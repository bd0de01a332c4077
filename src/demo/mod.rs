//! The demo boat: an invented old boat with the better part of a year of records, so that every
//! screen has something to show. They were told once, by `tests/demo`, and are shipped as data;
//! what moves with today is their days.

mod recorded;
#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;

pub use recorded::{records, unpack};

use std::fs::DirBuilder;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;

use crate::checklist::Library;
use crate::logbook::book::{Book, OpenError};
use crate::logbook::record::Record;
use crate::logbook::{Clock, Folder, LogbookError};

/// Records in one file at least: few files, since each costs several syncs.
const IN_ONE_FILE: usize = 4000;

/// Why the demo could not be written.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// Somebody's records are there already.
    #[error("{} holds a logbook already; name an empty or a new folder", .0.display())]
    Occupied(PathBuf),
    /// A new folder for it could not be made.
    #[error("cannot make a folder in {}: {source}", path.display())]
    NoFolder {
        /// Where.
        path: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
    /// The calendar ends too near.
    #[error("the demo cannot be told as of {today}: {source}")]
    NoDays {
        /// As of when.
        today: chrono::NaiveDate,
        /// Why.
        source: serde_json::Error,
    },
    /// The logbook could not be begun.
    #[error(transparent)]
    Begin(#[from] OpenError),
    /// The records could not be written.
    #[error(transparent)]
    Write(#[from] LogbookError),
}

/// Writes the demo logbook into a folder, which is made where it is not there yet.
///
/// # Errors
/// [`DemoError::Occupied`] where the folder holds a logbook; else where it cannot be written.
pub fn write_to(
    root: &Path,
    clock: Rc<dyn Clock>,
    library: &Arc<Library>,
) -> Result<(), DemoError> {
    let folder = Folder::new(root);
    if folder.boat().exists() || folder.log().exists() {
        return Err(DemoError::Occupied(root.to_owned()));
    }
    let now = clock.now();
    let told = records(now).map_err(|source| DemoError::NoDays {
        today: now.date_naive(),
        source,
    });
    let (mut boat, mut records) = told?;
    // Her walks say what the meters showed; the profile, written only now, read none.
    boat.machines.iter_mut().for_each(|m| m.hours = None);
    let mut book = Book::create(root, boat, clock, Arc::clone(library), None)?;
    for list in library.checklists() {
        let walks = records.iter_mut().filter_map(|record| match record {
            Record::WalkStarted(walk) if walk.checklist == list.id => Some(walk),
            _ => None,
        });
        let walks: Vec<_> = walks.collect();
        if walks.is_empty() {
            continue;
        }
        let asked = book.keep_asked(list)?;
        for walk in walks {
            walk.asked = Some(asked.clone());
        }
    }
    let mut batch = Vec::with_capacity(IN_ONE_FILE);
    for record in records {
        // A walk stays in one file as far as it can: only a beginning opens the next.
        if batch.len() >= IN_ONE_FILE && matches!(record, Record::WalkStarted(_)) {
            book.record_batch(std::mem::take(&mut batch))?;
        }
        batch.push((None, record));
    }
    book.record_batch(batch)?;
    book.finish();
    Ok(())
}

/// Writes the demo logbook into a new folder under the system's temporary directory, readable by
/// its owner alone, and says where.
///
/// # Errors
/// Where no folder can be made there or it cannot be written.
pub fn write_somewhere(clock: Rc<dyn Clock>, library: &Arc<Library>) -> Result<PathBuf, DemoError> {
    let path = new_folder()?;
    write_to(&path, clock, library)?;
    Ok(path)
}

fn new_folder() -> Result<PathBuf, DemoError> {
    let parent = std::env::temp_dir();
    let mut builder = DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    let mut tries = 0;
    loop {
        let mark: String = std::iter::repeat_with(fastrand::alphanumeric)
            .take(12)
            .collect();
        let path = parent.join(format!("handlamp-demo-{mark}"));
        match builder.create(&path) {
            Ok(()) => return Ok(path),
            Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists && tries < 8 => tries += 1,
            Err(source) => {
                return Err(DemoError::NoFolder {
                    path: parent,
                    source,
                });
            }
        }
    }
}
