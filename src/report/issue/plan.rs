//! What is to be issued: asked, and checked against all that is on record.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::before::Before;
use super::numbers::{self, Taken, letter};
use crate::boat::Boat;
use crate::checklist::Library;
use crate::defects::admit::too_long;
use crate::defects::{History, Issued};
use crate::logbook::book::Book;
use crate::logbook::issued::records_digest;
use crate::logbook::{Folder, LogbookError};
use crate::report::pictures::PhotoSize;
use crate::report::words::Language;
use crate::text::safe_line;
use crate::walk::{FrontFact, Walk};

/// What is asked for.
#[derive(Clone, Debug)]
pub struct Ask {
    /// The walk.
    pub walk: String,
    /// Walks of assistants under instruction.
    pub assistants: Vec<String>,
    /// The number; none takes the next, or that which the walk was issued under.
    pub number: Option<String>,
    /// It adds to what was issued and leaves its findings.
    pub addendum: bool,
    /// In which language.
    pub language: Language,
    /// What putting right may cost is in it.
    pub costs: bool,
    /// How large its photographs are.
    pub photographs: PhotoSize,
    /// Why it is issued again.
    pub why: Option<String>,
    /// Who issues it.
    pub by: Option<String>,
}

/// Why nothing was issued. Nothing was recorded, and no file written.
#[derive(Debug, thiserror::Error)]
pub enum NotIssued {
    /// What was asked cannot be: the option at fault and why.
    #[error("{0}: {1}")]
    Asked(&'static str, String),
    /// What was issued before cannot be read, so that nothing can be said to have changed.
    #[error("what was issued before cannot be read: {0}")]
    Before(LogbookError),
    /// Records wait in memory.
    #[error("{0} record(s) are not saved yet; save them first")]
    Unsaved(usize),
}

/// What is to be issued, by itself: the logbook may go on being used meanwhile.
pub struct Plan {
    pub(super) ask: Ask,
    pub(super) boat: Boat,
    pub(super) library: Arc<Library>,
    pub(super) history: History,
    pub(super) now: DateTime<FixedOffset>,
    pub(super) folder: Folder,
    pub(super) records: String,
    pub(super) before: Option<Before>,
    /// The number it gets.
    pub number: String,
    /// The revision it gets.
    pub revision: String,
    /// Entries of the front matter that are not made.
    pub missing: Vec<FrontFact>,
}

impl Plan {
    /// What is asked, checked against all that is on record; `history` is that of the time asked for.
    ///
    /// # Errors
    /// [`NotIssued`].
    pub fn of(book: &Book, history: &History, ask: Ask) -> Result<Plan, NotIssued> {
        let unsaved = book.unsaved();
        if unsaved > 0 {
            return Err(NotIssued::Unsaved(unsaved));
        }
        let walk = finished("WALK", history, &ask.walk)?;
        for (n, id) in ask.assistants.iter().enumerate() {
            let other = finished("--assistant", history, id)?;
            let twice = *id == ask.walk || ask.assistants.iter().take(n).any(|known| known == id);
            let why = match (twice, other.machine == walk.machine) {
                (true, _) => "is named twice",
                (_, false) => "is of another machine",
                _ => continue,
            };
            return Err(asked(
                "--assistant",
                format!("the walk {} {why}", safe_line(id)),
            ));
        }
        let taken = Taken::of(book);
        let issued = history.issued.iter().map(|s| &s.rec);
        let of_walk = issued
            .clone()
            .rfind(|i| i.walk == ask.walk && !i.is_addendum());
        let number = match (&ask.number, of_walk, ask.addendum) {
            (None, Some(known), _) => known.number.clone(),
            (None, None, true) => {
                let why = "say which report it adds to; see: handlamp issued";
                return Err(asked("--number", why.to_owned()));
            }
            (None, None, false) => taken.next(book.now()),
            (Some(number), Some(known), false) if !numbers::same(number, &known.number) => {
                let why = format!(
                    "this walk was issued under {}, and again makes a revision of that",
                    known.number
                );
                return Err(asked("--number", why));
            }
            (Some(number), ..) => {
                numbers::fault(number).map_or(Ok(()), |why| Err(asked("--number", why)))?;
                number.clone()
            }
        };
        let all: Vec<&Issued> = issued
            .filter(|i| numbers::same(&i.number, &number))
            .collect();
        let before = Before::of(book, &all)?;
        match (&before, ask.addendum) {
            (None, true) => {
                let why = format!("nothing was issued under {}", safe_line(&number));
                return Err(asked("--number", why));
            }
            (None, false) if taken.has(&number) => {
                let why = format!(
                    "{} was given before, and no number is given twice",
                    safe_line(&number)
                );
                return Err(asked("--number", why));
            }
            (Some(before), false) if before.base.walk != ask.walk => {
                let why = format!("{} is the report of another walk", safe_line(&number));
                return Err(asked("--number", why));
            }
            _ => {}
        }
        let why = ask.why.as_deref().map(str::trim).unwrap_or_default();
        if before.is_some() && why.is_empty() {
            return Err(asked("--why", "say why it is issued again".to_owned()));
        }
        if let Some((_, why)) = too_long("--why", why) {
            return Err(asked("--why", why));
        }
        let revision = match (&before, ask.addendum) {
            (None, _) => letter(0),
            (Some(before), false) => letter(before.revisions_so_far()),
            (Some(before), true) => {
                let base = &before.base.revision;
                format!("{base}.{}", before.addenda_so_far() + 1)
            }
        };
        let own: Vec<String> = own_ids(&ask);
        let missing = FrontFact::ALL.iter().copied();
        Ok(Plan {
            missing: missing.filter(|f| walk.front.get(*f).is_none()).collect(),
            records: records_digest(book.written(), &own),
            boat: book.boat().clone(),
            library: Arc::clone(book.library()),
            history: history.clone(),
            now: book.now(),
            folder: Folder::new(book.root()),
            number: before.as_ref().map_or(number, |b| b.base.number.clone()),
            before,
            revision,
            ask,
        })
    }
}

fn asked(option: &'static str, why: String) -> NotIssued {
    NotIssued::Asked(option, why)
}

/// The walks whose looks are in it.
pub(super) fn own_ids(ask: &Ask) -> Vec<String> {
    let all = [&ask.walk].into_iter().chain(&ask.assistants);
    all.cloned().collect()
}

/// A walk that can be issued.
fn finished<'a>(
    option: &'static str,
    history: &'a History,
    id: &str,
) -> Result<&'a Walk, NotIssued> {
    let shown = safe_line(id);
    let Some(walk) = history.walk(id) else {
        let why = format!("there is no walk '{shown}'; see: handlamp walks");
        return Err(asked(option, why));
    };
    match (walk.is_stub, walk.finished) {
        (true, _) => Err(asked(
            option,
            format!(
                "the beginning of the walk {shown} is lost, so that nobody can say what it asked"
            ),
        )),
        (_, None) => Err(asked(
            option,
            format!("the walk {shown} goes on; finish it first"),
        )),
        _ => Ok(walk),
    }
}
