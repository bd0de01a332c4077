//! A blind walk: what is kept out of sight of an item until its look is made.

use crate::checklist::Grade;
use crate::defects::admit::Proposal;
use crate::logbook::book::Book;
use crate::screen::walk::state::WalkScreen;
use crate::walk::{Details, Look, Spot};

impl WalkScreen {
    /// True where nothing of the past may be shown of the item at a place: the walk is blind and the
    /// look there is not made.
    pub fn hides_past(&self, book: &Book, spot: Spot) -> bool {
        self.walk(book).blind && self.look(book, spot).is_none()
    }

    /// The rung that a reading or a leak class at a place proposes. One that rests on what was read
    /// in the past is kept back as long as the past is.
    pub fn proposal(&self, book: &Book, spot: Spot, details: Details) -> Option<Proposal> {
        let item = self.item(spot)?;
        let look = Look::graded(&item.id, Some(self.phase_id(spot)), Grade::Sound).with(details);
        let machine = &self.started.machine;
        let proposal = self.before.proposal(item, machine, &look, self.state(spot));
        proposal.filter(|p| !(p.relative && self.hides_past(book, spot)))
    }
}
