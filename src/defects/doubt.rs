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
    /// Something of no single file, line or item.
    pub fn because(why: impl Into<String>) -> NotCounted {
        NotCounted {
            file: None,
            line: None,
            item: None,
            why: why.into(),
        }
    }

    /// As one line: where and of what, then why.
    pub fn sentence(&self) -> String {
        let line = self.line.map_or(String::new(), |n| format!(", line {n}"));
        match (&self.file, &self.item) {
            (Some(file), Some(item)) => format!("{file}{line} ({item}): {}", self.why),
            (Some(file), None) => format!("{file}{line}: {}", self.why),
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
    /// Where it stands in the order of the log; none where that cannot be told.
    pub place: Option<usize>,
    /// It can change an answer for the worse.
    pub matters: bool,
    /// From which place on it can matter no longer: the item was looked at again, or somebody
    /// accepted the loss.
    pub settled: Option<usize>,
}

impl Doubt {
    /// A doubt that forbids a clear verdict.
    pub fn blocking(told: NotCounted) -> Doubt {
        Doubt {
            told,
            place: None,
            matters: true,
            settled: None,
        }
    }

    /// A doubt that is said and changes no verdict.
    pub fn said(told: NotCounted) -> Doubt {
        Doubt {
            matters: false,
            ..Doubt::blocking(told)
        }
    }

    /// No verdict is clear beside it.
    pub fn blocks(&self) -> bool {
        self.matters && self.settled.is_none()
    }

    /// As it was known at a place of the log; none where it lies behind.
    pub(super) fn known_at(&self, place: usize) -> Option<Doubt> {
        let known = self.place.is_none_or(|own| own <= place);
        known.then(|| Doubt {
            settled: self.settled.filter(|settled| *settled <= place),
            ..self.clone()
        })
    }
}

/// Somebody goes on with a copy of the logbook that lacks records its computer had seen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct GoneOn {
    /// Id of the newest record that is missing.
    pub record: String,
    /// When that was written.
    pub seen: DateTime<FixedOffset>,
    /// Who goes on all the same, as recorded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub who: Option<String>,
    /// Why they go on without those records.
    pub why: String,
}
