//! What was looked at, and which of it counts.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use chrono::NaiveDate;
use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};
use serde_json::Value;

use super::file::Question;
use super::model::Outcome;
use super::table::Causes;
use super::words::Now;
use crate::checklist::complaint::{Complaint, Shape, checked, shape};
use crate::checklist::faults::{Faults, unknown};
use crate::checklist::{Grade, visible};

/// The normal answer to any question.
pub const OK: &str = "ok";
/// The answer that something is not normal, without how.
pub const ABNORMAL: &str = "abnormal";

/// One answer to one question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Look {
    /// The question.
    pub question: String,
    /// The answer: `ok`, `abnormal` or one of the question's own.
    pub answer: String,
    /// The day it was looked at, where it is known.
    pub on: Option<NaiveDate>,
    /// The catalogue item whose look it was, where it was one.
    pub by: Option<String>,
}

impl Look {
    /// An answer without day and item.
    pub fn of(question: &str, answer: &str) -> Look {
        Look {
            question: question.to_owned(),
            answer: answer.to_owned(),
            on: None,
            by: None,
        }
    }
}

/// A part that was looked at itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartLook {
    /// The catalogue item.
    pub item: String,
    /// What was seen.
    pub grade: Grade,
    /// The day.
    pub on: Option<NaiveDate>,
}

/// All that is known at one moment. Whoever hands it in leaves out what counts no more: looks before the
/// last repair of the part, and looks older than their interval.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Seen {
    /// Answers. Of several to one question the worse counts, and of two not normal the later.
    pub looks: Vec<Look>,
    /// Parts that were looked at.
    pub parts: Vec<PartLook>,
    /// Items whose own stop is in force.
    pub stops: BTreeSet<String>,
    /// The item whose stop forbids starting her, as it is called; none where none does.
    pub holds: Option<String>,
    /// How she lies now; none where nobody said.
    pub now: Option<Now>,
}

/// A look that counts.
#[derive(Clone, Debug, PartialEq)]
pub struct Counted {
    /// The question, by its place in the table; none for a part that was looked at itself.
    pub question: Option<usize>,
    /// What was looked at, short: the title of the question, or the id of the part.
    pub what: String,
    /// What was seen, in words.
    pub words: String,
    /// What was said, as the model knows it.
    pub said: Outcome,
    /// False for a normal answer and for a sound part.
    pub is_finding: bool,
    /// The day, where it is known.
    pub on: Option<NaiveDate>,
    /// The item whose look it was.
    pub by: Option<String>,
}

/// The answers that count, in the order of the questions. What names no question or no answer of it is left
/// out: who hands it in has checked it.
pub(super) fn counted(seen: &Seen, causes: &Causes) -> Vec<Counted> {
    let mut best: BTreeMap<usize, (bool, Option<NaiveDate>, Counted)> = BTreeMap::new();
    for look in &seen.looks {
        let Some((n, question)) = causes.question(&look.question) else {
            continue;
        };
        let Some((said, words)) = told(question, &look.answer) else {
            continue;
        };
        let is_finding = look.answer != OK;
        let counted = Counted {
            question: Some(n),
            what: question.title.clone(),
            words,
            said,
            is_finding,
            on: look.on,
            by: look.by.clone(),
        };
        let better = best
            .get(&n)
            .is_none_or(|(finding, on, _)| (is_finding, look.on) > (*finding, *on));
        if better {
            best.insert(n, (is_finding, look.on, counted));
        }
    }
    best.into_values().map(|(_, _, counted)| counted).collect()
}

fn told(question: &Question, answer: &str) -> Option<(Outcome, String)> {
    let all = question.answers.len();
    match answer {
        OK => Some((Outcome::Answer(all), question.ok.clone())),
        ABNORMAL => Some((Outcome::Abnormal, "It is not as usual.".to_owned())),
        _ => {
            let n = question
                .answers
                .iter()
                .position(|reply| reply.id == answer)?;
            Some((Outcome::Answer(n), question.answers[n].words.clone()))
        }
    }
}

/// The pairs of an object in the order they stand, one that stands twice included.
struct Pairs(Vec<(String, Value)>);

impl<'de> Deserialize<'de> for Pairs {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Pairs, D::Error> {
        struct Each;
        impl<'de> Visitor<'de> for Each {
            type Value = Pairs;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("map")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Pairs, A::Error> {
                let mut pairs = Vec::new();
                while let Some(pair) = map.next_entry()? {
                    pairs.push(pair);
                }
                Ok(Pairs(pairs))
            }
        }
        from.deserialize_map(Each)
    }
}

static LOOKS: Shape = shape::<Pairs>(&[]);

/// Reads answers: one JSON object of question ids and answers.
///
/// # Errors
/// Everything that is wrong with it, by line, column and field.
pub fn read_looks(name: &str, text: &str, causes: &Causes) -> Result<Vec<Look>, Vec<Complaint>> {
    let pairs: Pairs = checked(name, text, &LOOKS, |pairs, faults| {
        rules(pairs, causes, faults)
    })?;
    let looks = pairs
        .0
        .iter()
        .filter_map(|(question, answer)| answer.as_str().map(|answer| Look::of(question, answer)));
    Ok(looks.collect())
}

fn rules(pairs: &Pairs, causes: &Causes, faults: &mut Faults) {
    faults.refuse(
        pairs.0.is_empty(),
        "",
        "no look is told; tell at least one, such as {\"temp\": \"slow\"}",
    );
    let mut told = BTreeSet::new();
    for (id, answer) in &pairs.0 {
        if !told.insert(id) {
            faults.add(id, || {
                let id = visible(id);
                format!("the question '{id}' is answered twice; only one answer can count")
            });
            continue;
        }
        let Some((_, question)) = causes.question(id) else {
            let known = causes
                .questions()
                .iter()
                .map(|question| question.id.as_str());
            unknown("question", id, known, id, faults);
            continue;
        };
        match answer.as_str() {
            None => faults.add(id, || "the answer is one word in quotes".to_owned()),
            Some(answer) if self::told(question, answer).is_none() => {
                let known: Vec<_> = [OK, ABNORMAL]
                    .into_iter()
                    .chain(question.answers.iter().map(|reply| reply.id.as_str()))
                    .collect();
                faults.add(id, || {
                    let answer = visible(answer);
                    format!(
                        "'{answer}' is no answer to it; known are {}",
                        known.join(", ")
                    )
                });
            }
            Some(_) => {}
        }
    }
}
