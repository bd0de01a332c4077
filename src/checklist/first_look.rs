//! Words for a first look: what "higher every day" means to somebody who has never seen the boat.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::catalogue::Catalogue;
use super::item::Item;
use super::words::Grade;

/// What stands in place of the usual words where nobody knows how it was before: in a survey. Only what
/// presupposes an earlier look has words here.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FirstLook {
    /// How to look, in place of `look`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub look: Option<String>,
    /// How sound looks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sound: Option<String>,
    /// How early looks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub early: Option<String>,
    /// How worn looks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub worn: Option<String>,
    /// How failing looks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failing: Option<String>,
    /// How failed looks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failed: Option<String>,
}

impl FirstLook {
    /// Its words for a rung.
    pub const fn rung(&self, grade: Grade) -> &Option<String> {
        match grade {
            Grade::Sound => &self.sound,
            Grade::Early => &self.early,
            Grade::Worn => &self.worn,
            Grade::Failing => &self.failing,
            Grade::Failed => &self.failed,
        }
    }

    pub(super) const fn rung_mut(&mut self, grade: Grade) -> &mut Option<String> {
        match grade {
            Grade::Sound => &mut self.sound,
            Grade::Early => &mut self.early,
            Grade::Worn => &mut self.worn,
            Grade::Failing => &mut self.failing,
            Grade::Failed => &mut self.failed,
        }
    }

    /// True where it has no words.
    pub(super) fn says_nothing(&self) -> bool {
        self.texts().next().is_none()
    }

    /// Its texts by the names of their fields.
    pub(super) fn texts(&self) -> impl Iterator<Item = (&'static str, &String)> {
        let rungs = Grade::ALL.iter().map(|g| (g.as_str(), self.rung(*g)));
        let all = [("look", &self.look)].into_iter().chain(rungs);
        all.filter_map(|(name, text)| Some((name, text.as_ref()?)))
    }
}

/// Words for the rungs from sound to failing.
impl From<[&str; 4]> for FirstLook {
    fn from(words: [&str; 4]) -> FirstLook {
        let [sound, early, worn, failing] = words.map(|w| Some(w.to_owned()));
        FirstLook {
            sound,
            early,
            worn,
            failing,
            ..FirstLook::default()
        }
    }
}

impl Item {
    /// The item in the words of a first look; as it is where it has none.
    pub fn at_first_look(&self) -> Item {
        let mut item = self.clone();
        let Some(first) = &self.first_look else {
            return item;
        };
        item.look = first.look.clone().unwrap_or(item.look);
        for (rung, grade) in item.ladder.iter_mut().zip(Grade::ALL) {
            if let Some(words) = first.rung(*grade) {
                rung.clone_from(words);
            }
        }
        item
    }

    /// Takes what `known`, the item it stands in the place of, says for a first look, as far as it has
    /// the same words for every other look.
    pub(super) fn take_first_look(&mut self, known: &Item) {
        let Some(first) = &known.first_look else {
            return;
        };
        let mut own = FirstLook {
            look: first.look.clone().filter(|_| self.look == known.look),
            ..FirstLook::default()
        };
        let rungs = self.ladder.iter().zip(&known.ladder).zip(Grade::ALL);
        for ((_, _), grade) in rungs.filter(|((own, known), _)| own == known) {
            own.rung_mut(*grade).clone_from(first.rung(*grade));
        }
        self.first_look = Some(own).filter(|own| !own.says_nothing());
    }

    /// Puts words for a rung in the place of others; those hold for a first look too.
    pub(super) fn put_rung(&mut self, grade: Grade, words: String) {
        if self.ladder[grade.rung()] == words {
            return;
        }
        self.ladder[grade.rung()] = words;
        if let Some(first) = &mut self.first_look {
            *first.rung_mut(grade) = None;
        }
        self.first_look = self.first_look.take().filter(|f| !f.says_nothing());
    }
}

impl Catalogue {
    /// The same with every item in the words of a first look.
    #[must_use]
    pub fn at_first_look(&self) -> Catalogue {
        let mut file = self.to_file();
        for item in &mut file.items {
            *item = item.at_first_look();
        }
        Catalogue::of([file])
    }
}
