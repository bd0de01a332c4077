//! A file of questions and causes, ours or an owner's.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::words::{Act, Alone, Strength};
use crate::checklist::words::PhaseState;
use crate::checklist::{Grade, Order};
use crate::text::words;

/// A file of questions and causes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CausesFile {
    /// Always `causes`.
    #[serde(rename = "type")]
    pub tag: CausesTag,
    /// What can be looked at or remembered.
    #[serde(default)]
    pub questions: Vec<Question>,
    /// What can be behind it.
    #[serde(default)]
    pub causes: Vec<Cause>,
}

words! {
    /// The word `causes`, so that a file says what it is.
    CausesTag, "file of causes" {
        /// The only value.
        Causes = "causes",
    }
}

/// One thing to look at, with one normal answer and one or more others.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Question {
    /// Lower-case words joined by hyphens.
    pub id: String,
    /// What is looked at, short.
    pub title: String,
    /// What is asked, a whole sentence.
    pub ask: String,
    /// What can hurt someone or the boat here; read before anything is done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
    /// The normal answer in words; its id is `ok`.
    pub ok: String,
    /// The others.
    pub answers: Vec<Reply>,
    /// Seconds a look takes.
    pub seconds: u32,
    /// State of the engine in which it is looked at.
    pub state: PhaseState,
    /// True where it is told from the helm or the hatch.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub at_helm: bool,
    /// What the look asks for, beside what its state says.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub needs: Vec<Act>,
    /// True for what happened: it is asked and never offered as a look.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub event: bool,
    /// What looks at catalogue items say to it. An item of which no rung stands here says nothing by itself:
    /// the answer is told with a look at it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub from: Vec<ByItem>,
    /// Of what happened: what a service done lately says to it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub services: Vec<ByService>,
    /// Of what happened: the answer where she stood long.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stood: Option<String>,
}

impl Question {
    /// The answer of an id.
    pub fn reply(&self, id: &str) -> Option<&Reply> {
        self.answers.iter().find(|reply| reply.id == id)
    }

    /// What looks at an item say to it; none where they say nothing.
    pub fn by_item(&self, item: &str) -> Option<&ByItem> {
        self.from.iter().find(|by| by.item == item)
    }

    /// Whether a look asks for this.
    pub fn asks_for(&self, act: Act) -> bool {
        let by_state = match act {
            Act::Starting => self.state.turns(),
            Act::FullSpeed => self.state == PhaseState::FullThrottle,
            _ => false,
        };
        by_state || self.needs.contains(&act)
    }
}

/// What the rung of a catalogue item says to a question: for each rung the id of an answer, `ask` where
/// it is one of several and is asked then; left out, the rung says nothing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ByItem {
    /// The item, by its id.
    pub item: String,
    /// False where a sound item leaves the question open, so that it is asked for itself; left out,
    /// sound is the normal answer.
    #[serde(default = "yes", skip_serializing_if = "is_yes")]
    pub sound: bool,
    /// What its first sign says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub early: Option<String>,
    /// What worn says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub worn: Option<String>,
    /// What failing says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failing: Option<String>,
    /// What failed says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failed: Option<String>,
    /// Of a level: what says a reading under the low mark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub low: Option<String>,
    /// Of a level: what says a reading over the high mark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over: Option<String>,
    /// Of a level: what it says that it rose with nothing added.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub risen: Option<String>,
    /// Of a level: what it says that it was filled at the look.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub filled: Option<String>,
}

/// What a service done lately says to a question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ByService {
    /// The service task, by its id.
    pub task: String,
    /// The answer, by its id.
    pub answer: String,
}

/// Written for a rung that is one of several answers.
pub const ASK: &str = "ask";

const fn yes() -> bool {
    true
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde hands in a reference"
)]
const fn is_yes(sound: &bool) -> bool {
    *sound
}

/// What a rung says to a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Says<'q> {
    /// Nothing.
    Nothing,
    /// All is normal.
    Ok,
    /// This answer.
    Answer(&'q str),
    /// One of the answers that are not normal; which one is asked.
    Which,
}

impl ByItem {
    /// What a rung of the item says.
    pub fn says(&self, grade: Grade) -> Says<'_> {
        let told = match grade {
            Grade::Sound if self.sound => return Says::Ok,
            Grade::Sound => return Says::Nothing,
            Grade::Early => &self.early,
            Grade::Worn => &self.worn,
            Grade::Failing => &self.failing,
            Grade::Failed => &self.failed,
        };
        match told.as_deref() {
            None => Says::Nothing,
            Some(ASK) => Says::Which,
            Some(answer) => Says::Answer(answer),
        }
    }

    /// What stands in it, each with the name of its field.
    pub fn told(&self) -> impl Iterator<Item = (&'static str, &str)> {
        let all = [
            ("early", &self.early),
            ("worn", &self.worn),
            ("failing", &self.failing),
            ("failed", &self.failed),
            ("low", &self.low),
            ("over", &self.over),
            ("risen", &self.risen),
            ("filled", &self.filled),
        ];
        let told = all.into_iter();
        told.filter_map(|(field, told)| Some((field, told.as_deref()?)))
    }
}

/// An answer that is not normal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reply {
    /// Lower-case words joined by hyphens; neither `ok` nor `abnormal`.
    pub id: String,
    /// What is seen, a whole sentence.
    pub words: String,
    /// How often it is seen with none of the causes.
    pub alone: Alone,
    /// What it orders by itself, whatever is behind it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stop: Option<String>,
    /// What is not done after it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub forbids: Vec<Act>,
}

/// What can be behind findings.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cause {
    /// Lower-case words joined by hyphens.
    pub id: String,
    /// What is wrong, a sentence without capital and full stop.
    pub title: String,
    /// How often it is the cause, set against the others; only the ratio counts.
    pub weight: f64,
    /// What it shows. What stands not here it does not cause.
    pub signs: Vec<Sign>,
    /// What tells it from its neighbours, and what proves it.
    pub apart: String,
    /// Questions that rule it out or prove it, the best first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub looks: Vec<String>,
    /// True where only taking apart proves it, so that nothing less than one of its looks makes it likely.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub stripping: bool,
    /// What follows if nobody does anything.
    pub ignored: String,
    /// Present for what is dangerous: what it orders.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub order: Option<Order>,
    /// The same in words; of what is not dangerous, how to go on with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stop: Option<String>,
    /// What is not done while it can be the cause.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub forbids: Vec<Act>,
    /// Catalogue items that are the part itself, by their ids.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<String>,
    /// Where its signs come from, or "common practice, no single source".
    pub source: String,
}

/// One sign of a cause: an answer that it brings about.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sign {
    /// The question.
    pub question: String,
    /// The answer to it.
    pub answer: String,
    /// How often it shows.
    pub strength: Strength,
}
