//! A loss in the record is known.

use serde::{Deserialize, Serialize};

use super::event::{Event, Time, Weight, by_the_program, in_no_table, naming_nothing};
use crate::logbook::placed::{Applied, Folding, Placed};

/// Somebody knows of a loss in the record: it stays named and forbids no clear verdict any more.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Accepted {
    /// What was lost or in doubt.
    pub losses: Vec<Loss>,
    /// Why it can be lived with.
    pub why: String,
    /// Who says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
}

/// One loss, as it was shown.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Loss {
    /// The file, relative to the logbook's folder.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// The line, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<u32>,
    /// SHA-256 of the damaged bytes, or of what was said where there are none.
    pub digest: String,
}

impl Event for Accepted {
    const NAME: &'static str = "accepted";
    const CHANGED: Weight = Weight::Said;

    by_the_program!();

    fn at(&self) -> Option<Time> {
        None
    }

    naming_nothing!();

    // What is in doubt is asked after all records are in.
    fn apply(&self, _: &Placed<'_>, _: &mut Folding<'_>) -> Applied {
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some("went on although records are damaged or lost".to_owned())
    }

    in_no_table!();
}
