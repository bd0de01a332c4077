//! Who may not go out, and why.

use schemars::JsonSchema;
use serde::Serialize;

use super::over::{At, Over};
use super::shelf::{Fleet, Member};
use super::stand::Stand;
use crate::assess::words::Verdict;

/// Who may not go out, over all boats. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Staying {
    /// Over which boats.
    pub over: Over,
    /// In the order of their folders.
    pub rows: Vec<Stays>,
}

/// A boat that may not go out. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Stays {
    /// Who.
    #[serde(flatten)]
    pub at: At,
    /// Why: stops, machines without a finished check, records not counted, a logbook that cannot be
    /// read; a sentence each.
    pub why: Vec<String>,
}

/// Every boat that may not go out, in the order of their folders. What cannot be read may not either:
/// nobody knows what stands in it.
pub fn staying(fleet: &Fleet) -> Staying {
    let of = |boat: &Member| {
        let why = match &boat.told {
            Ok(stand) => why(stand),
            Err(why) => vec![format!("her logbook cannot be read: {why}")],
        };
        (!why.is_empty()).then(|| Stays {
            at: At::of(boat),
            why,
        })
    };
    Staying {
        over: Over::all(fleet),
        rows: fleet.boats.iter().filter_map(of).collect(),
    }
}

/// Why a boat may not go out; nothing where she may.
pub fn why(stand: &Stand) -> Vec<String> {
    let stops = stand.rows.iter().filter(|row| row.stop).map(|row| {
        let on = row.machine.as_ref().map(|machine| format!(" ({machine})"));
        let rule = row
            .stop_rule
            .as_deref()
            .unwrap_or("a stop rule is in force");
        format!("stop: {}{}: {rule}", row.title, on.unwrap_or_default())
    });
    let mut all: Vec<String> = stops.collect();
    if let Some(word) = stand.glance.verdict
        && all.is_empty()
        && [Verdict::DoNotLeave, Verdict::DoNotRun].contains(&word)
    {
        all.push(format!("verdict: {}", word.spoken()));
    }
    if !stand.glance.unchecked.is_empty() {
        let machines = stand.glance.unchecked.join(", ");
        all.push(format!("no finished check: {machines}"));
    }
    match stand.blocking.as_slice() {
        [] => {}
        [only] => all.push(format!("1 record not counted: {only}")),
        [first, ..] => all.push(format!(
            "{} records not counted, the first: {first}",
            stand.blocking.len()
        )),
    }
    all
}
