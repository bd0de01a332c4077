//! The file of symptoms and cards: part of the program.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::text::words;

/// Text of the symptoms compiled in.
const BUILT_IN: &str = include_str!("../../checklists/symptoms.json");

/// Cards and symptoms.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SymptomsFile {
    /// What the file is.
    #[serde(rename = "type")]
    pub tag: SymptomsTag,
    /// The first-minute cards, the most urgent first.
    pub cards: Vec<Card>,
    /// The symptoms, the most urgent first.
    pub symptoms: Vec<Symptom>,
}

words! {
    /// The word `symptoms`, so that a file says what it is.
    SymptomsTag, "file of symptoms" {
        /// The only value.
        Symptoms = "symptoms",
    }
}

/// What is done in the first minute.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Card {
    /// Lower-case words joined by hyphens.
    pub id: String,
    /// What has happened.
    pub title: String,
    /// What is done, in its order; six at most.
    pub lines: Vec<CardLine>,
    /// A published source, or "common practice, no single source".
    pub source: String,
}

/// One thing to do.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CardLine {
    /// What is done, a whole sentence.
    pub says: String,
    /// The facts of the boat or of a machine that say where, by their names.
    #[serde(default)]
    pub at: Vec<String>,
}

/// What she does, in a skipper's words.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Symptom {
    /// Lower-case words joined by hyphens.
    pub id: String,
    /// What she does.
    pub title: String,
    /// Other words it is looked for by.
    pub words: Vec<String>,
    /// What comes first; none where it has a card.
    #[serde(default)]
    pub first: Vec<CardLine>,
    /// Its card, by its id.
    #[serde(default)]
    pub card: Option<String>,
    /// The looks it leads to, what was seen already before the others.
    pub looks: Vec<LookAt>,
    /// A published source, or "common practice, no single source".
    pub source: String,
}

/// A look a symptom leads to.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LookAt {
    /// The catalogue item, by its id.
    pub item: String,
    /// The question of the causes asked with it, by its id.
    #[serde(default)]
    pub asks: Option<String>,
    /// True where it was seen already: it is told, and nothing is done for it again.
    #[serde(default)]
    pub seen: bool,
}

impl SymptomsFile {
    /// What is compiled into the program, read once.
    pub fn built_in() -> &'static SymptomsFile {
        static READ: LazyLock<SymptomsFile> = LazyLock::new(|| {
            #[expect(
                clippy::expect_used,
                reason = "the text is part of the program; tests read all of it"
            )]
            serde_json::from_str(BUILT_IN).expect("the built-in symptoms are whole")
        });
        &READ
    }

    /// The card of an id.
    pub fn card(&self, id: &str) -> Option<&Card> {
        self.cards.iter().find(|card| card.id == id)
    }

    /// The symptom of an id.
    pub fn symptom(&self, id: &str) -> Option<&Symptom> {
        self.symptoms.iter().find(|symptom| symptom.id == id)
    }

    /// The symptom that a card answers first.
    pub fn symptom_of(&self, card: &str) -> Option<&Symptom> {
        let mut symptoms = self.symptoms.iter();
        symptoms.find(|symptom| symptom.card.as_deref() == Some(card))
    }

    /// The card of a symptom.
    pub fn card_of(&self, symptom: &Symptom) -> Option<&Card> {
        self.card(symptom.card.as_ref()?)
    }

    /// What comes first at a symptom: its card, else its own words.
    pub fn first<'f>(&'f self, symptom: &'f Symptom) -> &'f [CardLine] {
        let card = self.card_of(symptom);
        card.map_or(&symptom.first, |card| &card.lines)
    }
}

/// True where every word typed begins a word of what it is spoken of with; large and small letters are one.
fn has(typed: &str, spoken: &str) -> bool {
    let spoken = spoken.to_lowercase();
    let typed = typed.to_lowercase();
    let words = |text| str::split(text, |c: char| !c.is_alphanumeric());
    let mut typed = words(&typed).filter(|word| !word.is_empty());
    typed.all(|word| words(&spoken).any(|known| known.starts_with(word)))
}

impl Symptom {
    /// True where it is spoken of with these words.
    pub fn is_spoken_of(&self, typed: &str) -> bool {
        has(typed, &format!("{} {}", self.title, self.words.join(" ")))
    }
}

impl Card {
    /// True where its title has these words.
    pub fn is_spoken_of(&self, typed: &str) -> bool {
        has(typed, &self.title)
    }
}
