//! The texts a logbook keeps of what was asked, and of what the boat has of her own: read when an
//! answer rests on one, so that a copy of the folder says the same on any computer.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::io;
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};

use super::disk::RealDisk;
use super::error::LogbookError;
use super::folder::{Folder, MAX_TEXT};
use super::placed::Written;
use super::problem::{Problem, ProblemKind};
use super::record::Record;
use super::record::event::{KeptText, Part};
use super::replace::{hex, keep_text, kept_text};
use super::standing::{stands, undone};
use crate::checklist::{Asked, BoatsOwn, Library, LostText, Own, Texts};
use crate::defects::History;
use crate::walk::TimedLook;

/// The texts of a folder, each read once.
struct Kept {
    folder: Folder,
    read: Mutex<HashMap<String, Result<Arc<Asked>, String>>>,
}

impl Texts for Kept {
    fn asked(&self, name: &str) -> Result<Arc<Asked>, String> {
        // A thread that panicked while it read left no half a text behind.
        let mut read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = read.get(name) {
            return known.clone();
        }
        let asked = asked_text(&self.folder, name)
            .map(Arc::new)
            .map_err(|(_, why)| why);
        read.insert(name.to_owned(), asked.clone());
        asked
    }
}

fn not_understood(why: String) -> (ProblemKind, String) {
    let why = format!("the text cannot be understood ({why})");
    (ProblemKind::NotUnderstood, why)
}

/// A text by its name, or what is wrong with it.
fn text(folder: &Folder, name: &str) -> Result<Vec<u8>, (ProblemKind, String)> {
    kept_text(&RealDisk, folder, name).map_err(|error| match error {
        LogbookError::TextChanged { .. } => (
            ProblemKind::ChangedOutside,
            "the text no longer matches its name".to_owned(),
        ),
        LogbookError::CannotRead { path, .. } if path == folder.texts() => (
            ProblemKind::NotUnderstood,
            "this is no name of a kept text".to_owned(),
        ),
        LogbookError::CannotRead { source, .. } if source.kind() == io::ErrorKind::FileTooLarge => {
            (
                ProblemKind::TooLarge,
                format!(
                    "the text is larger than {} MiB and was not read",
                    MAX_TEXT >> 20
                ),
            )
        }
        LogbookError::CannotRead { source, .. } if source.kind() == io::ErrorKind::NotFound => {
            (ProblemKind::TextMissing, "the text is not there".to_owned())
        }
        LogbookError::CannotRead { path, source } => {
            let problem = Problem::refused_file(&path, &source);
            (problem.kind, problem.message)
        }
        other => (ProblemKind::Unreadable, other.to_string()),
    })
}

/// What the boat has of her own, by the records that stand.
pub(super) fn boats_own(folder: &Folder, base: &Library, written: &[Written]) -> BoatsOwn {
    let mut own = BoatsOwn::default();
    if !written
        .iter()
        .any(|w| matches!(w.record, Record::OwnItems(_)))
    {
        return own;
    }
    let undone = undone(written);
    // One that was changed outside does not count, and is said.
    for w in written.iter().filter(|w| stands(w, &undone)) {
        let Record::OwnItems(record) = &w.record else {
            continue;
        };
        match own_text(folder, &record.text) {
            Ok(text) => own.put(text, record.given()),
            // What the settings folder here still says word for word is not lost.
            Err(_) if says(base.settings(), &record.text) => {
                own.put(base.settings().clone(), record.given());
            }
            Err((_, why)) => own.lose(LostText {
                name: record.text.clone(),
                only: record.only.clone(),
                why: format!(
                    "{why}; it held items, checklists or tasks of the boat's own, which are not asked now: bring it back from another copy of the logbook, or put them in again with: handlamp checklist add FILE"
                ),
            }),
        }
    }
    own
}

fn says(own: &Own, name: &str) -> bool {
    own.text().is_ok_and(|text| hex(text.as_bytes()) == name)
}

fn asked_text(folder: &Folder, name: &str) -> Result<Asked, (ProblemKind, String)> {
    Asked::read(&text(folder, name)?).map_err(not_understood)
}

fn own_text(folder: &Folder, name: &str) -> Result<Own, (ProblemKind, String)> {
    Own::read(&text(folder, name)?).map_err(not_understood)
}

/// The library of a logbook: the boat's own over the settings folder over the built-in, with what
/// only the texts of walks know, and a way to find what was asked earlier.
pub(super) fn library(
    folder: &Folder,
    base: &Library,
    own: &BoatsOwn,
    history: &History,
) -> Arc<Library> {
    let texts = Kept {
        folder: folder.clone(),
        read: Mutex::default(),
    };
    let fresh = own.fresh(base.settings());
    let library = own.over(base, &fresh).with_texts(Arc::new(texts));
    let found = only_in_texts(&library, history);
    Arc::new(if found.is_empty() {
        library
    } else {
        library.with_found(&found)
    })
}

/// Items and checklists that records name and only the texts of walks know, the newest text of each.
fn only_in_texts(library: &Library, history: &History) -> Own {
    let mut found = Own::default();
    let mut missing = items_missing(library, history);
    let mut lists: HashSet<&str> = history.walks.iter().map(|w| w.checklist.as_str()).collect();
    lists.retain(|list| library.checklist(list).is_none());
    let mut read = HashSet::new();
    for walk in history.walks.iter().rev() {
        if missing.is_empty() && lists.is_empty() {
            break;
        }
        let Some(name) = walk.asked.as_deref().filter(|name| read.insert(*name)) else {
            continue;
        };
        let crate::checklist::Then::Other(asked) = library.then(&walk.checklist, Some(name)) else {
            continue;
        };
        if lists.remove(asked.checklist.id.as_str()) {
            found.checklists.push(asked.checklist.clone());
            let rows = asked.checklist.phases.iter().flat_map(|p| &p.rows);
            // What such a checklist asks is known with it.
            let asks: HashSet<&str> = rows.flat_map(|r| &r.items).map(String::as_str).collect();
            let new = |id: &str| asks.contains(id) && library.catalogue.item(id).is_none();
            found.put(asked.some(new));
        }
        let here = asked.some(|id| missing.contains(id));
        missing.retain(|id| here.items.iter().all(|i| i.id != *id));
        found.put(here);
    }
    // Stations that are known stand where they stand.
    found
        .stations
        .retain(|s| library.catalogue.station(&s.id).is_none());
    found
}

/// Items that records name and that the library has not.
fn items_missing<'a>(library: &Library, history: &'a History) -> HashSet<&'a str> {
    let missing = |item: &&str| library.catalogue.item(item).is_none();
    let mut found = HashSet::new();
    let mut before: &[TimedLook] = &[];
    for walk in &history.walks {
        for (n, timed) in walk.looks.iter().enumerate() {
            // Most walks go the way of the one before, and what it named has been looked up.
            let item = timed.look.item.as_str();
            let known = before.get(n).is_some_and(|b| b.look.item == item);
            found.extend((!known).then_some(item).filter(missing));
        }
        before = &walk.looks;
    }
    let beside = history.named().into_iter();
    found.extend(beside.filter_map(|named| named.item).filter(missing));
    found
}

/// Copies the texts that records name to another folder, those that can be read.
pub(super) fn copy_to(
    into: &Folder,
    from: &Folder,
    written: &[Written],
    rng: &mut fastrand::Rng,
) -> Result<(), LogbookError> {
    let mut done = HashSet::new();
    let named = written.iter().filter_map(|w| w.record.names().text);
    let named = named.map(|text| match text {
        KeptText::Asked(name) | KeptText::Own(name) => name,
    });
    for name in named.filter(|name| done.insert(*name)) {
        if let Ok(text) = kept_text(&RealDisk, from, name) {
            keep_text(&RealDisk, into, &text, rng)?;
        }
    }
    Ok(())
}

/// What is wrong with the texts that records name; each one is read.
pub(super) fn text_problems(folder: &Folder, written: &[Written]) -> Vec<Problem> {
    let mut asked: BTreeMap<&str, &str> = BTreeMap::new();
    let mut own = BTreeMap::new();
    for w in written {
        let names = w.record.names();
        match names.text {
            Some(KeptText::Asked(name)) => {
                let (walk, _) = names.walk.unwrap_or((&w.id, Part::Begins));
                asked.entry(name).or_insert(walk);
            }
            Some(KeptText::Own(name)) => {
                own.entry(name).or_insert(&*w.id);
            }
            None => {}
        }
    }
    let wrong = |name: &str, (kind, why): (ProblemKind, String), who: String| {
        let file = Path::new("texts").join(format!("{name}.json"));
        Problem::with_file(
            &file,
            kind,
            format!("{why}; {who}, and another copy of the logbook may have it"),
        )
    };
    let asked = asked.into_iter().filter_map(|(name, walk)| {
        let who = format!("the walk {walk} says that it was asked with it");
        asked_text(folder, name)
            .err()
            .map(|why| wrong(name, why, who))
    });
    let own = own.into_iter().filter_map(|(name, id)| {
        let who = format!("the record {id} says that it holds what the boat has of her own");
        own_text(folder, name)
            .err()
            .map(|why| wrong(name, why, who))
    });
    asked.chain(own).collect()
}
