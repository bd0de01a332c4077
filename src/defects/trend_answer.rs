//! What is answered about a trend: one form for the command and the screen.

use chrono::{DateTime, FixedOffset, NaiveDate};
use schemars::JsonSchema;
use serde::Serialize;

use super::limits::Limits;
use super::oil_use::OilUseRow;
use super::series::{Restart, RestartBy};
use crate::assess::kendall::PMethod;
use crate::assess::rate::{RateOfUse, RateSource};
use crate::assess::trend::Direction;
use crate::boat::Unit;
use crate::checklist::{Grade, PhaseState};
use crate::text::words;

words! {
    /// What a trend is drawn over.
    Over, "axis of a trend" {
        /// Running hours of the machine.
        Hours = "hours",
        /// Days, for what ages standing.
        Days = "days",
    }
}

/// What `trend` says. Its fields are part of the outside surface, in this order.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct TrendAnswer {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// State of the engine of these readings; null where readings of all states belong together.
    pub phase: Option<PhaseState>,
    /// States in which other readings of the item were taken.
    pub other_phases: Vec<PhaseState>,
    /// Unit of every value.
    pub unit: Unit,
    /// What the slope is per.
    pub over: Over,
    /// Points of the line.
    pub n: usize,
    /// The readings since the series began, by time.
    pub points: Vec<PointRow>,
    /// What was topped up since the series began, by time.
    pub additions: Vec<AdditionRow>,
    /// What began the series anew; null where it goes back to the first reading.
    pub restarted: Option<RestartRow>,
    /// How many readings lie before the last restart.
    pub earlier: usize,
    /// Theil–Sen slope, unit per hour or per day.
    pub slope: Option<f64>,
    /// Lower bound of its interval; null where there is none.
    pub slope_low: Option<f64>,
    /// Upper bound of its interval; null where there is none.
    pub slope_high: Option<f64>,
    /// Level of the interval.
    pub interval: f64,
    /// Conover's intercept: value at zero running hours, or at the first reading over days.
    pub intercept: Option<f64>,
    /// Points tested: the medians of each week.
    pub tested: usize,
    /// Mann–Kendall S: pairs that rise less pairs that fall.
    pub s: Option<i64>,
    /// Kendall's tau-b, -1 to 1.
    pub tau: Option<f64>,
    /// Standard score with continuity and tie correction.
    pub z: Option<f64>,
    /// Two-sided chance without a trend.
    pub p: Option<f64>,
    /// How `p` was found.
    pub p_method: Option<PMethod>,
    /// Whether a trend is called, and which way it goes.
    pub trend: Direction,
    /// True where it is sure enough, and its crossing near enough, to be named unasked.
    pub named: bool,
    /// When it reaches the next worse rung; null where no trend is called or none lies ahead.
    pub crossing: Option<CrossingRow>,
    /// When it reaches still worse ones.
    pub later: Vec<CrossingRow>,
    /// How a level falls between fillings and when it meets its low mark; null where its readings
    /// show no fall, and for what is no level between marks.
    pub projection: Option<ProjectionRow>,
    /// What the readings are held against.
    pub limits: Limits,
    /// What was topped up since the series began; null where nothing was.
    #[serde(rename = "use")]
    pub used: Option<UseRow>,
    /// Oil used against the fuel burnt; null for other items, before 50 h and two readings since the
    /// oil was changed, and where the litres between the marks are not known.
    pub oil_use: Option<OilUseRow>,
    /// By which hours become dates.
    pub rate_of_use: RateRow,
    /// What else has to be known, a sentence each.
    pub notes: Vec<String>,
}

/// One reading. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PointRow {
    /// When it was read, or made to begin anew.
    pub at: DateTime<FixedOffset>,
    /// Running hours in all, added up across replaced meters.
    pub hours: f64,
    /// True where no meter said the hours.
    pub hours_estimated: bool,
    /// Days since the first of them.
    pub days: f64,
    /// As read, in the answer's unit.
    pub value: f64,
    /// Less all additions since the series began: what the line goes through. Null where the
    /// volume is not known.
    pub levelled: Option<f64>,
    /// The value with its unit, as entered.
    pub entered: String,
    /// The rung it proposed.
    pub proposed: Option<Grade>,
    /// The rung the looker gave with it.
    pub grade: Grade,
    /// Added since the series began and before it, litres.
    pub added: f64,
    /// Stands apart from the rest; it counts all the same.
    pub outlier: bool,
    /// Id of the walk.
    pub walk: String,
}

/// Something topped up. Part of the outside surface.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
pub struct AdditionRow {
    /// When it was added.
    pub at: DateTime<FixedOffset>,
    /// Running hours in all, added up across replaced meters.
    pub hours: f64,
    /// Days since the first reading.
    pub days: f64,
    /// How much was added, litres.
    pub litres: f64,
    /// By how much that raises the level, in the answer's unit; null where the volume is not known.
    pub raises: Option<f64>,
    /// True where it was in there already when the level was read at the same look.
    pub read_after: bool,
}

/// What began a series anew. Part of the outside surface.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
pub struct RestartRow {
    /// When it was read, or made to begin anew.
    pub at: DateTime<FixedOffset>,
    /// Running hours in all, added up across replaced meters.
    pub hours: f64,
    /// What made the readings begin anew.
    pub by: RestartBy,
}

/// When a trend reaches a rung. Part of the outside surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CrossingRow {
    /// The rung reached there.
    pub rung: Grade,
    /// The value where it begins.
    pub limit: f64,
    /// At the earliest; null where the interval is not known.
    pub not_before: Option<When>,
    /// By the slope itself.
    pub about: When,
    /// At the latest; null where the slower bound never gets there.
    pub not_after: Option<When>,
}

/// A falling level. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ProjectionRow {
    /// Change per running hour by least squares, negative where it falls, in the answer's unit.
    pub per_hour: f64,
    /// Lower bound of its 90 % interval, from the known error of one reading.
    pub low: f64,
    /// Upper bound of the same.
    pub high: f64,
    /// The low mark.
    pub limit: f64,
    /// At the earliest; null where it was filled by an amount not known and not read since.
    pub not_before: Option<When>,
    /// By the slope itself; null for the same reason.
    pub about: Option<When>,
    /// At the latest; null where the slower bound never gets there.
    pub not_after: Option<When>,
    /// What to add so that it stays above the mark over the day ahead by the fastest fall, litres; null
    /// where the litres between the marks are not known.
    pub add_for_day: Option<f64>,
    /// The same over the usual plan, to be carried.
    pub carry_for_plan: Option<f64>,
    /// What one reading is taken to be wrong by, a standard deviation in the answer's unit.
    pub error: f64,
    /// From how many readings that was learned; null where it is judgement.
    pub error_learned_from: Option<usize>,
    /// All of it in words.
    #[serde(skip)]
    pub words: String,
}

/// A moment ahead. Part of the outside surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct When {
    /// True where the line is there already.
    pub is_now: bool,
    /// Running hours from now; null where days alone are known.
    pub hours: Option<f64>,
    /// The meter reading that is.
    pub meter: Option<f64>,
    /// The date; null at zero rate of use and beyond twenty years.
    pub date: Option<NaiveDate>,
}

/// What was topped up. Part of the outside surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct UseRow {
    /// How often something was added.
    pub additions: usize,
    /// How much was added in all, litres.
    pub litres: f64,
    /// Running hours watched: from the first look since the series began to the last.
    pub hours: f64,
    /// Litres added after that first look, per 100 running hours; null where none were run.
    pub per_100_h: Option<f64>,
    /// Oil used as a share of the fuel burned, as `oil_use` has it; null where that is not known.
    pub share_of_fuel: Option<f64>,
}

/// A rate of use with its interval. Part of the outside surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RateRow {
    /// Running hours per day.
    pub per_day: f64,
    /// Lower bound at a level of 90 %; null where the slope has none.
    pub low: Option<f64>,
    /// Upper bound at the same level; none where there is no lower one.
    pub high: Option<f64>,
    /// Where it comes from.
    pub found: RateSource,
}

impl From<RateOfUse> for RateRow {
    fn from(rate: RateOfUse) -> RateRow {
        RateRow {
            per_day: rate.per_day,
            low: rate.low,
            high: rate.high,
            found: rate.found,
        }
    }
}

impl From<Restart> for RestartRow {
    fn from(restart: Restart) -> RestartRow {
        RestartRow {
            at: restart.at,
            hours: restart.hours,
            by: restart.by,
        }
    }
}
