//! Everything on record, entry by entry, in words: as it was first written, with what became of it.

use chrono::{DateTime, FixedOffset};

use super::placed::Written;
use super::record::Record;
use super::standing::{Standing, beginnings};
use crate::causes::Causes;
use crate::defects::behind::signs;
use crate::text::capital;

/// One entry of the record.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Id of its record.
    pub id: String,
    /// Place in the order of the log.
    pub place: usize,
    /// The kind of record, as in the files.
    pub kind: &'static str,
    /// When it happened, as it says.
    pub at: DateTime<FixedOffset>,
    /// When it was written.
    pub written: DateTime<FixedOffset>,
    /// Walk id.
    pub walk: Option<String>,
    /// Item id.
    pub item: Option<String>,
    /// Machine id.
    pub machine: Option<String>,
    /// In plain words, as it stands.
    pub words: String,
    /// Who did it.
    pub by: Option<String>,
    /// What became of it.
    pub fate: Fate,
}

/// What became of an entry.
#[derive(Clone, Debug, PartialEq)]
pub enum Fate {
    /// It counts as it was written.
    Stands,
    /// It counts as it was put right.
    PutRight {
        /// As it was first written, in words.
        was: String,
        /// What did it.
        by: Deed,
    },
    /// It does not count.
    TakenBack(Deed),
    /// Its walk does not count.
    SetAside(Deed),
}

/// What took an entry back or put it right.
#[derive(Clone, Debug, PartialEq)]
pub struct Deed {
    /// Id of the record.
    pub id: String,
    /// When it was written.
    pub at: DateTime<FixedOffset>,
    /// Why.
    pub why: Option<String>,
    /// Who.
    pub who: Option<String>,
}

impl Fate {
    /// As answers call it.
    pub const fn name(&self) -> &'static str {
        match self {
            Fate::Stands => "stands",
            Fate::PutRight { .. } => "put-right",
            Fate::TakenBack(_) => "taken-back",
            Fate::SetAside(_) => "set-aside",
        }
    }
}

impl Entry {
    /// True where it counts.
    pub fn counts(&self) -> bool {
        matches!(self.fate, Fate::Stands | Fate::PutRight { .. })
    }
}

/// All entries, newest first; `title` gives an item its title. What is half typed and what the program
/// writes for itself is none, and what takes back or puts right stands at its entry.
pub fn entries(written: &[Written], title: &dyn Fn(&str) -> String) -> Vec<Entry> {
    let standing = Standing::of(written);
    let begun = beginnings(written);
    let told = written.iter().enumerate().rev().filter_map(|(place, w)| {
        let own = matches!(
            w.record,
            Record::Undo(_) | Record::Correction(_) | Record::SetAside(_)
        );
        if own {
            return None;
        }
        let now = standing.as_put_right(place, w);
        let walk = walk_of(&now.record);
        let of_walk = walk.as_deref().and_then(|walk| begun.get(walk));
        let of_walk = of_walk.map(|begun| standing.begun(written, *begun));
        let (item, machine) = match &now.record {
            Record::Look(made) => (Some(made.look.item.clone()), None),
            record => match record.clone().subject_slot() {
                Some((item, machine)) => (Some(item.to_owned()), machine.clone()),
                None => (None, None),
            },
        };
        Some(Entry {
            id: w.id.to_string(),
            place,
            kind: w.record.event(),
            at: now.record.at().unwrap_or(w.at),
            written: w.at,
            item,
            machine: machine.or_else(|| of_walk.map(|walk| walk.machine.clone())),
            words: words(&now.record, title)?,
            by: said_by(&now.record).or_else(|| of_walk.and_then(|walk| walk.by.clone())),
            fate: fate(written, &standing, (place, w), title),
            walk,
        })
    });
    told.collect()
}

/// A record in words; none for what is no entry.
fn words(record: &Record, title: &dyn Fn(&str) -> String) -> Option<String> {
    let deed = match record {
        Record::WalkStarted(walk) => format!("Began a walk: {}", walk.checklist),
        _ => capital(&record.deed(title)?),
    };
    let Record::Look(made) = record else {
        let said = record.texts();
        let words = said
            .iter()
            .filter(|(field, text)| *field != "of" && !text.trim().is_empty());
        let words: Vec<&str> = words.map(|(_, text)| *text).collect();
        return Some(match words.is_empty() {
            true => deed,
            false => format!("{deed}: {}", words.join("; ")),
        });
    };
    let look = &made.look;
    let reading = look.reading.map(|reading| reading.to_string());
    let added = look
        .added
        .map(|added| format!("topped up {}", added.measure()));
    let wear = look.wear.iter().map(|wear| wear.mark.to_string());
    let photos = (!look.photos.is_empty()).then(|| format!("{} picture(s)", look.photos.len()));
    let leak = look.leak.map(|leak| format!("leak {}", leak.as_str()));
    let said = (!look.signs.is_empty()).then(|| signs::lines(Causes::built_in(), &look.signs));
    let more = reading
        .into_iter()
        .chain(added)
        .chain(leak)
        .chain(said.into_iter().flatten())
        .chain(wear)
        .chain(photos);
    let more: Vec<String> = more.chain(look.note.clone()).collect();
    Some(match more.is_empty() {
        true => deed,
        false => format!("{deed}: {}", more.join("; ")),
    })
}

fn walk_of(record: &Record) -> Option<String> {
    record.names().walk.map(|(walk, _)| walk.to_owned())
}

fn said_by(record: &Record) -> Option<String> {
    match record {
        Record::WalkStarted(walk) => walk.by.clone(),
        Record::Repair(repair) => repair.by.clone(),
        Record::Service(service) => service.by.clone(),
        _ => None,
    }
}

fn fate(
    written: &[Written],
    standing: &Standing<'_>,
    (place, w): (usize, &Written),
    title: &dyn Fn(&str) -> String,
) -> Fate {
    let deed = |place: usize| {
        let by = written.get(place)?;
        let (why, who) = by.record.reason();
        Some(Deed {
            id: by.id.to_string(),
            at: by.at,
            why: why.map(str::to_owned),
            who: who.map(str::to_owned),
        })
    };
    let walk = walk_of(&standing.as_put_right(place, w).record);
    let aside = walk.and_then(|walk| deed(standing.aside(&walk)?));
    match (standing.at(place, w), standing.deed(place, w)) {
        (None, _) if aside.is_some() => aside.map_or(Fate::Stands, Fate::SetAside),
        (None, Some(by)) => deed(by.place).map_or(Fate::Stands, Fate::TakenBack),
        (Some(_), Some(by)) => match (deed(by.place), words(&w.record, title)) {
            (Some(by), Some(was)) => Fate::PutRight { was, by },
            _ => Fate::Stands,
        },
        (_, None) => Fate::Stands,
    }
}
