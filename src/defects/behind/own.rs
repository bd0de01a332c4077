//! Questions and causes of the boat's own, as her records give them.
//!
//! Each record carries a checked file of type `causes`. What it says is checked once more against what is
//! known today, by the order of the log: of each id the newest holds, and one that does not check any more,
//! such as one that names an item nobody knows here, is named as not counted and the rest counts.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::causes::{Causes, check_file};
use crate::defects::condition::Condition;
use crate::defects::doubt::NotCounted;
use crate::defects::history::{History, Stamped};

/// Questions and causes were put into the boat.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OwnCauses {
    /// The file, as it was checked.
    pub file: Value,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime<FixedOffset>>,
}

/// All questions and causes that hold, and which of them are the boat's own.
#[derive(Clone, Debug)]
pub(in crate::defects) struct KnownCauses {
    pub(super) causes: Causes,
    /// By the id of a question: the record that gave it.
    questions: BTreeMap<String, String>,
    /// The same of causes.
    own: BTreeMap<String, String>,
    refused: Vec<NotCounted>,
}

impl Condition {
    /// Takes in what the records say of questions and causes, unread as yet.
    pub(in crate::defects) fn take_causes(&mut self, history: &History) {
        self.own_causes.clone_from(&history.own_causes);
        self.own_causes.sort_by_key(|given| given.place);
    }

    /// Questions and causes, ours with those of the boat on top; read and checked when first asked for.
    pub(super) fn known_causes(&self) -> &KnownCauses {
        self.causes.get_or_init(|| {
            let mut known = KnownCauses {
                causes: Causes::built_in().clone(),
                questions: BTreeMap::new(),
                own: BTreeMap::new(),
                refused: Vec::new(),
            };
            let given = self.own_causes.iter();
            given.for_each(|given| self.put_on_top(given, &mut known));
            known
        })
    }

    fn put_on_top(&self, given: &Stamped<OwnCauses>, known: &mut KnownCauses) {
        let name = format!("questions and causes of the entry {}", given.id);
        let text = given.rec.file.to_string();
        match check_file(&name, &text, &known.causes, &self.library.catalogue) {
            Ok(file) => {
                known.causes = known.causes.with(&file);
                let record = || given.id.clone();
                let questions = file.questions.into_iter();
                known
                    .questions
                    .extend(questions.map(|question| (question.id, record())));
                let causes = file.causes.into_iter();
                known.own.extend(causes.map(|cause| (cause.id, record())));
            }
            Err(complaints) => {
                let why = complaints.first().map(ToString::to_string);
                known.refused.push(NotCounted::because(format!(
                    "{}; they are not asked now: put them in anew with: handlamp causes add FILE",
                    why.unwrap_or(name)
                )));
            }
        }
    }

    /// What of the boat's own questions and causes does not count.
    pub(in crate::defects) fn refused_causes(&self) -> &[NotCounted] {
        match self.own_causes.is_empty() {
            true => &[],
            false => &self.known_causes().refused,
        }
    }

    /// The record that gave a question; none of a built-in one.
    pub fn question_given_by(&self, id: &str) -> Option<&str> {
        self.known_causes().questions.get(id).map(String::as_str)
    }

    /// The record that gave a cause; none of a built-in one.
    pub fn cause_given_by(&self, id: &str) -> Option<&str> {
        self.known_causes().own.get(id).map(String::as_str)
    }
}
