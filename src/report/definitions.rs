//! What the words of a survey mean, and what may be relied on: in the project's own neutral sentences.

use std::borrow::Cow;

use super::answer;
use super::class::Class;
use super::content::Report;
use super::words::Words;
use crate::checklist::Grade;

/// A word with its meaning.
pub(super) struct Term {
    pub word: Cow<'static, str>,
    pub means: Cow<'static, str>,
}

/// Words beside the rungs and the classes.
const OTHERS: [&str; 5] = ["not-seen", "reported", "seen", "leaks", "risk"];
/// How many sentences say what may be relied on.
const RELIANCE: usize = 9;

/// The rungs, what else the body of a survey says, and the classes.
pub(super) fn terms(w: Words) -> Vec<Term> {
    let rungs = Grade::ALL.iter().map(|grade| grade.as_str());
    let words = rungs.chain(OTHERS).map(|name| Term {
        word: w.say(&format!("term-{name}")),
        means: w.say(&format!("term-{name}-means")),
    });
    let classes = Class::ALL.iter().map(|class| Term {
        word: answer::class(w, *class),
        means: w.say(&format!("class-{}-means", class.as_str())),
    });
    words.chain(classes).collect()
}

/// What may be relied on, one sentence or two each.
pub(super) fn reliance(report: &Report) -> Vec<Cow<'static, str>> {
    let w = report.language.words();
    let numbers = 1..=RELIANCE;
    numbers.map(|n| w.say(&format!("reliance-{n}"))).collect()
}
