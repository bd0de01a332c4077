//! What is half typed: of an item in a walk, of a service or its interval, of a line of being
//! under way. No answer rests on it.

use serde::{Deserialize, Serialize};

use super::event::{Event, Names, Time, Weight, by_the_program, in_no_table, naming_nothing};
use crate::defects::{Draft, History, RoundDraft, ServiceDraft};
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::walk::Details;

/// What was typed of an item not yet graded, or half typed, at an engine speed where it names one; empty
/// details clear it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DraftKept {
    /// Walk id.
    pub walk: String,
    /// Phase id.
    pub phase: String,
    /// Item id.
    pub item: String,
    /// As far as typed.
    pub details: Details,
}

/// Forgets what was typed of an item in a phase of a walk, where it `went`: what was typed at one engine
/// speed is not of another.
pub(super) fn forget(
    history: &mut History,
    (walk, phase, item): (&str, Option<&str>, &str),
    went: impl Fn(&Details) -> bool,
) {
    let of_it = |d: &Draft| d.walk == walk && d.item == item && Some(d.phase.as_str()) == phase;
    history
        .drafts
        .retain(|draft| !(of_it(draft) && went(&draft.details)));
}

/// What holds of all that is half typed, as a record: nobody has said it yet, so that nothing is lost with it.
macro_rules! half_typed {
    () => {
        const LOST: Weight = Weight::Nothing;
        const CHANGED: Weight = Weight::Nothing;
        const COUNTS_CHANGED: bool = true;
        const RESTS_ON_OWN: bool = false;
        const CONCERNS_BOAT: bool = false;

        by_the_program!();

        fn at(&self) -> Option<Time> {
            None
        }

        fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
            None
        }

        in_no_table!();
    };
}

impl Event for DraftKept {
    const NAME: &'static str = "draft";
    half_typed!();

    // It is no part of its walk before the look is made.
    fn names(&self) -> Names<'_> {
        Names {
            photos: &self.details.photos,
            ..Names::NOTHING
        }
    }

    fn apply(&self, _: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        let of = (self.walk.as_str(), Some(self.phase.as_str()), &*self.item);
        forget(state.history, of, |d| d.at_rpm == self.details.at_rpm);
        if !self.details.is_empty() {
            state.history.drafts.push(Draft {
                walk: self.walk.clone(),
                phase: self.phase.clone(),
                item: self.item.clone(),
                details: self.details.clone(),
            });
        }
        Applied::Done
    }
}

/// What is half typed beside walks: it takes the place of an earlier one of the same, and with nothing typed
/// clears it.
macro_rules! half_typed_beside {
    ($draft:ty, $name:literal, $kept:ident) => {
        impl Event for $draft {
            const NAME: &'static str = $name;
            half_typed!();

            naming_nothing!();

            fn apply(&self, _: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
                let drafts = &mut state.history.$kept;
                drafts.retain(|known| !known.is_of(self));
                if !self.typed.is_empty() {
                    drafts.push(self.clone());
                }
                Applied::Done
            }
        }
    };
}

half_typed_beside!(ServiceDraft, "service-draft", service_drafts);
half_typed_beside!(RoundDraft, "under-way-draft", round_drafts);
