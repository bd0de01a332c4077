//! The profile of an open logbook: that of its records, held beside its file.
//!
//! The records are the truth. `boat.json` is written with a change of the profile and read for two
//! things: where no record sets a profile it is the profile, and where it differs that is said.

use std::path::Path;

use super::{Book, OpenError};
use crate::boat::fields::{Difference, Fields};
use crate::boat::fold::{Node, ProfileStep, fold};
use crate::boat::{Boat, ProfileSet, Retired};
use crate::defects::History;
use crate::defects::aboard::aboard;
use crate::logbook::clock::Clock;
use crate::logbook::disk::{Disk, RealDisk};
use crate::logbook::error::LogbookError;
use crate::logbook::folder::{Folder, MAX_SMALL};
use crate::logbook::line::Entry;
use crate::logbook::placed::Written;
use crate::logbook::problem::{Problem, ProblemKind};
use crate::logbook::profile_fold::profile_records;
use crate::logbook::read::{Log, read_log};
use crate::logbook::record::Record;
use crate::logbook::replace::replace_file;
use crate::logbook::understand::understand;
use crate::text::json_guard;

/// What follows where the file is no help.
const ANEW: &str = "the records hold, and the next change of the profile writes the file anew";
/// So many differing fields are named in one sentence.
const NAMED: usize = 6;

/// The profile in force, and what its file holds.
pub(super) struct InForce {
    boat: Boat,
    file: OnFile,
    /// Machines that answers speak of beside it.
    stubs: Vec<String>,
}

enum OnFile {
    Missing,
    /// Why, in a few words.
    Unreadable(String),
    Read(Box<ProfileSet>),
}

/// A field in which `boat.json` and the records differ.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Differs {
    /// The field, with what the records and the file have there.
    pub field: Difference,
    /// When a record last set it; none where none did.
    pub set_at: Option<chrono::DateTime<chrono::FixedOffset>>,
}

/// The profile in a logbook's `boat.json`.
///
/// # Errors
/// [`OpenError`]: there is none, or it cannot be read or understood.
pub fn read_boat(folder: &Folder) -> Result<Boat, OpenError> {
    read_file(folder).map(|set| set.boat)
}

/// The profile of a logbook that is not opened: that of its file, and where it is missing or cannot
/// be understood, that of its records.
///
/// # Errors
/// What is wrong with the file, where the records hold no profile either.
pub fn profile_in(folder: &Folder, clock: &dyn Clock) -> Result<Boat, OpenError> {
    read_boat(folder).or_else(|error| {
        if !folder.log().exists() {
            return Err(error);
        }
        let mut log = read_log(folder.root(), clock)?;
        let history = crate::logbook::fold::fold(&understand(&mut log).written);
        history.profiles.boat.ok_or(match error {
            OpenError::NoBoat(root) if !log.files.is_empty() => OpenError::NoProfile(root),
            error => error,
        })
    })
}

pub(super) fn read_file(folder: &Folder) -> Result<ProfileSet, OpenError> {
    let path = folder.boat();
    let bytes = match RealDisk.read(&path, MAX_SMALL) {
        Ok(bytes) => bytes,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
            return Err(OpenError::NoBoat(folder.root().to_owned()));
        }
        Err(e) => return Err(LogbookError::cannot_read(path, e).into()),
    };
    set_of(&bytes).map_err(|e| OpenError::BadBoat {
        path,
        why: e.to_string(),
    })
}

/// A profile from the bytes of its file; an editor may have put a byte-order mark before it.
pub(crate) fn boat_of(bytes: &[u8]) -> serde_json::Result<Boat> {
    set_of(bytes).map(|set| set.boat)
}

fn set_of(bytes: &[u8]) -> serde_json::Result<ProfileSet> {
    serde_json::from_slice(bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes))
}

/// What a record of the profile says that is not known here.
pub(in crate::logbook) fn unknown(log: &Log, entry: &Entry, record: &Record) -> Option<Problem> {
    let Record::Profile(set) = record else {
        return None;
    };
    (!set.unknown.is_empty()).then(|| Problem {
        line: Some(entry.line),
        ..Problem::with_file(log.path_of(entry), ProblemKind::Profile, passed_over(set))
    })
}

fn passed_over(set: &ProfileSet) -> String {
    format!(
        "the profile has fields not known here, which do not count: {}",
        named(&set.unknown)
    )
}

fn named(fields: &[String]) -> String {
    let more = fields.len().saturating_sub(NAMED);
    let first = fields[..fields.len() - more].join(", ");
    match more {
        0 => first,
        more => format!("{first} and {more} more"),
    }
}

impl InForce {
    /// The profile in force: that of the records, else that of the file.
    pub(super) fn new(
        history: &History,
        file: Result<ProfileSet, OpenError>,
        written: &[Written],
    ) -> Result<InForce, OpenError> {
        let (boat, file) = match (history.profiles.boat.clone(), file) {
            (Some(boat), Ok(set)) => (boat, OnFile::Read(Box::new(set))),
            (None, Ok(set)) => (set.boat.clone(), OnFile::Read(Box::new(set))),
            (Some(boat), Err(error)) => (boat, OnFile::of(error)),
            (None, Err(OpenError::NoBoat(root))) if !written.is_empty() => {
                return Err(OpenError::NoProfile(root));
            }
            (None, Err(error)) => return Err(error),
        };
        Ok(InForce {
            boat,
            file,
            stubs: Vec::new(),
        })
    }

    pub(super) fn boat(&self) -> &Boat {
        &self.boat
    }
}

impl OnFile {
    fn of(error: OpenError) -> OnFile {
        match error {
            OpenError::NoBoat(_) | OpenError::NoProfile(_) => OnFile::Missing,
            OpenError::BadBoat { why, .. } => {
                OnFile::Unreadable(format!("it cannot be understood ({why})"))
            }
            OpenError::Log(LogbookError::CannotRead { source, .. }) => {
                OnFile::Unreadable(format!("it cannot be read ({source})"))
            }
            OpenError::Log(error) => OnFile::Unreadable(error.to_string()),
        }
    }
}

impl Book {
    /// The profile in force, as it can be changed and set again.
    pub fn profile(&self) -> &Boat {
        &self.profile.boat
    }

    /// Ids of the machines of [`Book::boat`] that are not in the profile: records name them.
    pub fn beside_profile(&self) -> &[String] {
        &self.profile.stubs
    }

    /// What tells this boat from another of the same name: the id of the record that first set up
    /// her profile, the same in every copy of the logbook; her name where that record is lost.
    pub fn boat_id(&self) -> &str {
        self.first_profile()
            .map_or(&self.profile.boat.name, |w| &w.id)
    }

    /// The record that first set up the profile; none where it is lost.
    pub(super) fn first_profile(&self) -> Option<&Written> {
        let profile = |w: &&Written| matches!(w.record, Record::Profile(_));
        self.written.iter().find(profile)
    }

    /// Replaces the profile, and records it so that even the file can be lost.
    ///
    /// # Errors
    /// Where the file cannot be written; the old profile stays.
    pub fn set_boat(&mut self, boat: Boat) -> Result<(), LogbookError> {
        self.change_profile(boat.into(), Vec::new())
    }

    /// Replaces the profile, with what is said beside it. A machine it lacks leaves only where `left`
    /// names it.
    ///
    /// # Errors
    /// Where the file cannot be written; the old profile stays.
    pub fn change_profile(
        &mut self,
        set: ProfileSet,
        left: Vec<Retired>,
    ) -> Result<(), LogbookError> {
        self.write_file(&set.boat)?;
        let base = self.history().profiles.heads.clone();
        let set = ProfileSet { base, ..set };
        let base = self.record(vec![Record::Profile(Box::new(set))])?;
        let left = left.into_iter().map(|retired| {
            let base = base.clone();
            Record::Retired(Box::new(Retired { base, ..retired }))
        });
        let left: Vec<Record> = left.collect();
        if !left.is_empty() {
            self.record(left)?;
        }
        Ok(())
    }

    fn write_file(&mut self, boat: &Boat) -> Result<(), LogbookError> {
        let text = serde_json::to_string_pretty(boat).map_err(|e| LogbookError::BadRecord {
            ev: "boat".into(),
            why: e.to_string(),
        })?;
        let text = format!("{}\n", json_guard(&text));
        replace_file(
            &RealDisk,
            &self.folder.boat(),
            text.as_bytes(),
            &mut self.rng,
        )?;
        self.profile.file = OnFile::Read(Box::new(boat.clone().into()));
        Ok(())
    }

    /// Writes the profile's file after a machine left in a batch. The record holds all the same.
    pub(super) fn file_follows(&mut self) {
        let boat = self.profile.boat.clone();
        let _ = self.write_file(&boat);
    }

    /// True for a record after which the boat may have another look to answers.
    pub(super) fn concerns_profile(&self, record: &Record) -> bool {
        let Record::Look(look) = record else {
            return record.concerns_boat();
        };
        // On a machine of the profile only what that is without can come back into sight.
        let mut walks = self.history().walks.iter().rev();
        let walk = walks.find(|w| *w.id == *look.walk);
        let mut machines = self.profile.boat.machines.iter();
        let machine = walk.and_then(|w| machines.find(|m| m.id == w.machine));
        machine.is_none_or(|m| m.without.contains(&look.look.item))
    }

    /// Works out the boat that answers speak of, from the records as they are.
    pub(super) fn settle_profile(&mut self) {
        if let Some(boat) = &self.state.history().profiles.boat {
            self.profile.boat.clone_from(boat);
        }
        let now = self.clock.now();
        let found = aboard(&self.profile.boat, self.library(), self.history(), now);
        self.state.put_boat(found.boat);
        self.profile.stubs = found.stubs;
        self.state.history_mut().profiles.doubts = found.doubts;
    }

    /// The fields in which `boat.json` and the records differ.
    pub fn file_differs(&self) -> Vec<Differs> {
        let OnFile::Read(file) = &self.profile.file else {
            return Vec::new();
        };
        let (record, file) = (Fields::of(&self.profile.boat), Fields::of(&file.boat));
        let found = record.differences(&file);
        if found.is_empty() {
            return Vec::new();
        }
        let set_at = self.set_at();
        let found = found.into_iter().map(|field| Differs {
            set_at: set_at(&field.field),
            field,
        });
        found.collect()
    }

    /// When a record last set a field.
    fn set_at(&self) -> impl Fn(&str) -> Option<chrono::DateTime<chrono::FixedOffset>> + use<> {
        let records = profile_records(&self.written);
        let nodes = records.iter();
        let nodes: Vec<Node<'_>> = nodes.map(|(w, step)| (&*w.id, *step)).collect();
        let changes = fold(&nodes).changes.into_iter();
        let set: Vec<_> = records
            .iter()
            .zip(changes)
            .flat_map(|((w, _), changed)| {
                let names: Vec<_> = changed.fields().iter().filter_map(|c| c.name()).collect();
                names.into_iter().map(|name| (name, w.at))
            })
            .collect();
        move |field| {
            let last = set.iter().rev().find(|(name, _)| name == field);
            last.map(|(_, at)| *at)
        }
    }

    /// What is to be said of the profile: its file, and machines that stand beside it.
    pub(super) fn profile_notes(&self) -> Vec<Problem> {
        let of_file =
            |why: String| Problem::with_file(Path::new("boat.json"), ProblemKind::Profile, why);
        let mut notes = Vec::new();
        match &self.profile.file {
            OnFile::Missing => notes.push(of_file(format!("it is missing; {ANEW}"))),
            OnFile::Unreadable(why) => notes.push(of_file(format!("{why}; {ANEW}"))),
            OnFile::Read(file) => {
                if !file.unknown.is_empty() {
                    notes.push(of_file(passed_over(file)));
                }
                let differs = self.file_differs();
                let fields: Vec<String> = differs.into_iter().map(|d| d.field.field).collect();
                if !fields.is_empty() {
                    notes.push(of_file(self.differing(&fields, &file.boat)));
                }
            }
        }
        for id in &self.profile.stubs {
            let left = self
                .history()
                .profiles
                .left
                .iter()
                .any(|(_, m)| m.id == *id);
            let why = if left {
                "it is retired, with an open stop or with records since; it stands until it is looked at"
            } else {
                "records name it and the profile does not; it stands with its id as name until handlamp boat set names it or it is recorded as retired"
            };
            let why = format!("machine '{id}': {why}");
            notes.push(Problem::with_file(Path::new(""), ProblemKind::Profile, why));
        }
        notes
    }

    fn differing(&self, fields: &[String], file: &Boat) -> String {
        let file = Fields::of(file);
        let mut records = profile_records(&self.written).into_iter();
        let earlier = records.any(
            |(_, step)| matches!(step, ProfileStep::Set(set) if Fields::of(&set.boat) == file),
        );
        let fields = named(fields);
        if earlier {
            format!("it is an earlier profile and differs from the records in {fields}; {ANEW}")
        } else {
            format!(
                "it was changed outside the program and differs from the records in {fields}; the records hold, and handlamp boat set takes it in: handlamp boat set {}",
                self.folder.boat().display()
            )
        }
    }
}
