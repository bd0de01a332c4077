//! Parts of a report beyond what was seen: how much was covered, what it may cost, what to do, how
//! readings run, what work is due, and the seal. Part of the outside surface.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::class::Class;
use super::words::Said;
use crate::assess::coverage::Hidden;
use crate::boat::Hours;
use crate::checklist::Grade;
use crate::defects::costs::{CostRow, CostTotal};
use crate::defects::pass_lines::PassLine;
use crate::defects::trend_answer::TrendAnswer;
use crate::walk::Notified;

/// How much of the walk was seen, and what the rest could hide.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CoveragePart {
    /// Seen over asked, 0 to 1; null where nothing was asked.
    pub plain: Option<f64>,
    /// The same with each item counted 8, 4, 2 or 1 by its worst severity.
    pub weighted: Option<f64>,
    /// What the items not seen could hide, worst severity first.
    pub hidden: Vec<Hidden>,
}

/// What may be behind the findings of a machine. An opinion, and no finding.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BehindPart {
    /// The machine, by its id.
    pub machine: String,
    /// Its name in the profile.
    pub name: String,
    /// What is said, in the order it is read: what is dangerous first.
    pub lines: Vec<BehindLine>,
}

/// One line of it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BehindLine {
    /// The words or the dash it begins with.
    pub lead: String,
    /// The rest, one or more sentences.
    pub text: String,
}

/// Something unsafe that was found in the walk, and who heard of it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct UnsafePart {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Its title, as people read it.
    pub title: Said,
    /// The rule that forbids running.
    pub rule: Said,
    /// When it was seen.
    pub found: DateTime<FixedOffset>,
    /// Who was told of it, and when; null where nobody was.
    pub told: Option<Notified>,
    /// True where that was by the end of the same day.
    pub same_day: bool,
}

/// What putting right may cost.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CostsPart {
    /// The defects of the report in their order.
    pub rows: Vec<CostPart>,
    /// One for each currency.
    pub totals: Vec<CostTotal>,
    /// Rows without an estimate, which no total contains.
    pub without_estimate: usize,
}

/// A defect with its estimate.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CostPart {
    /// As `cost` lists it.
    #[serde(flatten)]
    pub row: CostRow,
    /// Title of the item.
    pub title: Said,
}

/// Something to be done.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Recommendation {
    /// Number of the recommendation, from 1.
    pub number: usize,
    /// Rank of the defect; null where something was not seen.
    pub rank: Option<usize>,
    /// How long it may wait; null where something was not seen.
    pub class: Option<Class>,
    /// Title of the item.
    pub title: Said,
    /// What to do, as the remedy of the item says it.
    pub what: Said,
    /// Whose work it is: owner, mechanic, electrician or yard.
    pub who: Said,
    /// By when, in words.
    pub by_when: Said,
    /// How one knows that it is done.
    pub proof: Said,
}

/// Looks at several engine speeds side by side, item by item; the grid by speed is [`TrialPart`].
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct SpeedGrid {
    /// Engine speeds in revolutions per minute, rising.
    pub speeds: Vec<u32>,
    /// One for each item.
    pub rows: Vec<SpeedRow>,
}

/// One item at each engine speed.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct SpeedRow {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Its title, as people read it.
    pub title: Said,
    /// Machine id; null in the report of a walk, which has one machine, and for the boat's items.
    pub machine: Option<String>,
    /// What was measured and graded, in the order of the speeds; null where there was no look.
    pub cells: Vec<Option<Said>>,
}

/// What was looked at and read at engine speeds, as one grid.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct TrialPart {
    /// What was asked, one item a column.
    pub columns: Vec<TrialColumn>,
    /// Engine speeds, phase by phase in walking order.
    pub rows: Vec<TrialLine>,
    /// What still rose at the end of a speed, one sentence each.
    pub climbing: Vec<Said>,
}

/// One item.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct TrialColumn {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Its title, as people read it.
    pub title: Said,
    /// What it is held against, and where that comes from.
    pub pass: Vec<PassLine>,
}

/// One engine speed.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct TrialLine {
    /// The phase, by its id; null for looks that name none of the walk.
    pub phase: Option<String>,
    /// The step and its speed, in words.
    pub title: Said,
    /// Revolutions per minute; null where nobody told them.
    pub rpm: Option<u32>,
    /// Per cent of the rated speed; null where that is not known.
    pub of_rated: Option<f64>,
    /// In the order of the columns.
    pub cells: Vec<TrialCell>,
}

/// One item at one engine speed.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct TrialCell {
    /// The looks at this speed that count, in the order made.
    pub looks: Vec<TrialLook>,
    /// Why there is no value; null where there is one.
    pub empty: Option<Said>,
}

/// A look at one engine speed.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct TrialLook {
    /// Id of its record.
    pub look: String,
    /// When it was made.
    pub at: DateTime<FixedOffset>,
    /// What was measured, with its unit; null where nothing was.
    pub reading: Option<String>,
    /// The rung; null where it was not seen.
    pub grade: Option<Grade>,
}

/// The readings of an item in time, as they are drawn.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct TrendPart {
    /// As `trend` answers.
    #[serde(flatten)]
    pub answer: TrendAnswer,
    /// Title of the item.
    pub title: Said,
}

/// Recurring work as it was last done.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct ServicePart {
    /// Id of the task.
    pub task: String,
    /// Its title, as people read it.
    pub title: Said,
    /// Machine id; null for work on what the boat has once.
    pub machine: Option<String>,
    /// When it was done.
    pub at: DateTime<FixedOffset>,
    /// Running hours as the meter in service showed them; null where it was not read.
    pub hours: Option<Hours>,
    /// Who did it, as recorded.
    pub by: Option<String>,
    /// Parts used, as recorded.
    pub parts: Vec<String>,
    /// What whoever did it noted.
    pub note: Option<String>,
}

/// The code by which the records behind the report can be known again.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct SealPart {
    /// The seal: six groups of five characters, seldom seven.
    pub code: String,
    /// Records it stands for.
    pub records: usize,
    /// When the last of them was written.
    pub last: Option<DateTime<FixedOffset>>,
    /// What it proves, and what it does not.
    pub proves: Said,
}

/// Under what number and revision a report was issued.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct IssuedPart {
    /// Number of the report; a number once given is never used again.
    pub number: String,
    /// Revision: A is the first.
    pub revision: String,
    /// When this revision was issued.
    pub at: DateTime<FixedOffset>,
    /// Walks whose looks are its findings; no other look is in it.
    pub walks: Vec<OwnWalk>,
    /// Earlier revisions and addenda, first issued first; this one is the last.
    pub revisions: Vec<RevisionPart>,
    /// Findings of an earlier revision that were withdrawn: in the body no more.
    pub withdrawn: Vec<WithdrawnPart>,
    /// What is on record of others and is not in it, one sentence each.
    pub not_in_it: Vec<Said>,
    /// Whether what putting right may cost was to be in it.
    pub costs: bool,
}

/// A walk whose looks are the document's own.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct OwnWalk {
    /// The walk, by its id.
    pub walk: String,
    /// Who walked, as recorded.
    pub by: Option<String>,
    /// True where it was an assistant under the surveyor's instruction.
    pub assistant: bool,
}

/// A revision, or an addendum to it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RevisionPart {
    /// A, B and so on; an addendum has the number of its own: 1, 2.
    pub revision: String,
    /// Whether it is an addendum, which leaves the findings as they were issued.
    pub addendum: bool,
    /// When it was issued.
    pub at: DateTime<FixedOffset>,
    /// What changed; for the first that it was issued.
    pub what: String,
    /// Why.
    pub why: Option<String>,
}

/// A finding that was issued and is withdrawn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct WithdrawnPart {
    /// Its number in the revision that had it; it is given to no other.
    pub number: usize,
    /// The item, by its id in the catalogue.
    pub item: String,
    /// What it said.
    pub title: String,
    /// Why it was withdrawn.
    pub why: String,
}
