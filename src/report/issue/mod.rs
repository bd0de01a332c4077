//! A report is issued: frozen under a number, with the looks of the walks named and no one else's.
//!
//! - `plan`: what is to be issued, checked against all that is on record
//! - `before`: what was issued of a report before
//! - `own`: the looks of those walks alone, and what else is on record
//! - [`kept`]: what is kept of a report, as data
//! - `changes`: the numbers of findings, and what is different from what was issued before
//! - [`numbers`]: numbers of reports, which are never used again
//! - [`list`]: what was issued, and whether its records are others since
//!
//! What was issued never changes: content first, then the page, each whole and synced, then the record
//! that names them. Where one of them cannot be written, what was is taken away again; whatever ends the
//! program between leaves content that nothing names, which `logbook check` says. Another revision is another document, with what changed and why.

mod before;
mod changes;
pub mod kept;
pub mod list;
pub mod numbers;
mod own;
mod plan;

use std::collections::BTreeMap;

use crate::assess::METHOD;
use crate::defects::Issued;
use crate::defects::said::BUILD;
use crate::logbook::book::Book;
use crate::logbook::issued::{Kept, take_away_issued};
use crate::logbook::record::Record;
use crate::logbook::replace::hex;
use crate::logbook::{FixedClock, Folder, LogbookError, read_log};
use crate::walk::Walk;

use super::content::Report;
use super::extras::seal;
use super::gather::Source;
use super::html::html;
use super::making::{Progress, Stage};
use super::parts::{IssuedPart, RevisionPart};
use super::pictures::put_pictures;
use super::proof::{Code, NotFilled, fill};
use super::words::{Said, say};
use super::write::WriteError;
use changes::{Changes, closed, number};
use kept::{Beside, Content, Finding};
use own::{Own, not_in_it};
use plan::own_ids;

pub use plan::{Ask, NotIssued, Plan};

/// A report that is made and not issued yet.
pub struct Made {
    /// What it says.
    pub content: Content,
    /// Its page.
    pub page: String,
    /// The code of that.
    pub code: Code,
    /// The record that will name it.
    issued: Issued,
    /// What is on record and not in it, one sentence each.
    pub not_in_it: Vec<Said>,
    /// Photographs that could not be read and are not in it.
    pub left_out: usize,
    /// Findings of the report that an addendum closes.
    pub closes: Vec<usize>,
    /// Items in it that nobody saw.
    pub not_seen: usize,
}

impl Plan {
    /// Makes the document. Nothing is recorded, and nothing written.
    ///
    /// # Errors
    /// [`WriteError`].
    pub fn make(self, progress: &Progress) -> Result<Made, WriteError> {
        let gone = || WriteError::Refused(format!("there is no walk '{}'", self.ask.walk));
        let walk = self.history.walk(&self.ask.walk).ok_or_else(gone)?;
        let assistants = self.ask.assistants.iter();
        let assistants: Vec<&Walk> = assistants.filter_map(|id| self.history.walk(id)).collect();
        let source = Source {
            boat: &self.boat,
            library: &self.library,
            history: &self.history,
            now: self.now,
        };
        let own = Own::of(&self.history, walk, &assistants);
        let mut report = own.report(&source, walk, self.ask.language);
        let log = read_log(self.folder.root(), &FixedClock::new(self.now))?;
        report.seal = seal(&log, Some(&walk.id), self.ask.language.words()).ok();
        if !self.ask.costs {
            report.costs = None;
        }
        let before = self.before.as_ref();
        let known = before.map_or(&[][..], |before| &before.known);
        let highest = before.map_or(0, |before| before.highest);
        let (findings, highest) = number(&mut report, known, highest);
        let not_in_it = not_in_it(&source, walk, &report);
        let (part, closes) = self.part(&own, &report, &findings, not_in_it.clone())?;
        report.issued = Some(part);
        let size = self.ask.photographs;
        let left_out = put_pictures(&mut report, size, &self.folder, progress);
        if progress.is_stopped() {
            return Err(WriteError::Stopped);
        }
        progress.reached(Stage::Writing);
        let proved = fill(&html(&report), (&self.number, &self.revision))?;
        let digest = |(name, address): (&String, &String)| (name.clone(), hex(address.as_bytes()));
        let walks: Vec<&Walk> = [walk].into_iter().chain(assistants).collect();
        let mut texts: Vec<String> = walks.iter().filter_map(|w| w.asked.clone()).collect();
        texts.dedup();
        let beside = Beside {
            photographs: self.ask.photographs,
            build: BUILD.to_owned(),
            method: METHOD,
            texts,
            pictures: report
                .pictures
                .iter()
                .map(digest)
                .collect::<BTreeMap<_, _>>(),
            findings,
            highest,
            code: proved.code.to_string(),
        };
        let content = Content::of(&report, &walk.id, beside);
        let content = content.ok_or_else(|| WriteError::Refused("it is a draft".to_owned()))?;
        Ok(Made {
            issued: Issued {
                number: self.number.clone(),
                revision: self.revision.clone(),
                walk: walk.id.clone(),
                walks: own_ids(&self.ask),
                code: content.code.clone(),
                content: hex(content.text().as_bytes()),
                page: hex(proved.page.as_bytes()),
                records: self.records.clone(),
                why: self.ask.why.as_deref().map(|why| why.trim().to_owned()),
                by: self.ask.by.clone(),
            },
            left_out,
            not_seen: report.not_seen.len(),
            page: proved.page,
            code: proved.code,
            content,
            not_in_it,
            closes,
        })
    }

    /// What it says of itself, and the findings that an addendum closes.
    fn part(
        &self,
        own: &Own,
        report: &Report,
        findings: &[Finding],
        not_in_it: Vec<Said>,
    ) -> Result<(IssuedPart, Vec<usize>), WriteError> {
        let (language, w) = (self.ask.language, self.ask.language.words());
        let why = self.ask.why.as_deref().map(str::trim).unwrap_or_default();
        let (mut revisions, mut withdrawn) = (Vec::new(), Vec::new());
        let mut closes = Vec::new();
        let mut what = vec![say!(w, "issue-first").into_owned()];
        if let Some(before) = &self.before {
            revisions.clone_from(&before.last.revisions);
            withdrawn.clone_from(&before.last.withdrawn);
            let changes = Changes::of(&before.base, findings, report);
            let same_walk = before.base.walk == self.ask.walk;
            what = match (self.ask.addendum, same_walk) {
                (false, _) => {
                    let taken = |item: &str| {
                        let mut taken = self.history.taken_back.iter().rev();
                        let own = |id: &String| own.walks.iter().any(|own| own.walk == *id);
                        let found = taken.find(|t| t.look.item == item && own(&t.walk));
                        found.and_then(|taken| taken.why.clone())
                    };
                    withdrawn.extend(changes.withdrawn(why, taken));
                    changes.sentences(language)
                }
                (true, true) if !changes.leaves_findings() => {
                    let said = changes.sentences(language).join(" ");
                    return Err(WriteError::Refused(format!(
                        "an addendum leaves the findings as they were issued, and on record they are others now: {said} Issue a revision: leave --addendum out"
                    )));
                }
                (true, true) => match changes.front_sentence(language) {
                    Some(said) => vec![say!(w, "issue-adds", what = said).into_owned()],
                    None => {
                        let why = "nothing is on record that it would add; enter it first: handlamp front WALK oil-analysis=TEXT, or name a later walk";
                        return Err(WriteError::Refused(why.to_owned()));
                    }
                },
                (true, false) => {
                    closes = closed(&before.base, report, findings);
                    let day = report.as_of.format("%Y-%m-%d").to_string();
                    let visit = say!(w, "issue-adds-visit", day = day).into_owned();
                    let named: Vec<String> = closes.iter().map(usize::to_string).collect();
                    let named = (!named.is_empty()).then(|| named.join(", "));
                    let closed = named.map(|n| say!(w, "issue-closes", numbers = n).into_owned());
                    [visit].into_iter().chain(closed).collect()
                }
            };
        }
        let last = match self.revision.split_once('.') {
            Some((_, n)) => n.to_owned(),
            None => self.revision.clone(),
        };
        revisions.push(RevisionPart {
            revision: last,
            addendum: self.ask.addendum,
            at: self.now,
            what: what.join(" "),
            why: (!why.is_empty()).then(|| why.to_owned()),
        });
        let part = IssuedPart {
            number: self.number.clone(),
            revision: self.revision.clone(),
            at: self.now,
            walks: own.walks.clone(),
            revisions,
            withdrawn,
            not_in_it,
            costs: self.ask.costs,
        };
        Ok((part, closes))
    }
}

impl Made {
    /// Number and revision, as people name it.
    pub fn name(&self) -> String {
        self.issued.name()
    }

    /// Keeps content and page, then records that it was issued: everything is synced when this returns.
    /// The id of the record.
    ///
    /// # Errors
    /// It cannot be written; then nothing was issued, and what was kept of it is taken away again.
    pub fn keep(&self, book: &mut Book) -> Result<String, LogbookError> {
        let kept = self.try_keep(book);
        if kept.is_err() {
            let (content, page) = (&self.issued.content, &self.issued.page);
            let parts = [(Kept::Content, content.as_str()), (Kept::Page, page)];
            let (folder, clock) = (Folder::new(book.root()), FixedClock::new(book.now()));
            take_away_issued(&folder, &clock, parts);
        }
        kept
    }

    fn try_keep(&self, book: &mut Book) -> Result<String, LogbookError> {
        book.keep_issued(Kept::Content, self.content.text().as_bytes())?;
        book.keep_issued(Kept::Page, self.page.as_bytes())?;
        let record = Record::from(self.issued.clone());
        let ids = book.record_batch(vec![(None, record)])?;
        Ok(ids.into_iter().next().unwrap_or_default())
    }
}

impl From<NotFilled> for WriteError {
    fn from(error: NotFilled) -> WriteError {
        WriteError::Refused(format!("the page cannot be proved by a code: {error}"))
    }
}
