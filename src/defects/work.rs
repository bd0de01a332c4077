//! Records of recurring work: a service done, and how often a task is due on this machine.
//!
//! A service carries what it did to the items, as its task had it on that day: a task changed
//! later rewrites no service, and one undo takes all of it back.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::acts::At;
use super::subject::Subject;
use crate::boat::Hours;
use crate::boat::units::Volume;
use crate::text::words;
use crate::walk::Photo;

/// Work that was done.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Service {
    /// Id of the task.
    pub task: String,
    /// Machine id; none for work on what the boat has once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: At,
    /// Meter as read; none where it was not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Hours>,
    /// What came out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub out: Option<Volume>,
    /// What went in.
    #[serde(default, rename = "in", skip_serializing_if = "Option::is_none")]
    pub filled: Option<Volume>,
    /// Parts used.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<String>,
    /// How far a filter was turned past hand-tight contact, as printed on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turn: Option<String>,
    /// What it cost, in the boat's own money.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cost: Option<Paid>,
    /// Minutes that it really took in all; none where nobody said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<u32>,
    /// In the words of who did it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// By whom.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// Joints it opened or moved.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub disturbed: Vec<String>,
    /// Items that are new since.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub renewed: Vec<String>,
    /// Items whose readings begin a new series.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub restarted: Vec<String>,
    /// Looks it left owed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub owed: Vec<FollowUpLook>,
    /// Items it left with a part out, so that she must not be started before it is put back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub open: Vec<String>,
    /// Pictures, by path.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub photos: Vec<Photo>,
}

/// A look a service left owed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FollowUpLook {
    /// Catalogue id.
    pub item: String,
    /// Machine id, for items each machine has of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// Due at this time.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub due_at: Option<DateTime<FixedOffset>>,
    /// Due at this meter reading.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub due_hours: Option<Hours>,
    /// What to look for.
    pub why: String,
}

impl Service {
    /// The same service put right, leaving owed and beginning anew what the task said on its day, where
    /// it is the same work at the same time: what was reckoned from its meter follows the meter.
    #[must_use]
    pub fn as_it_was_left(mut self, was: &Service) -> Service {
        let same = self.task == was.task && self.machine == was.machine && self.at == was.at;
        if !same || self.hours.is_some() != was.hours.is_some() {
            return self;
        }
        self.restarted.clone_from(&was.restarted);
        self.owed.clone_from(&was.owed);
        if let (Some(was), Some(is)) = (was.hours, self.hours) {
            for owed in &mut self.owed {
                owed.due_hours = owed.due_hours.map(|due| due.shifted(was, is));
            }
        }
        self
    }

    /// True where the service has to do with an item of a machine, if `items` names it: what the
    /// boat has once is the same whichever machine was serviced.
    pub fn touches(&self, items: &[String], subject: &Subject) -> bool {
        let here = subject.machine.is_none() || subject.machine == self.machine;
        here && items.contains(&subject.item)
    }
}

/// How often a task is due on a machine, as its handbook has it: outranks the task's own figures.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ServiceInterval {
    /// Id of the task.
    pub task: String,
    /// Machine id; none for work on what the boat has once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// When it was set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: At,
    /// Running hours; 0 for no bound in hours. Absent leaves the task's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<u32>,
    /// Calendar months; 0 for no bound in months. Absent leaves the task's own. With neither, the
    /// task's own figures hold again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub months: Option<u32>,
    /// Which page says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
}

/// Money in whole hundredths, so that sums are exact. Written as a plain number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct Paid(i64);

impl Paid {
    /// The largest cost, beyond which it was mistyped.
    const MOST: f64 = 10_000_000.0;

    /// From a number, rounded to a hundredth.
    ///
    /// # Errors
    /// Where it is not finite, negative, or beyond ten millions.
    pub fn new(cost: f64) -> Result<Paid, String> {
        if !(0.0..=Paid::MOST).contains(&cost) {
            return Err(format!("{cost} is no cost (0 to 10000000)"));
        }
        Ok(Paid((cost * 100.0).round() as i64))
    }

    /// As a plain number.
    pub fn get(self) -> f64 {
        self.0 as f64 / 100.0
    }
}

impl TryFrom<f64> for Paid {
    type Error = String;
    fn try_from(cost: f64) -> Result<Paid, String> {
        Paid::new(cost)
    }
}

impl From<Paid> for f64 {
    fn from(cost: Paid) -> f64 {
        cost.get()
    }
}

impl std::fmt::Display for Paid {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&format!("{:.2}", self.get()))
    }
}

impl std::str::FromStr for Paid {
    type Err = String;
    fn from_str(text: &str) -> Result<Paid, String> {
        let number = text.trim().replace(',', ".").parse();
        Paid::new(number.map_err(|_| format!("'{text}' is no cost such as 48.50"))?)
    }
}

impl JsonSchema for Paid {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Paid".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({"type": "number", "minimum": 0, "maximum": 10_000_000, "description": "in the boat's own money"})
    }
}

words! {
    /// What is asked about work that was done, or about how often it is due; in the order asked.
    Question, "question about a service" {
        /// When it was done.
        When = "at",
        /// The meter.
        Hours = "hours",
        /// What came out.
        Out = "out",
        /// What went in.
        In = "in",
        /// How far a filter was turned.
        Turn = "turn",
        /// Parts used.
        Parts = "parts",
        /// By whom.
        By = "by",
        /// Anything else.
        Note = "note",
        /// What it cost.
        Cost = "cost",
        /// How long it took.
        Minutes = "minutes",
        /// Running hours between two times.
        EveryHours = "every-hours",
        /// Months between two times.
        EveryMonths = "every-months",
        /// Which page of the handbook says so.
        Source = "source",
    }
}

/// A service, or an interval, of which a part is typed; with nothing typed it clears an earlier one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ServiceDraft {
    /// Id of the task.
    pub task: String,
    /// Machine id.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// Its interval is asked, not the work.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub interval: bool,
    /// As typed.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub typed: BTreeMap<Question, String>,
}

impl ServiceDraft {
    /// What was typed at a question, nothing where it was passed.
    pub fn text(&self, question: Question) -> Option<&str> {
        let text = self.typed.get(&question).map(|t| t.trim());
        text.filter(|t| !t.is_empty())
    }

    /// True where it speaks of the same work, or of the same interval.
    pub fn is_of(&self, other: &ServiceDraft) -> bool {
        (self.interval, &self.task, &self.machine) == (other.interval, &other.task, &other.machine)
    }
}
