//! A checklist: phases with one engine state each, rows that ask one question over one or more items.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::item::Item;
use super::season_step::SeasonStep;
use super::step::Step;
use super::words::PhaseState;
use crate::boat::Role;
use crate::boat::kinds::{Cooling, Lies};
use crate::text::words;

/// An ordered choice of items for one purpose.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Checklist {
    /// Lower-case words joined by hyphens.
    pub id: String,
    /// As it stands on the boat screen.
    pub title: String,
    /// What it is for, one sentence.
    pub purpose: String,
    /// Which rules the end of the walk follows.
    pub closes_with: Closing,
    /// Earlier grades are out of sight until the look is made.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub blind: bool,
    /// It is not offered any more; what was walked by it stays.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub put_away: bool,
    /// Parts of the walk, in order.
    pub phases: Vec<Phase>,
}

words! {
    /// What a finished walk is told.
    Closing, "closing" {
        /// Clear to run, run with care, do not run.
        Daily = "daily",
        /// Nothing seen against starting, or as the daily rules say; and what it did not ask.
        Short = "short",
        /// Signed off, with recheck, or not.
        LeakRun = "leak-run",
        /// No verdict: coverage and a list.
        Survey = "survey",
        /// Do not run, do not leave, run with care, or nothing: of what was found alone, never clear.
        Finding = "finding",
        /// The same of what was found and of all that is left open: a walk of laying up, standing,
        /// fitting out or launching.
        Season = "season",
    }
}

impl Closing {
    /// True where a guest may walk it: it says whether she can be run today, and signs nothing off.
    pub const fn is_for_guests(self) -> bool {
        matches!(self, Closing::Daily | Closing::Short | Closing::Finding)
    }
}

impl Checklist {
    /// True where it asks of a boat that whoever walks it has not seen before, so that it asks in the
    /// words of a first look.
    pub fn is_first_look(&self) -> bool {
        self.closes_with == Closing::Survey
    }
}

/// Id of the checklist of a finding: one thing seen beside all walks. It asks nothing by itself.
pub const FINDING: &str = "finding";

/// A part of a walk with one engine state.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Phase {
    /// Lower-case words joined by hyphens, unique in the checklist.
    pub id: String,
    /// As it stands in the header.
    pub title: String,
    /// State of the engine while this phase is walked; bands and cautions follow it.
    pub state: PhaseState,
    /// What to do before the first row, shown when the phase begins; cautions first.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<String>,
    /// What to do first in its place, where it differs for a role; cautions first here too.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub before_for: Vec<BeforeFor>,
    /// How long the state lasts at least, minutes, where it is timed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<f64>,
    /// The looks are meant to be made within this time, minutes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<f64>,
    /// Id of an earlier phase from whose beginning the time counts, in place of this one's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub since: Option<String>,
    /// Steps of a trial that are run in it, in their order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<Step>,
    /// What to look at, in walking order.
    pub rows: Vec<Row>,
}

/// What to do before the first row where the machine has one of these roles.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BeforeFor {
    /// The roles.
    pub roles: Vec<Role>,
    /// What to do, cautions first.
    pub before: String,
}

impl Phase {
    /// What to do before the first row on a machine of a role.
    pub fn before(&self, role: Role) -> Option<&str> {
        let mut own = self.before_for.iter();
        let own = own.find(|b| b.roles.contains(&role));
        own.map(|b| b.before.as_str()).or(self.before.as_deref())
    }
}

/// One question over one or more items.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// As it stands in the walk; the item's own title where the row has one item and none is given.
    #[serde(default)]
    pub title: String,
    /// Id of the station.
    pub station: String,
    /// How often it is asked.
    #[serde(default)]
    pub cadence: Cadence,
    /// A clear verdict needs it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub must_see: bool,
    /// Roles for which it stands before the other rows of its phase.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub first_for: Vec<Role>,
    /// It is asked again at each engine speed, so that its readings make a grid.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub each_speed: bool,
    /// What is done before its items are looked at.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<SeasonStep>,
    /// Kinds of cooling it is for; left out, all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cooling: Vec<Cooling>,
    /// Where she lies while she stands, if it is for that alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lies: Option<Lies>,
    /// Ids of the items the row covers.
    pub items: Vec<String>,
}

impl Row {
    /// A row of one item, by its own title, which a clear verdict does not need.
    pub fn alone(item: &Item, cadence: Cadence) -> Row {
        Row {
            title: item.title.clone(),
            station: item.station.clone(),
            cadence,
            must_see: false,
            first_for: Vec::new(),
            each_speed: false,
            step: None,
            cooling: Vec::new(),
            lies: None,
            items: vec![item.id.clone()],
        }
    }

    /// True where it is asked of an engine so cooled on a boat that stands there; what nobody told
    /// leaves nothing out.
    pub fn suits(&self, cooling: Option<Cooling>, lies: Option<Lies>) -> bool {
        let cooled = cooling.is_none_or(|c| self.cooling.is_empty() || self.cooling.contains(&c));
        let lies = self.lies.zip(lies).is_none_or(|(own, she)| own == she);
        cooled && lies
    }
}

/// How often a row is asked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Cadence {
    /// In every walk.
    #[default]
    EveryTime,
    /// When the last look is a week old or more.
    Weekly,
    /// When the last look is a month old or more.
    Monthly,
}

impl Cadence {
    /// Days after which the row comes up again; 0 for every time.
    pub const fn days(self) -> i64 {
        match self {
            Cadence::EveryTime => 0,
            Cadence::Weekly => 7,
            Cadence::Monthly => 30,
        }
    }

    /// In a word or two.
    pub const fn words(self) -> &'static str {
        match self {
            Cadence::EveryTime => "every time",
            Cadence::Weekly => "weekly",
            Cadence::Monthly => "monthly",
        }
    }
}

words! {
    /// The mark of a checklist file.
    ChecklistTag, "checklist file" {
        /// A checklist.
        Checklist = "checklist",
    }
}

/// A checklist as a file: its fields after the mark that says what the file is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChecklistFile {
    /// Says what the file is.
    #[serde(rename = "type")]
    pub tag: ChecklistTag,
    /// Lower-case words joined by hyphens.
    pub id: String,
    /// As it stands on the boat screen.
    pub title: String,
    /// What it is for, one sentence.
    pub purpose: String,
    /// Which rules the end of the walk follows.
    pub closes_with: Closing,
    /// Earlier grades are out of sight until the look is made.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub blind: bool,
    /// It is not offered any more; what was walked by it stays.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub put_away: bool,
    /// Parts of the walk, in order.
    pub phases: Vec<Phase>,
}

impl From<ChecklistFile> for Checklist {
    fn from(file: ChecklistFile) -> Checklist {
        let ChecklistFile {
            tag: ChecklistTag::Checklist,
            id,
            title,
            purpose,
            closes_with,
            blind,
            put_away,
            phases,
        } = file;
        Checklist {
            id,
            title,
            purpose,
            closes_with,
            blind,
            put_away,
            phases,
        }
    }
}

impl From<Checklist> for ChecklistFile {
    fn from(list: Checklist) -> ChecklistFile {
        let Checklist {
            id,
            title,
            purpose,
            closes_with,
            blind,
            put_away,
            phases,
        } = list;
        ChecklistFile {
            tag: ChecklistTag::Checklist,
            id,
            title,
            purpose,
            closes_with,
            blind,
            put_away,
            phases,
        }
    }
}
