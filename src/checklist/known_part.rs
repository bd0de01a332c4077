//! The parts the program knows: which remedy needs them, and what is measured of each. The table is data
//! (`checklists/parts.json`); a task names its parts by their ids.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::compiled::compiled_in;
use super::part::{PartKind, TaskPart};

/// A part the program knows.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KnownPart {
    /// Never changes once records name it.
    pub id: String,
    /// As it stands in a list, short.
    pub title: String,
    /// What is measured of it.
    pub kind: PartKind,
    /// Items whose remedy needs it, by their ids, with the words that the remedy has for it.
    #[serde(default)]
    pub remedies: BTreeMap<String, String>,
}

#[derive(Deserialize)]
struct Table {
    parts: Vec<KnownPart>,
}

static TABLE: LazyLock<Table> =
    LazyLock::new(|| compiled_in(include_str!("../../checklists/parts.json")));

impl KnownPart {
    /// All of them, in the order they are listed.
    pub fn all() -> &'static [KnownPart] {
        &TABLE.parts
    }

    /// The one of an id.
    pub fn of(id: &str) -> Option<&'static KnownPart> {
        KnownPart::all().iter().find(|part| part.id == id)
    }

    /// What kind of part a task names: as it says itself, else as the one of its id.
    pub fn kind_of(part: &TaskPart) -> PartKind {
        let known = KnownPart::of(&part.id).map(|known| known.kind);
        part.kind.or(known).unwrap_or(PartKind::Other)
    }

    /// The one that the remedy of an item means by its words.
    pub fn in_remedy(item: &str, words: &str) -> Option<&'static KnownPart> {
        let means = |part: &&KnownPart| part.remedies.get(item).is_some_and(|said| said == words);
        KnownPart::all().iter().find(means)
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use std::collections::{BTreeSet, HashSet};

    use super::*;
    use crate::checklist::{Catalogue, Library, id_fault};

    /// Ids that records may name already: one is added here with its part, and none ever goes.
    const NAMED: &str = include_str!("part_ids.txt");

    #[test]
    fn every_part_has_an_id_of_its_own_that_stays() {
        let mut ids = HashSet::new();
        for part in KnownPart::all() {
            assert_eq!(id_fault(&part.id), None);
            assert!(ids.insert(part.id.as_str()), "{} stands twice", part.id);
            assert!(!part.title.trim().is_empty());
        }
        let known: BTreeSet<&str> = ids.into_iter().collect();
        let named: BTreeSet<&str> = NAMED.lines().collect();
        let gone: Vec<_> = named.difference(&known).collect();
        assert!(gone.is_empty(), "records name {gone:?}");
        let new: Vec<_> = known.difference(&named).collect();
        assert!(new.is_empty(), "add {new:?} to part_ids.txt");
    }

    #[test]
    fn every_part_of_a_task_is_named_by_an_id_of_the_table() {
        let mut needed = HashSet::new();
        for task in Library::built_in().tasks() {
            let mut here = HashSet::new();
            for part in &task.parts {
                assert!(!part.is_in_words(), "{}: {} has no id", task.id, part.part);
                assert!(
                    KnownPart::of(&part.id).is_some(),
                    "{}: {}",
                    task.id,
                    part.id
                );
                assert!(here.insert(&part.id), "{}: {} twice", task.id, part.id);
                needed.insert(part.id.as_str());
            }
        }
        for part in KnownPart::all() {
            let is_needed = needed.contains(part.id.as_str()) || !part.remedies.is_empty();
            assert!(is_needed, "nothing needs {}", part.id);
        }
    }

    #[test]
    fn remedies_name_parts_by_the_words_they_have() {
        let mut said = HashSet::new();
        for part in KnownPart::all() {
            for (item, words) in &part.remedies {
                let known = Catalogue::built_in().item(item).expect("an item");
                assert!(known.parts.contains(words), "{}: {item}, {words}", part.id);
                assert!(
                    said.insert((item, words)),
                    "{item}, {words} means two parts"
                );
            }
        }
    }
}
