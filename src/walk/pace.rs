//! Whether a walk went faster than its rows can be looked at. Told in one line at the end, never a scold.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::plan::Plan;
use super::round::Walk;

/// Median seconds spent per item, against the honest looking time of the same items.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Pace {
    /// Whole seconds between one look and the next, median.
    pub median_seconds: u32,
    /// Looking time of the same items, median.
    pub looking_seconds: u32,
    /// How many looks were timed.
    pub looks: u32,
}

impl Pace {
    /// Fewer looks than this say nothing.
    pub const FEWEST: usize = 8;

    /// The pace of a walk, or `None` where it was typed in afterwards or has too few looks.
    /// A row graded with one key counts as one look whose looking time is that of all its items.
    pub fn of(walk: &Walk, plan: &Plan, seconds: impl Fn(&str) -> Option<u32>) -> Option<Pace> {
        if walk.entered_after {
            return None;
        }
        let mut spent = Vec::new();
        let mut needed = Vec::new();
        let mut before: Option<chrono::DateTime<chrono::FixedOffset>> = Some(walk.at);
        for (p, r) in plan.rows() {
            let (Some(row), Some(phase)) = (plan.row(p, r), plan.phases.get(p)) else {
                continue;
            };
            let looks: Vec<_> = row
                .items
                .iter()
                .filter_map(|i| walk.look_in(&phase.id, i))
                .collect();
            let Some(last) = looks.iter().map(|t| t.at).max() else {
                continue;
            };
            if let Some(before) = before.filter(|b| last >= *b) {
                spent.push((last - before).num_milliseconds().max(0) as f64 / 1000.0);
                needed.push(row.items.iter().filter_map(|i| seconds(i)).sum::<u32>());
            }
            before = Some(last);
        }
        if spent.len() < Pace::FEWEST {
            return None;
        }
        let looks = spent.len() as u32;
        spent.sort_by(f64::total_cmp);
        needed.sort_unstable();
        Some(Pace {
            median_seconds: spent[spent.len() / 2].round() as u32,
            looking_seconds: needed[needed.len() / 2],
            looks,
        })
    }

    /// True where the rows went by in less than a third of their looking time.
    pub fn hurried(&self) -> bool {
        self.median_seconds * 3 < self.looking_seconds
    }
}
