//! The history was given on with the boat.

use super::event::{Event, Time, by_the_program, in_no_table, naming_nothing};
use crate::defects::GivenOn;
use crate::logbook::placed::{Applied, Folding, Placed};

impl Event for GivenOn {
    const NAME: &'static str = "given-on";
    // It takes words for less than looks, so that it makes answers worse and none better.
    const COUNTS_CHANGED: bool = true;
    const RESTS_ON_OWN: bool = false;

    by_the_program!();

    fn at(&self) -> Option<Time> {
        Some(self.at)
    }

    naming_nothing!();

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.given_on, self)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!(
            "was given this history by the former owner, as told: {}",
            self.words()
        ))
    }

    in_no_table!();
}
