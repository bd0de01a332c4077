//! Things of her own were put into the boat.

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::event::{Event, KeptText, Names, Time, by_the_program, in_no_table};
use crate::checklist::Given;
use crate::logbook::placed::{Applied, Folding, Placed};

/// Things of one's own were put into the boat.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OwnItems {
    /// Content hash of the text that holds them.
    pub text: String,
    /// Taken over from the settings folder, not given by hand.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub settings: bool,
    /// What it changed, where it was a change of single things: sort and id of each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub only: Vec<String>,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime<FixedOffset>>,
}

impl OwnItems {
    /// How its text came.
    pub fn given(&self) -> Given {
        match (self.settings, self.only.is_empty()) {
            (true, _) => Given::Settings,
            (false, true) => Given::Files,
            (false, false) => Given::Change,
        }
    }
}

impl Event for OwnItems {
    const NAME: &'static str = "own-items";
    const RESTS_ON_OWN: bool = false;

    by_the_program!();

    fn at(&self) -> Option<Time> {
        self.at
    }

    fn names(&self) -> Names<'_> {
        Names {
            text: Some(KeptText::Own(&self.text)),
            ..Names::NOTHING
        }
    }

    // They are read where the library is made.
    fn apply(&self, _: &Placed<'_>, _: &mut Folding<'_>) -> Applied {
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some("put items of the boat's own into the logbook".to_owned())
    }

    in_no_table!();
}
