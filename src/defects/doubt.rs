//! What is on record and not counted, and what that does to an answer.
//!
//! No answer is better than the record unless it says what is missing: whoever reads records names
//! here what could not be read, believed or understood. Lists, verdicts and reports carry the names,
//! and while a doubt can still matter no verdict is clear.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Something on record that an answer does not count. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct NotCounted {
    /// The file, relative to the logbook's folder; missing where it concerns no single file.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// The line, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<u32>,
    /// The item it speaks of, where that can be told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub item: Option<String>,
    /// One plain sentence without a full stop.
    pub why: String,
}

impl NotCounted {
    /// As one line: where, then why.
    pub fn sentence(&self) -> String {
        let line = self.line.map_or(String::new(), |n| format!(", line {n}"));
        match (&self.file, &self.item) {
            (Some(file), _) => format!("{file}{line}: {}", self.why),
            (None, Some(item)) => format!("{item}: {}", self.why),
            (None, None) => self.why.clone(),
        }
    }
}

/// Something not counted, and whether it still forbids a clear verdict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Doubt {
    /// What is said of it.
    pub told: NotCounted,
    /// No verdict is clear while it can still matter.
    pub blocks: bool,
}

impl Doubt {
    /// A doubt that forbids a clear verdict.
    pub fn blocking(told: NotCounted) -> Doubt {
        Doubt { told, blocks: true }
    }

    /// A doubt that is said and changes no verdict.
    pub fn said(told: NotCounted) -> Doubt {
        Doubt {
            told,
            blocks: false,
        }
    }
}

/// Somebody goes on with a copy of the logbook that lacks records its computer had seen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct GoneOn {
    /// Id of the newest record that is missing.
    pub record: String,
    /// When that was written.
    pub seen: DateTime<FixedOffset>,
    /// Who goes on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub who: Option<String>,
    /// Why.
    pub why: String,
}
