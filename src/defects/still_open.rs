//! Something left open, with what was told of it since.

use super::acts::Opened;
use super::history::Stamped;
use crate::checklist::Forbids;
use crate::text::safe_line;

/// Something left open and not seen put back.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOpen {
    /// The record that says so.
    pub opened: Stamped<Opened>,
    /// Who told that it is put back, where anybody did.
    pub told: Option<String>,
}

impl LeftOpen {
    /// What it forbids.
    pub fn forbids(&self) -> Forbids {
        self.opened.rec.what_it_forbids()
    }

    /// What was left how and since when, in a sentence without a full stop.
    pub fn words(&self) -> String {
        let words = self.opened.rec.words(self.opened.at);
        match &self.told {
            Some(by) => format!("put back as told by {}, not seen; {words}", safe_line(by)),
            None => words,
        }
    }
}
