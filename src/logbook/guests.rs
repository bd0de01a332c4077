//! What a guest can put on record in a walk: looks, marked as a guest's, and what goes with them.

use std::sync::Arc;

use super::record::Record;

/// Said where a guest would put something right.
pub const NOT_A_GUESTS: &str =
    "a guest's walk puts nothing right: that is the owner's to say and to look at";

/// The records of a guest's walk, each look marked; none where something is put right by them.
pub fn a_guests(records: Vec<Record>) -> Option<Vec<Record>> {
    let mark = |record| match record {
        Record::Look(mut made) => {
            Arc::make_mut(&mut made.look).guest = true;
            Some(Record::Look(made))
        }
        Record::WalkStarted(_)
        | Record::WalkNoted(_)
        | Record::WalkFinished(_)
        | Record::Draft(_)
        | Record::StartedAnyway(_)
        | Record::Told(_)
        | Record::Opened(_)
        | Record::Undo(_) => Some(record),
        _ => None,
    };
    records.into_iter().map(mark).collect()
}
