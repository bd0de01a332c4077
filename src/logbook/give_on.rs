//! The history of a boat given on with her: a logbook of its own, with every record as it stands in
//! the former owner's book less what is kept back, and a last one that says so ([`GivenOn`]).
//!
//! The copy is another book: its records go by other ids, so that the two are never joined. Its clocks
//! are put right, since a mark that was not believed there has nothing here that says why: each record
//! is written at the newest believed time up to it and speaks of the time at which it counted.
//! Whether the copy says less than the book does is asked of the copy itself before it gets its name.

mod redact;
#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;

use std::collections::{BTreeSet, HashSet};
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Map, Value};

use super::book::{Book, OpenError};
use super::disk::{Disk, RealDisk};
use super::entries::{Fate, entries};
use super::error::LogbookError;
use super::fold::{Moment, moments};
use super::folder::Folder;
use super::line::EntryId;
use super::photos::{copy_photo, kept_by};
use super::placed::Written;
use super::record::Record;
use super::replace::{hex, replace_file};
use super::session::Session;
use super::stamp::{Stamp, StampClock};
use super::texts;
use super::whole::Copied;
use crate::defects::condition::Condition;
use crate::defects::said::BUILD;
use crate::defects::{GivenOn, Private};
use crate::text::json_guard;

use redact::{Ids, Redaction};

/// What an id has behind it in the copy.
const MARK: &str = ".g";

/// Ends the name of a folder that is being written, and names the file in it that says so.
const HALF: &str = ".given-on.half";

/// What came of giving on.
#[derive(Debug)]
pub struct Given {
    /// What the copy says of itself.
    pub told: GivenOn,
    /// Pictures that went along.
    pub photos: usize,
    /// Pictures that could not, in sentences.
    pub missing: Vec<String>,
}

/// Why a history cannot be given on. Nothing bears the name then that was to.
#[derive(Debug, thiserror::Error)]
pub enum NotGiven {
    /// Something is there already.
    #[error("{} is there already; name a new folder", .0.display())]
    Taken(PathBuf),
    /// Records wait in memory.
    #[error("{0} record(s) are not saved yet; save them first")]
    Unsaved(usize),
    /// Something is not counted and could still matter.
    #[error(
        "what is not counted would go out of sight: {0}; look at it again or accept the loss first: handlamp logbook check"
    )]
    NotCounted(String),
    /// A record makes no sense without what is kept back.
    #[error("the record {id} ({ev}) cannot be given on without what is kept back: {why}")]
    Record {
        /// Its id.
        id: String,
        /// Its kind.
        ev: String,
        /// What is wrong.
        why: String,
    },
    /// The copy would say less than the book.
    #[error("the copy would say less than this book: {0}; it was not made")]
    SaysLess(String),
    /// It cannot be read or written.
    #[error(transparent)]
    Log(#[from] LogbookError),
    /// The copy does not open.
    #[error(transparent)]
    Open(#[from] OpenError),
}

/// Writes the history of a book into a new folder, to be given on with the boat, without what is kept
/// back.
///
/// # Errors
/// [`NotGiven`]; the folder is then not there.
pub fn give_on(book: &Book, to: &Path, kept_back: &BTreeSet<Private>) -> Result<Given, NotGiven> {
    may_be_given(book, to)?;
    let mut rng = fastrand::Rng::new();
    let made = new_folder(to)?;
    let copy = Copy { book, kept_back };
    let given = copy.write(&made, &mut rng);
    let given = given.and_then(|given| {
        let done = fs::remove_file(made.join(HALF)).and_then(|()| fs::rename(&made, to));
        done.map_err(|e| LogbookError::cannot_write(to, e))?;
        Ok(given)
    });
    if given.is_err() {
        // What is half there bears no name that anybody would open.
        let _ = fs::remove_dir_all(&made);
    }
    given
}

fn may_be_given(book: &Book, to: &Path) -> Result<(), NotGiven> {
    if to.symlink_metadata().is_ok() {
        return Err(NotGiven::Taken(to.to_owned()));
    }
    let parent = to.parent().filter(|up| !up.as_os_str().is_empty());
    let parent = fs::canonicalize(parent.unwrap_or(Path::new(".")));
    let parent = parent.map_err(|e| LogbookError::cannot_write(to, e))?;
    if fs::canonicalize(book.root()).is_ok_and(|own| parent.starts_with(own)) {
        return Err(NotGiven::Log(LogbookError::SameFolder {
            into: to.to_owned(),
            from: book.root().to_owned(),
        }));
    }
    let unsaved = book.unsaved();
    if unsaved > 0 {
        return Err(NotGiven::Unsaved(unsaved));
    }
    let mut doubts = book.history().doubts.iter();
    match doubts.find(|doubt| doubt.blocks()) {
        Some(doubt) => Err(NotGiven::NotCounted(doubt.told.why.clone())),
        None => Ok(()),
    }
}

/// A folder beside the one that is to be, for its user alone. What an attempt at the same name left there
/// that was cut short goes: it has a mark of its own, and nobody has opened it.
fn new_folder(to: &Path) -> Result<PathBuf, NotGiven> {
    let cannot = |e| LogbookError::cannot_write(to, e);
    let parent = to.parent().filter(|up| !up.as_os_str().is_empty());
    let name = to.file_name().unwrap_or_default().to_string_lossy();
    let path = parent
        .unwrap_or(Path::new("."))
        .join(format!(".{name}{HALF}"));
    if path.join(HALF).symlink_metadata().is_ok() {
        fs::remove_dir_all(&path).map_err(cannot)?;
    }
    if !RealDisk.make_dir(&path).map_err(cannot)? {
        return Err(NotGiven::Taken(path));
    }
    fs::write(path.join(HALF), "").map_err(cannot)?;
    Ok(path)
}

/// A copy on its way.
struct Copy<'a> {
    book: &'a Book,
    kept_back: &'a BTreeSet<Private>,
}

/// What went along, and what did not.
#[derive(Default)]
struct Tally {
    left_out: usize,
    shortened: usize,
}

impl Copy<'_> {
    fn write(&self, root: &Path, rng: &mut fastrand::Rng) -> Result<Given, NotGiven> {
        let (book, folder) = (self.book, Folder::new(root));
        let (mut lines, tally) = self.lines()?;
        let from = Folder::new(book.root());
        texts::copy_to(&folder, &from, book.written(), rng)?;
        let (photos, missing) = self.photos(&folder, &from, rng)?;
        let told = self.told(&tally);
        lines.push(self.last(&lines, &told)?);
        let mut session = Session::new(
            Box::new(RealDisk),
            folder.clone(),
            BUILD,
            Stamp::default(),
            rng.fork(),
        );
        session.copy_in(&lines)?;
        let (clock, library) = book.read_with();
        let copy = Book::open(root, clock, library, None)?;
        let profile = serde_json::to_string_pretty(copy.profile()).map_err(|e| {
            let ev = "boat".to_owned();
            LogbookError::BadRecord {
                ev,
                why: e.to_string(),
            }
        })?;
        let profile = json_guard(&profile);
        replace_file(&RealDisk, &folder.boat(), profile.as_bytes(), rng)?;
        match says_less(&book.condition(), &copy.condition()) {
            Some(what) => Err(NotGiven::SaysLess(what)),
            None => Ok(Given {
                told,
                photos,
                missing,
            }),
        }
    }

    /// Every record that goes along, as a line of the copy.
    fn lines(&self) -> Result<(Vec<Copied>, Tally), NotGiven> {
        let written = self.book.written();
        let mut tally = Tally::default();
        let along: Vec<bool> = written.iter().map(|w| self.goes(w, &mut tally)).collect();
        let here: HashSet<&str> = written.iter().map(|w| &*w.id).collect();
        let mut ids = Ids::new();
        for (w, _) in written.iter().zip(&along).filter(|(_, along)| **along) {
            if w.trust.alone {
                ids.insert(&w.id, id_of(&w.id));
            }
        }
        let redaction = Redaction {
            kept_back: self.kept_back,
            ids: &ids,
        };
        let mut stamps = StampClock::after(Stamp::default());
        let mut lines = Vec::new();
        let moments = moments(written);
        for (place, (w, along)) in written.iter().zip(along).enumerate() {
            if !along || !self.names_what_goes(w, &here, &ids) {
                continue;
            }
            let at = moments.get(place).and_then(|moment| moment.latest);
            let at = at.unwrap_or(w.at);
            let mut payload = payload(&w.record).map_err(|why| not_given(w, why))?;
            self.time(&mut payload, (place, w), &moments)
                .map_err(|e| not_given(w, e.to_string()))?;
            if !w.trust.sound {
                count_where_worse(&w.record, &mut payload);
            }
            tally.shortened += usize::from(redaction.payload(&mut payload));
            let rec = Value::Object(payload).to_string();
            let ev = w.record.event();
            match Record::read(ev, &rec) {
                Some(Ok(_)) => {}
                Some(Err(e)) => return Err(not_given(w, e.to_string())),
                None => return Err(not_given(w, "it is not known".to_owned())),
            }
            let id = ids.get(&*w.id).cloned();
            let id = id.unwrap_or_else(|| format!("twice-{place}{MARK}"));
            let wall = u64::try_from(at.timestamp_millis()).unwrap_or_default();
            lines.push(Copied {
                id: EntryId::new(&id).ok_or_else(|| not_given(w, "its id is none".to_owned()))?,
                stamp: stamps.next(wall),
                at,
                ev,
                rec,
            });
        }
        Ok((lines, tally))
    }

    /// Lets a record speak of the time at which it counts, where its clock was not believed or it told
    /// of what was still to come.
    fn time(
        &self,
        payload: &mut Map<String, Value>,
        (place, w): (usize, &Written),
        moments: &[Moment],
    ) -> serde_json::Result<()> {
        let (place, payload) = match &w.record {
            // It stands at the place of what it puts right.
            Record::Correction(correction) => {
                let all = self.book.written().iter();
                let first = all.enumerate().find(|(_, w)| *w.id == *correction.of);
                let rec = payload.get_mut("rec").and_then(Value::as_object_mut);
                let Some(((place, _), rec)) = first.zip(rec) else {
                    return Ok(());
                };
                (place, rec)
            }
            _ => (place, payload),
        };
        let own = match &w.record {
            Record::Correction(correction) => correction.to.as_ref().and_then(|to| to.at()),
            record => record.at(),
        };
        let stands = moments.get(place).filter(|moment| moment.own == own);
        let Some((moment, own)) = stands.zip(own) else {
            return Ok(());
        };
        if moment.when.at != own && payload.contains_key("at") {
            payload.insert("at".to_owned(), serde_json::to_value(moment.when.at)?);
        }
        Ok(())
    }

    /// True for a record that goes along.
    fn goes(&self, w: &Written, tally: &mut Tally) -> bool {
        let out = match &w.record {
            Record::Cost(_) => self.kept_back.contains(&Private::Prices),
            Record::Plan(_) | Record::Agreement(_) => self.kept_back.contains(&Private::Notes),
            // Half typed, or said of lines that are not in the copy.
            Record::Draft(_)
            | Record::ServiceDraft(_)
            | Record::RoundDraft(_)
            | Record::Clock(_)
            | Record::Accepted(_)
            | Record::GoneOn(_) => return false,
            // A document is whose it was issued to.
            Record::Issued(_) => true,
            _ => false,
        };
        let counts = w.trust.sound || w.record.counts_changed();
        tally.left_out += usize::from(out);
        counts && !out
    }

    /// True unless it takes back or puts right what does not go along. One whose record is lost goes:
    /// it counts by itself.
    fn names_what_goes(&self, w: &Written, here: &HashSet<&str>, ids: &Ids<'_>) -> bool {
        let of = match &w.record {
            Record::Undo(undo) => undo.of.as_str(),
            Record::Correction(correction) => correction.of.as_str(),
            _ => return true,
        };
        ids.contains_key(of) || !here.contains(of)
    }

    /// The pictures that records name.
    fn photos(
        &self,
        into: &Folder,
        from: &Folder,
        rng: &mut fastrand::Rng,
    ) -> Result<(usize, Vec<String>), LogbookError> {
        let mut missing = Vec::new();
        if self.kept_back.contains(&Private::Photographs) {
            return Ok((0, missing));
        }
        let names: BTreeSet<&str> = kept_by(self.book.written()).collect();
        for name in &names {
            match copy_photo(&RealDisk, into, from, name, rng) {
                Ok(()) => {}
                Err(error @ LogbookError::CannotWrite { .. }) => return Err(error),
                Err(error) => missing.push(error.to_string()),
            }
        }
        Ok((names.len() - missing.len(), missing))
    }

    fn told(&self, tally: &Tally) -> GivenOn {
        let title = |item: &str| item.to_owned();
        let all = entries(self.book.written(), &title);
        let count = |of: &dyn Fn(&Fate) -> bool| all.iter().filter(|e| of(&e.fate)).count();
        GivenOn {
            at: self.book.now(),
            kept_back: self.kept_back.iter().copied().collect(),
            entries: all.len() - tally.left_out.min(all.len()),
            left_out: tally.left_out,
            shortened: tally.shortened,
            taken_back: count(&|fate| matches!(fate, Fate::TakenBack(_) | Fate::SetAside(_))),
            put_right: count(&|fate| matches!(fate, Fate::PutRight { .. })),
            not_counted: self.book.not_counted(),
        }
    }

    /// The line that says that all before it was given on.
    fn last(&self, lines: &[Copied], told: &GivenOn) -> Result<Copied, NotGiven> {
        let before = lines.last();
        let now = before.map_or(told.at, |before| before.at.max(told.at));
        let mut told = told.clone();
        told.at = now;
        let mut stamps = StampClock::after(before.map(|b| b.stamp).unwrap_or_default());
        let record = Record::from(told);
        let id = format!("given-on-{}", now.timestamp());
        let w = Written::new(id.clone(), now, record);
        let rec = w.record.payload();
        let rec = rec.map_err(|e| not_given(&w, e.to_string()))?;
        let wall = u64::try_from(now.timestamp_millis()).unwrap_or_default();
        Ok(Copied {
            id: EntryId::new(&id).ok_or_else(|| not_given(&w, "its id is none".to_owned()))?,
            stamp: stamps.next(wall),
            at: now,
            ev: w.record.event(),
            rec,
        })
    }
}

fn not_given(w: &Written, why: String) -> NotGiven {
    NotGiven::Record {
        id: w.id.to_string(),
        ev: w.record.event().to_owned(),
        why,
    }
}

/// What a record goes by in the copy.
fn id_of(id: &str) -> String {
    let marked = format!("{id}{MARK}");
    match EntryId::new(&marked) {
        Some(_) => marked,
        None => format!("{}{MARK}", hex(id.as_bytes()).split_at(32).0),
    }
}

fn payload(record: &Record) -> Result<Map<String, Value>, String> {
    let text = record.payload().map_err(|e| e.to_string())?;
    serde_json::from_str(&text).map_err(|e| e.to_string())
}

/// What was changed outside counts where it makes an answer worse. In the copy its line is as it is
/// written there, so that it says by itself that it makes nothing better.
fn count_where_worse(record: &Record, payload: &mut Map<String, Value>) {
    match record {
        Record::Look(_) => {
            if let Some(Value::Object(look)) = payload.get_mut("look") {
                look.insert("guest".to_owned(), Value::Bool(true));
            }
        }
        Record::WalkStarted(_) => {
            for field in ["hours", "left_out", "joins"] {
                payload.remove(field);
            }
        }
        _ => {}
    }
}

/// A stop, a defect or a look owed that the book knows and the copy does not, in words.
fn says_less(book: &Condition, copy: &Condition) -> Option<String> {
    for (subject, life) in &book.lives {
        let there = copy.lives.get(subject);
        let title = book.item(subject).map_or(&subject.item, |item| &item.title);
        let (was, is) = (&life.status, there.map(|life| &life.status));
        let Some(is) = is else {
            return Some(format!("{title} is not there"));
        };
        let worse = was.judged() > is.judged()
            || was.leak > is.leak
            || was.unconfirmed && !is.unconfirmed
            || is.removed && !was.removed
            || was.left_open.len() > is.left_open.len()
            || was.rise.is_some() && is.rise.is_none()
            || life.current().is_some() && there.is_some_and(|life| life.current().is_none());
        if worse {
            return Some(title.clone());
        }
    }
    let stops = |condition: &Condition| -> BTreeSet<_> {
        let stops = condition.stops_now().into_iter();
        stops.map(|stop| (stop.item, stop.machine)).collect()
    };
    let (was, is) = (stops(book), stops(copy));
    let mut lost = was.difference(&is);
    lost.next().map(|(item, _)| format!("the stop on {item}"))
}
