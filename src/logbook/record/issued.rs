//! A report was issued.

use super::event::{Event, Names, Part, Time, Weight, by_the_program};
use crate::defects::Issued;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

impl Event for Issued {
    const NAME: &'static str = "issued";
    // No answer of the boat rests on it, and its number is found in what is kept.
    const LOST: Weight = Weight::Said;
    const CHANGED: Weight = Weight::Said;
    const RESTS_ON_OWN: bool = false;
    const CONCERNS_BOAT: bool = false;

    by_the_program!();

    fn at(&self) -> Option<Time> {
        None
    }

    fn names(&self) -> Names<'_> {
        Names::walk(&self.walk, Part::Beside)
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.issued, self)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("issued the report {}", self.name()))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.issued.iter().map(|s| IssuedRow {
            id: s.id.clone(),
            number: s.rec.number.clone(),
            revision: s.rec.revision.clone(),
            walk: s.rec.walk.clone(),
            at: s.at,
            code: s.rec.code.clone(),
            content: s.rec.content.clone(),
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// A report that was issued, one revision or addendum a row.
    IssuedRow = "issued" key(id) {
        /// Record id.
        id: String,
        /// Number of the report.
        number: String,
        /// Its revision; of an addendum with a point and its count.
        revision: String,
        /// Walk id.
        walk: String,
        /// When it was issued.
        at: Time,
        /// The code of its page.
        code: String,
        /// Name of the content under issued/.
        content: String,
    }
}
