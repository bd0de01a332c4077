//! How long a job takes, as its owner says.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::acts::At;
use super::plan::LONGEST_WORK;
use super::plan_words::read_minutes;

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

/// Minutes of a job as they are typed: `50`, `50min`, `2h30`; a bare figure is minutes.
///
/// # Errors
/// It is no such time, or none at all.
pub fn read_job_minutes(text: &str) -> Result<u32, String> {
    let text = text.trim();
    let bare = text.bytes().all(|b| b.is_ascii_digit()) && !text.is_empty();
    let minutes = match bare {
        true => read_minutes(&format!("{text}min")),
        false => read_minutes(text),
    };
    let minutes = minutes
        .map_err(|_| "expected minutes such as 50, or a time such as 2h30 or 90min".to_owned())?;
    minutes_fault(minutes).map_or(Ok(minutes), Err)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bare_figure_is_minutes_and_none_is_refused() {
        assert_eq!(read_job_minutes("50"), Ok(50));
        assert_eq!(read_job_minutes(" 2h30 "), Ok(150));
        assert_eq!(read_job_minutes("90min"), Ok(90));
        for text in ["0", "0min", "", "-5", "long", "120001", "99999999999"] {
            assert!(read_job_minutes(text).is_err(), "{text}");
        }
    }
}
