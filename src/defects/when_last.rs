//! When something was last done or fitted, as people remember it: told, not seen.

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::acts::At;
use super::history::{History, Stamped};
use super::subject::Subject;
use crate::boat::Hours;
use crate::text::safe_line;
use crate::walk::When;

/// When work of a task was last done, or an item with a life fitted, before anything here says so;
/// or that nobody knows. The last word counts.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WhenLast {
    /// Id of the task; left out for the life of an item.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
    /// Id of the item whose life it is; left out for a task.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub item: Option<String>,
    /// Machine id; none for what the boat has once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// When it was told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: At,
    /// When it was done or fitted; left out where nobody knows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub last: Option<DateTime<FixedOffset>>,
    /// The meter then; left out where nobody knows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Hours>,
    /// Items the task renews, which are as old as its last time; filled in.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub renews: Vec<String>,
}

impl WhenLast {
    /// What may be typed for one, in words.
    pub const HINT: &str = "as you remember: 2025-05-12, 2025-05 or 2025; then the meter, if you know it: 2025-05 840. Enter alone: not known";

    /// As it is typed, of nothing yet: a last time as [`read_last`] has it, and the meter then.
    ///
    /// # Errors
    /// It is neither.
    pub fn typed(text: &str, now: DateTime<FixedOffset>) -> Result<WhenLast, String> {
        let text = text.trim();
        let read = text.split_once(' ').filter(|(day, _)| *day != "not");
        let (day, hours) = match read {
            Some((day, hours)) => (day, Some(Hours::typed(hours.trim())?)),
            None => (text, None),
        };
        Ok(WhenLast {
            last: read_last(day, now)?,
            hours,
            ..WhenLast::default()
        })
    }

    /// True where both speak of the same thing.
    fn is_of(&self, other: &WhenLast) -> bool {
        (&self.task, &self.item, &self.machine) == (&other.task, &other.item, &other.machine)
    }

    /// True where it says how old an item is.
    pub(super) fn tells_of(&self, subject: &Subject) -> bool {
        let here = subject.machine.is_none() || subject.machine == self.machine;
        here && (self.item.as_ref() == Some(&subject.item) || self.renews.contains(&subject.item))
    }
}

/// What is typed for a last time: a day, a month or a year, of which the first moment counts so that
/// nothing is thought younger than it can be; none for `not known`, or nothing.
///
/// # Errors
/// It is neither.
pub fn read_last(
    text: &str,
    now: DateTime<FixedOffset>,
) -> Result<Option<DateTime<FixedOffset>>, String> {
    let text = text.trim();
    if matches!(text, "" | "not known" | "not-known") {
        return Ok(None);
    }
    let full = match text.len() {
        4 => format!("{text}-01-01"),
        7 => format!("{text}-01"),
        _ => text.to_owned(),
    };
    let day = full.parse::<NaiveDate>().ok();
    let local = day.map(|day| day.and_time(NaiveTime::MIN));
    let at = local.and_then(|l| l.and_local_timezone(*now.offset()).single());
    at.map(Some).ok_or_else(|| {
        format!(
            "'{}' is no day, month or year such as 2025-05-12, 2025-05 or 2025; or: not known",
            safe_line(text)
        )
    })
}

impl History {
    /// The last word on when a task was last done on a machine, by what was known at a moment.
    pub fn when_task_last(
        &self,
        task: &str,
        machine: Option<&str>,
        cut: When,
    ) -> Option<&Stamped<WhenLast>> {
        let same = |s: &&Stamped<WhenLast>| {
            let own = s.rec.task.as_deref() == Some(task) && s.rec.machine.as_deref() == machine;
            own && s.when().is_known_at(cut)
        };
        self.when_last.iter().rev().find(same)
    }

    /// The last word on when an item with a life was fitted.
    pub fn when_fitted(&self, subject: &Subject) -> Option<&Stamped<WhenLast>> {
        let same = |s: &&Stamped<WhenLast>| {
            s.rec.item.as_ref() == Some(&subject.item) && s.rec.machine == subject.machine
        };
        self.when_last.iter().rev().find(same)
    }

    /// The days from which an item counts by what is remembered, each at its place in the order.
    pub(super) fn remembered<'a>(
        &'a self,
        subject: &'a Subject,
    ) -> impl Iterator<Item = When> + 'a {
        let mut after = self.when_last.iter();
        self.when_last.iter().filter_map(move |told| {
            after.next();
            let last = told.rec.last.filter(|_| told.rec.tells_of(subject))?;
            let said_again = after.clone().any(|later| later.rec.is_of(&told.rec));
            let at = told.when();
            (!said_again).then_some(When { at: last, ..at })
        })
    }
}
