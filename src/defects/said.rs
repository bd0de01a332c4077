//! What the program said of a walk when it ended.
//!
//! It is history and never an answer: what it rested on is kept with it, so that a record merged in,
//! taken back or corrected since can be named.

use schemars::JsonSchema;
use serde::{Deserialize, Deserializer, Serialize};

use crate::assess::words::Verdict;
use crate::checklist::Grade;

/// The program and its version, as records name it.
pub const BUILD: &str = concat!("handlamp ", env!("CARGO_PKG_VERSION"));

/// A row that made a verdict. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct VerdictReason {
    /// Item id; empty where a whole phase is meant.
    pub item: String,
    /// Its grade, where it has one.
    pub grade: Option<Grade>,
    /// The rule, in words.
    pub rule: String,
    /// Ids of the records it rests on; missing where it rests on what is not on record.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub records: Vec<String>,
}

/// The verdict at the end of a walk, with what it rested on. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Said {
    /// The verdict.
    pub verdict: Verdict,
    /// The rows that made it, each with the records it rested on.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub reasons: Vec<VerdictReason>,
    /// Id of the record that last changed the profile; null where none sets one.
    #[serde(default)]
    pub profile: Option<String>,
    /// The method, by its number.
    pub method: u32,
    /// The program and its version.
    pub build: String,
}

/// Reads what was said as far as this version knows its words: what it does not know is history it
/// cannot tell, and no reason to refuse the end of a walk.
///
/// # Errors
/// It is no JSON.
pub fn as_far_as_known<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Said>, D::Error> {
    let value = serde_json::Value::deserialize(from)?;
    Ok(serde_json::from_value(value).ok())
}
