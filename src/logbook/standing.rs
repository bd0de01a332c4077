//! What stands of the records: each as it was written, as it was put right, or not at all.
//!
//! Records are taken back and put right by records, which name them by id. A correction stands at the
//! place of the record it replaces and under its id, through any number of corrections to the first.
//! Of corrections that did not know of each other the worse look holds, of anything else the newest,
//! until somebody puts the record right once more; a correction holds against a taking back that did
//! not know of it.

use std::collections::{HashMap, HashSet};

use super::placed::{Trust, Written};
use super::reckoned::follow;
use super::record::{Correction, Record, SetAside, WalkStarted};
use crate::defects::NotCounted;
use crate::text::{Hashed, safe_line};

/// What stands of the records of a log.
pub(super) struct Standing<'a> {
    /// Records taken back, by id, with the place of the record that does so.
    undone: Hashed<&'a str, usize>,
    /// Records as they were put right, by place, with the place of the correction that holds.
    put_right: HashMap<usize, (Written, usize)>,
    /// Places of records that a correction takes back, with its place.
    taken: HashMap<usize, usize>,
    /// Walks set aside, with the place of the record that does so.
    aside: HashMap<String, (SetAside, usize)>,
    /// Corrections that hold, by the id of what they put right; several where they did not know of each
    /// other.
    heads: HashMap<String, Vec<String>>,
    /// Records that follow a reading they were reckoned from, as they stand, by place.
    reckoned: HashMap<usize, Written>,
    /// Corrections that did not know of each other, and such as put nothing right.
    pub(super) clashes: Vec<NotCounted>,
}

/// What took a record back or put it right.
#[derive(Clone, Copy)]
pub(super) struct Deed {
    /// Place of the record that did.
    pub(super) place: usize,
    /// It set the whole walk aside.
    pub(super) aside: bool,
}

impl<'a> Standing<'a> {
    pub(super) fn of(written: &'a [Written]) -> Standing<'a> {
        let undone = undone(written);
        let mut standing = Standing {
            undone,
            put_right: HashMap::new(),
            taken: HashMap::new(),
            aside: HashMap::new(),
            heads: HashMap::new(),
            reckoned: HashMap::new(),
            clashes: Vec::new(),
        };
        let mut corrections: Vec<(usize, &Written, &Correction)> = Vec::new();
        for (place, w) in written.iter().enumerate() {
            if let Record::Correction(correction) = &w.record
                && w.trust.sound
            {
                corrections.push((place, w, correction));
            }
        }
        if !corrections.is_empty() {
            standing.put_all_right(written, &corrections);
        }
        let set_aside = written.iter().enumerate().filter_map(|(place, w)| {
            let is_one = matches!(w.record, Record::SetAside(_) | Record::Correction(_));
            match &Some(w)
                .filter(|_| is_one)
                .and_then(|w| standing.at(place, w))?
                .record
            {
                Record::SetAside(aside) => {
                    Some((aside.walk.clone(), (SetAside::clone(aside), place)))
                }
                _ => None,
            }
        });
        standing.aside = set_aside.collect();
        standing.reckoned = follow(written, &standing);
        standing
    }

    fn put_all_right(
        &mut self,
        written: &'a [Written],
        corrections: &[(usize, &'a Written, &'a Correction)],
    ) {
        let named: HashSet<&str> = corrections.iter().map(|(.., c)| c.of.as_str()).collect();
        let mut firsts: HashMap<&str, (usize, &Written)> = HashMap::new();
        for (place, w) in written.iter().enumerate() {
            if named.contains(&*w.id) {
                firsts.insert(&w.id, (place, w));
            }
        }
        let mut by_first: HashMap<&str, Vec<(usize, &Written, &Correction)>> = HashMap::new();
        for &(place, w, correction) in corrections {
            let of = by_first.entry(&correction.of).or_default();
            of.push((place, w, correction));
        }
        let mut all: Vec<_> = by_first.into_iter().collect();
        all.sort_by_key(|(_, of)| of.first().map(|(place, ..)| *place));
        for (id, of) in all {
            self.put_one_right(id, firsts.get(id).copied(), &of);
        }
    }

    /// Settles what holds of the corrections of one record.
    fn put_one_right(
        &mut self,
        id: &str,
        first: Option<(usize, &'a Written)>,
        of: &[(usize, &'a Written, &'a Correction)],
    ) {
        let shown = safe_line(id);
        if first.is_some_and(|(_, w)| !w.trust.alone) {
            let why = format!("a correction names {shown}, which several records are called");
            return self.clashes.push(NotCounted::because(why));
        }
        let fits = |c: &Correction| match (first, c.to.as_deref()) {
            (Some((_, w)), Some(to)) => to.event() == w.record.event(),
            _ => true,
        };
        let stand = of.iter().filter(|(_, w, _)| stands(w, &self.undone));
        let (stand, odd): (Vec<_>, Vec<_>) = stand.copied().partition(|(.., c)| fits(c));
        if !odd.is_empty() {
            let why = format!("a correction of {shown} says something of another kind");
            self.clashes.push(NotCounted::because(why));
        }
        let heads = heads(&stand, of);
        let ids = heads.iter().map(|(_, w, _)| w.id.to_string());
        self.heads.insert(id.to_owned(), ids.collect());
        // The last of equals, which is the newest.
        let Some(&(place, w, holds)) = heads.iter().max_by(|(.., a), (.., b)| a.against(b)) else {
            return;
        };
        if heads.len() > 1 {
            self.clashes.push(two_ways(holds));
        }
        let at_place = first.map_or(place, |(place, _)| place);
        match holds.to.as_deref() {
            Some(to) => {
                let was = first.map_or(w, |(_, first)| first);
                let now = Written {
                    id: id.into(),
                    at: was.at,
                    record: to.clone(),
                    trust: Trust {
                        believed: was.trust.believed,
                        ..Trust::FULL
                    },
                };
                self.put_right.insert(at_place, (now, place));
            }
            None => {
                self.taken.insert(at_place, place);
            }
        }
    }

    /// A record with what was put right of it, and of what it was reckoned from, whether it counts or
    /// not.
    pub(super) fn as_put_right<'s>(&'s self, place: usize, w: &'s Written) -> &'s Written {
        let now = || self.put_right.get(&place).map_or(w, |(now, _)| now);
        self.reckoned.get(&place).unwrap_or_else(now)
    }

    /// Place of the correction that says what stands at a place; none where it stands as written.
    pub(super) fn put_right_by(&self, place: usize) -> Option<usize> {
        self.put_right.get(&place).map(|(_, by)| *by)
    }

    /// A record as it stands; none where it does not count.
    pub(super) fn at<'s>(&'s self, place: usize, w: &'s Written) -> Option<&'s Written> {
        let now = self.by_itself(place, w)?;
        (!self.goes_with_its_walk(now)).then_some(now)
    }

    /// The same, whatever became of its walk.
    pub(super) fn by_itself<'s>(&'s self, place: usize, w: &'s Written) -> Option<&'s Written> {
        let taken = || self.taken.contains_key(&place) || !stands(w, &self.undone);
        let counts = self.put_right.contains_key(&place) || !taken();
        counts.then(|| self.as_put_right(place, w))
    }

    /// Place of the correction that takes the record at a place back.
    pub(super) fn taken_by(&self, place: usize) -> Option<usize> {
        self.taken.get(&place).copied()
    }

    /// True for what goes with a walk set aside.
    fn goes_with_its_walk(&self, w: &Written) -> bool {
        match &w.record {
            Record::Look(look) => {
                let aside = self.aside.get(&*look.walk);
                aside.is_some_and(|(aside, _)| aside.looks.iter().any(|id| **id == *w.id))
            }
            Record::Draft(draft) => self.aside.contains_key(draft.walk.as_str()),
            record => {
                let walk = record.names().walk.map(|(walk, _)| walk);
                walk.is_some_and(|walk| self.aside.contains_key(walk))
            }
        }
    }

    /// What took a record back or put it right; none where it stands as it was written.
    pub(super) fn deed(&self, place: usize, w: &Written) -> Option<Deed> {
        if let Record::Look(look) = &w.record
            && let Some((aside, at)) = self.aside.get(&*look.walk)
            && aside.looks.iter().any(|id| **id == *w.id)
        {
            return Some(Deed {
                place: *at,
                aside: true,
            });
        }
        let corrected = self.put_right.get(&place).map(|(_, by)| *by);
        let taken = corrected.or_else(|| self.taken.get(&place).copied());
        let undone = || self.undone.get(&*w.id).copied();
        let place = taken.or_else(|| undone().filter(|_| w.trust.alone))?;
        Some(Deed {
            place,
            aside: false,
        })
    }

    /// The beginning of a walk as it was put right, from [`beginnings`].
    pub(super) fn begun<'s>(
        &'s self,
        written: &'s [Written],
        (place, first): (usize, &'s WalkStarted),
    ) -> &'s WalkStarted {
        let now = written
            .get(place)
            .map(|w| &self.as_put_right(place, w).record);
        match now {
            Some(Record::WalkStarted(now)) => now,
            _ => first,
        }
    }

    /// The corrections of a record that hold.
    pub(super) fn heads(&self, id: &str) -> Vec<String> {
        self.heads.get(id).cloned().unwrap_or_default()
    }

    /// Ids of all that keeps a record from counting as it was written, as it says now.
    pub(super) fn deeds(&self, written: &[Written], w: &Written, now: &Record) -> Vec<String> {
        let walk = now.names().walk.and_then(|(walk, _)| self.aside(walk));
        let aside = walk.and_then(|place| Some(written.get(place)?.id.to_string()));
        let undone = written.iter().filter(|by| {
            let names = matches!(&by.record, Record::Undo(undo) if *undo.of == *w.id);
            names && by.trust.sound && !self.undone.contains_key(&*by.id)
        });
        let undone = undone.map(|by| by.id.to_string());
        self.heads(&w.id)
            .into_iter()
            .chain(undone)
            .chain(aside)
            .collect()
    }

    /// True where nothing was ever taken back or put right.
    pub(super) fn is_as_written(&self) -> bool {
        let Standing {
            undone,
            put_right,
            taken,
            aside,
            heads: _,
            reckoned: _,
            clashes: _,
        } = self;
        undone.is_empty() && put_right.is_empty() && taken.is_empty() && aside.is_empty()
    }

    /// The record that set a walk aside.
    pub(super) fn aside(&self, walk: &str) -> Option<usize> {
        self.aside.get(walk).map(|(_, place)| *place)
    }
}

/// The corrections that no other replaces, of those that stand; `all` are those taken back too, for
/// what a correction replaces stays replaced.
fn heads<'a>(
    stand: &[(usize, &'a Written, &'a Correction)],
    all: &[(usize, &'a Written, &'a Correction)],
) -> Vec<(usize, &'a Written, &'a Correction)> {
    let by_id: HashMap<&str, &Correction> = all.iter().map(|(_, w, c)| (&*w.id, *c)).collect();
    let mut replaced: HashSet<&str> = HashSet::new();
    for (.., correction) in stand {
        let mut open: Vec<&str> = correction.replaces.iter().map(String::as_str).collect();
        while let Some(id) = open.pop() {
            if replaced.insert(id)
                && let Some(earlier) = by_id.get(id)
            {
                open.extend(earlier.replaces.iter().map(String::as_str));
            }
        }
    }
    let head = |(_, w, _): &&(usize, &Written, &Correction)| !replaced.contains(&*w.id);
    stand.iter().filter(head).copied().collect()
}

fn two_ways(holds: &Correction) -> NotCounted {
    let (item, which) = match holds.to.as_deref() {
        Some(Record::Look(made)) => (Some(made.look.item.clone()), "the worse of them holds"),
        _ => (None, "the newest of them holds"),
    };
    NotCounted {
        item,
        ..NotCounted::because(format!(
            "two copies of the logbook put the record {} right in different ways; {which} until it is put right once more",
            safe_line(&holds.of)
        ))
    }
}

/// True where a record counts as it was written: nobody took it back, and its line is as it was. An
/// undo of an id that several records carry takes none of them back. Of a line that was changed
/// outside counts only what can make an answer worse, and what no answer rests on.
pub(super) fn stands(w: &Written, undone: &Hashed<&str, usize>) -> bool {
    if w.trust.alone && undone.contains_key(&*w.id) {
        return false;
    }
    w.trust.sound || w.record.counts_changed()
}

/// The ids of the records taken back, with the place of the record that does so.
pub(super) fn undone(written: &[Written]) -> Hashed<&str, usize> {
    let mut undone = Hashed::default();
    for (place, w) in written.iter().enumerate().rev() {
        if let Record::Undo(undo) = &w.record
            && w.trust.sound
            && !undone.contains_key(&*w.id)
        {
            undone.entry(undo.of.as_str()).or_insert(place);
        }
    }
    undone
}

/// The beginnings of the walks as they were first written, with their places, by walk.
pub(super) fn beginnings(written: &[Written]) -> HashMap<&str, (usize, &WalkStarted)> {
    let mut first: HashMap<&str, (bool, usize, &WalkStarted)> = HashMap::new();
    for (place, w) in written.iter().enumerate() {
        if let Record::WalkStarted(started) = &w.record {
            let this = (!w.trust.sound, place, &**started);
            let known = first.entry(&started.walk).or_insert(this);
            if (this.0, this.1) < (known.0, known.1) {
                *known = this;
            }
        }
    }
    let first = first.into_iter();
    first
        .map(|(walk, (_, place, started))| (walk, (place, started)))
        .collect()
}
