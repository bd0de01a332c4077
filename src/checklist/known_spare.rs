//! Spares that are customary aboard: what each serves, how much room it takes, which tools it needs, how long
//! fitting it takes, and how many of it go along in which waters. The table is data
//! (`checklists/spares.json`); what is carried is common practice, counts, room and minutes are judgement.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::compiled::compiled_in;
use super::words::EffectKind;
use crate::boat::Waters;
use crate::text::words;

words! {
    /// What a spare is counted in.
    SpareUnit, "unit of a spare" {
        /// One by one.
        Piece = "piece",
        /// What is fitted together.
        Set = "set",
        /// Litres.
        Litre = "litre",
    }
}

/// A spare the program knows.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KnownSpare {
    /// Never changes once records name it.
    pub id: String,
    /// As it stands in a list, short.
    pub title: String,
    /// What it is counted in.
    pub unit: SpareUnit,
    /// Items it serves, by their ids.
    pub items: Vec<String>,
    /// Service tasks it serves, by their ids.
    pub tasks: Vec<String>,
    /// Parts it holds, by the ids of the parts page.
    pub parts: Vec<String>,
    /// Litres one takes in a locker (judgement).
    pub litres: f64,
    /// Kilograms of one (judgement).
    pub kilos: f64,
    /// Tools without which it is dead weight, by their ids.
    pub tools: Vec<String>,
    /// Minutes of a practised person by day, in still water, to fit it, bleed and try (judgement).
    pub minutes: u32,
    /// Minutes the engine cools before hands go in (judgement).
    pub cooling: u32,
    /// It keeps the sea out and mends nothing: it is carried, and never weighed against others.
    #[serde(default)]
    pub safeguard: bool,
    /// How many go along (judgement).
    carry: BTreeMap<Waters, Carried>,
}

/// How many of a spare go along in some waters. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Carried {
    /// So many (judgement).
    pub count: u32,
    /// What that is, where the count alone does not say it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub words: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[serde(rename = "type")]
    _type: String,
    #[serde(rename = "source")]
    _source: String,
    never_shorter: Vec<EffectKind>,
    tools: BTreeMap<String, String>,
    spares: Vec<KnownSpare>,
}

static TABLE: LazyLock<Table> =
    LazyLock::new(|| compiled_in(include_str!("../../checklists/spares.json")));

impl KnownSpare {
    /// All of them, in the order they are listed.
    pub fn all() -> &'static [KnownSpare] {
        &TABLE.spares
    }

    /// The one of an id.
    pub fn of(id: &str) -> Option<&'static KnownSpare> {
        KnownSpare::all().iter().find(|spare| spare.id == id)
    }

    /// How many go along in some waters; none where it is not customary there.
    pub fn carried(&self, waters: Waters) -> Option<&Carried> {
        self.carry.get(&waters)
    }

    /// Its tools in words.
    pub fn tools_in_words(&self) -> Vec<&'static str> {
        let words = |id: &String| TABLE.tools.get(id).map(String::as_str);
        self.tools.iter().filter_map(words).collect()
    }

    /// True for an effect that no spare makes less: it happens at the moment of failing.
    pub fn never_shortens(effect: EffectKind) -> bool {
        TABLE.never_shorter.contains(&effect)
    }

    /// Every text of it that a person reads, by field.
    #[cfg(test)]
    pub(super) fn texts(&self) -> (Vec<&str>, Vec<&str>) {
        let words = self.carry.values().filter_map(|c| c.words.as_deref());
        (vec![&self.title], words.collect())
    }

    /// Every tool with its words.
    #[cfg(test)]
    pub(super) fn tools_known() -> &'static BTreeMap<String, String> {
        &TABLE.tools
    }
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeSet, HashSet};

    use super::*;
    use crate::checklist::{Catalogue, KnownPart, Library, id_fault};

    /// Ids that records may name already: one is added here with its spare, and none ever goes.
    const NAMED: &str = include_str!("spare_ids.txt");

    #[test]
    fn every_spare_has_an_id_of_its_own_that_stays() {
        let mut ids = HashSet::new();
        for spare in KnownSpare::all() {
            assert_eq!(id_fault(&spare.id), None);
            assert!(ids.insert(spare.id.as_str()), "{} stands twice", spare.id);
            assert!(!spare.title.trim().is_empty());
        }
        let known: BTreeSet<&str> = ids.into_iter().collect();
        assert_eq!(known, NAMED.lines().collect::<BTreeSet<&str>>());
    }

    #[test]
    fn every_item_task_part_and_tool_is_known() {
        let library = Library::built_in();
        let catalogue = Catalogue::built_in();
        let mut tools = HashSet::new();
        for spare in KnownSpare::all() {
            let id = &spare.id;
            assert!(!spare.items.is_empty(), "{id}");
            for item in &spare.items {
                assert!(catalogue.item(item).is_some(), "{id}: {item}");
            }
            for task in &spare.tasks {
                assert!(library.task(task).is_some(), "{id}: {task}");
            }
            for part in &spare.parts {
                assert!(KnownPart::of(part).is_some(), "{id}: {part}");
            }
            for tool in &spare.tools {
                assert!(TABLE.tools.contains_key(tool), "{id}: {tool}");
                tools.insert(tool);
            }
        }
        assert_eq!(tools.len(), TABLE.tools.len(), "a tool serves no spare");
    }

    #[test]
    fn room_minutes_and_counts_are_such_as_can_be_and_never_fall_with_the_waters() {
        for spare in KnownSpare::all() {
            let id = &spare.id;
            assert!((0.1..=20.0).contains(&spare.litres), "{id}");
            assert!((0.05..=20.0).contains(&spare.kilos), "{id}");
            assert!((5..=300).contains(&spare.minutes), "{id}");
            assert!(spare.cooling <= 120, "{id}");
            assert!(!spare.carry.is_empty(), "{id} is carried nowhere");
            assert!(
                spare.carry.values().all(|c| (1..=20).contains(&c.count)),
                "{id}"
            );
            let is_kit = id == "raw-water-pump-kit";
            let counts = Waters::ALL.iter().map(|w| spare.carried(*w));
            let counts: Vec<u32> = counts.map(|c| c.map_or(0, |c| c.count)).collect();
            // Offshore the whole pump takes the place of its kit.
            assert!(is_kit || counts.is_sorted(), "{id}: {counts:?}");
        }
    }

    #[test]
    fn what_happens_at_the_moment_of_failing_is_shortened_by_no_spare() {
        for effect in [
            EffectKind::Fire,
            EffectKind::ExhaustGas,
            EffectKind::Flooding,
            EffectKind::Injury,
            EffectKind::LossOfControl,
        ] {
            assert!(KnownSpare::never_shortens(effect), "{effect}");
        }
        assert!(!KnownSpare::never_shortens(EffectKind::LossOfPropulsion));
    }
}
