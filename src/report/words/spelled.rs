//! Enums in words: each value has a message, named by its family and its spelling.

use std::borrow::Cow;

use super::{Said, Words, told};
use crate::assess::words::{Risk, Severity, Verdict};
use crate::boat::Waters;
use crate::checklist::{EffectKind, Grade, Leak, PhaseState, WearMark, Where, Who};
use crate::defects::State;
use crate::defects::series::RestartBy;
use crate::walk::Wear;

/// A value that stands in the table.
pub trait Spelled: Copy {
    /// What the messages of its family begin with.
    const FAMILY: &'static str;
    /// How it is spelled in files.
    fn spelled(self) -> &'static str;
}

macro_rules! spelled {
    ($($family:literal $of:ident $spelling:ident $all:expr),+ $(,)?) => {
        $(impl Spelled for $of {
            const FAMILY: &'static str = $family;
            fn spelled(self) -> &'static str { self.$spelling() }
        })+

        /// Names of all the messages.
        #[cfg(test)]
        pub(super) fn names() -> Vec<String> {
            let mut names = Vec::new();
            $(names.extend($all.iter().map(|one| format!("{}-{}", $family, one.spelled())));)+
            names
        }
    };
}

spelled! {
    "grade" Grade as_str Grade::ALL,
    "risk" Risk as_str Risk::ALL,
    "severity" Severity name Severity::ALL,
    "verdict" Verdict as_str Verdict::ALL,
    "waters" Waters as_str Waters::ALL,
    "effect" EffectKind as_str EffectKind::ALL,
    "leak" Leak as_str Leak::ALL,
    "engine" PhaseState as_str PhaseState::ALL,
    "mark" WearMark as_str WearMark::ALL,
    "where" Where as_str Where::ALL,
    "who" Who as_str Who::ALL,
    "state" State as_str State::ALL,
    "anew" RestartBy as_str RestartBy::ALL,
}

impl Words {
    /// A value in words.
    pub fn word(self, of: impl Spelled) -> Cow<'static, str> {
        self.word_of(of)
    }

    fn word_of<T: Spelled>(self, of: T) -> Cow<'static, str> {
        self.say(&format!("{}-{}", T::FAMILY, of.spelled()))
    }

    /// A mark of wear: what it is, where it is, against what.
    pub fn wear(self, wear: &Wear) -> Said {
        let mut said = Said::from(self.word(wear.mark));
        let named = |text: &Option<String>| {
            let text = text.as_ref().filter(|text| !text.is_empty());
            text.map(Said::people)
        };
        if let Some(place) = named(&wear.r#where) {
            said = told!(self, "mark-at", mark = said, place = place);
        }
        if let Some(other) = named(&wear.against) {
            said = told!(self, "mark-against", mark = said, other = other);
        }
        said
    }

    /// A rung by digit and word.
    pub fn rung(self, grade: Grade) -> String {
        format!("{} {}", grade.rung(), self.word(grade))
    }
}
