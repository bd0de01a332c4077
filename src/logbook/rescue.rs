//! A rescue file: what could not be saved in its logbook, written wherever it can be when the
//! program ends. It holds the lines of the session as they would stand in a record file, and is
//! named for its logbook by the boat's name, the place, and the boat's id. The next start that may
//! write takes it in (`rescued`).
//!
//! What waits is held here for the whole process, so that whatever ends it (the loop, a panic on any
//! thread, the last resort against a loop that hangs) can still write it.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::os::unix::fs::{DirBuilderExt, MetadataExt};
use std::path::{Path, PathBuf};
use std::sync::mpsc;
use std::sync::{Mutex, MutexGuard, PoisonError, TryLockError};
use std::thread;
use std::time::Duration;

use rustix::process::geteuid;

use super::disk::RealDisk;
use super::folder::random_chars;
use super::replace::{Place, hex, put_file};
use crate::platform::state_folder;
use crate::text::plain_name;

/// How a rescue file's name begins, and ends.
pub(super) const HEAD: &str = "rescue-";
pub(super) const TAIL: &str = ".jsonl";
/// Letters of a boat's name in it.
const NAMED: usize = 24;
/// Letters of each digest in it.
const DIGEST: usize = 12;
/// Folders of ours that are tried in the temporary folder: anybody may have made one of that name.
const TRIES: u32 = 4;

/// What waits to be saved, and whose it is.
#[derive(Clone, Debug)]
pub struct Rescue {
    /// The logbook's folder.
    pub root: PathBuf,
    /// The boat's name, for people.
    pub boat: String,
    /// What tells her from others.
    pub boat_id: String,
    /// The session's lines, each with its end.
    pub lines: String,
    /// How many records of them are not saved.
    pub records: usize,
}

/// A rescue file that was written.
#[derive(Clone, Debug)]
pub struct Kept {
    /// Where.
    pub path: PathBuf,
    /// How many records in it are nowhere else.
    pub records: usize,
}

static WAITING: Mutex<BTreeMap<PathBuf, Rescue>> = Mutex::new(BTreeMap::new());

/// Holds what waits in a logbook's session; what was held of it before is forgotten.
pub fn hold(rescue: Rescue) {
    lock().insert(rescue.root.clone(), rescue);
}

/// Nothing of this logbook waits any more.
pub fn release(root: &Path) {
    lock().remove(root);
}

fn lock() -> MutexGuard<'static, BTreeMap<PathBuf, Rescue>> {
    WAITING.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Takes out all that is held. Never waits: a thread that panics may hold it.
fn take_all() -> Vec<Rescue> {
    let held = match WAITING.try_lock() {
        Ok(held) => Some(held),
        Err(TryLockError::Poisoned(held)) => Some(held.into_inner()),
        Err(TryLockError::WouldBlock) => None,
    };
    held.map_or_else(Vec::new, |mut held| {
        std::mem::take(&mut *held).into_values().collect()
    })
}

/// Writes all that is held, once; where each went, or what was refused.
pub fn write_all_held() -> Vec<Result<Kept, io::Error>> {
    take_all().iter().map(|rescue| rescue.write()).collect()
}

/// The same where any disk may hang: each place has so long to answer.
pub fn write_all_held_within(each: Duration) {
    for rescue in take_all() {
        for place in places(&rescue.root) {
            let (done, answer) = mpsc::channel();
            let rescue = rescue.clone();
            thread::spawn(move || {
                let _ = done.send(rescue.write_to(&place).is_ok());
            });
            if answer.recv_timeout(each) == Ok(true) {
                break;
            }
        }
    }
}

/// The sentences that say where it all went, without a full stop.
pub fn told(written: &[Result<Kept, io::Error>]) -> Vec<String> {
    let sentence = |kept: &Result<Kept, io::Error>| match kept {
        Ok(Kept { path, records }) => format!(
            "NOT SAVED in the logbook: {records} record(s) are kept in {}; the next start of this logbook takes them in",
            path.display()
        ),
        Err(why) => format!("NOT SAVED: no rescue file can be written anywhere ({why})"),
    };
    written.iter().map(sentence).collect()
}

impl Rescue {
    /// Writes it to the first place that takes it.
    ///
    /// # Errors
    /// What the last place said.
    pub fn write(&self) -> io::Result<Kept> {
        let mut refused = io::Error::from(io::ErrorKind::NotFound);
        for place in places(&self.root) {
            match self.write_to(&place) {
                Ok(kept) => return Ok(kept),
                Err(e) => refused = e,
            }
        }
        Err(refused)
    }

    fn write_to(&self, place: &Path) -> io::Result<Kept> {
        // A stick that was pulled out must not get a folder in its place.
        if !place.is_dir() {
            return Err(io::ErrorKind::NotFound.into());
        }
        let mut rng = fastrand::Rng::new();
        let name = format!(
            "{HEAD}{}-{}-{}-{}{TAIL}",
            match plain_name(&self.boat, NAMED) {
                name if name.is_empty() => "boat".to_owned(),
                name => name,
            },
            digest_of_place(&self.root),
            digest(&self.boat_id),
            random_chars(&mut rng, 6),
        );
        let path = place.join(name);
        let bytes = self.lines.as_bytes();
        put_file(&RealDisk, &path, bytes, &mut rng, Place::New, &|| false)?;
        Ok(Kept {
            path,
            records: self.records,
        })
    }
}

/// Where rescue files of a logbook may be, the best first: beside its records, in the platform's
/// folder for the state of programs, in the temporary folder. A folder that is not there yet is made.
pub(super) fn places(root: &Path) -> Vec<PathBuf> {
    let mut places = vec![root.to_owned()];
    if let Some(state) = state_folder() {
        let _ = super::disk::make_dirs(&RealDisk, &state);
        places.push(state);
    }
    places.extend(temporary_folder(true));
    places
}

/// The same, without making any.
pub(super) fn places_there(root: &Path) -> Vec<PathBuf> {
    let mut places = vec![root.to_owned()];
    places.extend(state_folder());
    places.extend(temporary_folder(false));
    places.retain(|place| place.is_dir());
    places
}

/// A folder in the temporary folder that is ours alone: whoever came first may have made one of
/// that name, or a link.
fn temporary_folder(make: bool) -> Option<PathBuf> {
    let user = geteuid();
    (1..=TRIES).find_map(|n| {
        let more = if n > 1 {
            format!("-{n}")
        } else {
            String::new()
        };
        let name = format!("handlamp-{}{more}", user.as_raw());
        let path = std::env::temp_dir().join(name);
        if make {
            let _ = fs::DirBuilder::new().mode(0o700).create(&path);
        }
        let there = fs::symlink_metadata(&path).ok()?;
        let ours = there.is_dir() && there.uid() == user.as_raw() && there.mode() & 0o077 == 0;
        ours.then_some(path)
    })
}

/// Of a logbook's place as the system names it, whatever links led there.
pub(super) fn digest_of_place(root: &Path) -> String {
    let full = fs::canonicalize(root).or_else(|_| std::path::absolute(root));
    let full = full.unwrap_or_else(|_| root.to_owned());
    hex(full.as_os_str().as_encoded_bytes())[..DIGEST].to_owned()
}

/// Of a boat's id.
pub(super) fn digest(text: &str) -> String {
    hex(text.as_bytes())[..DIGEST].to_owned()
}
