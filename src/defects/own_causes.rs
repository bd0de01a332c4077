//! The record of questions and causes of the boat's own; what they come to is in [`super::behind::own`].

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// Questions and causes were put into the boat.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OwnCauses {
    /// The file of type `causes`, as it was checked.
    pub file: Value,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime<FixedOffset>>,
}
