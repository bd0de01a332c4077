//! The story as it stands in `story.json`: what a person wrote down of the demo boat.
//! Days count back from today: 1 is yesterday. The daily sheets around it are made by [`super::sheets`].

use std::sync::LazyLock;

use serde::Deserialize;

use handlamp::assess::words::{Level, Severity};
use handlamp::boat::units::{Unit, Volume};
use handlamp::boat::{Boat, Hours, Measure};
use handlamp::checklist::{Grade, Leak};
use handlamp::defects::NamedPlan;
use handlamp::walk::{Better, Wear};

/// The whole story.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Story {
    /// Everything that varies follows from this number.
    pub seed: u64,
    /// Her profile; `hours` of each machine is what the meter shows today.
    pub boat: Boat,
    /// Who looks after her; the first most often.
    pub crew: Vec<String>,
    /// How she was used, oldest first.
    pub periods: Vec<Period>,
    /// Days with a morning check whatever the dice say.
    pub always: Vec<u32>,
    /// Walks of another kind.
    pub special: Vec<Special>,
    /// A meter that was replaced.
    pub meters: Vec<MeterSwap>,
    /// What was remembered when the record began.
    pub told: Vec<Remembered>,
    /// Named exposures.
    pub plans: Vec<NamedPlan>,
    /// Values that are read off.
    pub gauges: Vec<Gauge>,
    /// Levels that fall and are topped up.
    pub levels: Vec<Tank>,
    /// What happened to single items; all others stayed sound.
    pub threads: Vec<Thread>,
}

/// A stretch of days, `from` and `to` included.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Period {
    /// For the reader of the file.
    #[serde(rename = "what")]
    pub _what: String,
    /// First day.
    pub from: u32,
    /// Last day.
    pub to: u32,
    /// Share of days with a morning check.
    pub walk: f64,
    /// The same for two days of seven.
    pub weekend: f64,
    /// Hours run on such a day, least and most.
    pub run: [f64; 2],
    /// Share of those days on which the generator runs too.
    pub generator: f64,
    /// Its hours, least and most.
    pub generator_run: [f64; 2],
}

/// A leak run or a survey.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Special {
    pub day: u32,
    pub hour: f64,
    pub checklist: String,
    pub machine: String,
    pub by: String,
}

/// A new hour meter.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MeterSwap {
    pub machine: String,
    pub day: u32,
    pub hour: f64,
    /// Last reading of the old one.
    pub old: Hours,
    /// First reading of the new one.
    pub new: Hours,
}

/// Work as it was remembered: told on a day, done on another.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Remembered {
    pub task: String,
    /// None for work on the boat.
    #[serde(default)]
    pub machine: Option<String>,
    pub day: u32,
    pub last: u32,
}

/// A value that wanders between points.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Gauge {
    pub item: String,
    /// None for items the boat has once.
    #[serde(default)]
    pub machine: Option<String>,
    /// Phases in which it is read; all where empty.
    #[serde(default)]
    pub phases: Vec<String>,
    pub unit: Unit,
    /// `[day, value]`, oldest first; straight lines between.
    pub points: Vec<[f64; 2]>,
    /// Most it strays from the line.
    pub noise: f64,
    /// Finest mark on the scale.
    pub scale: f64,
}

/// A level that falls with running hours and is topped up.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Tank {
    pub item: String,
    pub machine: String,
    /// Per cent of the span at the start, and after each filling.
    pub full: f64,
    /// Fall, per cent of the span per running hour.
    pub falls: f64,
    /// Topped up when the reading is below this.
    pub add_below: f64,
    /// How much is added.
    pub add: Volume,
    /// What that is in per cent of the span.
    pub add_is: f64,
    /// Finest reading.
    pub scale: f64,
}

/// What happened to one item.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Thread {
    pub item: String,
    /// None for items the boat has once.
    #[serde(default)]
    pub machine: Option<String>,
    /// Oldest first.
    pub steps: Vec<Step>,
}

/// One thing that was seen or done.
#[derive(Debug, Deserialize)]
pub(super) struct Step {
    /// Days before today. What is seen is seen by the first walk from then on that asks the item.
    pub day: u32,
    /// Hour of that day; 17 for what is done, 0 for what is seen.
    #[serde(default)]
    pub hour: Option<f64>,
    #[serde(flatten)]
    pub what: What,
}

/// What a step is.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) enum What {
    /// From now on the item looks like this.
    Seen(Seen),
    /// It could not be looked at, until the next step.
    NotSeen {
        why: String,
        #[serde(default)]
        close_by: Option<String>,
    },
    /// It was put right and is sound.
    Repair { done: String, by: String },
    /// A service task was done, with the thread's item among what it serves.
    Service(Work),
    /// It was none after all and is sound.
    Withdrawal { why: String },
    /// It may wait, this many days from today.
    Deferral { why: String, days_ahead: u32 },
    /// A person's severity or level.
    Override {
        #[serde(default)]
        severity: Option<Severity>,
        #[serde(default)]
        level: Option<Level>,
        why: String,
    },
    /// A look owed so many days later, or at a meter reading.
    Recheck {
        #[serde(default)]
        days_later: Option<u32>,
        #[serde(default)]
        due_hours: Option<Hours>,
        why: String,
    },
    /// The part in service was fitted then.
    Fitted {},
}

/// Work that recurs, as it was done.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Work {
    pub task: String,
    #[serde(default)]
    pub out: Option<Volume>,
    #[serde(default, rename = "in")]
    pub filled: Option<Volume>,
    #[serde(default)]
    pub turn: Option<String>,
    #[serde(default)]
    pub parts: Vec<String>,
    #[serde(default)]
    pub note: Option<String>,
    pub by: String,
}

/// How an item looks.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Seen {
    pub grade: Grade,
    /// Said once, when it is first seen so.
    #[serde(default)]
    pub note: Option<String>,
    #[serde(default)]
    pub leak: Option<Leak>,
    #[serde(default)]
    pub wear: Vec<Wear>,
    /// What was measured.
    #[serde(default)]
    pub reading: Option<Measure>,
    /// Why the grade is better, said once.
    #[serde(default)]
    pub better: Option<Better>,
    /// The engine was not started for it: why the phases after this one were not seen.
    #[serde(default)]
    pub not_started: Option<String>,
}

impl Story {
    /// The story in the file.
    pub fn written() -> &'static Story {
        static STORY: LazyLock<Story> = LazyLock::new(|| {
            serde_json::from_str(include_str!("story.json")).expect("the story is whole")
        });
        &STORY
    }
}
