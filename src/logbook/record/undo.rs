//! An earlier record is taken back.

use serde::{Deserialize, Serialize};

use super::event::{Event, Time, by_the_program, in_no_table, naming_nothing};
use crate::logbook::fold::{Applied, Folding, Placed};

/// An earlier record is taken back; of an undo, the record it took back stands again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Undo {
    /// Id of the record.
    pub of: String,
}

impl Event for Undo {
    const NAME: &'static str = "undo";
    const RESTS_ON_OWN: bool = false;

    by_the_program!();

    fn at(&self) -> Option<Time> {
        None
    }

    naming_nothing!();

    // What it takes back is known before anything is put in.
    fn apply(&self, _: &Placed<'_>, _: &mut Folding<'_>) -> Applied {
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some("took a record back".to_owned())
    }

    in_no_table!();
}
