//! What is behind the findings of a machine: her looks as answers to the questions of the causes, and what
//! they point to together. It groups and proposes a look; no grade, risk, stop or verdict asks it.
//!
//! - [`seen`]: which looks count, and what each says; [`signs`]: what a look may say beside its rung
//! - [`short`]: what is said of it unasked, in two or three lines

pub mod seen;
pub mod short;
pub mod signs;

use super::condition::Condition;
use super::history::History;
use crate::causes::{Causes, Judged, OK, Question, Seen};
use crate::checklist::Grade;

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
        let mut looks = self.seen.looks.iter();
        let mut parts = self.seen.parts.iter();
        looks.any(|look| look.answer != OK) || parts.any(|part| part.grade >= Grade::Failing)
    }
}

impl Condition {
    /// Questions and causes: the built-in ones with those of the boat on top.
    pub fn causes(&self) -> &Causes {
        self.causes.get_or_init(|| Causes::built_in().clone())
    }

    /// The items of a machine and of the boat around it whose look answers a question.
    pub fn items_of<'q>(&self, question: &'q Question, machine: &str) -> Vec<&'q str> {
        let items = question.from.iter().map(|by| by.item.as_str());
        let fitted = |item: &&str| {
            let life = self.life(item, machine);
            life.is_some_and(|life| !life.status.removed)
        };
        items.filter(fitted).collect()
    }

    /// What is known of a machine and of the boat around it.
    pub fn behind(&self, history: &History, machine: &str) -> Behind {
        Behind {
            causes: self.causes().clone(),
            seen: self.seen(history, machine),
        }
    }
}
