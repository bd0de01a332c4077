//! What is agreed before somebody else's engine is looked at, how it was found, and who is told of what is unsafe.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What was agreed beforehand with the owner or seller, and what no item tells: how the engine was found
/// and who started it. What is missing was not agreed, or not noted.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Agreed {
    /// Who runs the engine.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub runs: Option<String>,
    /// What may be opened or taken apart.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub may_open: Option<String>,
    /// Which samples may be taken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub samples: Option<String>,
    /// Whether and how long full throttle is allowed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub full_throttle: Option<String>,
    /// How the engine was found: cold, or warm and why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_arrival: Option<String>,
    /// Who started her, where she was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub started_by: Option<String>,
}

/// Stands where nothing was noted.
pub const NOT_NOTED: &str = "not noted";

impl Agreed {
    /// The questions, in the order asked, with what was answered; what was found and not noted says so by
    /// itself.
    pub fn answers(&self) -> [(&'static str, Option<&str>); 6] {
        let on_arrival = self.on_arrival.as_deref().or(Some(NOT_NOTED));
        let started_by = self.started_by.as_deref().or(Some(NOT_NOTED));
        [
            ("who runs the engine", self.runs.as_deref()),
            ("what may be opened", self.may_open.as_deref()),
            ("which samples may be taken", self.samples.as_deref()),
            ("full throttle", self.full_throttle.as_deref()),
            ("the engine on arrival, cold or warm", on_arrival),
            ("who started her", started_by),
        ]
    }

    /// True where nothing was agreed.
    pub fn is_nothing(&self) -> bool {
        *self == Agreed::default()
    }
}

/// Somebody was told of unsafe findings.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[schemars(rename = "Told")]
pub struct Notified {
    /// Catalogue ids of what they were told of.
    pub items: Vec<String>,
    /// Who was told: a name or what they are to the boat.
    pub whom: String,
    /// When they were told.
    pub at: DateTime<FixedOffset>,
}
