//! An earlier record is taken back.

use serde::{Deserialize, Serialize};

use super::event::{Event, Time, by_the_program, in_no_table, naming_nothing};
use crate::logbook::placed::{Applied, Folding, Placed};

/// An earlier record is taken back; of an undo, the record it took back stands again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Undo {
    /// Id of the record.
    pub of: String,
    /// Why; asked where a stop goes with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// Who takes it back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
}

impl Undo {
    /// Takes a record back, without a word.
    pub fn of(id: impl Into<String>) -> Undo {
        Undo {
            of: id.into(),
            why: None,
            by: None,
        }
    }
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
