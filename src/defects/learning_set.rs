//! Learning is frozen, set going again, reset or switched off.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::text::words;

words! {
    /// What is to be done about learning from the looks.
    LearningState, "state of learning" {
        /// Every look counts, since the last reset.
        Running = "running",
        /// Only looks up to now count.
        Frozen = "frozen",
        /// Forgets the looks before now and goes on from here.
        Reset = "reset",
        /// The judgement alone counts.
        Off = "off",
    }
}

/// Learning is frozen, set going again, reset or switched off from a moment on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LearningSet {
    /// What holds from the moment of the record on.
    pub state: LearningState,
    /// When; the time of recording where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime<FixedOffset>>,
    /// Why, in the owner's words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}
