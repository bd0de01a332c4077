//! What is kept of a report that was issued: all it says as data, with what it was made by and from.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::checklist::Grade;
use crate::defects::Issued;
use crate::logbook::LogbookError;
use crate::logbook::book::Book;
use crate::logbook::issued::Kept;
use crate::report::content::Report;
use crate::report::parts::{RevisionPart, WithdrawnPart};
use crate::report::pictures::PhotoSize;
use crate::report::words::Language;
use crate::text::json_guard;
use crate::walk::{FrontFact, FrontMatter};

/// What content says that it is.
const SCHEMA: &str = "handlamp/issued/1";

/// The content of an issued report, as it is kept.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Content {
    schema: String,
    /// Number of the report.
    pub number: String,
    /// Its revision; of an addendum with a point and its count.
    pub revision: String,
    /// When it was issued.
    pub at: DateTime<FixedOffset>,
    /// The walk whose report it is.
    pub walk: String,
    /// The language it is written in.
    pub language: Language,
    /// How large its photographs are.
    pub photographs: PhotoSize,
    /// The program that made it.
    pub build: String,
    /// The method by which it was reckoned, by its number.
    pub method: u32,
    /// The texts its walks were asked with, by the names they are kept under.
    pub texts: Vec<String>,
    /// Of each photograph the SHA-256 of the copy that stands in the page, by the name it is kept under.
    pub pictures: BTreeMap<String, String>,
    /// What was entered before its findings.
    pub front: FrontMatter,
    /// Its findings with their numbers.
    pub findings: Vec<Finding>,
    /// The highest number that a finding of the report ever had.
    pub highest: usize,
    /// Revisions and addenda up to this one.
    pub revisions: Vec<RevisionPart>,
    /// Findings withdrawn up to this one.
    pub withdrawn: Vec<WithdrawnPart>,
    /// The code of its page.
    pub code: String,
    /// The report as its JSON form has it.
    pub report: Value,
}

/// A finding of an issued report.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Finding {
    /// Its number in the report, which is given to no other.
    pub number: usize,
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for what the boat has once.
    pub machine: Option<String>,
    /// Title of the item.
    pub title: String,
    /// The rung that counts.
    pub grade: Grade,
    /// It forbids running.
    pub stop: bool,
    /// Digest of what was observed.
    pub observed: String,
}

/// What makes up content besides the report.
pub(super) struct Beside {
    pub(super) photographs: PhotoSize,
    pub(super) build: String,
    pub(super) method: u32,
    pub(super) texts: Vec<String>,
    pub(super) pictures: BTreeMap<String, String>,
    pub(super) findings: Vec<Finding>,
    pub(super) highest: usize,
    pub(super) code: String,
}

impl Content {
    /// Of a report that is issued; none of a draft.
    pub(super) fn of(report: &Report, walk: &str, beside: Beside) -> Option<Content> {
        let issued = report.issued.as_ref()?;
        Some(Content {
            schema: SCHEMA.to_owned(),
            number: issued.number.clone(),
            revision: issued.revision.clone(),
            at: issued.at,
            walk: walk.to_owned(),
            language: report.language,
            photographs: beside.photographs,
            build: beside.build,
            method: beside.method,
            texts: beside.texts,
            pictures: beside.pictures,
            front: report.front.clone(),
            findings: beside.findings,
            highest: beside.highest,
            revisions: issued.revisions.clone(),
            withdrawn: issued.withdrawn.clone(),
            code: beside.code,
            report: serde_json::to_value(report).unwrap_or_default(),
        })
    }

    /// As it is kept.
    pub(super) fn text(&self) -> String {
        // It holds no map keyed by other than text, the one thing serde_json refuses.
        let json = serde_json::to_string_pretty(self).unwrap_or_default();
        format!("{}\n", json_guard(&json))
    }

    /// What a record says was issued.
    ///
    /// # Errors
    /// It is not there, not what was kept, or not of a form that is known here.
    pub fn read(book: &Book, issued: &Issued) -> Result<Content, LogbookError> {
        Content::named(book, &issued.content)
    }

    /// Content by its digest.
    ///
    /// # Errors
    /// As [`Content::read`].
    pub(super) fn named(book: &Book, digest: &str) -> Result<Content, LogbookError> {
        let bytes = book.issued(Kept::Content, digest)?;
        let read = serde_json::from_slice(&bytes);
        read.map_err(|e| {
            let why = std::io::Error::other(format!("its form is not known here: {e}"));
            LogbookError::cannot_read(book.root().join("issued").join(digest), why)
        })
    }

    /// Entries of the front matter that read otherwise in another.
    pub(super) fn front_differs(&self, now: &FrontMatter) -> Vec<FrontFact> {
        let all = FrontFact::ALL.iter().copied();
        all.filter(|fact| self.front.get(*fact) != now.get(*fact))
            .collect()
    }
}
