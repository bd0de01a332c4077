//! When each rung below the present one is likely to be met: the distribution of the first passage
//! of the chain, read at three chances.

use super::chance::{Decay, Known};
use super::span::WearCourse;
use crate::checklist::Grade;

/// Chances at which a passage is told: it may be early, it is as likely as not, it is all but sure
/// (judgement: nine chances in ten lie between the outer two).
pub const CHANCES: [f64; 3] = [0.05, 0.5, 0.95];

/// When a rung, or a worse one, is met.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FirstPassage {
    /// The rung.
    pub rung: Grade,
    /// Wear hours from the last look until each of [`CHANCES`] has come, rising; `None` where it does
    /// not come within the horizon of twenty years.
    pub wear: [Option<f64>; 3],
}

impl WearCourse<'_> {
    /// The rungs below the present one, the next first, each with its first passage. Empty without
    /// a chain, where nobody looked yet, and at the foot of the ladder.
    ///
    /// The passages are counted from the last look, as every chance is, so that with no new look each
    /// stays where it is, whatever the day; the first of them can lie behind.
    pub fn fan(&self) -> Vec<FirstPassage> {
        let Some(present) = present(&self.known) else {
            return Vec::new();
        };
        let below = Grade::ALL.iter().filter(|rung| **rung > present);
        below
            .map(|rung| FirstPassage {
                rung: *rung,
                wear: CHANCES.map(|chance| self.wear_until(*rung, chance)),
            })
            .collect()
    }
}

/// The rung the chain starts from.
fn present(known: &Known) -> Option<Grade> {
    let Decay::Chain(_) = known.decay else {
        return None;
    };
    let seen = known.last?.grade;
    Some(match known.past_life {
        true => seen.max(Grade::Worn),
        false => seen,
    })
}
