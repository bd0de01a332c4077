//! Service tasks: recurring work, how often, with what, and what it opens.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::part::TaskPart;
use super::words::{Scope, UnknownAge, Where, Who};
use crate::boat::Machine;
use crate::boat::units::Volume;
use crate::text::words;

/// A file of service tasks, the program's own or a user's.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TasksFile {
    /// Always `service-tasks`.
    #[serde(rename = "type")]
    pub tag: TasksTag,
    /// In the order they are listed.
    pub tasks: Vec<Task>,
}

/// The word `service-tasks`, so that a file says what it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TasksTag {
    /// The only value.
    ServiceTasks,
}

/// Work that recurs. The maker's handbook outranks every figure here.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Task {
    /// Lower-case words joined by hyphens; never changes once records name it.
    pub id: String,
    /// As it stands in the list, short.
    pub title: String,
    /// Done on each machine, or once for the boat.
    pub scope: Scope,
    /// The catalogue item it serves first of all: a machine without it has no such task.
    pub item: String,
    /// How often, whichever comes first; neither bound for work done when its item asks for it.
    #[serde(default, skip_serializing_if = "Every::is_never")]
    pub every: Every,
    /// In place of the bounds above after long standing, and after the first time on record.
    #[serde(default, skip_serializing_if = "Every::is_never")]
    pub first: Every,
    /// What is to be done where nobody knows when it was done last; left out, it is due now.
    #[serde(
        default = "UnknownAge::unsaid",
        skip_serializing_if = "UnknownAge::is_due"
    )]
    pub unknown_age: UnknownAge,
    /// What published practice ranges over, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub range: Option<String>,
    /// The capacity in the profile that its quantities are held against.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub capacity: Option<Capacity>,
    /// Parts, each with an id by which the boat's records name it, or by plain description alone.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<TaskPart>,
    /// Tools and what else has to be at hand.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tools: Vec<String>,
    /// In the order they are done.
    pub steps: Vec<TaskStep>,
    /// True where something is turned past hand-tight contact, and the turn used is to be recorded.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub turn: bool,
    /// Joints it opens or moves, by catalogue id: the leak run asks them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub disturbs: Vec<String>,
    /// Items that are new afterwards: fitted that day, sound until looked at.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub renews: Vec<String>,
    /// Items whose readings begin a new series afterwards; their grade stays until looked at.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub restarts: Vec<String>,
    /// Looks that are owed once the task is done.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub owes: Vec<FollowUp>,
    /// Who can do it.
    pub who: Who,
    /// Where it can be done.
    #[serde(rename = "where")]
    pub place: Where,
    /// Where the figures come from, or "common practice, no single source".
    pub source: String,
}

impl Task {
    /// The same with its parts by plain description alone, as answers have them.
    #[must_use]
    pub fn with_parts_in_words(mut self) -> Task {
        for part in &mut self.parts {
            *part = TaskPart::in_words(&part.part);
        }
        self
    }

    /// Its parts by plain description.
    pub fn parts_in_words(&self) -> Vec<&str> {
        self.parts.iter().map(|part| part.part.as_str()).collect()
    }
}

/// A bound in running hours, in months, or both: whichever comes first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Every {
    /// Running hours from one time to the next; left out, hours do not bound it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<u32>,
    /// Calendar months from one time to the next; left out, the calendar does not bound it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub months: Option<u32>,
}

impl Every {
    /// True with neither bound.
    pub fn is_never(&self) -> bool {
        self.hours.is_none() && self.months.is_none()
    }
}

/// One step: its caution is read before its instruction.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TaskStep {
    /// What can hurt someone or the boat here.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
    /// The instruction, one thing to do.
    #[serde(rename = "do")]
    pub action: String,
}

/// A look owed once the task is done.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FollowUp {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// After what time the look is owed.
    pub after: After,
    /// What to look for.
    pub why: String,
}

words! {
    /// A capacity in the profile of a machine.
    Capacity, "capacity" {
        /// Oil in the sump, filter included.
        Sump = "sump",
        /// Oil in the gearbox.
        Gearbox = "gearbox",
    }
}

impl Capacity {
    /// How much that is on a machine, where its profile says.
    pub fn of(self, machine: &Machine) -> Option<Volume> {
        match self {
            Capacity::Sump => machine.sump,
            Capacity::Gearbox => machine.gearbox,
        }
    }
}

words! {
    /// When a look is owed after a service.
    After, "time of a follow-up" {
        /// The next morning, engine cold.
        NextMorning = "next-morning",
        /// Once the engine has been warm and is cold again.
        FirstHeatCycle = "first-heat-cycle",
        /// After the first hours of use, five or so.
        FirstHours = "first-hours",
    }
}

impl After {
    /// Running hours after which the look is owed; none where the next morning is meant
    /// (common practice: nip up cold after the first heat cycle; look again after 5 to 10 h of use).
    pub const fn running_hours(self) -> Option<f64> {
        match self {
            After::NextMorning => None,
            After::FirstHeatCycle => Some(0.5),
            After::FirstHours => Some(5.0),
        }
    }
}
