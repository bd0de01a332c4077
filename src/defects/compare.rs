//! The list under one exposure beside the list under another: which rows rise.

use std::cmp::Ordering;
use std::collections::HashMap;

use super::condition::Condition;
use super::list::{Row, Scenario};
use crate::assess::words::{Level, Risk, Severity};
use crate::text::words;

words! {
    /// What becomes of a row.
    Shift, "shift" {
        /// Its risk or code is worse, or it stands higher with the same.
        Rises = "rises",
        /// The other way round.
        Falls = "falls",
        /// Neither.
        Stays = "stays",
    }
}

/// Where a row stands in a list.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Place in the list, from 1, the worst.
    pub rank: usize,
    /// A stop rule is in force.
    pub stop: bool,
    /// Chance that it fails within the exposure, 0 to 1, before beta.
    pub chance: f64,
    /// Severity of the deciding effect, an override included.
    pub severity: Severity,
    /// Probability level of the deciding effect, an override included.
    pub level: Level,
    /// Digit of the severity and letter of the level, such as `2B`.
    pub code: String,
    /// Risk of the deciding effect: the cell of MIL-STD-882E Table III at that severity and level.
    pub risk: Risk,
}

/// One row in both lists.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; none for items the boat has once.
    pub machine: Option<String>,
    /// As shown.
    pub title: String,
    /// Where it stands over the first exposure.
    pub a: Place,
    /// Where it stands over the second exposure.
    pub b: Place,
}

impl Compared {
    /// What becomes of it from the one list to the other.
    pub fn shift(&self) -> Shift {
        let (a, b) = (&self.a, &self.b);
        let worse = |p: &Place| (!p.stop, p.risk, p.severity, p.level, p.rank);
        match worse(b).cmp(&worse(a)) {
            Ordering::Less => Shift::Rises,
            Ordering::Greater => Shift::Falls,
            Ordering::Equal => Shift::Stays,
        }
    }
}

impl Condition {
    /// Every row under `a` and under `b`, in the order of `a`. Which rows there are does not depend
    /// on what lies ahead, but for stop rules that know the waters.
    pub fn compare(&self, a: Scenario, b: Scenario) -> Vec<Compared> {
        let key = |row: &Row| (row.item.clone(), row.machine.clone());
        let under_b = self.list(b, false).rows.into_iter();
        let mut others: HashMap<_, Row> = under_b.map(|row| (key(&row), row)).collect();
        let under_a = self.list(a, false).rows.into_iter();
        under_a
            .filter_map(|row| {
                let other = others.remove(&key(&row))?;
                Some(Compared {
                    a: place(&row),
                    b: place(&other),
                    item: row.item,
                    machine: row.machine,
                    title: row.title,
                })
            })
            .collect()
    }
}

/// The rows that change, those that rise first, among them those whose risk or code changes, then by
/// their place in the second list.
pub fn changed(rows: Vec<Compared>) -> Vec<Compared> {
    let mut changed: Vec<_> = rows
        .into_iter()
        .filter(|row| row.shift() != Shift::Stays)
        .collect();
    changed.sort_by_key(|row| {
        let words = (row.a.risk, row.a.severity, row.a.level);
        let same_words = words == (row.b.risk, row.b.severity, row.b.level);
        // Among those that rise or fall, a change of words says more than one of places.
        (row.shift(), same_words, row.b.rank)
    });
    changed
}

fn place(row: &Row) -> Place {
    Place {
        rank: row.rank,
        stop: row.stop,
        chance: row.chance,
        severity: row.severity,
        level: row.level,
        code: row.code.clone(),
        risk: row.risk,
    }
}
