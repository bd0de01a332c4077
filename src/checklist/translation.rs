//! What catalogue, checklists and service tasks say, in the language of a reader: one text in the place of one English
//! text, found by a digest of that text. The texts are data (`checklists/words/de`).
//!
//! A changed English text has another digest and so no translation any more: it is given in English
//! until somebody has read it, and never as something that it does not say.

use std::collections::{BTreeMap, HashMap};
use std::sync::LazyLock;

use serde::Deserialize;
use sha2::{Digest, Sha256};

use super::compiled::compiled_in;
use super::library::files;

/// Name and text of the files in German: one for each file of the catalogue, one for the
/// checklists, one for the walks of the seasons, one for the service tasks, one for the spares.
const GERMAN: &[(&str, &str)] = files!(
    "words/de/hatch.json",
    "words/de/bilge.json",
    "words/de/sea-inlet.json",
    "words/de/front.json",
    "words/de/service-side.json",
    "words/de/fuel-side.json",
    "words/de/top.json",
    "words/de/back.json",
    "words/de/stern.json",
    "words/de/exhaust.json",
    "words/de/controls.json",
    "words/de/electrical.json",
    "words/de/space.json",
    "words/de/helm.json",
    "words/de/over-side.json",
    "words/de/outboard.json",
    "words/de/lists.json",
    "words/de/seasons.json",
    "words/de/tasks.json",
    "words/de/spares.json",
);

/// The digest of an English text, and what stands in its place.
#[derive(Deserialize)]
struct Said(String, String);

/// By id and field, as many texts as the field has.
type Places = BTreeMap<String, BTreeMap<String, Vec<Said>>>;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WordsFile {
    #[serde(default)]
    stations: Places,
    #[serde(default)]
    items: Places,
    #[serde(default)]
    lists: Places,
    #[serde(default)]
    tasks: Places,
    #[serde(default)]
    spares: Places,
    #[serde(default)]
    tools: Places,
}

impl WordsFile {
    /// Every text with its sort, id and field.
    fn places(self) -> impl Iterator<Item = (&'static str, String, String, Said)> {
        let sorts = [
            ("stations", self.stations),
            ("items", self.items),
            ("lists", self.lists),
            ("tasks", self.tasks),
            ("spares", self.spares),
            ("tools", self.tools),
        ];
        sorts.into_iter().flat_map(|(sort, places)| {
            places.into_iter().flat_map(move |(id, fields)| {
                fields.into_iter().flat_map(move |(field, texts)| {
                    let id = id.clone();
                    let place = move |said| (sort, id.clone(), field.clone(), said);
                    texts.into_iter().map(place)
                })
            })
        })
    }
}

/// The texts of one language, each by the digest of the English one.
pub struct Translation(HashMap<String, String>);

impl Translation {
    /// In German, read when it is first asked for.
    pub fn german() -> &'static Translation {
        static TEXTS: LazyLock<Translation> = LazyLock::new(|| Translation::read(GERMAN));
        &TEXTS
    }

    fn read(files: &[(&str, &str)]) -> Translation {
        let files = files.iter().map(|(_, text)| compiled_in::<WordsFile>(text));
        let texts = files.flat_map(WordsFile::places);
        Translation(
            texts
                .map(|(.., Said(digest, text))| (digest, text))
                .collect(),
        )
    }

    /// What stands in the place of an English text of catalogue or checklists, whole and as it stands
    /// there: a title, a rung, a remedy, a caution, a part, a phase. None where nobody has
    /// translated that very text: it is to be given as it is, and said to be English.
    pub fn of(&self, english: &str) -> Option<&str> {
        self.0.get(&digest(english)).map(String::as_str)
    }
}

/// The first 6 bytes of the SHA-256 of a text, in hex.
fn digest(text: &str) -> String {
    let digest = Sha256::digest(text);
    digest.iter().take(6).map(|b| format!("{b:02x}")).collect()
}

#[cfg(test)]
#[allow(clippy::expect_used, clippy::panic)]
mod tests;
