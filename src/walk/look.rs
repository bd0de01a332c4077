//! What a walk says of one item: a grade, or not seen with a reason; and what came with it.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::boat::{Measure, units::Volume};
use crate::checklist::{Grade, Leak, WearMark};
use crate::text::{in_bytes, safe_line, words};

words! {
    /// Why a grade is better than last time though no repair was recorded.
    Better, "reason for a better grade" {
        /// Dirt, salt or oil was wiped off.
        Cleaned = "cleaned",
        /// Tightened, topped up, set.
        Adjusted = "adjusted",
        /// Mended; counts as a repair made at this look.
        Repaired = "repaired",
        /// The earlier look was wrong.
        Misjudged = "misjudged",
    }
}

/// One look at one item.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(into = "RawLook", try_from = "RawLook")]
#[schemars(with = "RawLook")]
pub struct Look {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Id of the checklist's phase in which it was made.
    pub phase: Option<String>,
    /// What was seen, or why nothing was.
    pub outcome: Outcome,
    /// In the looker's words.
    pub note: Option<String>,
    /// What the seller or owner said of it: told, not seen, and never graded.
    pub said: Option<String>,
    /// How much came out.
    pub leak: Option<Leak>,
    /// Marks of wear, as many as were seen.
    pub wear: Vec<Wear>,
    /// What was measured, with its unit; none where nothing was.
    pub reading: Option<Measure>,
    /// What was topped up, after the reading was taken.
    pub added: Option<Volume>,
    /// Why the grade differs from what the reading or the leak class proposes.
    pub grade_reason: Option<String>,
    /// Why the grade is better than last time.
    pub better: Option<Better>,
    /// Engine speed while looking.
    pub at_rpm: Option<u32>,
    /// Pictures of it, each with what it shows.
    pub photos: Vec<Photo>,
    /// What the rung left open: answers by the questions they belong to, see [`crate::causes`].
    pub signs: Signs,
    /// Seen to be as at the last look, and graded by saying so.
    pub as_last_time: bool,
    /// When it was made, as a sheet tells it; in the log its time stands beside the look.
    pub at: Option<DateTime<FixedOffset>>,
    /// Typed for the next morning before that had come: it counts as a look and not as that one.
    pub too_soon: bool,
    /// Made by a guest: it makes an item stand worse, never better.
    pub guest: bool,
}

/// Answers to questions of the causes, by the ids of both.
pub type Signs = BTreeMap<String, String>;

/// A look is graded, or not seen with a reason.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// The rung seen.
    Graded(Grade),
    /// Asked and not seen, which is neither sound nor a defect.
    NotSeen {
        /// What stood in the way.
        why: String,
        /// What would have to be done to see it.
        close_by: Option<String>,
    },
}

/// A mark of wear, where it is and against what.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Wear {
    /// What sort of mark.
    pub mark: WearMark,
    /// Where on the item.
    #[serde(default)]
    pub r#where: Option<String>,
    /// The neighbour it touches, for a mark that another thing made.
    #[serde(default)]
    pub against: Option<String>,
}

impl Wear {
    /// The mark, where it is and against what, in words.
    pub fn words(&self) -> String {
        let mut words = self.mark.as_str().to_owned();
        if let Some(place) = self.r#where.as_deref().filter(|place| !place.is_empty()) {
            words = format!("{words} at {place}");
        }
        if let Some(other) = self.against.as_deref().filter(|other| !other.is_empty()) {
            words = format!("{words} against {other}");
        }
        words
    }
}

/// A picture of an item, a part or a place, named by where it lies.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Photo {
    /// Where the file is; once its content is kept, the name it had.
    pub path: String,
    /// What it shows, in the words of whoever took it.
    #[serde(default)]
    pub caption: Option<String>,
    /// Name of the kept content under `photos/`: its SHA-256 and an ending. Missing where only the
    /// path is known. Filled in when the picture is taken in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kept: Option<String>,
    /// Size of the kept content, bytes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bytes: Option<u64>,
}

impl Photo {
    /// By its name and size, in words.
    pub fn words(&self) -> String {
        let name = safe_line(&self.path);
        match self.bytes {
            Some(bytes) => format!("{name}, {}", in_bytes(bytes)),
            None => format!("{name}, by its path only"),
        }
    }

    /// Why it is not where it should be shown, in a sentence, once its file could not be had.
    pub fn not_shown(&self) -> String {
        let why = match self.kept {
            Some(_) => "its file is missing, was changed or cannot be drawn",
            None => "only its path is on record",
        };
        format!("The photograph is not shown: {why} ({}).", self.words())
    }
}

/// What can be said of an item besides its grade, before or after grading it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Details {
    /// In the looker's words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What the seller or owner said of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub said: Option<String>,
    /// How much came out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub leak: Option<Leak>,
    /// Marks of wear, as many as were seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub wear: Vec<Wear>,
    /// What was measured, with its unit; none where nothing was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reading: Option<Measure>,
    /// What was topped up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub added: Option<Volume>,
    /// Engine speed while looking.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_rpm: Option<u32>,
    /// Pictures of it, each with what it shows.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub photos: Vec<Photo>,
    /// Answers to the questions that its rung leaves open.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub signs: Signs,
}

impl Details {
    /// True where nothing is said; a speed alone says nothing.
    pub fn is_empty(&self) -> bool {
        let nothing = Details {
            at_rpm: self.at_rpm,
            ..Details::default()
        };
        *self == nothing
    }

    /// True where a look says all of it: what was typed ahead of it went into it.
    pub fn is_said_by(&self, look: &Look) -> bool {
        let in_note = |text: &str| look.note.as_deref().is_some_and(|note| note.contains(text));
        let note = self.note.as_deref().is_none_or(in_note);
        let read = |reading: Measure| match look.grade() {
            Some(_) => look.reading == Some(reading),
            // What is not seen keeps it in its note.
            None => in_note(&reading.to_string()),
        };
        let mut signs = self.signs.iter();
        let signs = signs.all(|(question, answer)| look.signs.get(question) == Some(answer));
        note && self.reading.is_none_or(read) && (signs || look.grade().is_none())
    }
}

/// The flat form in files.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(rename = "Look")]
#[schemars(extend("oneOf" = [{"required": ["grade"]}, {"required": ["not_seen"]}]))]
struct RawLook {
    item: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    phase: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    grade: Option<Grade>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    not_seen: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    close_by: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    note: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    said: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    leak: Option<Leak>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    wear: Vec<Wear>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    reading: Option<Measure>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    added: Option<Volume>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    grade_reason: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    better: Option<Better>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    at_rpm: Option<u32>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    photos: Vec<Photo>,
    /// Answers to the questions that its rung leaves open, by their ids, as `handlamp causes list`
    /// tells them.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    signs: Signs,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    as_last_time: bool,
    /// When it was made; left out, when the walk was. From the beginning of the walk on, in the order
    /// of the sheet; one of the next morning after six hours standing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    at: Option<DateTime<FixedOffset>>,
    /// Typed for the next morning before that had come; filled in.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    too_soon: bool,
    /// Made by a guest; filled in by the walk.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    guest: bool,
}

impl TryFrom<RawLook> for Look {
    type Error = String;
    fn try_from(raw: RawLook) -> Result<Look, String> {
        let outcome = match (raw.grade, raw.not_seen) {
            (Some(grade), None) => Outcome::Graded(grade),
            (None, Some(why)) if !why.trim().is_empty() => Outcome::NotSeen {
                why,
                close_by: raw.close_by.clone(),
            },
            (None, Some(_)) => {
                return Err(format!("item '{}': not_seen needs a reason", raw.item));
            }
            (Some(_), Some(_)) => {
                return Err(format!(
                    "item '{}': give grade or not_seen, not both",
                    raw.item
                ));
            }
            (None, None) => return Err(format!("item '{}': give grade or not_seen", raw.item)),
        };
        let graded = matches!(outcome, Outcome::Graded(_));
        if graded && raw.close_by.is_some() {
            return Err(format!("item '{}': close_by belongs to not_seen", raw.item));
        }
        if !graded && raw.as_last_time {
            return Err(format!(
                "item '{}': as_last_time belongs to a grade",
                raw.item
            ));
        }
        if !graded && (raw.leak.is_some() || raw.reading.is_some() || !raw.wear.is_empty()) {
            return Err(format!(
                "item '{}': an item not seen has no leak, reading or wear mark",
                raw.item
            ));
        }
        if !graded && !raw.signs.is_empty() {
            return Err(format!("item '{}': signs belong to a grade", raw.item));
        }
        Ok(Look {
            item: raw.item,
            phase: raw.phase,
            outcome,
            note: raw.note,
            said: raw.said,
            leak: raw.leak,
            wear: raw.wear,
            reading: raw.reading,
            added: raw.added,
            grade_reason: raw.grade_reason,
            better: raw.better,
            at_rpm: raw.at_rpm,
            photos: raw.photos,
            signs: raw.signs,
            as_last_time: raw.as_last_time,
            at: raw.at,
            too_soon: raw.too_soon,
            guest: raw.guest,
        })
    }
}

impl From<Look> for RawLook {
    fn from(look: Look) -> RawLook {
        let (grade, not_seen, close_by) = match look.outcome {
            Outcome::Graded(grade) => (Some(grade), None, None),
            Outcome::NotSeen { why, close_by } => (None, Some(why), close_by),
        };
        RawLook {
            item: look.item,
            phase: look.phase,
            grade,
            not_seen,
            close_by,
            note: look.note,
            said: look.said,
            leak: look.leak,
            wear: look.wear,
            reading: look.reading,
            added: look.added,
            grade_reason: look.grade_reason,
            better: look.better,
            at_rpm: look.at_rpm,
            photos: look.photos,
            signs: look.signs,
            as_last_time: look.as_last_time,
            at: look.at,
            too_soon: look.too_soon,
            guest: look.guest,
        }
    }
}

impl Look {
    /// A look with a grade and nothing else.
    pub fn graded(item: &str, phase: Option<&str>, grade: Grade) -> Look {
        Look::new(item, phase, Outcome::Graded(grade))
    }

    /// A look that could not be made.
    pub fn not_seen(item: &str, phase: Option<&str>, why: &str, close_by: Option<String>) -> Look {
        Look::new(
            item,
            phase,
            Outcome::NotSeen {
                why: why.to_owned(),
                close_by,
            },
        )
    }

    fn new(item: &str, phase: Option<&str>, outcome: Outcome) -> Look {
        Look {
            item: item.to_owned(),
            phase: phase.map(str::to_owned),
            outcome,
            note: None,
            said: None,
            leak: None,
            wear: Vec::new(),
            reading: None,
            added: None,
            grade_reason: None,
            better: None,
            at_rpm: None,
            photos: Vec::new(),
            signs: Signs::new(),
            as_last_time: false,
            at: None,
            too_soon: false,
            guest: false,
        }
    }

    /// The look with these details in place of its own.
    pub fn with(mut self, details: Details) -> Look {
        self.note = details.note;
        self.said = details.said;
        self.leak = details.leak;
        self.wear = details.wear;
        self.reading = details.reading;
        self.added = details.added;
        self.at_rpm = details.at_rpm;
        self.photos = details.photos;
        self.signs = details.signs;
        self
    }

    /// What it says besides the grade.
    pub fn details(&self) -> Details {
        Details {
            note: self.note.clone(),
            said: self.said.clone(),
            leak: self.leak,
            wear: self.wear.clone(),
            reading: self.reading,
            added: self.added,
            at_rpm: self.at_rpm,
            photos: self.photos.clone(),
            signs: self.signs.clone(),
        }
    }

    /// The rung seen, if any was.
    pub fn grade(&self) -> Option<Grade> {
        match self.outcome {
            Outcome::Graded(grade) => Some(grade),
            Outcome::NotSeen { .. } => None,
        }
    }

    /// True where there is something to follow: worse than sound, or a mark of wear.
    pub fn is_finding(&self) -> bool {
        self.grade().is_some_and(|g| g != Grade::Sound) || !self.wear.is_empty()
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Look, String> {
        serde_json::from_str(text).map_err(|e| e.to_string())
    }

    #[test]
    fn a_look_is_graded_or_not_seen_and_never_both() {
        assert_eq!(
            read(r#"{"item":"drive-belt","grade":"worn"}"#)
                .expect("graded")
                .grade(),
            Some(Grade::Worn)
        );
        let unseen =
            read(r#"{"item":"bilge-alarm","not_seen":"no access","close_by":"lift the board"}"#);
        assert_eq!(unseen.expect("unseen").grade(), None);
        for bad in [
            r#"{"item":"a"}"#,
            r#"{"item":"a","grade":"worn","not_seen":"dark"}"#,
            r#"{"item":"a","not_seen":"  "}"#,
            r#"{"item":"a","grade":"worn","close_by":"x"}"#,
            r#"{"item":"a","not_seen":"dark","leak":"i"}"#,
        ] {
            assert!(read(bad).is_err(), "{bad} was accepted");
        }
    }

    #[test]
    fn a_look_reads_back_as_it_was_written() {
        let text = r#"{"item":"engine-oil-level","phase":"cold","grade":"early","note":"low again","reading":{"value":40.0,"unit":"%"},"added":"0.6 L"}"#;
        let look = read(text).expect("a look");
        assert_eq!(serde_json::to_string(&look).expect("json"), text);
    }
}
