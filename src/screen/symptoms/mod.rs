//! What she does, in a skipper's words: one key from any screen, then a digit, and what comes first
//! stands there. Nothing is recorded by reading it.
//!
//! - [`first_words`]: what comes first, and the looks that follow

mod first_words;

use crate::screen::by_name::{ByName, Named, from_one};
use crate::screen::kind::{Cx, Finder, Go, To};
use crate::symptoms::{Card, Symptom, SymptomsFile};

pub use first_words::FirstWords;

/// A line that can be taken.
#[derive(Clone, Copy)]
enum Row {
    /// The first-minute cards.
    Cards,
    Card(&'static Card),
    Symptom(&'static Symptom),
}

/// The list of symptoms, or of the first-minute cards.
pub struct Symptoms {
    finder: Finder,
    /// It lists the cards.
    cards: bool,
    rows: Vec<Row>,
}

impl Symptoms {
    /// All symptoms; who stands before them, and at which machine.
    pub fn new(finder: Finder) -> Symptoms {
        let mut symptoms = Symptoms {
            finder,
            cards: false,
            rows: Vec::new(),
        };
        symptoms.look_up("");
        symptoms
    }
}

impl Named for Symptoms {
    const WORD: usize = 0;
    const NONE: &'static str = "nothing she does is spoken of with these words";

    fn asked(&self) -> &'static str {
        match self.cards {
            true => "First-minute cards. Which one?",
            false => "What does she do?",
        }
    }

    fn count(&self) -> usize {
        self.rows.len()
    }

    fn digit(&self, at: usize) -> Option<char> {
        match self.rows.first() {
            Some(Row::Cards) if at == 0 => Some('0'),
            Some(Row::Cards) => from_one(at - 1),
            _ => from_one(at),
        }
    }

    fn name(&self, at: usize) -> String {
        let name = self.rows.get(at).map(|row| match row {
            Row::Cards => "First-minute cards, all of them",
            Row::Card(card) => card.title.as_str(),
            Row::Symptom(symptom) => symptom.title.as_str(),
        });
        name.unwrap_or_default().to_owned()
    }

    fn look_up(&mut self, typed: &str) {
        let all = SymptomsFile::built_in();
        let head = (typed.is_empty() && !self.cards).then_some(Row::Cards);
        let cards = all.cards.iter().filter(|_| self.cards);
        let cards = cards.filter(|card| card.is_spoken_of(typed));
        let symptoms = all.symptoms.iter().filter(|_| !self.cards);
        let symptoms = symptoms.filter(|symptom| symptom.is_spoken_of(typed));
        let rows = head.into_iter().chain(cards.map(Row::Card));
        self.rows = rows.chain(symptoms.map(Row::Symptom)).collect();
    }

    fn take(&mut self, at: usize, cx: &mut Cx<'_, ByName<Symptoms>>) -> bool {
        let symptom = match self.rows.get(at) {
            Some(Row::Cards) => {
                self.cards = true;
                return true;
            }
            Some(Row::Card(card)) => SymptomsFile::built_in().symptom_of(&card.id),
            Some(Row::Symptom(symptom)) => Some(*symptom),
            None => None,
        };
        if let Some(symptom) = symptom {
            let to = To::FirstWords(symptom.id.clone(), self.finder.clone());
            cx.go(Go::Over(to));
        }
        false
    }

    fn back(&mut self) -> bool {
        std::mem::take(&mut self.cards)
    }

    fn finder(&self) -> &Finder {
        &self.finder
    }

    fn is_symptoms(&self) -> bool {
        true
    }
}
