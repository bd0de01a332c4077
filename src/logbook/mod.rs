//! Records on disk: how a record is written so that it cannot be lost, and how the folder is read
//! so that nothing in it is believed without a check or dropped without a word.
//!
//! A logbook is one folder. Its records are JSON Lines under `log/`, one new file for each session
//! of the program on each device. A file is never opened again after its session and never
//! rewritten, so there is nothing to repair: reading only reads. Two copies of a logbook are
//! joined by taking the files of both, because every record carries its own id and time mark.
//!
//! Writing
//! - [`mod@line`]: one record as one line with its own checksum
//! - [`session`]: append, check, sync, and only then acknowledge; what happens when that fails
//! - [`whole`]: a complete file, all or nothing (batches from outside, copies from a merge)
//! - [`photos`]: pictures kept by content
//! - [`replace`]: the few small files that do change, replaced atomically; texts kept by content
//!
//! Reading
//! - [`read`]: every file under `log/`, line by line, with what is wrong in plain words
//! - [`order`]: one order for all records, duplicates dropped, clashes and gaps reported
//! - [`problem`]: what can be wrong; damaged bytes copied aside on request
//! - [`mod@merge`]: the union of two copies
//! - [`rights`]: who else may change the record
//! - `seen`: whether anybody has written since
//! - [`marks`]: the newest record seen, kept outside the folder
//!
//! Beneath both
//! - [`clock`] and [`stamp`]: wall time for people, a hybrid logical clock for order
//! - [`disk`]: the system calls the protocol rests on, behind one small trait
//! - [`folder`]: where things are in the folder
//! - [`error`]: what can go wrong and what to do
//!
//! All of these know records by their name (`ev`) and JSON text (`rec`) alone. Above them:
//! - [`record`]: what a record can say
//! - [`fold`]: records become state
//! - [`shelf`]: several logbooks in one folder
//! - [`seal`]: a code that tells later whether the records are still the same
//! - [`input`]: records from outside, checked whole
//! - [`profile`]: a boat's profile from outside, checked
//! - [`take`]: documents from outside become records, all or nothing
//! - [`book`]: an open logbook, read once and written to record by record

pub mod book;
pub mod clock;
pub mod disk;
pub mod error;
#[cfg(test)]
mod faulty;
pub mod fold;
pub mod folder;
pub mod input;
pub mod line;
pub mod marks;
pub mod merge;
pub mod order;
pub mod photos;
pub mod problem;
pub mod profile;
pub mod read;
pub mod record;
pub mod replace;
pub mod rights;
pub mod seal;
mod seen;
pub mod session;
pub mod shelf;
pub mod stamp;
pub mod take;
pub mod whole;

pub use clock::{Clock, FixedClock, SystemClock};
pub use disk::{Disk, DiskFile, Kind, RealDisk};
pub use error::LogbookError;
pub use folder::Folder;
pub use line::{Checked, Entry, EntryId};
pub use merge::{Merged, merge};
pub use problem::{Problem, ProblemKind, Severity, copy_aside};
pub use read::{Log, LogFile, Reader, read_log};
pub use session::Session;
pub use stamp::Stamp;
pub use whole::Given;
