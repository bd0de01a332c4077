//! What was agreed before a walk.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::event::{Event, Grounds, Names, Part, Weight, at_a_time, in_no_table, on_no_item};
use super::told::unknown_walk;
use crate::defects::admit::{Fault, too_long};
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::walk::Agreed;

/// What was agreed before a walk; agreeing again replaces it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Agreement {
    /// Walk id.
    pub walk: String,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime<FixedOffset>>,
    /// What.
    pub agreed: Agreed,
}

/// Faults of what was agreed.
pub(in crate::logbook) fn agreed_faults(agreed: &Agreed) -> Vec<Fault> {
    let words = words(agreed).into_iter();
    words
        .filter_map(|(field, text)| too_long(field, text))
        .collect()
}

fn words(agreed: &Agreed) -> Vec<(&'static str, &str)> {
    let fields = [
        ("agreed.runs", &agreed.runs),
        ("agreed.may_open", &agreed.may_open),
        ("agreed.samples", &agreed.samples),
        ("agreed.full_throttle", &agreed.full_throttle),
        ("agreed.on_arrival", &agreed.on_arrival),
        ("agreed.started_by", &agreed.started_by),
    ];
    let said = fields.into_iter();
    let said = said.filter_map(|(field, text)| Some((field, text.as_deref()?)));
    said.collect()
}

impl Event for Agreement {
    const NAME: &'static str = "agreement";
    const OUTSIDE: Outside = Outside::act::<Self>();
    const CHANGED: Weight = Weight::Said;
    const CONCERNS_BOAT: bool = false;

    at_a_time!();

    on_no_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        words(&self.agreed)
    }

    fn names(&self) -> Names<'_> {
        Names::walk(&self.walk, Part::Beside)
    }

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let mut faults = agreed_faults(&self.agreed);
        faults.extend(unknown_walk(grounds, &self.walk));
        faults
    }

    fn apply(&self, _: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        if let Some(walk) = state.walk(&self.walk) {
            walk.agreed = Some(self.agreed.clone());
        }
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some("agreed what may be done in a walk".to_owned())
    }

    in_no_table!();
}
