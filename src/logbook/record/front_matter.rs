//! What stands before the findings in a survey's document, entry by entry.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::event::{Event, Grounds, Names, Part, Time, Weight, at_a_time, fault, on_no_item};
use super::told::unknown_walk;
use crate::defects::admit::{Fault, longer_than};
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};
use crate::walk::FrontFact;
use crate::walk::front::Entry;

/// The longest entry of one line, bytes.
pub const LONGEST_LINE: usize = 300;
/// The longest entry of several lines, bytes; judgement, as the next.
pub const LONGEST_LINES: usize = 4000;
/// The most lines of one.
pub const MOST_LINES: usize = 60;

/// What was said of the front matter of a walk's document: of each entry named the words, or nothing,
/// which takes it out. Of each entry the last word holds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FrontSaid {
    /// Walk id.
    pub walk: String,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<Time>,
    /// The entries named; null takes one out.
    pub entries: BTreeMap<FrontFact, Option<String>>,
}

/// What is wrong with an entry as it is to stand.
///
/// # Errors
/// One sentence without a full stop.
pub fn entry_fault(fact: FrontFact, text: &str) -> Result<(), String> {
    let too_long = |longest| longer_than(longest, "", text).map(|(_, message)| message);
    let wrong = match fact.entry() {
        _ if text.trim().is_empty() => {
            Some("it says nothing; null, or nothing behind the =, takes it out".to_owned())
        }
        Entry::Line if text.chars().any(char::is_control) => {
            Some("it is one line, without a break or another control character".to_owned())
        }
        Entry::Line => too_long(LONGEST_LINE),
        Entry::Lines if text.lines().count() > MOST_LINES => {
            Some(format!("at most {MOST_LINES} lines"))
        }
        Entry::Lines if text.chars().any(|c| c.is_control() && c != '\n') => {
            Some("it has a control character other than a break".to_owned())
        }
        Entry::Lines => too_long(LONGEST_LINES),
        Entry::Choice(words) if !words.contains(&text) => {
            Some(format!("expected one of: {}", words.join(", ")))
        }
        Entry::Choice(_) => None,
    };
    wrong.map_or(Ok(()), Err)
}

/// Faults of entries, each under its name behind `field`.
pub(in crate::logbook) fn front_faults(
    field: &str,
    entries: &BTreeMap<FrontFact, Option<String>>,
) -> Vec<Fault> {
    let said = entries.iter().filter_map(|(fact, text)| {
        let why = entry_fault(*fact, text.as_deref()?).err()?;
        Some(fault(&format!("{field}.{fact}"), why))
    });
    let none = entries.is_empty();
    let none = none.then(|| fault(field, "say at least one entry"));
    none.into_iter().chain(said).collect()
}

impl Event for FrontSaid {
    const NAME: &'static str = "front-matter";
    const OUTSIDE: Outside = Outside::act::<Self>();
    // No verdict rests on it; a document without it says that it is missing.
    const LOST: Weight = Weight::Said;
    const CHANGED: Weight = Weight::Said;
    const RESTS_ON_OWN: bool = false;
    const CONCERNS_BOAT: bool = false;

    at_a_time!();

    on_no_item!();

    // Those of several lines may be longer than a text, and are looked at with the rest.
    fn texts(&self) -> Vec<(&'static str, &str)> {
        let said = self.entries.iter();
        let said = said.filter(|(fact, _)| fact.entry() != Entry::Lines);
        said.filter_map(|(_, text)| Some(("entries", text.as_deref()?)))
            .collect()
    }

    fn names(&self) -> Names<'_> {
        Names::walk(&self.walk, Part::Beside)
    }

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let mut faults = front_faults("entries", &self.entries);
        faults.extend(unknown_walk(grounds, &self.walk));
        faults
    }

    fn apply(&self, _: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        if let Some(walk) = state.walk(&self.walk) {
            for (fact, text) in &self.entries {
                match text {
                    Some(text) => walk.front.0.insert(*fact, text.clone()),
                    None => walk.front.0.remove(fact),
                };
            }
        }
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        let name = |(fact, text): (&FrontFact, &Option<String>)| match text {
            Some(_) => fact.words().to_owned(),
            None => format!("{} taken out", fact.words()),
        };
        let names: Vec<String> = self.entries.iter().map(name).collect();
        Some(format!("entered of a report: {}", names.join(", ")))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.walks.iter().flat_map(|walk| {
            walk.front.0.iter().map(|(fact, text)| FrontRow {
                walk: walk.id.clone(),
                entry: fact.to_string(),
                value: text.clone(),
            })
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// What stands before the findings in the document of a walk, one entry a row.
    FrontRow = "front_matter" key(walk, entry) {
        /// Walk id.
        walk: String,
        /// The entry.
        entry: String,
        /// What was entered.
        value: String,
    }
}
