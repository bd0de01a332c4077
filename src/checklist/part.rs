//! Parts as a task names them: by an id, or in words alone.

use std::borrow::Cow;
use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserializer, MapAccess, Visitor};
use serde::{Deserialize, Serialize, Serializer};
use sha2::{Digest, Sha256};

use crate::text::words;

/// An id made of words is cut to so many bytes.
const LONGEST_MADE: usize = 48;

words! {
    /// What a part is, which decides what is measured of it.
    PartKind, "kind of part" {
        /// A belt: section and outside length.
        Belt = "belt",
        /// The impeller of a pump: diameter, width, shaft bore, vanes, how it is driven.
        Impeller = "impeller",
        /// A filter or its element: thread, seal, height, by-pass, what keeps it from draining back.
        Filter = "filter",
        /// A hose: bore and length.
        Hose = "hose",
        /// Oil: its specification.
        Oil = "oil",
        /// Coolant: its specification and kind.
        Coolant = "coolant",
        /// An anode: thread and length.
        Anode = "anode",
        /// Anything else: in words.
        Other = "other",
    }
}

/// A part that work of a task needs: with an id by which the boat's records name it, or in words alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TaskPart {
    /// The same id in two tasks is the same part of a machine.
    pub id: String,
    /// What it is, by plain description.
    pub part: String,
    /// What kind it is, where the task says so.
    pub kind: Option<PartKind>,
    /// It is written as words alone, and its id is made of them.
    in_words: bool,
}

/// As it stands in a file.
#[derive(Serialize, JsonSchema)]
#[serde(untagged)]
enum Written {
    /// By plain description alone.
    InWords(String),
    /// With the id by which records name it.
    Named(Named),
}

#[derive(Deserialize, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Named {
    /// Lower-case words joined by hyphens; the same id in two tasks is the same part.
    id: String,
    /// What it is, by plain description.
    part: String,
    /// What is measured of it; left out, that of the built-in part of this id, else `other`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    kind: Option<PartKind>,
}

impl TaskPart {
    /// True where it is written as words alone.
    pub fn is_in_words(&self) -> bool {
        self.in_words
    }

    /// A part in words alone; its id is made of their letters and digits, so that other words are
    /// another part.
    pub fn in_words(words: &str) -> TaskPart {
        TaskPart {
            id: id_of(words),
            part: words.to_owned(),
            kind: None,
            in_words: true,
        }
    }
}

impl<'de> Deserialize<'de> for TaskPart {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<TaskPart, D::Error> {
        struct Either;

        impl<'de> Visitor<'de> for Either {
            type Value = TaskPart;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a part in words, or with its id")
            }

            fn visit_str<E>(self, words: &str) -> Result<TaskPart, E> {
                Ok(TaskPart::in_words(words))
            }

            // Read by itself, so that a fault names its field.
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<TaskPart, A::Error> {
                let named = Named::deserialize(MapAccessDeserializer::new(map))?;
                Ok(TaskPart {
                    id: named.id,
                    part: named.part,
                    kind: named.kind,
                    in_words: false,
                })
            }
        }

        from.deserialize_any(Either)
    }
}

impl Serialize for TaskPart {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let written = match self.in_words {
            true => Written::InWords(self.part.clone()),
            false => Written::Named(Named {
                id: self.id.clone(),
                part: self.part.clone(),
                kind: self.kind,
            }),
        };
        written.serialize(to)
    }
}

impl JsonSchema for TaskPart {
    fn schema_name() -> Cow<'static, str> {
        "TaskPart".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        Written::json_schema(generator)
    }
}

/// The letters and digits of words, joined by hyphens. Where letters are lost on the way, the words
/// are told apart by a piece of their digest.
fn id_of(words: &str) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() { c } else { '-' };
    let plain: String = words.to_lowercase().chars().map(plain).collect();
    let pieces: Vec<&str> = plain.split('-').filter(|piece| !piece.is_empty()).collect();
    let mut id = pieces.join("-");
    let is_whole = words.is_ascii() && id.len() <= LONGEST_MADE && !id.is_empty();
    if is_whole {
        return id;
    }
    id.truncate(LONGEST_MADE);
    let digest = Sha256::digest(words.as_bytes());
    let told: String = digest.iter().take(4).map(|b| format!("{b:02x}")).collect();
    let id = id.trim_end_matches('-');
    match id {
        "" => format!("part-{told}"),
        id => format!("{id}-{told}"),
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use std::collections::HashSet;

    use super::*;
    use crate::checklist::id_fault;

    #[test]
    fn words_alone_make_an_id_and_other_words_another() {
        assert_eq!(TaskPart::in_words("Oil filter").id, "oil-filter");
        let ids =
            ["Ölfilter", "Älfilter", "油滤", "油", "!", "?"].map(|w| TaskPart::in_words(w).id);
        let all: HashSet<&String> = ids.iter().collect();
        assert_eq!(all.len(), ids.len(), "{ids:?}");
        assert!(ids.iter().all(|id| id_fault(id).is_none()), "{ids:?}");
        let long = "seal ".repeat(60);
        assert_eq!(id_fault(&TaskPart::in_words(&long).id), None);
    }

    #[test]
    fn a_part_is_written_as_it_was_read() {
        for text in [
            r#""clean water""#,
            r#"{"id":"my-ring","part":"ring"}"#,
            r#"{"id":"my-ring","part":"ring","kind":"hose"}"#,
        ] {
            let part: TaskPart = serde_json::from_str(text).expect("a part");
            assert_eq!(serde_json::to_string(&part).expect("JSON"), text);
        }
    }
}
