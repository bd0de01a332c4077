//! A walk judged: as it was said, as at its end, and as of now.

use std::sync::Arc;

use super::condition::Condition;
use super::gate::RunInSpite;
use super::grounds::{SaidDiffers, in_words};
use super::history::History;
use super::said::{Said, VerdictReason};
use super::view::{NotSeen, WalkView};
use crate::assess::words::Verdict;
use crate::boat::Boat;
use crate::checklist::Library;
use crate::walk::Walk;

/// The verdict on a walk.
#[derive(Clone, Debug)]
pub struct Judged {
    /// What was said when it ended; none for old walks, and where nothing was said.
    pub said: Option<Said>,
    /// Why that is not what is reckoned of its end today, where it is not.
    pub said_differs: Option<SaidDiffers>,
    /// As at the walk's end; none while it is unfinished or where its checklist gives none.
    pub at_walk: Option<Verdict>,
    /// The verdict as of now, with what is on record since.
    pub now: Option<Verdict>,
    /// The rows that made the verdict as of now.
    pub reasons: Vec<VerdictReason>,
    /// The stops over which the engine was run in it; none where it was not.
    pub run_in_spite_of: Option<RunInSpite>,
    /// Items of the walk not seen.
    pub not_seen: Vec<NotSeen>,
}

impl Judged {
    /// Why what was said is not what is reckoned of its end today; empty where it is.
    pub fn said_in_words(&self) -> Vec<String> {
        in_words(self.said.as_ref(), self.said_differs.as_ref())
    }
}

/// Judges a walk at its end and as of now.
pub fn judge(
    boat: &Boat,
    library: &Arc<Library>,
    history: &History,
    now: &Condition,
    walk: &Walk,
) -> Judged {
    WalkView::of(boat, library, history, walk, now.now).judged(history, now, walk)
}

impl WalkView {
    /// The verdict as it was said, at its end and as of now; `history`, `now` and `walk` are those of
    /// today.
    pub fn judged(&self, history: &History, now: &Condition, walk: &Walk) -> Judged {
        let reckoned = Said::of(&self.condition, &self.history, &self.walk);
        let said = history.said.get(&walk.id);
        let differs = |said: &Said| {
            let (condition, history) = (&self.condition, &self.history);
            said.differs(reckoned.as_ref(), condition, history, &walk.machine)
        };
        let today = Said::of(now, history, walk);
        Judged {
            said_differs: said.and_then(differs),
            said: said.cloned(),
            at_walk: reckoned.map(|said| said.verdict),
            now: today.as_ref().map(|said| said.verdict),
            reasons: today.map_or_else(Vec::new, |said| said.reasons),
            run_in_spite_of: self.run_in_spite_of(history),
            not_seen: self.not_seen(),
        }
    }
}
