//! What was issued of a report before.

use super::kept::{Content, Finding};
use super::plan::NotIssued;
use crate::defects::Issued;
use crate::logbook::book::Book;

/// What was issued of a report before.
pub(super) struct Before {
    /// Its last revision.
    pub(super) base: Content,
    /// The last of it, an addendum or that revision.
    pub(super) last: Content,
    /// Findings by the numbers they were issued under.
    pub(super) known: Vec<Finding>,
    /// The highest of those numbers.
    pub(super) highest: usize,
}

impl Before {
    /// What stands of a report, first issued first; none where nothing does.
    pub(super) fn of(book: &Book, all: &[&Issued]) -> Result<Option<Before>, NotIssued> {
        let read = |issued: &&Issued| Content::read(book, issued).map_err(NotIssued::Before);
        let all: Vec<Content> = all.iter().map(read).collect::<Result<_, _>>()?;
        let base = all.iter().rfind(|content| !content.revision.contains('.'));
        let (Some(base), Some(last)) = (base, all.last()) else {
            return Ok(None);
        };
        let mut known = base.findings.clone();
        for finding in all.iter().rev().flat_map(|content| &content.findings) {
            let same = |k: &Finding| (&k.item, &k.machine) == (&finding.item, &finding.machine);
            let gone = |content: &Content| {
                let mut out = content.withdrawn.iter();
                out.any(|w| w.number == finding.number)
            };
            if !known.iter().any(same) && !gone(last) {
                known.push(finding.clone());
            }
        }
        Ok(Some(Before {
            highest: all.iter().map(|c| c.highest).max().unwrap_or_default(),
            known,
            base: base.clone(),
            last: last.clone(),
        }))
    }

    /// How many revisions were issued of it.
    pub(super) fn revisions_so_far(&self) -> usize {
        self.last.revisions.iter().filter(|r| !r.addendum).count()
    }

    /// How many addenda its last revision has.
    pub(super) fn addenda_so_far(&self) -> usize {
        self.last.revisions.iter().filter(|r| r.addendum).count()
    }
}
