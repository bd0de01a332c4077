//! The front page of a survey: what was entered of who asked, who made it, what lay there and how, and
//! what its walk tells by itself. What was not entered is said once under each heading.

use std::borrow::Cow;

use super::content::{MachinePart, Report};
use super::words::{Said, Words, say, told};
use crate::walk::FrontFact;
use crate::walk::front::{Entry, FrontGroup};

/// The entries under one heading.
pub(super) struct Group {
    pub title: Cow<'static, str>,
    /// What is known: a name, and its value of one line or more.
    pub facts: Vec<(Cow<'static, str>, Vec<Said>)>,
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
        let name = name(fact, w);
        let lines: Vec<Said> = report.front.lines(fact).map(|l| said(fact, l, w)).collect();
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
        title: title(group, w),
        facts,
        missing,
    }
}

/// An entry as it is called.
pub(super) fn name(fact: FrontFact, w: Words) -> Cow<'static, str> {
    w.say(&format!("fact-{}", fact.as_str()))
}

/// The heading of a group.
pub(super) fn title(group: FrontGroup, w: Words) -> Cow<'static, str> {
    let id = match group {
        FrontGroup::Instruction => "instruction",
        FrontGroup::Surveyor => "surveyor",
        FrontGroup::Day => "day",
        FrontGroup::Boat => "boat",
        FrontGroup::Machinery => "machinery",
        FrontGroup::Basis => "basis",
    };
    w.say(&format!("front-{id}"))
}

/// An entry as it is read: one of few words in the reader's language, all else as it was written.
fn said(fact: FrontFact, line: &str, w: Words) -> Said {
    match fact.entry() {
        Entry::Choice(words) if words.contains(&line) => {
            let name = format!("fact-{}", line.replace(' ', "-"));
            w.say(&name).into()
        }
        _ => Said::people(line),
    }
}

/// What the records tell without anything being entered.
fn known(group: FrontGroup, report: &Report, w: Words) -> Vec<(Cow<'static, str>, Vec<Said>)> {
    let walk = report.walk.as_ref();
    match group {
        FrontGroup::Surveyor => vec![(w.say("fact-walked-by"), walkers(report, w))],
        FrontGroup::Day => walk.map_or_else(Vec::new, |walk| {
            let from = w.moment(walk.at);
            let days = match walk.finished {
                Some(to) => say!(w, "doc-to", first = from, last = w.moment(to)),
                None => Cow::Owned(from),
            };
            vec![(w.say("fact-walked"), vec![days.into()])]
        }),
        FrontGroup::Boat => vec![(w.say("fact-name"), vec![Said::people(&report.boat)])],
        FrontGroup::Machinery => {
            let machines = report.machines.iter();
            machines
                .map(|machine| (w.say("fact-machine"), vec![of_machine(machine, report, w)]))
                .collect()
        }
        FrontGroup::Instruction | FrontGroup::Basis => Vec::new(),
    }
}

fn of_machine(machine: &MachinePart, report: &Report, w: Words) -> Said {
    let read = report.walk.as_ref().and_then(|walk| walk.hours);
    let meter = match read {
        Some(hours) => say!(w, "fact-meter-read", hours = w.number(hours, 1)),
        None if machine.estimated => {
            say!(w, "fact-meter-about", hours = w.number(machine.hours, 1))
        }
        None => w.say("fact-meter-not-read"),
    };
    told!(
        w,
        "of-item",
        item = Said::people(&machine.name),
        said = meter
    )
}

/// Whose looks they are.
fn walkers(report: &Report, w: Words) -> Vec<Said> {
    let nobody = || w.say("fact-nobody").into();
    match &report.issued {
        Some(issued) => {
            let own = issued.walks.iter().map(|own| {
                let by = own.by.as_ref().map_or_else(nobody, Said::people);
                match own.assistant {
                    true => told!(w, "fact-assistant", by = by),
                    false => by,
                }
            });
            let mut named: Vec<Said> = own.collect();
            named.dedup();
            named
        }
        None => {
            let by = report.walk.as_ref().and_then(|walk| walk.by.as_ref());
            vec![by.map_or_else(nobody, Said::people)]
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
