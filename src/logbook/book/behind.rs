//! Records that this computer had seen and that are not in the folder: an older copy brought back,
//! its newest file deleted, lines cut from its end. Said in every answer until somebody goes on with
//! this copy, or the very records are merged back.

use std::path::Path;

use super::Book;
use crate::defects::{GoneOn, NotCounted};
use crate::logbook::error::LogbookError;
use crate::logbook::line::MAX_LINE;
use crate::logbook::marks::{Mark, Marks};
use crate::logbook::record::{Accepted, Loss, Record};

/// The losses that one record names take no more than this, unless it is a single one: a line has a
/// longest length.
const LOSSES_BYTES: usize = MAX_LINE / 2;

/// What was seen of a logbook before, by this computer or by this window.
#[derive(Debug, Default)]
pub(super) struct Known {
    marks: Option<Marks>,
    /// The newest record of which it is known that it was here.
    mark: Option<Mark>,
    /// This window has recorded something.
    pub(super) wrote: bool,
}

/// Records that are missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// The newest of them.
    pub mark: Mark,
    /// Nobody has gone on without them yet, so no verdict is clear.
    pub open: bool,
    /// What is said of it.
    pub told: NotCounted,
}

/// What somebody can say of what is not counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToSay {
    /// That one goes on without what is missing.
    GoOn,
    /// That the losses are known.
    Known,
}

impl Book {
    /// Minds what this computer had seen of the logbook, kept in the folder `place`, and keeps there
    /// what comes last in it.
    pub fn mind(&mut self, place: Option<&Path>) {
        let marks = place.map(|place| Marks::of(place, self.folder.root()));
        self.known.marks = marks;
        self.known.mark = self.kept_mark();
        self.tell_missing();
    }

    /// The mark kept outside the folder.
    pub(super) fn kept_mark(&self) -> Option<Mark> {
        let certain = self.first_profile().is_some();
        let marks = self.known.marks.as_ref()?;
        marks.mark(self.boat_id(), certain).cloned()
    }

    /// Records this computer had seen that are not here: those nobody has gone on without, then
    /// those that somebody has.
    pub fn missing(&self) -> Vec<Missing> {
        let gone_on = &self.history().gone_on;
        let accepted = |mark: &Mark| gone_on.iter().any(|g| g.rec.record == mark.record);
        let mark = self.known.mark.iter();
        let open = mark.filter(|mark| !self.holds(&mark.record) && !accepted(mark));
        let open = open.map(|mark| Missing {
            mark: mark.clone(),
            open: true,
            told: NotCounted::because(format!(
                "this computer had seen records up to {} that are not here: this may be an older copy",
                mark.at.format("%Y-%m-%d %H:%M")
            )),
        });
        let without = gone_on.iter().filter(|g| !self.holds(&g.rec.record));
        let without = without.map(|g| Missing {
            mark: Mark {
                boat: self.boat_id().to_owned(),
                record: g.rec.record.clone(),
                at: g.rec.seen,
            },
            open: false,
            told: NotCounted::because(format!(
                "records up to {} are not here; {} went on without them on {}: {}",
                g.rec.seen.format("%Y-%m-%d %H:%M"),
                g.rec.who.as_deref().unwrap_or("somebody"),
                g.at.format("%Y-%m-%d"),
                g.rec.why
            )),
        });
        open.chain(without).collect()
    }

    /// Goes on with the folder as it is, for a reason; false where nothing is missing.
    ///
    /// # Errors
    /// Where that cannot be recorded.
    pub fn go_on(&mut self, who: Option<String>, why: String) -> Result<bool, LogbookError> {
        let open = self.missing().into_iter().find(|missing| missing.open);
        let Some(Missing { mark, .. }) = open else {
            return Ok(false);
        };
        self.record(vec![Record::from(GoneOn {
            record: mark.record,
            seen: mark.at,
            who,
            why,
        })])?;
        Ok(true)
    }

    /// Records that what still forbids a clear verdict is known; how much that was.
    ///
    /// # Errors
    /// Where that cannot be recorded.
    pub fn accept_losses(&mut self, by: Option<&str>, why: &str) -> Result<usize, LogbookError> {
        let losses = self.losses();
        let count = losses.len();
        for losses in for_one_record(losses) {
            self.record(vec![Record::from(Accepted {
                losses,
                why: why.to_owned(),
                by: by.map(str::to_owned),
            })])?;
        }
        Ok(count)
    }

    /// Puts what is missing among what the answers say.
    pub(super) fn tell_missing(&mut self) {
        if self.has_doubts() {
            self.doubt_anew();
        }
    }

    /// Whether there may be anything that answers do not count.
    pub(super) fn has_doubts(&self) -> bool {
        !(self.history().doubts.is_empty() && self.missing().is_empty())
    }

    /// What somebody can say of what is not counted; none where nothing of it can be lived with.
    pub fn to_say(&self) -> Option<ToSay> {
        self.to_say
    }

    /// From now on this record counts as seen.
    pub(super) fn remember(&mut self, mark: Mark) {
        self.known.mark = Some(mark);
    }

    /// Whether nobody has gone on yet without records that are missing.
    pub(super) fn is_behind(&self) -> bool {
        self.missing().iter().any(|missing| missing.open)
    }

    /// Keeps outside the folder which record came last, where this window has recorded anything and
    /// all of it is saved. What is missing and told stays the mark.
    pub(super) fn keep_mark(&mut self) {
        if !self.known.wrote || self.session.unsaved() > 0 {
            return;
        }
        if let Some(marks) = &mut self.known.marks {
            marks.read_again();
        }
        // Another window has seen more than this one: its mark is the better.
        let unseen =
            |mark: &Mark| Some(mark) != self.known.mark.as_ref() && !self.holds(&mark.record);
        if self.kept_mark().as_ref().is_some_and(unseen) {
            return;
        }
        let mark = match &self.known.mark {
            Some(mark) if self.is_behind() => Some(mark.clone()),
            _ => self.written.last().map(|last| Mark {
                boat: self.boat_id().to_owned(),
                record: last.id.to_string(),
                at: last.at,
            }),
        };
        let Known { marks, .. } = &mut self.known;
        if let (Some(marks), Some(mark)) = (marks, &mark) {
            marks.keep(mark.clone(), &mut self.rng);
        }
        self.known.mark = mark;
    }

    /// Whether a record is here, understood or not.
    fn holds(&self, id: &str) -> bool {
        // What is asked for is mostly the newest.
        self.written.iter().rev().any(|w| *w.id == *id)
            || self.unread.iter().any(|known| known == id)
    }
}

/// Losses in their order, as many together as one record can name.
fn for_one_record(losses: Vec<Loss>) -> Vec<Vec<Loss>> {
    let mut records: Vec<Vec<Loss>> = Vec::new();
    let mut room = 0;
    for loss in losses {
        // A loss holds no map keyed by other than text, the one thing serde_json refuses.
        let bytes = serde_json::to_string(&loss).map_or(0, |text| text.len() + 1);
        match records.last_mut().filter(|_| bytes <= room) {
            Some(record) => record.push(loss),
            None => {
                records.push(vec![loss]);
                room = LOSSES_BYTES;
            }
        }
        room = room.saturating_sub(bytes);
    }
    records
}
