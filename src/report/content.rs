//! What a report says, as plain data. Part of the outside surface: the JSON form of a report is
//! this.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use crate::arrangement::words::whereabouts;
use crate::arrangement::{Box3, Place};
use crate::assess::words::{Risk, Verdict};
use crate::boat::{Point, UnitHabit, Waters};
use crate::checklist::{Closing, Grade, Leak, PhaseState};
use crate::defects::before_start::BeforeStart;
use crate::defects::gate::RunInSpite;
use crate::defects::grounds::SaidDiffers;
use crate::defects::ladder_in_time::LadderInTime;
use crate::defects::list::{Row, Stretch};
use crate::defects::said::{Said as Spoken, VerdictReason};
use crate::defects::{NotCounted, Subject};
use crate::service::due::DueRow;
use crate::walk::{Agreed, FrontMatter, Photo};

use super::leaving_part::BeforeLeavingPart;
use super::parts::{
    BehindPart, CostsPart, CoveragePart, IssuedPart, Recommendation, SealPart, ServicePart,
    SpeedGrid, TrendPart, TrialPart, UnsafePart,
};
use super::words::{Language, Said, Words, told};

/// A report of one walk, or of the logbook as of a moment.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Report {
    /// The boat's name.
    pub boat: String,
    /// The waters of the profile.
    pub waters: Waters,
    /// The language it is written in.
    pub language: Language,
    /// Under what number it was issued; null for a draft.
    pub issued: Option<IssuedPart>,
    /// What stands before the findings of a survey: who asked, who made it, what was there; empty
    /// where nothing was entered.
    pub front: FrontMatter,
    /// Her machines; for a walk the one walked.
    pub machines: Vec<MachinePart>,
    /// When the report was made.
    pub made_at: DateTime<FixedOffset>,
    /// The moment it speaks of: the end of the walk, or now.
    pub as_of: DateTime<FixedOffset>,
    /// The walk; null for a report of the logbook.
    pub walk: Option<WalkPart>,
    /// What the walk came to; null for a survey, an unfinished walk and the logbook.
    pub verdict: Option<VerdictPart>,
    /// What takes minutes and comes before starting, as of when the report was made; apart from the
    /// defects, first in every form.
    pub before_you_start: Vec<BeforeStart>,
    /// What to do before leaving, as of when the report was made; missing where no plan was named.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before_leaving: Option<BeforeLeavingPart>,
    /// What is on record and not counted in it; missing where all is.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_counted: Vec<NotCounted>,
    /// Over what the defects are ranked.
    pub exposure: Stretch,
    /// The short of it.
    pub summary: Summary,
    /// What was done and asked, one sentence each.
    pub scope: Vec<Said>,
    /// What was agreed beforehand with the owner or seller; null where nobody was asked.
    pub agreed: Option<Agreed>,
    /// What the walk found that forbids running, and who was told.
    pub told: Vec<UnsafePart>,
    /// What it does not cover, one sentence each.
    pub limitations: Vec<Said>,
    /// What nobody saw, why, and how that could be closed.
    pub not_seen: Vec<NotSeenPart>,
    /// The living defects, worst first.
    pub defects: Vec<DefectPart>,
    /// What may be behind the findings, machine by machine; empty where they point to nothing.
    pub behind: Vec<BehindPart>,
    /// What to do, in the order of the defects, then what would close the gaps.
    pub recommendations: Vec<Recommendation>,
    /// How much of the walk was seen; null for the logbook.
    pub coverage: Option<CoveragePart>,
    /// What putting right may cost; null where nobody estimated anything.
    pub costs: Option<CostsPart>,
    /// The stations in walking order, with how much of each was seen.
    pub stations: Vec<StationPart>,
    /// Where each item is, with how it stands: what the walk asked, and every finding.
    pub places: Vec<PlacePart>,
    /// What is large, as it is drawn.
    #[serde(skip)]
    pub boxes: Vec<Box3>,
    /// Everything measured, one reading a row.
    pub readings: Vec<ReadingPart>,
    /// Items read three times or oftener, in time.
    pub trends: Vec<TrendPart>,
    /// What was looked at under way, item by item at each engine speed; null where no look names one.
    pub speeds: Option<SpeedGrid>,
    /// What was looked at by engine speed; null for the logbook, and where nothing was.
    pub trial: Option<TrialPart>,
    /// Recurring work, last done first.
    pub services: Vec<ServicePart>,
    /// Recurring work and looks that are due.
    pub due: Vec<DueRow>,
    /// Every look of the walk; for the logbook the last look at each item.
    pub looks: Vec<LookPart>,
    /// How the numbers come about, in plain words.
    pub method: Vec<Said>,
    /// What to mind when working on it, before anything else is read.
    pub cautions: Vec<Said>,
    /// The seal of the records behind it; null for a walk not finished.
    pub seal: Option<SealPart>,
    /// The units a person reads.
    #[serde(skip)]
    pub units: UnitHabit,
    /// Photographs as a page holds them, by the name they are kept under.
    #[serde(skip)]
    pub pictures: BTreeMap<String, String>,
}

/// A machine with its hours.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct MachinePart {
    /// Id, which records name.
    pub id: String,
    /// Its name in the profile.
    pub name: String,
    /// What its meter shows; estimated where nobody read it.
    pub hours: f64,
    /// True where the hours are estimated.
    pub estimated: bool,
}

/// The walk a report is of.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct WalkPart {
    /// Id, which records name.
    pub id: String,
    /// Id of its checklist.
    pub checklist: String,
    /// What a walk of it is told at its end; null where the checklist is not there any more.
    pub closes_with: Option<Closing>,
    /// Title of the checklist as it was asked.
    pub title: Said,
    /// What the checklist is for.
    pub purpose: Said,
    /// The machine walked, by its id.
    pub machine: String,
    /// When it began, with the offset it was walked in.
    pub at: DateTime<FixedOffset>,
    /// When it was finished; null while it goes on.
    pub finished: Option<DateTime<FixedOffset>>,
    /// Who walked, as recorded; none where nobody was named.
    pub by: Option<String>,
    /// The meter as read.
    pub hours: Option<f64>,
    /// Walked first, typed afterwards.
    pub entered_after: bool,
    /// The stops over which the engine was run in the walk; missing where it was not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub run_in_spite_of: Option<RunInSpite>,
}

/// The verdict of a walk, with the rows that made it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct VerdictPart {
    /// What was said when the walk ended; null for old walks and where nothing was said. History,
    /// never an answer.
    pub said: Option<Spoken>,
    /// Why that is not what is reckoned of its end today; missing where it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub said_differs: Option<SaidDiffers>,
    /// As at the walk.
    pub at_walk: Option<Verdict>,
    /// As of when the report was made; null of a machine that the boat has no more.
    pub now: Option<Verdict>,
    /// The rows behind it.
    pub reasons: Vec<Reason>,
    /// Why there is none now, where there was one.
    #[serde(skip)]
    pub gone: &'static str,
}

/// A row behind a verdict.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Reason {
    /// As the verdict has it.
    #[serde(flatten)]
    pub ground: VerdictReason,
    /// Title of its item; empty where a whole phase is meant.
    pub title: Said,
}

/// The short of it.
#[derive(Clone, Debug, Default, Serialize, JsonSchema)]
pub struct Summary {
    /// How many of the items asked have a grade; a look not made is none.
    pub seen: usize,
    /// Different items that the walk asked.
    pub asked: usize,
    /// Defects by risk, worst risk first.
    pub by_risk: Vec<RiskCount>,
    /// Ranks of the first defects, five at most.
    pub top: Vec<usize>,
    /// Ranks of those that forbid running: to be told the owner the same day.
    pub tell_today: Vec<usize>,
}

/// How many defects are of a risk.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct RiskCount {
    /// The risk counted.
    pub risk: Risk,
    /// How many defects have it.
    pub count: usize,
}

/// An item nobody graded.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct NotSeenPart {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Its title, as people read it.
    pub title: Said,
    /// Title of the station where it is.
    pub station: Said,
    /// Machine id; null in the report of a walk, which has one machine, and for the boat's items.
    pub machine: Option<String>,
    /// Why it was not seen.
    pub reason: Option<Said>,
    /// What would have to be done to see it.
    pub close_by: Option<String>,
}

/// A defect: what was observed apart from what is thought of it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct DefectPart {
    /// As in the ranked list.
    #[serde(flatten)]
    pub row: Row,
    /// Title of the item.
    pub title: Said,
    /// Title of the station.
    pub station_title: Said,
    /// What puts it right, as the row has it.
    #[serde(skip)]
    pub remedy: Said,
    /// What was observed; null where only a rule or an age speaks.
    pub observed: Option<LookPart>,
    /// What to mind when putting it right.
    pub cautions: Vec<Said>,
    /// What was seen of it in time, and by when each worse rung is likely to be met.
    pub in_time: Option<LadderInTime>,
}

/// Where an item is.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PlacePart {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for the boat's items.
    pub machine: Option<String>,
    /// Its title, as people read it.
    pub title: Said,
    /// Aft of the engine's free end, to starboard, up from the bilge, in hundredths of the engine's
    /// length. Where nobody said otherwise it is judgement.
    pub at: Point,
    /// It is in another place in every boat, and nobody has said where.
    pub not_told: bool,
    /// The rung seen; null where nobody saw it.
    pub grade: Option<Grade>,
    /// Its number among the defects; null for what is none.
    pub rank: Option<usize>,
}

impl PlacePart {
    /// As it is drawn.
    pub fn place(&self) -> Place {
        Place {
            subject: Subject {
                item: self.item.clone(),
                machine: self.machine.clone(),
            },
            point: self.at,
            is_asked: self.not_told,
        }
    }

    /// Where it is, in words.
    pub fn words(&self, w: Words) -> Said {
        match self.not_told {
            true => w.say("place-not-told").into(),
            false => {
                let found = whereabouts(self.at);
                let named = |family: &str, name: &str| w.say(&format!("{family}-{name}"));
                let along = named("along", found.along);
                let across = named("across", found.across);
                match found.height {
                    Some(height) => told!(
                        w,
                        "place-at-height",
                        along = along,
                        across = across,
                        height = named("height", height)
                    ),
                    None => told!(w, "place-at", along = along, across = across),
                }
            }
        }
    }
}

/// A station and how it stands.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct StationPart {
    /// Where it is, by the id of the station in the catalogue.
    pub station: String,
    /// Its title, as people read it.
    pub title: Said,
    /// Items the walk asked there.
    pub asked: usize,
    /// How many of them have a grade.
    pub seen: usize,
    /// The worst rung seen; null where nothing was graded.
    pub worst: Option<Grade>,
}

/// Something measured in a look.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct ReadingPart {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Its title, as people read it.
    pub title: Said,
    /// Machine id; null in the report of a walk, which has one machine, and for the boat's items.
    pub machine: Option<String>,
    /// When the look was made.
    pub at: DateTime<FixedOffset>,
    /// The phase of the look, as the checklist titles it.
    pub phase: Option<Said>,
    /// Engine speed while looking, revolutions per minute.
    pub at_rpm: Option<u32>,
    /// The value with its unit, as entered.
    pub value: String,
    /// The grade given with it.
    pub grade: Option<Grade>,
}

/// A look: what was observed, nothing more.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct LookPart {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Its title, as people read it.
    pub title: Said,
    /// Title of its station.
    pub station: Said,
    /// Machine id; null in the report of a walk, which has one machine, and for the boat's items.
    pub machine: Option<String>,
    /// When the look was made.
    pub at: DateTime<FixedOffset>,
    /// Phase, as the checklist titles it.
    pub phase: Option<Said>,
    /// State of the engine in that phase; missing where the checklist does not tell it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub state: Option<PhaseState>,
    /// Why it is here though the walk did not ask it, where that is so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub joined: Option<Said>,
    /// Engine speed while looking, revolutions per minute.
    pub at_rpm: Option<u32>,
    /// The rung; null where it was not seen.
    pub grade: Option<Grade>,
    /// How that rung looks on this item.
    pub rung: Option<Said>,
    /// Why it was not seen.
    pub not_seen: Option<String>,
    /// How much came out.
    pub leak: Option<Leak>,
    /// What was measured, with its unit.
    pub reading: Option<String>,
    /// What was topped up.
    pub added: Option<String>,
    /// Marks of wear, one sentence each.
    pub wear: Vec<Said>,
    /// Which of several answers the rung was, one line each; missing where none was given.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub signs: Vec<Said>,
    /// In the looker's words.
    pub note: Option<String>,
    /// What the owner or seller said of it: never graded.
    pub said: Option<String>,
    /// Why the grade differs from what the reading or the leak class proposes.
    pub grade_reason: Option<String>,
    /// Walks in a row, this the last, in which it was said to be as last time; missing where not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub as_last_time: Option<u32>,
    /// Pictures taken with the look.
    pub photos: Vec<Photo>,
}
