//! What putting right may cost: the estimate that counts for each row of the list, and the total.

use chrono::{DateTime, FixedOffset, Utc};
use schemars::JsonSchema;
use serde::Serialize;

use super::acts::Cost;
use super::condition::Condition;
use super::history::{History, Stamped};
use super::life::{Life, State};
use super::list::{DefectList, Row};
use super::subject::Subject;
use crate::assess::cost::{self, Range, ThreePoint};
use crate::assess::words::Risk;
use crate::checklist::Grade;

/// Fixes the simulation, so that the same estimates give the same total.
const SEED: u64 = 1959;

/// One row of the list with its estimate. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CostRow {
    /// Its place in the list of defects.
    pub rank: usize,
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// The rung that counts.
    pub grade: Grade,
    /// Severity digit and level letter.
    pub code: String,
    /// Risk of the deciding effect: the cell of MIL-STD-882E Table III at that severity and level.
    pub risk: Risk,
    /// A stop rule is in force.
    pub stop: bool,
    /// The estimate that counts; null where there is none.
    pub estimate: Option<Estimate>,
}

/// An estimate, labour included. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Estimate {
    /// When it was made.
    pub at: DateTime<FixedOffset>,
    /// Currency, where one was named.
    pub currency: Option<String>,
    /// The least it may cost, in the currency of the estimate.
    pub low: f64,
    /// What it most likely costs, in the currency of the estimate.
    pub likely: f64,
    /// The most it may cost, in the currency of the estimate.
    pub high: f64,
    /// (low + 4 likely + high) / 6.
    pub mean: f64,
    /// Of its beta-PERT distribution.
    pub range: Range,
    /// What it rests on.
    pub note: Option<String>,
    /// Id of its record.
    pub id: String,
}

/// What the estimates in one currency come to. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CostTotal {
    /// Currency, where one was named.
    pub currency: Option<String>,
    /// How many estimates are in that currency.
    pub estimates: usize,
    /// Sum of the lows.
    pub low: f64,
    /// Sum of the likely figures.
    pub likely: f64,
    /// Sum of the highs.
    pub high: f64,
    /// Sum of the means.
    pub mean: f64,
    /// Where one job says nothing of another; simulated.
    pub independent: Range,
    /// Where all turn out at the same quantile: dear together or cheap together.
    pub dependent: Range,
}

impl CostTotal {
    /// What it comes to, a sentence each: the mean, the range of independent and of dependent
    /// estimates, and the ends.
    pub fn sentences(&self) -> Vec<String> {
        let currency = self.currency.as_ref().map(|c| format!(" {c}"));
        let currency = currency.unwrap_or_default();
        let range = |r: &Range| format!("{} to {}{currency}", money(r.p10), money(r.p90));
        vec![
            format!(
                "Total of {} estimate(s): {}{currency} in the mean.",
                self.estimates,
                money(self.mean)
            ),
            format!(
                "Eight times in ten from {}, if one job says nothing of another.",
                range(&self.independent)
            ),
            format!(
                "Eight times in ten from {}, if all turn out dear or cheap together, as with one yard or one neglect behind them.",
                range(&self.dependent)
            ),
            format!(
                "The sums of the low and of the high figures, {} and {}{currency}, are the ends of what was estimated and hardly ever met.",
                money(self.low),
                money(self.high)
            ),
        ]
    }
}

/// An amount: whole from a hundred on, with one decimal below where it has one.
pub fn money(amount: f64) -> String {
    let rounded = (amount * 10.0).round() / 10.0;
    if amount >= 100.0 || rounded.fract() == 0.0 {
        format!("{rounded:.0}")
    } else {
        format!("{rounded:.1}")
    }
}

/// What putting right may cost.
#[derive(Clone, Debug)]
pub struct Costs {
    /// In the order of the list; what is repaired already is left out.
    pub rows: Vec<CostRow>,
    /// One for each currency, in the order of the rows.
    pub totals: Vec<CostTotal>,
}

impl Condition {
    /// Whether an estimate made at a time counts for an item: from its finding on, and after its
    /// last repair where that did not hold. None where nothing is to be put right.
    pub fn to_put_right(
        &self,
        subject: &Subject,
        life: &Life,
    ) -> Option<impl Fn(DateTime<FixedOffset>) -> bool + use<>> {
        let item = self.item(subject).filter(|_| !life.status.removed)?;
        let found = match life.current() {
            Some(defect) if self.state(subject, defect) == State::Repaired => return None,
            Some(defect) => Some(defect.opened),
            // What stops, or is past its life, without a finding: any estimate since its repair.
            None => {
                let rule = self.stop_rule(subject, item, life, self.boat.waters);
                let stops = rule.is_some();
                let old = self.past_life(subject, item, life).is_some();
                (stops || old).then(|| DateTime::<Utc>::MIN_UTC.fixed_offset())
            }
        };
        let repairs = life.status.trail.iter().filter(|step| step.repair);
        let repaired = repairs.map(|step| step.at).max();
        // At one instant an estimate comes before the repair it led to.
        found.map(|found| move |at| at >= found && repaired.is_none_or(|repaired| at > repaired))
    }

    /// What putting right the rows of a list may cost.
    pub fn costs(&self, history: &History, list: &DefectList) -> Costs {
        let rows: Vec<(CostRow, Option<ThreePoint>)> = list
            .rows
            .iter()
            .filter(|row| matches!(row.state, State::Open | State::Deferred))
            .map(|row| self.cost_row(history, row))
            .collect();
        let mut groups: Vec<(Option<String>, Vec<ThreePoint>)> = Vec::new();
        for (row, points) in &rows {
            let Some((estimate, points)) = row.estimate.as_ref().zip(*points) else {
                continue;
            };
            match groups.iter_mut().find(|g| g.0 == estimate.currency) {
                Some((_, group)) => group.push(points),
                None => groups.push((estimate.currency.clone(), vec![points])),
            }
        }
        Costs {
            rows: rows.into_iter().map(|(row, _)| row).collect(),
            totals: groups.into_iter().map(CostTotal::of).collect(),
        }
    }

    fn cost_row(&self, history: &History, row: &Row) -> (CostRow, Option<ThreePoint>) {
        let subject = Subject {
            item: row.item.clone(),
            machine: row.machine.clone(),
        };
        let life = self.lives.get(&subject);
        let counts = life.and_then(|life| self.to_put_right(&subject, life));
        let own = |s: &&Stamped<Cost>| {
            s.rec.item == row.item
                && s.rec.machine == row.machine
                && counts.as_ref().is_some_and(|counts| counts(s.at))
        };
        let found = history.costs.iter().rev().find(own);
        let found = found.and_then(|s| Some((s, points(&s.rec)?)));
        let cost_row = CostRow {
            rank: row.rank,
            item: row.item.clone(),
            machine: row.machine.clone(),
            grade: row.grade,
            code: row.code.clone(),
            risk: row.risk,
            stop: row.stop,
            estimate: found.map(|(s, points)| Estimate::of(s, &points)),
        };
        (cost_row, found.map(|(_, points)| points))
    }
}

/// The figures with labour: low with low and high with high, since a job that takes longer also
/// needs more. None where a record changed by hand has figures that are no estimate.
fn points(cost: &Cost) -> Option<ThreePoint> {
    let points = ThreePoint::new(cost.low, cost.likely, cost.high).ok()?;
    let Some(labour) = &cost.labour else {
        return Some(points);
    };
    let [low, likely, high] = labour.hours;
    let hours = ThreePoint::new(low, likely, high).ok()?;
    let priced = (0.0..=cost::LARGEST).contains(&labour.rate);
    priced.then(|| points.plus(&hours, labour.rate))
}

impl Estimate {
    fn of(made: &Stamped<Cost>, points: &ThreePoint) -> Estimate {
        Estimate {
            at: made.at,
            currency: made.rec.currency.clone(),
            low: points.low(),
            likely: points.likely(),
            high: points.high(),
            mean: points.mean(),
            range: Range {
                p10: points.quantile(0.1),
                p90: points.quantile(0.9),
            },
            note: made.rec.note.clone(),
            id: made.id.clone(),
        }
    }
}

impl CostTotal {
    fn of((currency, points): (Option<String>, Vec<ThreePoint>)) -> CostTotal {
        let total = cost::total(&points, SEED);
        CostTotal {
            currency,
            estimates: points.len(),
            low: total.low,
            likely: total.likely,
            high: total.high,
            mean: total.mean,
            independent: total.independent,
            dependent: total.dependent,
        }
    }
}
