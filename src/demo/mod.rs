//! The demo boat: an invented old boat with the better part of a year of records, so that every
//! screen has something to show. All of it follows from one readable file, the time and a seed.
//!
//! - [`story`]: what the file says: how she is used, what happened to which item
//! - [`calendar`]: when she was walked and run, and what her meters showed
//! - [`gauges`]: readings, and levels that fall and are topped up
//! - [`threads`]: how each item looks at a time of the story
//! - [`memory`]: what is known meanwhile, so that walks are composed as the program would
//! - [`sheets`]: the records of it all

mod calendar;
mod gauges;
mod memory;
mod sheets;
mod story;
#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
mod threads;

use std::fs::DirBuilder;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use crate::boat::Boat;
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
    /// The logbook could not be begun.
    #[error(transparent)]
    Begin(#[from] OpenError),
    /// The records could not be written.
    #[error(transparent)]
    Write(#[from] LogbookError),
}

/// The demo boat and her records with the time each speaks of, oldest first. Depends on the date
/// and zone of `now` and on the library alone; everything happened before today.
pub fn records(
    now: DateTime<FixedOffset>,
    library: &Arc<Library>,
) -> (Boat, Vec<(DateTime<FixedOffset>, Record)>) {
    sheets::tell(story::Story::built_in(), now, library)
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
    let (mut boat, mut records) = records(clock.now(), library);
    // Her walks say what the meters showed; the profile, written only now, read none.
    boat.machines.iter_mut().for_each(|m| m.hours = None);
    let mut book = Book::create(root, boat, clock, Arc::clone(library), None)?;
    for list in library.checklists() {
        let asked = book.keep_asked(list)?;
        for (_, record) in &mut records {
            if let Record::WalkStarted(walk) = record
                && walk.checklist == list.id
            {
                walk.asked = Some(asked.clone());
            }
        }
    }
    let mut batch = Vec::with_capacity(IN_ONE_FILE);
    for (_, record) in records {
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
