//! What a boat has of her own, put into her logbook by hand or taken over from the settings folder
//! before anything is recorded that rests on it.

use std::sync::Arc;

use super::Book;
use crate::checklist::{Library, Own};
use crate::logbook::disk::RealDisk;
use crate::logbook::error::LogbookError;
use crate::logbook::problem::Problem;
use crate::logbook::record::{OwnItems, Record};
use crate::logbook::replace::keep_text;
use crate::logbook::texts;

impl Book {
    /// Puts things of one's own into the boat, for good and above what the settings folder says.
    /// They were checked on top of [`Book::library`]. False where the boat has all of it so already.
    ///
    /// # Errors
    /// Where the logbook cannot be written; nothing has changed.
    pub fn put_own(&mut self, own: Own) -> Result<bool, LogbookError> {
        if self.own.has_by_hand(&own) {
            return Ok(false);
        }
        self.record_own(own, true)?;
        Ok(true)
    }

    /// Takes over from the settings folder what the boat has not, where records come that may rest
    /// on it. Where its text cannot be kept the records count all the same, and the next ones try
    /// again.
    pub(super) fn take_over(&mut self, coming: &[&Record]) {
        let fresh = self.own.fresh(self.base.settings());
        if !fresh.is_empty() && coming.iter().any(|record| record.rests_on_own()) {
            let _ = self.record_own(fresh, false);
        }
    }

    fn record_own(&mut self, own: Own, by_hand: bool) -> Result<(), LogbookError> {
        let text = own.text().map_err(|e| LogbookError::BadRecord {
            ev: "own-items".into(),
            why: e.to_string(),
        })?;
        let text = keep_text(&RealDisk, &self.folder, text.as_bytes(), &mut self.rng)?;
        let at = self.now();
        self.own.put(own, by_hand);
        self.record(vec![Record::OwnItems(OwnItems {
            text,
            settings: !by_hand,
            at: Some(at),
        })])?;
        if by_hand {
            self.library = self.library_of(&self.base);
        }
        Ok(())
    }

    /// The boat's own over the settings folder over the built-in.
    fn library_of(&self, base: &Library) -> Arc<Library> {
        texts::library(&self.folder, base, &self.own, &self.history)
    }

    /// What is wrong with the texts that records name; each one is read.
    pub fn text_problems(&self) -> Vec<Problem> {
        texts::text_problems(&self.folder, &self.written)
    }
}
