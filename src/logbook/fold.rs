//! Records become state: the one place where they do. Each kind says what it does to a state
//! ([`Event::apply`](super::record::Event::apply)); here they are put in one after another.

mod taken_back;
mod walks;

use std::collections::{HashMap, HashSet};

use chrono::{DateTime, FixedOffset};

use super::course::Course;
use super::placed::{Applied, Folding, Placed, Written};
use super::profile_fold::take_profile;
use super::reckoned::{concerns, name_entries};
use super::record::{Record, Undo, event::Part};
use super::standing::Standing;
use taken_back::Noted;

use crate::defects::History;
use crate::walk::When;

/// Folds records, in the order of the log, into the state they describe: an empty one, into which
/// each is put that counts. Looks that name a walk of which no beginning was read stand under a stub.
pub fn fold(written: &[Written]) -> History {
    let standing = Standing::of(written);
    let mut history = History::default();
    // A merge may place a look before the beginning of its walk.
    let mut begun = HashSet::new();
    let mut first: HashMap<&str, Placed<'_>> = HashMap::new();
    for (placed, stands) in lines(written, &standing) {
        if let Some((walk, Part::Begins)) = placed.written.record.names().walk {
            begun.insert(walk);
            if stands {
                // A copy changed outside does not take the place of the sound one.
                let kept = first.entry(walk).or_insert(placed);
                if placed.is_sound() && !kept.is_sound() {
                    *kept = placed;
                }
            }
        }
    }
    let mut beginnings: Vec<(&str, Placed<'_>)> = first.into_iter().collect();
    beginnings.sort_by_key(|(_, placed)| placed.when);
    let mut state = Folding::of(&mut history);
    for (_, placed) in &beginnings {
        placed.written.record.apply(placed, &mut state);
    }
    let places = beginnings.iter().enumerate();
    let places: HashMap<&str, usize> = places.map(|(n, (walk, _))| (*walk, n)).collect();
    state.walks = Some(&places);
    let mut of_profile = Vec::new();
    let mut orphans = Vec::new();
    let mut latest = None;
    let mut noted = Noted::of(written, &standing);
    for (placed, stands) in lines(written, &standing) {
        latest = placed.latest();
        noted.meet(placed);
        let record = &placed.written.record;
        let begins = matches!(record.names().walk, Some((_, Part::Begins)));
        if begins || !stands {
            continue;
        }
        if let Some(step) = record.profile_step() {
            of_profile.push((placed.when, (placed.id(), step)));
        }
        match record.apply(&placed, &mut state) {
            Applied::Done => {}
            Applied::NoWalk => orphans.push(placed),
        }
    }
    take_profile(&mut history, &of_profile);
    history.latest = latest;
    history.length = written.len();
    let mut stubs = walks::stubs(lines(written, &standing), &begun, &orphans);
    stubs.extend(walks::left_of_aside(written, &standing, &orphans));
    for stub in stubs {
        let spot = history.walks.partition_point(|w| w.when() <= stub.when());
        history.walks.insert(spot, stub);
    }
    name_entries(&mut history, written);
    noted.note(&mut history, written);
    history.clashes = standing.clashes.clone();
    history
}

/// The newest believed time up to each record.
pub(super) fn latest(written: &[Written]) -> Vec<Option<DateTime<FixedOffset>>> {
    let standing = Standing::of(written);
    let times = lines(written, &standing).map(|(placed, _)| placed.latest());
    times.collect()
}

/// When a record counts.
pub(super) struct Moment {
    /// The moment.
    pub(super) when: When,
    /// The newest believed time up to it.
    pub(super) latest: Option<DateTime<FixedOffset>>,
    /// The time of which it speaks, as it stands.
    pub(super) own: Option<DateTime<FixedOffset>>,
}

/// The moment of each record.
pub(super) fn moments(written: &[Written]) -> Vec<Moment> {
    let standing = Standing::of(written);
    let moments = lines(written, &standing).map(|(placed, _)| Moment {
        when: placed.when,
        latest: placed.latest(),
        own: placed.written.record.at(),
    });
    moments.collect()
}

/// The records as they stand, with the moment of each and whether it counts.
fn lines<'a>(
    written: &'a [Written],
    standing: &'a Standing<'a>,
) -> impl Iterator<Item = (Placed<'a>, bool)> {
    let all = || written.iter().enumerate();
    let as_put_right = |(place, w)| standing.as_put_right(place, w);
    let mut course = Course::of(all().map(as_put_right));
    all().map(move |(place, w)| {
        let placed = Placed::next(standing.as_put_right(place, w), &mut course, place);
        (placed, standing.at(place, w).is_some())
    })
}

/// Puts one more record into a state already folded; `before` are the records behind that state.
/// False where only folding everything anew gives the right answer: an undo that may bring back what
/// came before, a change of the profile, a walk that stands or may stand for a lost one, or what was
/// reckoned from a reading.
pub fn apply(history: &mut History, before: &[Written], w: &Written) -> bool {
    apply_among(history, before, w, None)
}

/// The walks of a state, while many records come one after another.
pub(super) struct Begun {
    ids: HashSet<String>,
    has_stubs: bool,
}

impl Begun {
    pub(super) fn of(history: &History) -> Begun {
        let walks = history.walks.iter();
        Begun {
            ids: walks.map(|walk| walk.id.clone()).collect(),
            has_stubs: history.walks.iter().any(|walk| walk.is_stub),
        }
    }
}

/// The same beside what is known of the walks, which it keeps up.
pub(super) fn apply_among(
    history: &mut History,
    before: &[Written],
    w: &Written,
    begun: Option<&mut Begun>,
) -> bool {
    let mut course = Course::after(history.latest);
    let placed = Placed::next(w, &mut course, history.length);
    history.latest = course.latest();
    history.length += 1;
    let of_aside = |walk: &str| history.aside.iter().any(|aside| aside.rec.walk == walk);
    if let Some((walk, _)) = w.record.names().walk
        && of_aside(walk)
    {
        return false;
    }
    if let Some((walk, Part::Begins)) = w.record.names().walk {
        let stubs = || history.walks.iter().any(|w| w.is_stub);
        let has_stubs = begun.as_ref().map_or_else(stubs, |begun| begun.has_stubs);
        if has_stubs || before.iter().any(|w| is_of(w, walk)) {
            return false;
        }
        let is_known = match begun {
            Some(begun) => !begun.ids.insert(walk.to_owned()),
            None => history.walk(walk).is_some(),
        };
        if is_known {
            return true;
        }
    }
    match &w.record {
        Record::Undo(undo) => {
            let mended =
                |w: &Written| matches!(w.record, Record::Correction(_) | Record::SetAside(_));
            return !before.iter().any(mended)
                && (history.take_out_service(&undo.of)
                    || take_back_look(history, before, undo, &placed));
        }
        Record::Correction(_) | Record::SetAside(_) => return false,
        Record::Draft(draft) if of_aside(&draft.walk) => return false,
        _ => {}
    }
    // Every field of a profile is asked anew who set it last.
    let alone = w.record.profile_step().is_none();
    let follows = concerns(history, before, w);
    let mut state = Folding::of(history);
    alone && w.record.apply(&placed, &mut state) == Applied::Done && !follows
}

/// True where a record speaks of a walk that is begun elsewhere, or puts right one that then does.
fn is_of(w: &Written, id: &str) -> bool {
    let said = match &w.record {
        Record::Correction(correction) => correction.to.as_deref(),
        record => Some(record),
    };
    let named = said.and_then(|record| record.names().walk);
    named.is_some_and(|(walk, part)| walk == id && part != Part::Begins)
}

/// Takes one look back out of a state already folded, as [`fold`] would with an undo of it. False,
/// and nothing changed, where only folding everything anew gives the right answer: what is undone is
/// no look that stands, or a draft typed ahead of it may come back to light.
fn take_back_look(
    history: &mut History,
    written: &[Written],
    undo: &Undo,
    placed: &Placed<'_>,
) -> bool {
    let id = undo.of.as_str();
    let mut walks = history.walks.iter_mut();
    let found = walks.find_map(|walk| {
        let spot = walk.looks.iter().position(|l| *l.id == *id)?;
        Some((walk, spot))
    });
    let Some((walk, spot)) = found.filter(|(walk, _)| !walk.is_stub) else {
        return false;
    };
    let look = &walk.looks[spot].look;
    let ahead = written.iter().rev().any(|w| {
        matches!(&w.record, Record::Draft(d) if d.walk == walk.id
            && d.item == look.item && Some(&d.phase) == look.phase.as_ref())
    });
    if ahead {
        return false;
    }
    let look = walk.looks.remove(spot);
    let taken = taken_back::by_undo(walk, &look, undo, placed);
    history.taken_back.retain(|known| known.id != id);
    history.taken_back.extend(taken);
    true
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
