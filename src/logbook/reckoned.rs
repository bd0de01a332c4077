//! What the program reckoned from a reading of an hour meter names the record of that reading (`from`).
//! Where the reading is put right the figure shifts by the same difference, as if the reading had never
//! been wrong; where it is taken back and none stands in its place, the figure stays.
//!
//! The record named is the one that says the reading as it stood then: the correction, where it had
//! been put right before. So what is shifted from is in the log, whatever a merge brings. Of a walk the
//! reading is the last one noted in it.

use std::collections::{HashMap, HashSet};

use super::placed::Written;
use super::record::{Correction, Record};
use super::standing::Standing;
use crate::boat::Hours;
use crate::defects::History;

/// A figure that was reckoned: what it is, and the record it was reckoned from.
type Figure<'a> = (&'a mut Hours, &'a mut Option<String>);

/// The figure of a record that can have been reckoned.
fn figure(record: &mut Record) -> Option<Figure<'_>> {
    match record {
        Record::Recheck(recheck) => Some((recheck.due_hours.as_mut()?, &mut recheck.from)),
        Record::Meter(change) => Some((&mut change.old, &mut change.from)),
        _ => None,
    }
}

/// The record that a figure was reckoned from.
fn from(record: &Record) -> Option<&str> {
    match record {
        Record::Recheck(recheck) => recheck.due_hours.and(recheck.from.as_deref()),
        Record::Meter(change) => change.from.as_deref(),
        _ => None,
    }
}

/// The same, to be named otherwise.
pub(super) fn from_of(record: &mut Record) -> Option<&mut String> {
    figure(record)?.1.as_mut()
}

/// What a record says that an hour meter showed.
fn reading(record: &Record) -> Option<Hours> {
    match record {
        Record::WalkStarted(walk) => walk.hours,
        Record::WalkNoted(noted) => noted.hours,
        Record::Repair(repair) => repair.hours,
        Record::Fitted(fitted) => fitted.hours,
        Record::Service(service) => service.hours,
        Record::UnderWay(line) => line.hours,
        Record::Meter(change) => Some(change.new),
        Record::Correction(correction) => reading(correction.to.as_deref()?),
        _ => None,
    }
}

/// The machine of a record beside the walks that was reckoned or read; none of what the boat has once.
fn machine(record: &Record) -> Option<&str> {
    match record {
        Record::Recheck(recheck) => recheck.machine.as_deref(),
        Record::Meter(change) => Some(&change.machine),
        Record::Repair(repair) => repair.machine.as_deref(),
        Record::Fitted(fitted) => fitted.machine.as_deref(),
        Record::Service(service) => service.machine.as_deref(),
        Record::UnderWay(line) => line.machine.as_deref(),
        _ => None,
    }
}

/// A reading as it stands.
#[derive(Clone, Copy)]
struct Read<'a> {
    hours: Hours,
    /// The record that says so.
    by: &'a str,
}

/// What is read in a walk, whether it counts or was set aside.
#[derive(Default)]
struct InWalk<'a> {
    machine: Option<&'a str>,
    /// The reading it began with, and the last one noted in it, as far as not taken back.
    begun: Option<Read<'a>>,
    noted: Option<Read<'a>>,
}

/// The readings that figures name.
struct Sources<'a> {
    written: &'a [Written],
    standing: &'a Standing<'a>,
    /// Places of the records named and of those they put right, by id.
    places: HashMap<&'a str, usize>,
    /// The walks of which a record is named.
    walks: HashMap<&'a str, InWalk<'a>>,
}

impl<'a> Sources<'a> {
    fn of(
        written: &'a [Written],
        standing: &'a Standing<'a>,
        named: &HashSet<&str>,
    ) -> Sources<'a> {
        let mut places: HashMap<&str, usize> = HashMap::new();
        let mut firsts: HashSet<&str> = HashSet::new();
        let all = || written.iter().enumerate();
        for (place, w) in all().filter(|(_, w)| named.contains(&*w.id)) {
            places.insert(&w.id, place);
            if let Record::Correction(correction) = &w.record {
                firsts.insert(&correction.of);
            }
        }
        for (place, w) in all().filter(|(_, w)| firsts.contains(&*w.id)) {
            places.insert(&w.id, place);
        }
        let named = places.values().filter_map(|place| written.get(*place));
        let walks = named.filter_map(|w| Some((walk_of(&w.record)?, InWalk::default())));
        let mut sources = Sources {
            written,
            standing,
            walks: walks.collect(),
            places,
        };
        sources.read_walks();
        sources
    }

    fn read_walks(&mut self) {
        let mut walks = std::mem::take(&mut self.walks);
        if walks.is_empty() {
            return;
        }
        let (written, standing) = (self.written, self.standing);
        for (place, w) in written.iter().enumerate() {
            if walk_of(&w.record).is_none() {
                continue;
            }
            let now = standing.as_put_right(place, w);
            let Some(walk) = walk_of(&now.record).and_then(|walk| walks.get_mut(walk)) else {
                continue;
            };
            let counts = standing.by_itself(place, w).is_some();
            let read = reading(&now.record).filter(|_| counts && now.trust.sound);
            let read = read.map(|hours| Read {
                hours,
                by: self.said_by(place, w),
            });
            match &now.record {
                Record::WalkStarted(started) => {
                    walk.machine = walk.machine.or(Some(&started.machine));
                    walk.begun = walk.begun.or(read);
                }
                Record::WalkNoted(_) => walk.noted = read.or(walk.noted),
                _ => {}
            }
        }
        self.walks = walks;
    }

    /// The record that says what stands at a place.
    fn said_by(&self, place: usize, w: &'a Written) -> &'a str {
        let by = self.standing.put_right_by(place);
        let by = by.and_then(|place| self.written.get(place));
        &by.unwrap_or(w).id
    }

    /// The reading that was said last at a place, though it was taken back.
    fn last_said(&self, place: usize, w: &'a Written) -> Option<Read<'a>> {
        let mut taken = self.standing.taken_by(place);
        while let Some(at) = taken {
            let by = &self.written.get(at)?.record;
            let Record::Correction(correction) = by else {
                break;
            };
            // What it replaced stands before it.
            let earlier = self.written.get(..at)?;
            taken = earlier
                .iter()
                .rposition(|w| correction.replaces.iter().any(|id| **id == *w.id));
            let said = taken.and_then(|at| earlier.get(at));
            if let Some((said, hours)) = said.and_then(|w| Some((w, reading(&w.record)?))) {
                return Some(Read {
                    hours,
                    by: &said.id,
                });
            }
        }
        Some(Read {
            hours: reading(&self.standing.as_put_right(place, w).record)?,
            by: self.said_by(place, w),
        })
    }

    /// A reading as the record named says it, as it stands, and the machine it is of where that is
    /// known; none where the reading is not.
    fn was_and_is(&self, named: &str) -> Option<(Hours, Read<'a>, Option<&'a str>)> {
        let w = self.written.get(*self.places.get(named)?)?;
        if !(w.trust.sound && w.trust.alone) {
            return None;
        }
        let was = reading(&w.record)?;
        let first = match &w.record {
            Record::Correction(correction) => correction.of.as_str(),
            _ => named,
        };
        // A correction whose record is lost stands at its own place.
        let place = *self.places.get(first).or(self.places.get(named))?;
        let w = self.written.get(place)?;
        let now = self.standing.as_put_right(place, w);
        let walk = walk_of(&now.record).map(|walk| self.walks.get(walk));
        let is = walk.and_then(|walk| walk?.noted.or(walk?.begun));
        let is = is.or_else(|| self.last_said(place, w))?;
        let machine = match walk {
            Some(walk) => walk.and_then(|walk| walk.machine),
            None => machine(&now.record),
        };
        Some((was, is, machine))
    }
}

fn walk_of(record: &Record) -> Option<&str> {
    match record {
        Record::WalkStarted(walk) => Some(&walk.walk),
        Record::WalkNoted(noted) => Some(&noted.walk),
        Record::Correction(correction) => walk_of(correction.to.as_deref()?),
        _ => None,
    }
}

/// The records that name a reading, as they are after it, by place.
pub(super) fn follow(written: &[Written], standing: &Standing<'_>) -> HashMap<usize, Written> {
    let all = written.iter().enumerate();
    let can = |w: &Written| {
        matches!(
            w.record,
            Record::Recheck(_) | Record::Meter(_) | Record::Correction(_)
        )
    };
    let those: Vec<(usize, &Written)> = all
        .filter(|(_, w)| can(w))
        .map(|(place, w)| (place, standing.as_put_right(place, w)))
        .filter(|(_, now)| now.trust.sound && from(&now.record).is_some())
        .collect();
    if those.is_empty() {
        return HashMap::new();
    }
    let named = those.iter().filter_map(|(_, now)| from(&now.record));
    let sources = Sources::of(written, standing, &named.collect());
    let followed = those.into_iter().filter_map(|(place, now)| {
        let (was, is, of) = sources.was_and_is(from(&now.record)?)?;
        let elsewhere = machine(&now.record).zip(of);
        if elsewhere.is_some_and(|(own, of)| own != of) {
            return None;
        }
        let mut now = now.clone();
        let (hours, by) = figure(&mut now.record)?;
        *hours = hours.shifted(was, is.hours);
        *by = Some(is.by.to_owned());
        Some((place, now))
    });
    followed.collect()
}

/// Has each record that was reckoned from a reading name the record that says it as it stands; before,
/// it names the entry.
pub(super) fn name_sources<'r>(
    written: &[Written],
    records: impl IntoIterator<Item = &'r mut Record>,
) {
    let figures = records.into_iter().filter_map(|record| {
        from(record)?;
        figure(record)
    });
    let mut figures: Vec<&mut Option<String>> = figures.map(|(_, by)| by).collect();
    if figures.is_empty() {
        return;
    }
    let standing = Standing::of(written);
    let named: HashSet<&str> = figures.iter().filter_map(|by| by.as_deref()).collect();
    let sources = Sources::of(written, &standing, &named);
    for by in &mut figures {
        let is = by.as_deref().and_then(|named| sources.was_and_is(named));
        if let Some((_, is, _)) = is {
            **by = Some(is.by.to_owned());
        }
    }
}

/// Has what was reckoned name the entry of the reading, whatever put that right.
pub(super) fn name_entries(history: &mut History, written: &[Written]) {
    let rechecks = history.rechecks.iter_mut().map(|r| &mut r.rec.from);
    let meters = history.meters.iter_mut().map(|m| &mut m.rec.from);
    let named: Vec<&mut Option<String>> =
        rechecks.chain(meters).filter(|by| by.is_some()).collect();
    if named.is_empty() {
        return;
    }
    let corrections = written.iter().filter_map(|w| match &w.record {
        Record::Correction(correction) => Some((&*w.id, &**correction)),
        _ => None,
    });
    let corrections: HashMap<&str, &Correction> = corrections.collect();
    for by in named {
        let put_right = by.as_deref().and_then(|by| corrections.get(by));
        if let Some(correction) = put_right {
            *by = Some(correction.of.clone());
        }
    }
}

/// True where a record can shift what was reckoned before, or is shifted by what is on record: only
/// folding all anew tells.
pub(super) fn concerns(history: &History, before: &[Written], w: &Written) -> bool {
    if from(&w.record).is_some() {
        return true;
    }
    if reading(&w.record).is_none() {
        return false;
    }
    let rechecks = history.rechecks.iter().map(|r| r.rec.from.as_deref());
    let meters = history.meters.iter().map(|m| m.rec.from.as_deref());
    let named: HashSet<&str> = rechecks.chain(meters).flatten().collect();
    if named.is_empty() {
        return false;
    }
    let walk = walk_of(&w.record);
    let same_walk = |own: &Written| {
        let puts_right = matches!(own.record, Record::Correction(_));
        walk.is_some() && walk_of(&own.record) == walk && (puts_right || named.contains(&*own.id))
    };
    named.contains(&*w.id) || before.iter().any(same_walk)
}

/// What somebody gave anew in a record put right was reckoned from nothing.
pub(super) fn given(was: &Record, is: &mut Record) {
    let mut was = was.clone();
    let was = figure(&mut was).map(|(hours, _)| *hours);
    if let Some((hours, by)) = figure(is)
        && was != Some(*hours)
    {
        *by = None;
    }
}
