//! How long a job takes, as its owner says.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::acts::At;
use super::plan::LONGEST_WORK;

/// How long the remedy of an item or the work of a task takes here, as its owner says: it outranks what such jobs
/// took and what is judged. The last word counts.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct JobMinutes {
    /// Id of the item whose remedy it is; left out for a task.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub item: Option<String>,
    /// Id of the task; left out for the remedy of an item.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
    /// Machine id; none for what the boat has once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// When it was said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: At,
    /// Minutes in all, what is opened for it included, at least 1; left out to have no figure of one's own any
    /// more.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<u32>,
}

/// What is wrong with the minutes of a job: at least one, since a job of none would seem done with another.
pub fn minutes_fault(minutes: u32) -> Option<String> {
    let fits = minutes >= 1 && f64::from(minutes) <= LONGEST_WORK;
    (!fits).then(|| format!("expected 1 to {LONGEST_WORK} minutes"))
}
