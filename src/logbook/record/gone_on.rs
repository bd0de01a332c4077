//! Somebody goes on with a copy that lacks records.

use super::event::{Event, Time, by_the_program, in_no_table, naming_nothing};
use crate::defects::GoneOn;
use crate::logbook::placed::{Applied, Folding, Placed};

impl Event for GoneOn {
    const NAME: &'static str = "go-on";

    by_the_program!();

    fn at(&self) -> Option<Time> {
        None
    }

    naming_nothing!();

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.gone_on, self)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some("went on without records that are missing".to_owned())
    }

    in_no_table!();
}
