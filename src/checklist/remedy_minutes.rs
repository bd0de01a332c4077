//! How long the remedy of an item and the work of a task take, and what has to be opened for them. The table is data
//! (`checklists/remedy-minutes.json`); all of it is judgement, and the owner's own figure outranks it.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::compiled::compiled_in;

/// How long a remedy takes.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RemedyMinutes {
    /// Minutes of a practised person by day, tied up, parts and tools to hand, without opening.
    pub minutes: u32,
    /// What is opened first, by its word; opened once for all that share it.
    #[serde(default)]
    pub access: Option<String>,
}

/// What is opened before several remedies.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Opened {
    /// As it is told.
    pub title: String,
    /// Minutes to open it and to close it again.
    pub minutes: u32,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[serde(rename = "type")]
    _type: String,
    #[serde(rename = "source")]
    _source: String,
    accesses: BTreeMap<String, Opened>,
    items: BTreeMap<String, RemedyMinutes>,
    tasks: BTreeMap<String, RemedyMinutes>,
}

static TABLE: LazyLock<Table> =
    LazyLock::new(|| compiled_in(include_str!("../../checklists/remedy-minutes.json")));

impl RemedyMinutes {
    /// Of a built-in item; none for an item of one's own.
    pub fn of(item: &str) -> Option<&'static RemedyMinutes> {
        TABLE.items.get(item)
    }

    /// Of a built-in service task; none for a task of one's own.
    pub fn of_task(task: &str) -> Option<&'static RemedyMinutes> {
        TABLE.tasks.get(task)
    }
}

impl Opened {
    /// Of its word.
    pub fn of(access: &str) -> Option<&'static Opened> {
        TABLE.accesses.get(access)
    }
}

#[cfg(test)]
#[allow(clippy::panic)]
mod tests {
    use super::*;
    use crate::checklist::{Catalogue, Library, Where};

    #[test]
    fn every_built_in_item_has_its_minutes_and_no_other_name_stands_there() {
        let catalogue = Catalogue::built_in();
        for item in catalogue.items() {
            let work = RemedyMinutes::of(&item.id);
            let work = work.unwrap_or_else(|| panic!("{} has no minutes", item.id));
            // Between a cap screwed on and ten hours.
            assert!((5..=600).contains(&work.minutes), "{}", item.id);
            let ashore = work.access.as_deref() == Some("out-of-the-water");
            let lifted = item.remedy.place == Where::HauledOut;
            assert_eq!(
                ashore, lifted,
                "{}: out of the water for both or none",
                item.id
            );
        }
        assert!(TABLE.items.keys().all(|id| catalogue.item(id).is_some()));
        let tasks = Library::built_in().tasks().iter();
        let tasks: Vec<&str> = tasks.map(|task| task.id.as_str()).collect();
        for task in &tasks {
            let work = RemedyMinutes::of_task(task);
            let work = work.unwrap_or_else(|| panic!("{task} has no minutes"));
            assert!((5..=600).contains(&work.minutes), "{task}");
        }
        assert!(TABLE.tasks.keys().all(|id| tasks.contains(&id.as_str())));
    }

    #[test]
    fn every_access_serves_several_items_and_is_known() {
        let all = || TABLE.items.values().chain(TABLE.tasks.values());
        let named = || all().filter_map(|w| w.access.as_deref());
        for access in named() {
            assert!(Opened::of(access).is_some(), "{access}");
        }
        for (word, opened) in &TABLE.accesses {
            assert!(named().filter(|a| a == word).count() > 1, "{word}");
            assert!((5..=240).contains(&opened.minutes), "{word}");
            assert!(!opened.title.is_empty(), "{word}");
        }
    }
}
