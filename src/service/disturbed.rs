//! Joints that work opened or moved, for a leak run to begin with.

use chrono::{DateTime, FixedOffset};

use crate::defects::History;
use crate::defects::condition::Condition;

/// A joint and the service that disturbed it last.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Disturbed {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Id of the record of the service.
    pub service: String,
    /// Id of its task.
    pub task: String,
    /// When it was done.
    pub at: DateTime<FixedOffset>,
}

/// Joints of a machine disturbed after a time, each once with the last service that did, in the
/// order they were disturbed first. Work on what the boat has once counts on every machine.
pub fn disturbed_since(
    history: &History,
    machine: &str,
    since: Option<DateTime<FixedOffset>>,
) -> Vec<Disturbed> {
    let mut all: Vec<Disturbed> = Vec::new();
    let services = history.services.iter().filter(|s| {
        let here = s.rec.machine.as_deref().is_none_or(|m| m == machine);
        here && since.is_none_or(|since| s.at > since)
    });
    for service in services {
        for item in &service.rec.disturbed {
            let last = Disturbed {
                item: item.clone(),
                service: service.id.clone(),
                task: service.rec.task.clone(),
                at: service.at,
            };
            match all.iter_mut().find(|d| d.item == *item) {
                Some(known) => *known = last,
                None => all.push(last),
            }
        }
    }
    all
}

/// Items of a machine and of the boat that stood open and were put back since the last finished leak run
/// of the machine began, each once, in the order in which they were.
pub fn put_back_since_leak_run(
    condition: &Condition,
    history: &History,
    machine: &str,
) -> Vec<String> {
    let last = condition.leak_runs(history, machine).next();
    let since = last.map(|walk| walk.at);
    let closed = history.closed.iter();
    let closed = closed.filter(|c| c.rec.told.is_none() && since.is_none_or(|s| c.at > s));
    let mut items: Vec<String> = Vec::new();
    for back in closed {
        let mut opened = history.opened.iter();
        let Some(opened) = opened.find(|opened| opened.id == back.rec.of) else {
            continue;
        };
        let here = opened.rec.machine.as_deref().is_none_or(|m| m == machine);
        if here && !items.contains(&opened.rec.item) {
            items.push(opened.rec.item.clone());
        }
    }
    items
}

/// Joints of a machine disturbed since its last finished leak run began.
pub fn disturbed_since_leak_run(
    condition: &Condition,
    history: &History,
    machine: &str,
) -> Vec<Disturbed> {
    let last = condition.leak_runs(history, machine).next();
    disturbed_since(history, machine, last.map(|w| w.at))
}
