//! A clock was found wrong.

use serde::{Deserialize, Serialize};

use super::event::{Event, Time, by_the_program, in_no_table, naming_nothing};
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::stamp::Stamp;

/// What was found of a session whose clock stood wrong, so that its records keep their place in the
/// order when that date comes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ClockFound {
    /// The session.
    pub session: String,
    /// Its time marks later than this, in milliseconds since 1970, are not believed.
    pub beyond: u64,
    /// The newest of its marks that whoever found it had read, and therefore comes after.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read: Option<Stamp>,
}

impl Event for ClockFound {
    const NAME: &'static str = "clock";

    by_the_program!();

    fn at(&self) -> Option<Time> {
        None
    }

    naming_nothing!();

    // The order of the log knows it before anything is put in.
    fn apply(&self, _: &Placed<'_>, _: &mut Folding<'_>) -> Applied {
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        None
    }

    in_no_table!();
}
