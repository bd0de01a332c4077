//! A report that was issued: what names the content kept of it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A report was issued. Its content and its page are kept by what they hold; nothing that is recorded
/// later changes either.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Issued {
    /// Number of the report; it is never used again, also not after this was taken back.
    pub number: String,
    /// Revision: A, B and so on; an addendum has that of what it adds to, a point and its count.
    pub revision: String,
    /// The walk whose report it is.
    pub walk: String,
    /// All walks whose looks are its own, that one first.
    pub walks: Vec<String>,
    /// The code that its page was given.
    pub code: String,
    /// Digest of what is kept of its content: SHA-256, hexadecimal.
    pub content: String,
    /// The same of its page.
    pub page: String,
    /// The same of what was on record of its walks when it was issued.
    pub records: String,
    /// Why it was issued again; none for the first.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// Who issued it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
}

impl Issued {
    /// Number and revision, as people name it.
    pub fn name(&self) -> String {
        format!("{} revision {}", self.number, self.revision)
    }

    /// True for an addendum.
    pub fn is_addendum(&self) -> bool {
        self.revision.contains('.')
    }
}
