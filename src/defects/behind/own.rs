//! Questions and causes of the boat's own, as her records give them.
//!
//! Each record carries a checked file of type `causes`. What it says is checked once more against what is
//! known today, by the order of the log: of each id the newest holds, and one that does not check any more,
//! such as one that names an item nobody knows here, is named as not counted and the rest counts.

use std::collections::BTreeMap;

use crate::causes::{Causes, check_file};
use crate::checklist::Catalogue;
use crate::defects::doubt::NotCounted;
use crate::defects::history::Stamped;
use crate::defects::own_causes::OwnCauses;

/// All questions and causes that hold, and which of them are the boat's own.
#[derive(Clone, Debug)]
pub(in crate::defects) struct KnownCauses {
    pub(super) causes: Causes,
    /// By the id of a question: the record that gave it.
    pub(super) questions: BTreeMap<String, String>,
    /// The same of causes.
    pub(super) own: BTreeMap<String, String>,
    /// What does not check.
    pub(super) refused: Vec<NotCounted>,
}

impl KnownCauses {
    /// Ours with those of records on top, by the order of these.
    pub(super) fn of(given: &[Stamped<OwnCauses>], catalogue: &Catalogue) -> KnownCauses {
        let mut known = KnownCauses {
            causes: Causes::built_in().clone(),
            questions: BTreeMap::new(),
            own: BTreeMap::new(),
            refused: Vec::new(),
        };
        given.iter().for_each(|given| known.put(given, catalogue));
        known
    }

    fn put(&mut self, given: &Stamped<OwnCauses>, catalogue: &Catalogue) {
        let name = format!("questions and causes of the entry {}", given.id);
        let text = given.rec.file.to_string();
        match check_file(&name, &text, &self.causes, catalogue) {
            Ok(file) => {
                self.causes = self.causes.with(&file);
                let record = || given.id.clone();
                let questions = file.questions.into_iter();
                let questions = questions.map(|question| (question.id, record()));
                self.questions.extend(questions);
                let causes = file.causes.into_iter();
                self.own.extend(causes.map(|cause| (cause.id, record())));
            }
            Err(complaints) => {
                let why = complaints.first().map(ToString::to_string);
                self.refused.push(NotCounted::because(format!(
                    "{}; they are not asked now: put them in anew with: handlamp causes add FILE",
                    why.unwrap_or(name)
                )));
            }
        }
    }
}
