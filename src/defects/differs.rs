//! What becomes different when a record is taken back or put right, in words: stops first, then the
//! list, what goes along, hours, verdicts.

use std::collections::BTreeSet;

use super::condition::Condition;
use super::doubt::Doubt;
use super::history::History;
use super::judged::verdict;
use super::subject::Subject;
use crate::boat::Hours;
use crate::checklist::Grade;

/// So much is told; the rest is counted.
const TOLD: usize = 12;

/// One state of the record.
#[derive(Clone, Copy)]
pub struct Side<'a> {
    /// What the records say.
    pub history: &'a History,
    /// What follows from it.
    pub condition: &'a Condition,
}

/// What differs from one state to another, each in a sentence without a full stop.
pub fn differences(before: Side<'_>, after: Side<'_>) -> Vec<String> {
    let lives = before
        .condition
        .lives
        .keys()
        .chain(after.condition.lives.keys());
    let subjects: BTreeSet<&Subject> = lives.collect();
    let stops = subjects.iter().filter_map(|s| stop(before, after, s));
    let owed = new_blocks(before.condition, after.condition);
    let owed = owed
        .into_iter()
        .map(|told| format!("no verdict is clear: {told}"));
    let rows = subjects.iter().filter_map(|s| row(before, after, s));
    let all = stops.chain(owed).chain(rows).chain(along(before, after));
    let all = all
        .chain(hours(before, after))
        .chain(verdicts(before, after));
    let mut told: Vec<String> = all.collect();
    let more = told.len().saturating_sub(TOLD);
    if more > 0 {
        told.truncate(TOLD);
        told.push(format!("and {more} more"));
    }
    told
}

/// What forbids a clear verdict after, and did not before.
pub fn new_blocks(before: &Condition, after: &Condition) -> Vec<String> {
    let known: Vec<&Doubt> = before.doubts.iter().filter(|d| d.blocks()).collect();
    let new = after
        .doubts
        .iter()
        .filter(|d| d.blocks() && !known.contains(d));
    new.map(|doubt| after.sentence_of(doubt)).collect()
}

impl Condition {
    /// A doubt in words, its item by title.
    fn sentence_of(&self, doubt: &Doubt) -> String {
        let item = doubt.told.item.as_deref();
        let title = item.and_then(|id| self.library.catalogue.item(id));
        match title {
            Some(item) => format!("{}: {}", item.title, doubt.told.why),
            None => doubt.told.sentence(),
        }
    }

    fn title_of(&self, subject: &Subject) -> String {
        let item = self.library.catalogue.item(&subject.item);
        let title = item.map_or(subject.item.as_str(), |item| item.title.as_str());
        let machine = subject
            .machine
            .as_ref()
            .filter(|_| self.boat.machines.len() > 1);
        let machine = machine.and_then(|id| self.boat.machines.iter().find(|m| m.id == *id));
        machine.map_or(title.to_owned(), |m| format!("{title} ({})", m.name))
    }

    fn stop_on(&self, subject: &Subject) -> Option<String> {
        let life = self.lives.get(subject)?;
        self.stop_rule(subject, self.item(subject)?, life, self.boat.waters)
    }

    /// The rung with which an item stands on the list; none where it does not.
    fn listed(&self, subject: &Subject) -> Option<Grade> {
        let life = self.lives.get(subject)?;
        life.current()?;
        self.counted_grade(subject, self.item(subject)?, life)
    }
}

fn stop(before: Side<'_>, after: Side<'_>, subject: &Subject) -> Option<String> {
    let title = after.condition.title_of(subject);
    let (was, is) = (
        before.condition.stop_on(subject),
        after.condition.stop_on(subject),
    );
    match (was, is) {
        (Some(_), None) => Some(format!("the stop on {title} goes")),
        (None, Some(rule)) => Some(format!("a stop on {title} comes: {rule}")),
        _ => None,
    }
}

fn row(before: Side<'_>, after: Side<'_>, subject: &Subject) -> Option<String> {
    let title = after.condition.title_of(subject);
    match (
        before.condition.listed(subject),
        after.condition.listed(subject),
    ) {
        (Some(was), None) => Some(format!("{title} ({was}) leaves the list")),
        (None, Some(is)) => Some(format!("{title} comes on the list: {is}")),
        (Some(was), Some(is)) if was != is => Some(format!("{title}: {is} in place of {was}")),
        _ => None,
    }
}

/// What goes along: walks, looks and acts.
fn along(before: Side<'_>, after: Side<'_>) -> Vec<String> {
    let counts = |history: &History| {
        [
            ("look", history.walks.iter().map(|w| w.looks.len()).sum()),
            ("walk", history.walks.len()),
            ("repair", history.repairs.len()),
            ("service", history.services.len()),
            ("owed look", history.rechecks.len()),
            ("left-open thing", history.still_open().count()),
        ]
    };
    let several = |what: &str, n: usize| match n {
        1 => format!("one {what}"),
        n => format!("{n} {what}s"),
    };
    let both = counts(before.history)
        .into_iter()
        .zip(counts(after.history));
    let told = both.filter_map(|((what, was), (_, is))| match is.checked_sub(was) {
        Some(0) => None,
        Some(more) => Some(format!("{} more", several(what, more))),
        None => Some(format!("{} less", several(what, was.abs_diff(is)))),
    });
    told.collect()
}

fn hours(before: Side<'_>, after: Side<'_>) -> Vec<String> {
    let machines = after.condition.boat.machines.iter();
    let told = machines.filter_map(|machine| {
        let last = |side: Side<'_>| side.condition.machine_usage(Some(&machine.id)).last();
        let total = |side| last(side).map(|(_, total)| total);
        let in_words = |hours: Option<Hours>| {
            hours.map_or("no reading".to_owned(), |hours| format!("{hours} h"))
        };
        let (was, is) = (total(before), total(after));
        let name = &machine.name;
        (was != is).then(|| {
            format!(
                "{name}: last read {} in place of {}",
                in_words(is),
                in_words(was)
            )
        })
    });
    told.collect()
}

/// The last verdict of each machine, as of now.
fn verdicts(before: Side<'_>, after: Side<'_>) -> Vec<String> {
    let machines = after.condition.boat.machines.iter();
    let told = machines.filter_map(|machine| {
        let last = |side: Side<'_>| {
            let mut walks = side.history.walks.iter().rev();
            let judged = walks.find_map(|walk| {
                let here = walk.machine == machine.id;
                here.then(|| verdict(side.condition, side.history, walk))
                    .flatten()
            });
            judged.map_or("none".to_owned(), |(word, _)| word.spoken())
        };
        let (was, is) = (last(before), last(after));
        let name = &machine.name;
        (was != is).then(|| format!("{name}: the last verdict is {is} in place of {was}"))
    });
    told.collect()
}
