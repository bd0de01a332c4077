//! Looks that were taken back or put right, noted beside the state they are missing from.

use std::sync::Arc;

use crate::defects::taken_back::SITTING;
use crate::defects::{History, TakenBack};
use crate::logbook::placed::{Placed, Written};
use crate::logbook::record::{LookMade, Record, Undo, WalkStarted};
use crate::logbook::standing::{Deed, Standing, beginnings};
use crate::walk::{Look, TimedLook, Walk};

/// Notes each graded look that does not stand as it was made, by the records that did so.
pub(super) fn note<'a>(
    history: &mut History,
    written: &[Written],
    standing: &Standing<'_>,
    all: impl Iterator<Item = (Placed<'a>, bool)>,
) {
    if standing.is_as_written() {
        return;
    }
    let all: Vec<_> = all.collect();
    let begun = beginnings(written);
    let mut found = Vec::new();
    for ((place, w), (placed, _)) in written.iter().enumerate().zip(&all) {
        let Record::Look(made) = &w.record else {
            continue;
        };
        let begun = begun.get(&*made.walk).copied();
        // What became of the look, or else of its whole walk.
        let of_walk = || standing.deed(begun?.0, written.get(begun?.0)?);
        let deed = standing.deed(place, w).or_else(of_walk);
        let deed = deed.filter(|deed| deed.place > place && says_something(&made.look));
        if let Some(deed) = deed {
            let started = begun.map(|(_, started)| started);
            let by = all.get(deed.place).map(|(by, _)| by);
            found.push(taken_back(
                history,
                (made, started),
                (w, placed),
                (deed, by),
            ));
        }
    }
    found.sort_by_key(|taken| (taken.deed, taken.when.place));
    history.taken_back = found;
}

/// What can have held a stop: any rung but sound, and fluid that came out.
fn says_something(look: &Look) -> bool {
    look.grade().is_some_and(|grade| grade.rung() > 0) || look.leak.is_some()
}

fn taken_back(
    history: &History,
    (made, begun): (&LookMade, Option<&WalkStarted>),
    (w, placed): (&Written, &Placed<'_>),
    (deed, by): (Deed, Option<&Placed<'_>>),
) -> TakenBack {
    let when = placed.moment_of(w);
    let by = by.unwrap_or(placed);
    let (why, who) = by.written.record.reason();
    let walk = history.walk(&made.walk).filter(|_| !deed.aside);
    TakenBack {
        id: w.id.to_string(),
        when,
        look: Arc::clone(&made.look),
        walk: made.walk.to_string(),
        checklist: begun.map_or(String::new(), |b| b.checklist.clone()),
        asked: begun.and_then(|b| b.asked.clone()),
        machine: begun.map_or(String::new(), |b| b.machine.clone()),
        deed: deed.place,
        deed_at: by.written.at,
        why: why.map(str::to_owned),
        by: who.map(str::to_owned),
        early: walk.is_some_and(|walk| walk.finished_place.is_none_or(|end| deed.place < end)),
        at_once: by.when.at - when.at <= SITTING,
    }
}

/// The same for a look of a walk that was taken back just now.
pub(super) fn by_undo(
    walk: &Walk,
    timed: &TimedLook,
    undo: &Undo,
    placed: &Placed<'_>,
) -> Option<TakenBack> {
    says_something(&timed.look).then(|| TakenBack {
        id: timed.id.to_string(),
        when: timed.when(),
        look: Arc::clone(&timed.look),
        walk: walk.id.clone(),
        checklist: walk.checklist.clone(),
        asked: walk.asked.clone(),
        machine: walk.machine.clone(),
        deed: placed.when.place,
        deed_at: placed.written.at,
        why: undo.why.clone(),
        by: undo.by.clone(),
        early: walk.finished_place.is_none(),
        at_once: placed.when.at - timed.at <= SITTING,
    })
}
