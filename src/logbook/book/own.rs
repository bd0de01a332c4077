//! What a boat has of her own, put into her logbook by hand or taken over from the settings folder
//! before anything is recorded that rests on it.

use std::sync::Arc;

use super::Book;
use crate::checklist::{Given, Library, Own};
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
        self.record_own(own, Given::Files)?;
        Ok(true)
    }

    /// Changes things of one's own, one at a time. What cannot be read is said until somebody puts
    /// things in by hand who sees what there is, and whoever changes a word does not: so first that
    /// is brought back.
    ///
    /// # Errors
    /// Why nothing has changed, one sentence without a full stop.
    pub fn change_own(&mut self, own: Own) -> Result<bool, String> {
        if let Some(lost) = self.library().lost().first() {
            return Err(format!(
                "what the boat has of her own cannot all be read (texts/{}.json: {})",
                lost.name, lost.why
            ));
        }
        if self.own.has_by_hand(&own) {
            return Ok(false);
        }
        let done = self.record_own(own, Given::Change);
        done.map(|()| true).map_err(|error| error.to_string())
    }

    /// Takes over from the settings folder what the boat has not, where records come that may rest
    /// on it. Where its text cannot be kept the records count all the same, and the next ones try
    /// again.
    pub(super) fn take_over(&mut self, coming: &[&Record]) {
        let fresh = self.own.fresh(self.base.settings());
        if !fresh.is_empty() && coming.iter().any(|record| record.rests_on_own()) {
            let _ = self.record_own(fresh, Given::Settings);
        }
    }

    fn record_own(&mut self, own: Own, given: Given) -> Result<(), LogbookError> {
        let text = own.text().map_err(|e| LogbookError::BadRecord {
            ev: "own-items".into(),
            why: e.to_string(),
        })?;
        let text = keep_text(&RealDisk, &self.folder, text.as_bytes(), &mut self.rng)?;
        let at = self.now();
        let only = match given {
            Given::Change => own.names(),
            Given::Settings | Given::Files => Vec::new(),
        };
        self.own.put(own, given);
        self.record(vec![Record::from(OwnItems {
            text,
            settings: given == Given::Settings,
            only,
            at: Some(at),
        })])?;
        if given != Given::Settings {
            let library = self.library_of(&self.base);
            self.state.put_library(library);
        }
        Ok(())
    }

    /// The boat's own over the settings folder over the built-in.
    fn library_of(&self, base: &Library) -> Arc<Library> {
        texts::library(&self.folder, base, &self.own, self.history())
    }

    /// What is wrong with the texts that records name; each one is read.
    pub fn text_problems(&self) -> Vec<Problem> {
        texts::text_problems(&self.folder, &self.written)
    }
}
