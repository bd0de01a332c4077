//! What was issued, and whether what is on record of its walks is other now.

use chrono::{DateTime, FixedOffset};

use crate::defects::{History, Issued};
use crate::logbook::book::Book;
use crate::logbook::issued::{Kept, all_issued, records_digest};
use crate::logbook::placed::Written;

use super::numbers;

/// Something that was issued.
pub struct Standing<'a> {
    /// Id of its record.
    pub id: &'a str,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// What.
    pub issued: &'a Issued,
    /// It was taken back.
    pub taken_back: bool,
    /// What is on record of its walks is other than when it was issued; what was issued stays as it is.
    pub changed_since: bool,
    /// Another record gives the number and revision to something else.
    pub given_twice: bool,
}

/// Everything that was issued, first issued first, those taken back too.
pub fn issued(book: &Book) -> Vec<Standing<'_>> {
    of(book.written(), book.history())
}

fn of<'a>(written: &'a [Written], history: &History) -> Vec<Standing<'a>> {
    let all: Vec<(&Written, &Issued)> = all_issued(written).collect();
    let stands = |id: &str| history.issued.iter().any(|s| s.id == id);
    let twice = |issued: &Issued| {
        let same = |other: &&Issued| {
            numbers::same(&other.number, &issued.number) && other.revision == issued.revision
        };
        all.iter().map(|(_, other)| *other).filter(same).count() > 1
    };
    let standing = |(w, issued): &(&'a Written, &'a Issued)| Standing {
        id: &w.id,
        at: w.at,
        issued,
        taken_back: !stands(&w.id),
        changed_since: records_digest(written, &issued.walks) != issued.records,
        given_twice: twice(issued),
    };
    all.iter().map(standing).collect()
}

impl Standing<'_> {
    /// What is wrong with what is kept of it, one sentence each.
    pub fn faults(&self, book: &Book) -> Vec<String> {
        let parts = [
            (Kept::Content, &self.issued.content),
            (Kept::Page, &self.issued.page),
        ];
        let faults = parts.into_iter();
        faults
            .filter_map(|(kept, digest)| Some(book.issued(kept, digest).err()?.to_string()))
            .collect()
    }
}

/// What of a boat's reports, or of those of one walk, has changed since it was issued, one sentence each:
/// of each number what stands last.
pub fn changed_since(book: &Book, walk: Option<&str>) -> Vec<String> {
    if book.history().issued.is_empty() {
        return Vec::new();
    }
    let all = issued(book);
    let stands = all.iter().filter(|s| !s.taken_back);
    let stands: Vec<&Standing<'_>> = stands.collect();
    let of_walk =
        |s: &&&Standing<'_>| walk.is_none_or(|walk| s.issued.walks.iter().any(|own| own == walk));
    let is_last = |s: &&&Standing<'_>| {
        let mut later = stands.iter().rev();
        let same = |o: &&&Standing<'_>| {
            numbers::same(&o.issued.number, &s.issued.number) && o.issued.walk == s.issued.walk
        };
        later.find(same).is_some_and(|last| last.id == s.id)
    };
    let changed = stands.iter().filter(of_walk).filter(is_last);
    let changed = changed.filter(|s| s.changed_since);
    changed
        .map(|s| {
            format!(
                "Report {}: changed since on record; issue it again to say so",
                s.issued.name()
            )
        })
        .collect()
}
