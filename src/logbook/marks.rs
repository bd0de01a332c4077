//! The newest record seen of each logbook, kept outside its folder.
//!
//! A folder cannot tell by itself that its newest file is gone, that lines were cut from its end, or
//! that it is an older copy put in its place: the bytes are those of a logbook that stopped earlier.
//! So each session that records leaves here, on leaving, which record came last. One small file for
//! each folder; in it one mark for each boat, told apart by her id. Where it cannot be read or
//! written nothing is known and nothing is said.

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::disk::{Disk, RealDisk};
use super::folder::MAX_SMALL;
use super::replace::{hex, replace_file};

/// So many boats of one folder are remembered; others have long been replaced.
const MOST: usize = 8;

/// The newest record seen of a logbook.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mark {
    /// The boat's id.
    pub boat: String,
    /// Id of the record.
    pub record: String,
    /// When that was written.
    pub at: DateTime<FixedOffset>,
}

/// The marks of one folder.
#[derive(Debug)]
pub(crate) struct Marks {
    file: PathBuf,
    content: Content,
}

#[derive(Debug, Default, Serialize, Deserialize)]
struct Content {
    /// The logbook's folder, for people.
    logbook: String,
    /// The one written last comes last.
    marks: Vec<Mark>,
}

impl Marks {
    /// Those of a logbook's folder, kept in `place`.
    pub(crate) fn of(place: &Path, root: &Path) -> Marks {
        let root = root.canonicalize().unwrap_or_else(|_| root.to_owned());
        let name = hex(root.as_os_str().as_encoded_bytes());
        let mut marks = Marks {
            file: place.join(format!("{}.json", &name[..16])),
            content: Content::default(),
        };
        marks.read_again();
        marks.content.logbook = root.display().to_string();
        marks
    }

    /// Takes in what others have kept meanwhile.
    pub(crate) fn read_again(&mut self) {
        let read = RealDisk.read(&self.file, MAX_SMALL).ok();
        let read = read.and_then(|text| serde_json::from_slice::<Content>(&text).ok());
        self.content.marks = read.map_or_else(Vec::new, |content| content.marks);
    }

    /// The mark of a boat; where her id is not known for certain, that of the last boat here.
    pub(crate) fn mark(&self, boat: &str, certain: bool) -> Option<&Mark> {
        let mut newest_first = self.content.marks.iter().rev();
        newest_first.find(|mark| mark.boat == boat || !certain)
    }

    /// Keeps this mark of its boat. Where that cannot be done the one before stays.
    pub(crate) fn keep(&mut self, mark: Mark, rng: &mut fastrand::Rng) {
        let marks = &mut self.content.marks;
        if marks.contains(&mark) {
            return;
        }
        marks.retain(|known| known.boat != mark.boat);
        marks.push(mark);
        let spare = marks.len().saturating_sub(MOST);
        marks.drain(..spare);
        if let Ok(text) = serde_json::to_string(&self.content) {
            let _ = replace_file(&RealDisk, &self.file, text.as_bytes(), rng);
        }
    }
}
