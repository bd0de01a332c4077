//! What a walk told as a sheet leaves owed.

use super::super::fold::apply;
use super::super::placed::Written;
use super::super::record::Record;
use crate::defects::History;
use crate::defects::condition::Condition;

/// The looks a leak run told as a sheet leaves owed; its records are called by `name` meanwhile.
pub(super) fn left_owed(
    condition: &Condition,
    mut history: History,
    (records, name): (&[Record], impl Fn(usize) -> String),
    walk: &str,
) -> Vec<Record> {
    for (n, record) in records.iter().enumerate() {
        // A sheet typed afterwards tells of times after the beginning of its walk.
        let at = record
            .at()
            .map_or(condition.now, |at| at.max(condition.now));
        let written = Written::new(name(n), at, record.clone());
        apply(&mut history, &[], &written);
    }
    let walk = history.walk(walk);
    let owed = walk.map_or_else(Vec::new, |walk| condition.follow_ups(&history, walk));
    owed.into_iter().map(Record::from).collect()
}
