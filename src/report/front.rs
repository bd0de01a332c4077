//! The front page of a survey: what was entered of who asked, who made it, what lay there and how, and
//! what its walk tells by itself. What was not entered is said once under each heading.

use std::borrow::Cow;

use super::content::{MachinePart, Report};
use super::lines;
use super::words::{Words, say};
use crate::walk::FrontFact;
use crate::walk::front::{Entry, FrontGroup};

/// The entries under one heading.
pub(super) struct Group {
    pub title: Cow<'static, str>,
    /// What is known: a name, and its value of one line or more.
    pub facts: Vec<(Cow<'static, str>, Vec<String>)>,
    /// What was not entered, in one sentence; none where all was.
    pub missing: Option<Cow<'static, str>>,
}

/// All of it, in the order of the page.
pub(super) fn groups(report: &Report) -> Vec<Group> {
    FrontGroup::ALL.map(|group| of(group, report)).into()
}

fn of(group: FrontGroup, report: &Report) -> Group {
    let w = report.language.words();
    let mut facts = known(group, report, w);
    let mut missing = Vec::new();
    for fact in group.facts() {
        // Oil has a section of its own.
        if fact == FrontFact::OilAnalysis {
            continue;
        }
        let name = w.say(&format!("fact-{}", fact.as_str()));
        let lines: Vec<String> = report.front.lines(fact).map(|l| said(fact, l, w)).collect();
        match lines.is_empty() {
            true => missing.push(name),
            false => facts.push((name, lines)),
        }
    }
    let all = facts.is_empty();
    let missing = (!missing.is_empty()).then(|| match all {
        true => w.say("doc-nothing-entered"),
        false => say!(w, "doc-not-entered", facts = missing.join(", ")),
    });
    Group {
        title: w.say(&format!("front-{}", id(group))),
        facts,
        missing,
    }
}

const fn id(group: FrontGroup) -> &'static str {
    match group {
        FrontGroup::Instruction => "instruction",
        FrontGroup::Surveyor => "surveyor",
        FrontGroup::Day => "day",
        FrontGroup::Boat => "boat",
        FrontGroup::Machinery => "machinery",
        FrontGroup::Basis => "basis",
    }
}

/// An entry as it is read: one of few words in the reader's language, all else as it was written.
fn said(fact: FrontFact, line: &str, w: Words) -> String {
    match fact.entry() {
        Entry::Choice(words) if words.contains(&line) => {
            let name = format!("fact-{}", line.replace(' ', "-"));
            w.say(&name).into_owned()
        }
        _ => line.to_owned(),
    }
}

/// What the records tell without anything being entered.
fn known(group: FrontGroup, report: &Report, w: Words) -> Vec<(Cow<'static, str>, Vec<String>)> {
    let walk = report.walk.as_ref();
    match group {
        FrontGroup::Surveyor => vec![(w.say("fact-walked-by"), walkers(report, w))],
        FrontGroup::Day => walk.map_or_else(Vec::new, |walk| {
            let from = lines::moment(walk.at);
            let days = match walk.finished {
                Some(to) => say!(w, "doc-to", first = from, last = lines::moment(to)),
                None => Cow::Owned(from),
            };
            vec![(w.say("fact-walked"), vec![days.into_owned()])]
        }),
        FrontGroup::Boat => vec![(w.say("fact-name"), vec![report.boat.clone()])],
        FrontGroup::Machinery => {
            let machines = report.machines.iter();
            machines
                .map(|machine| (w.say("fact-machine"), vec![of_machine(machine, report, w)]))
                .collect()
        }
        FrontGroup::Instruction | FrontGroup::Basis => Vec::new(),
    }
}

fn of_machine(machine: &MachinePart, report: &Report, w: Words) -> String {
    let read = report.walk.as_ref().and_then(|walk| walk.hours);
    let meter = match read {
        Some(hours) => say!(w, "fact-meter-read", hours = format!("{hours:.1}")),
        None if machine.estimated => {
            say!(
                w,
                "fact-meter-about",
                hours = format!("{:.1}", machine.hours)
            )
        }
        None => w.say("fact-meter-not-read"),
    };
    format!("{}: {meter}", machine.name)
}

/// Whose looks they are.
fn walkers(report: &Report, w: Words) -> Vec<String> {
    let nobody = || w.say("fact-nobody").into_owned();
    match &report.issued {
        Some(issued) => {
            let own = issued.walks.iter().map(|own| {
                let by = own.by.clone().unwrap_or_else(nobody);
                match own.assistant {
                    true => say!(w, "fact-assistant", by = by).into_owned(),
                    false => by,
                }
            });
            let mut named: Vec<String> = own.collect();
            named.dedup();
            named
        }
        None => {
            let by = report.walk.as_ref().and_then(|walk| walk.by.clone());
            vec![by.unwrap_or_else(nobody)]
        }
    }
}

/// True where the front matter says that an oil result is still to come.
pub(super) fn oil_is_outstanding(report: &Report) -> bool {
    let mut lines = report.front.lines(FrontFact::OilAnalysis);
    lines.any(|line| {
        let line = line.to_lowercase();
        let words = [
            "outstanding",
            "to follow",
            "steht aus",
            "ausstehend",
            "stehen aus",
        ];
        words.iter().any(|word| line.contains(word))
    })
}
