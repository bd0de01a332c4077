//! Looks that were taken back or put right, noted beside the state they are missing from.

use std::collections::HashMap;
use std::sync::Arc;

use crate::defects::taken_back::SITTING;
use crate::defects::{History, TakenBack};
use crate::logbook::placed::{Placed, Written};
use crate::logbook::record::{LookMade, Record, Undo, WalkStarted};
use crate::logbook::standing::{Deed, Standing, beginnings};
use crate::walk::{Look, TimedLook, Walk};

/// Graded looks that do not stand as they were made, with what did so.
#[derive(Default)]
pub(super) struct Noted<'a> {
    looks: Vec<Unmade<'a>>,
    /// The lines asked for, which are few, by place; none where it was not met yet.
    lines: HashMap<usize, Option<Placed<'a>>>,
}

/// A look that does not stand as it was made.
struct Unmade<'a> {
    place: usize,
    made: &'a LookMade,
    begun: Option<&'a WalkStarted>,
    deed: Deed,
}

impl<'a> Noted<'a> {
    pub(super) fn of(written: &'a [Written], standing: &Standing<'_>) -> Noted<'a> {
        if standing.is_as_written() {
            return Noted::default();
        }
        let begun = beginnings(written);
        let mut looks = Vec::new();
        for (place, w) in written.iter().enumerate() {
            let Record::Look(made) = &w.record else {
                continue;
            };
            if !says_something(&made.look) {
                continue;
            }
            let begun = begun.get(&*made.walk).copied();
            // What became of the look, or else of its whole walk.
            let of_walk = || standing.deed(begun?.0, written.get(begun?.0)?);
            let deed = standing.deed(place, w).or_else(of_walk);
            looks.extend(deed.filter(|deed| deed.place > place).map(|deed| Unmade {
                place,
                made,
                begun: begun.map(|(_, started)| started),
                deed,
            }));
        }
        let asked = looks.iter().flat_map(|look| [look.place, look.deed.place]);
        Noted {
            lines: asked.map(|place| (place, None)).collect(),
            looks,
        }
    }

    /// Meets a line on the way through all of them.
    pub(super) fn meet(&mut self, placed: Placed<'a>) {
        if let Some(line) = self.lines.get_mut(&placed.when.place) {
            *line = Some(placed);
        }
    }

    /// Notes them in the state they are missing from, once all lines were met.
    pub(super) fn note(self, history: &mut History, written: &[Written]) {
        let line = |place: &usize| self.lines.get(place)?.as_ref();
        let found = self.looks.iter().filter_map(|look| {
            let (w, placed) = (written.get(look.place)?, line(&look.place)?);
            let (made, by) = ((look.made, look.begun), line(&look.deed.place));
            Some(taken_back(history, made, (w, placed), (look.deed, by)))
        });
        let mut found: Vec<TakenBack> = found.collect();
        found.sort_by_key(|taken| (taken.deed, taken.when.place));
        history.taken_back = found;
    }
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
