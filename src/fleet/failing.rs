//! Which item fails most over all boats, with the counts that each rate stands on.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::over::{At, Over};
use super::shelf::Fleet;
use crate::assess::gamma;

/// How items fared over all boats. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Failing {
    /// Over which boats.
    pub over: Over,
    /// What was ever found failing or failed: first what surely fails most, by the lower end of its
    /// range, so that one finding in a short time does not lead.
    pub rows: Vec<FailingSum>,
    /// Items that were looked at and never found failing.
    pub never: usize,
}

/// One item over all boats. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FailingSum {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// As shown.
    pub title: String,
    /// Times it was found failing or failed, each until it was put right counted once.
    pub findings: u32,
    /// Looks at it that graded it.
    pub looks: u32,
    /// Years in which it was watched: since its first look, each machine's for itself.
    pub years: f64,
    /// Boats that have it looked at.
    pub watched_on: usize,
    /// Boats on which it was found failing, each with how often.
    pub found_on: Vec<FoundAt>,
    /// Findings in a year; null where it was watched for less than a day.
    pub per_year: Option<f64>,
    /// The range of that with nine chances in ten, where findings come by chance and independently.
    pub per_year_range: Option<[f64; 2]>,
    /// Findings in a look.
    pub per_look: f64,
}

/// Findings on one boat. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FoundAt {
    /// On whose.
    #[serde(flatten)]
    pub at: At,
    /// How often.
    pub findings: u32,
}

/// How each item fared over all boats.
pub fn fared(fleet: &Fleet) -> Failing {
    let mut by: BTreeMap<&str, FailingSum> = BTreeMap::new();
    for (boat, stand) in fleet.each_once() {
        let mut here: BTreeMap<&str, u32> = BTreeMap::new();
        for fared in &stand.failings {
            let item = fared.subject.item.as_str();
            let sum = by.entry(item).or_insert_with(|| FailingSum {
                item: item.to_owned(),
                title: stand.title(item).to_owned(),
                findings: 0,
                looks: 0,
                years: 0.0,
                watched_on: 0,
                found_on: Vec::new(),
                per_year: None,
                per_year_range: None,
                per_look: 0.0,
            });
            sum.findings += fared.findings;
            sum.looks += fared.looks;
            sum.years += fared.years;
            *here.entry(item).or_default() += fared.findings;
        }
        for (item, findings) in here {
            if let Some(sum) = by.get_mut(item) {
                sum.watched_on += 1;
                let at = At::of(boat);
                let found = (findings > 0).then_some(FoundAt { at, findings });
                sum.found_on.extend(found);
            }
        }
    }
    let never = by.values().filter(|sum| sum.findings == 0).count();
    let found = by.into_values().filter(|sum| sum.findings > 0);
    let mut rows: Vec<FailingSum> = found.map(FailingSum::reckoned).collect();
    let least = |sum: &FailingSum| sum.per_year_range.map_or(0.0, |[low, _]| low);
    rows.sort_by(|a, b| {
        let lower = least(b).total_cmp(&least(a));
        lower
            .then(b.findings.cmp(&a.findings))
            .then_with(|| a.item.cmp(&b.item))
    });
    Failing {
        over: Over::all(fleet),
        rows,
        never,
    }
}

impl FailingSum {
    fn reckoned(self) -> FailingSum {
        let found = f64::from(self.findings);
        let is_told = self.years * 365.25 >= 1.0;
        FailingSum {
            per_year: is_told.then(|| found / self.years),
            per_year_range: is_told.then(|| range(self.findings, self.years)),
            per_look: found / f64::from(self.looks.max(1)),
            ..self
        }
    }
}

/// The rates under which so many findings or more, and so many or fewer, have each one chance in twenty
/// in so many years (the exact interval of a Poisson count, Garwood 1936).
fn range(findings: u32, years: f64) -> [f64; 2] {
    let found = f64::from(findings);
    let low = match findings {
        0 => 0.0,
        _ => gamma::quantile(found, 0.05),
    };
    [low / years, gamma::quantile(found + 1.0, 0.95) / years]
}

#[cfg(test)]
mod tests {
    use super::range;

    /// The exact 90 % interval of a Poisson count, as it is tabled everywhere (half of chi-squared
    /// quantiles): 1 gives 0.051 and 4.74, 10 gives 5.43 and 16.96, 0 gives 3.00.
    #[test]
    fn the_range_of_a_count_is_the_tabled_one() {
        for (n, low, high) in [(0, 0.0, 2.996), (1, 0.0513, 4.744), (10, 5.425, 16.962)] {
            let [least, most] = range(n, 1.0);
            assert!((least - low).abs() < 1e-3 && (most - high).abs() < 1e-3);
        }
        assert_eq!(range(4, 2.0).map(|rate| rate * 2.0), range(4, 1.0));
    }
}
