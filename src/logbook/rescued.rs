//! Rescue files at the next start: found, checked like any file from outside, taken in as a whole
//! file of the log, and only then removed.

use std::collections::HashMap;
use std::fs;
use std::io;
use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};

use rustix::process::geteuid;

use super::alike::Alike;
use super::clock::Clock;
use super::disk::{Disk, RealDisk, read_regular};
use super::error::LogbookError;
use super::folder::{Folder, MAX_FILE, numbered, random_chars};
use super::line::{Checked, Entry, decode_beside};
use super::read::{Log, lines};
use super::replace::hex;
use super::rescue::{HEAD, TAIL, digest, digest_of_place, places_there};
use super::whole::publish;
use crate::defects::NotCounted;

/// A rescue file that is not taken in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Untaken {
    /// The file; relative to the logbook's folder where it lies in it.
    pub file: PathBuf,
    /// Why, one sentence without a full stop.
    pub why: String,
    /// Records of this boat are in it, or may be; else it is another's.
    pub ours: bool,
}

impl Untaken {
    /// As every answer says it.
    pub fn told(&self) -> NotCounted {
        NotCounted {
            file: Some(self.file.display().to_string()),
            ..NotCounted::because(&self.why)
        }
    }
}

/// What became of the rescue files of a logbook.
#[derive(Debug, Default)]
pub struct Rescued {
    /// Taken in, one sentence each.
    pub taken: Vec<String>,
    /// Left where they are.
    pub left: Vec<Untaken>,
}

/// One that passed every check.
struct Sound {
    path: PathBuf,
    bytes: Vec<u8>,
    entries: Vec<Entry>,
}

/// What is wrong with one, and whether it may be ours all the same.
struct Refused(&'static str, bool);

/// What tells a boat from others: the id of the record of her profile, and her name.
type Boat<'a> = (Option<&'a str>, Option<&'a str>);

/// Looks for the rescue files of a logbook. With `take`, those that are sound go into its log;
/// without, nothing is touched. `boat` is the id of the record of her profile and her name by its
/// file, each where there is one.
pub(super) fn look_for(
    folder: &Folder,
    log: &Log,
    boat: Boat<'_>,
    take: Option<&dyn Clock>,
) -> Rescued {
    let mut rescued = Rescued::default();
    let candidates = candidates(folder.root());
    if candidates.is_empty() {
        return rescued;
    }
    let known = by_id(log);
    for path in candidates {
        let told = |why: String, ours| Untaken {
            file: path.strip_prefix(folder.root()).unwrap_or(&path).to_owned(),
            why,
            ours,
        };
        match (check(&path, folder, &known, boat), take) {
            (Err(Refused(why, ours)), _) => {
                let why = format!("this rescue file is not taken in: {why}");
                rescued.left.push(told(why, ours));
            }
            (Ok(sound), None) => {
                let missing = missing(&sound, &known);
                if missing > 0 {
                    let why = format!(
                        "{missing} record(s) rescued when they could not be saved are not counted yet; the screens and every command that records take them in"
                    );
                    rescued.left.push(told(why, true));
                }
            }
            (Ok(sound), Some(clock)) => match take_in(&sound, folder, &known, clock) {
                Ok(0) => {}
                Ok(count) => rescued.taken.push(format!(
                    "{count} record(s) that could not be saved before are taken in from {}",
                    path.display()
                )),
                Err(error) => {
                    let why = format!("the records in this rescue file are not counted: {error}");
                    rescued.left.push(told(why, true));
                }
            },
        }
    }
    rescued
}

/// What bears the name of a rescue file of this place, in a fixed order. In the logbook's own folder
/// the place does not matter: it may have been moved.
fn candidates(root: &Path) -> Vec<PathBuf> {
    let here = digest_of_place(root);
    let mut found = Vec::new();
    for place in places_there(root) {
        let Ok(names) = fs::read_dir(&place) else {
            continue;
        };
        let own = place == root;
        let mut here: Vec<PathBuf> = names
            .flatten()
            .filter(|e| {
                parts(&e.file_name().to_string_lossy()).is_some_and(|(p, _)| own || p == here)
            })
            .map(|e| e.path())
            .collect();
        here.sort();
        found.append(&mut here);
    }
    found
}

/// The digests of place and boat in a rescue file's name.
fn parts(name: &str) -> Option<(String, String)> {
    let stem = name.strip_prefix(HEAD)?.strip_suffix(TAIL)?;
    let mut parts = stem.rsplitn(4, '-');
    let (_, boat, place, _) = (parts.next()?, parts.next()?, parts.next()?, parts.next()?);
    Some((place.to_owned(), boat.to_owned()))
}

fn check(
    path: &Path,
    folder: &Folder,
    known: &ById<'_>,
    (boat_id, name): Boat<'_>,
) -> Result<Sound, Refused> {
    let (file, bytes) = read_regular(path, MAX_FILE).map_err(|e| match e.kind() {
        io::ErrorKind::InvalidInput => Refused("it is no plain file", false),
        io::ErrorKind::FileTooLarge => Refused("it is larger than any this program writes", false),
        _ => Refused("it cannot be read", true),
    })?;
    let there = file
        .metadata()
        .map_err(|_| Refused("it cannot be read", true))?;
    // Root hands what it writes into a logbook over to whom the folder belongs.
    let owner = fs::metadata(folder.root()).ok().map(|m| m.uid());
    let beside = path.parent() == Some(folder.root());
    let ours = there.uid() == geteuid().as_raw() || (beside && owner == Some(there.uid()));
    if !ours {
        return Err(Refused("it belongs to somebody else", false));
    }
    if there.mode() & 0o022 != 0 || there.nlink() != 1 {
        return Err(Refused("others may have changed it", false));
    }
    let entries = sound_lines(&bytes).ok_or(Refused(
        "it is damaged; copy its sound lines into a file ending in .jsonl in log/, then remove it",
        true,
    ))?;
    let named = parts(&path.file_name().unwrap_or_default().to_string_lossy());
    let of_boat = named.map(|(_, boat)| boat).unwrap_or_default();
    let first_profile = || entries.iter().find(|e| &*e.ev == "boat");
    let id = boat_id.or_else(|| first_profile().map(|e| e.id.as_str()));
    let id = id.or(name);
    if id.is_none_or(|id| digest(id) != of_boat) {
        return Err(Refused("it is of another boat", false));
    }
    let device = |entry: &Entry| {
        numbered(entry.id.as_str()).and_then(|(s, _)| s.split('-').next().map(str::to_owned))
    };
    let devices: Vec<_> = entries.iter().map(device).collect();
    let own = folder.kept_device(&RealDisk);
    let one = devices.windows(2).all(|two| two[0] == two[1]);
    let theirs = devices.first().cloned().flatten();
    if !one || theirs.is_none() || own.is_some_and(|own| Some(own) != theirs) {
        return Err(Refused("it was written by another computer", false));
    }
    if clashes(&entries, known) {
        return Err(Refused("a record in it bears the id of another", true));
    }
    Ok(Sound {
        path: path.to_owned(),
        bytes,
        entries,
    })
}

/// Every line a record whose checksum is right, or nothing.
fn sound_lines(bytes: &[u8]) -> Option<Vec<Entry>> {
    let mut entries = Vec::new();
    let mut alike = Alike::default();
    for line in lines(bytes) {
        let entry = decode_beside(line.text, &mut alike).ok()?;
        if !line.whole || entry.checked != Checked::Good || entry.newer {
            return None;
        }
        entries.push(entry);
    }
    (!entries.is_empty()).then_some(entries)
}

type ById<'a> = HashMap<&'a str, &'a Entry>;

fn by_id(log: &Log) -> ById<'_> {
    let entries = log.entries.iter();
    entries.map(|e| (e.id.as_str(), e)).collect()
}

fn clashes(entries: &[Entry], known: &ById<'_>) -> bool {
    entries.iter().any(|e| {
        let other = known.get(e.id.as_str());
        other.is_some_and(|o| o.ev != e.ev || o.rec.get() != e.rec.get())
    })
}

/// Records in it, marks apart, that the log has not.
fn missing(sound: &Sound, known: &ById<'_>) -> usize {
    let records = sound
        .entries
        .iter()
        .filter(|e| !matches!(&*e.ev, "session" | "end"));
    records
        .filter(|e| !known.contains_key(e.id.as_str()))
        .count()
}

/// Into the log as one file, under a name that its content gives it, so that a start that was stopped
/// in between ends the same. How many records are new.
fn take_in(
    sound: &Sound,
    folder: &Folder,
    known: &ById<'_>,
    clock: &dyn Clock,
) -> Result<usize, LogbookError> {
    let count = missing(sound, known);
    if count > 0 {
        let name = format!("rescued-{}.jsonl", &hex(&sound.bytes)[..16]);
        let path = folder.year(clock.now()).join(name);
        let mark = random_chars(&mut fastrand::Rng::new(), 8);
        let put = publish(&RealDisk, folder, &path, &sound.bytes, &mark);
        let same = || {
            RealDisk
                .read(&path, MAX_FILE)
                .is_ok_and(|there| there == sound.bytes)
        };
        match put {
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists && same() => {}
            put => put.map_err(|e| LogbookError::cannot_write(&path, e))?,
        }
    }
    // Where it cannot go it stays, and the next start finds all of it in the log.
    let _ = RealDisk.remove(&sound.path);
    Ok(count)
}
