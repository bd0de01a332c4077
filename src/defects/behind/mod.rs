//! What is behind the findings of a machine: her looks as answers to the questions of the causes, and what
//! they point to together. It groups and proposes a look; no grade, risk, stop or verdict asks it.
//!
//! - [`seen`]: which looks count, and what each says; [`signs`]: what a look may say beside its rung
//! - [`lately`]: what happened lately

pub mod lately;
pub mod seen;
pub mod signs;

use super::condition::Condition;
use super::history::History;
use crate::causes::say::unasked;
use crate::causes::{Causes, Judged, Seen};

/// What is known of a machine, ready to be judged.
#[derive(Clone, Debug)]
pub struct Behind {
    causes: Causes,
    /// What was seen.
    pub seen: Seen,
}

impl Behind {
    /// Judges it: exact, about two thousand things that can hold.
    pub fn judge(&self) -> Judged<'_> {
        self.causes.judge(&self.seen)
    }

    /// True where a look found something, so that there is a cause to ask for.
    pub fn has_findings(&self) -> bool {
        let is_bad = |answer: &str| answer != crate::causes::OK;
        self.seen.looks.iter().any(|look| is_bad(&look.answer))
    }
}

impl Condition {
    /// What is dangerous and not ruled out on a machine, a paragraph each; it stands beside a verdict and
    /// changes none.
    pub fn not_ruled_out(&self, history: &History, machine: &str) -> Vec<String> {
        let behind = self.behind(history, machine);
        match behind.has_findings() {
            true => unasked(&behind.judge()),
            false => Vec::new(),
        }
    }

    /// Questions and causes: the built-in ones with those of the boat on top.
    pub fn causes(&self) -> &Causes {
        self.causes.get_or_init(|| Causes::built_in().clone())
    }

    /// What is known of a machine and of the boat around it.
    pub fn behind(&self, history: &History, machine: &str) -> Behind {
        Behind {
            causes: self.causes().clone(),
            seen: self.seen(history, machine),
        }
    }
}
