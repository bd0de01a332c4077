//! Records on disk: how a record is written so that it cannot be lost, and how the folder is read
//! so that nothing in it is believed without a check or dropped without a word.
//!
//! A logbook is one folder. Its records are JSON Lines under `log/`, one new file for each session
//! of the program on each device. A file is never opened again after its session and never
//! rewritten, so there is nothing to repair: reading only reads. Two copies of a logbook are
//! joined by taking the files of both, because every record carries its own id and time mark.
//!
//! Writing
//! - [`mod@line`]: one record as one line with its own checksum; `exact`: text of the very form written
//!   here, taken apart without a parser; `alike`: looks that say the same, kept once
//! - [`session`]: append, check, sync, and only then acknowledge; what happens when that fails
//! - [`rescue`]: what could not be saved, written wherever it can be at the end; [`rescued`]: taken in
//!   at the next start
//! - [`whole`]: a complete file, all or nothing (batches from outside, copies from a merge)
//! - [`photos`]: pictures kept by content; [`pictures`]: those in a folder of a person's own
//! - [`issued`]: reports issued, kept by content
//! - [`replace`]: the few small files that do change, replaced atomically; texts kept by content
//! - [`named`]: the same for files a person names, never through a link
//!
//! Reading
//! - [`read`]: every file under `log/`, line by line, with what is wrong in plain words
//! - [`order`]: one order for all records, duplicates dropped, clashes and gaps reported
//! - [`problem`]: what can be wrong; damaged bytes copied aside on request; `runs`: damaged lines in
//!   a row, told together where they are many
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
//! - `understand`: lines become records, and what makes no sense is kept apart
//! - `standing`: what stands of the records: as written, as put right, or not at all
//! - [`mod@give_on`]: the history written anew for a new owner
//! - [`guests`]: what a guest's walk can put on record
//! - [`entries`]: everything on record in words; [`mend`]: what takes it back and puts it right;
//!   [`mod@read_then`]: what the verdict read around an entry
//! - [`placed`]: a record on its way there; [`fold`]: records become state, each at the time at which it counts (`course`)
//! - `reckoned`: figures reckoned from a meter reading, which follow it where it is put right
//! - `doubts`: what of the record no answer counts; `lenient`: a look understood in part
//! - [`profile_fold`]: records of the profile become the profile in force
//! - `texts`: what was asked, and what the boat has of her own, from the texts kept
//! - [`shelf`]: several logbooks in one folder; [`glance`]: how each boat stands
//! - [`seal`]: a code that tells later whether the records are still the same
//! - [`input`]: records from outside, checked whole
//! - [`profile`]: a boat's profile from outside, checked
//! - [`profile_change`]: a new profile held against the record
//! - [`table`]: tables of what the records say, for an export
//! - [`import`]: documents from outside become records, all or nothing
//! - [`book`]: an open logbook, read once and written to record by record
//!
#![doc = include_str!("FORMAT.md")]

mod alike;
pub mod book;
pub mod clock;
mod course;
pub mod disk;
mod doubts;
pub mod entries;
pub mod error;
mod exact;
#[cfg(test)]
mod faulty;
pub mod fold;
pub mod folder;
pub mod give_on;
pub mod glance;
pub mod guests;
pub mod import;
pub mod input;
pub mod issued;
mod lenient;
pub mod line;
pub mod marks;
pub mod mend;
pub mod merge;
pub mod named;
pub mod order;
pub mod photos;
pub mod pictures;
pub mod placed;
pub mod problem;
pub mod profile;
pub mod profile_change;
pub mod profile_fold;
pub mod read;
pub mod read_then;
mod reckoned;
pub mod record;
pub mod replace;
pub mod rescue;
pub mod rescued;
pub mod rights;
mod runs;
pub mod seal;
mod seen;
pub mod session;
pub mod shelf;
pub mod stamp;
mod standing;
pub mod table;
mod texts;
mod understand;
pub mod whole;

pub use clock::{Clock, FixedClock, SystemClock};
pub use disk::{Disk, DiskFile, Kind, RealDisk};
pub use doubts::Remains;
pub use error::LogbookError;
pub use folder::Folder;
pub use line::{Checked, Entry, EntryId};
pub use merge::{Merged, merge};
pub use problem::{Gravity, Problem, ProblemKind, copy_aside};
pub use read::{Log, LogFile, Reader, read_log};
pub use session::Session;
pub use stamp::Stamp;
pub use whole::Given;
