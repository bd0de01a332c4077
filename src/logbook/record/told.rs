//! Somebody was told of unsafe findings.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::event::{Event, Grounds, Names, Part, Time, Weight, fault, on_no_item};
use crate::defects::admit::{Fault, too_long};
use crate::defects::condition::Condition;
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};
use crate::text::safe_line;
use crate::walk::{Notified, Walk};

/// Somebody was told of unsafe findings of a walk.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ToldOf {
    /// Walk id.
    pub walk: String,
    /// Of what, whom, when.
    pub told: Notified,
}

/// What is wrong with who was told of what.
pub(in crate::logbook) fn being_told(condition: &Condition, told: &Notified) -> Vec<Fault> {
    let mut faults: Vec<Fault> = too_long("whom", &told.whom).into_iter().collect();
    if told.whom.trim().is_empty() {
        faults.push(fault("whom", "say who was told"));
    }
    if told.items.is_empty() {
        faults.push(fault("items", "say of which items"));
    }
    for (n, item) in told.items.iter().enumerate() {
        if condition.library.catalogue.item(item).is_none() {
            faults.push(fault(&format!("items[{n}]"), condition.unknown_item(item)));
        }
    }
    faults
}

/// A fault where a record speaks of a walk that nobody knows.
pub(super) fn unknown_walk(grounds: &Grounds<'_>, id: &str) -> Option<Fault> {
    let message = || format!("there is no walk '{}'", safe_line(id));
    let unknown = grounds.history.walk(id).is_none();
    unknown.then(|| fault("walk", message()))
}

impl Event for ToldOf {
    const NAME: &'static str = "told";
    const OUTSIDE: Outside = Outside::act::<Self>();
    const CHANGED: Weight = Weight::Said;
    const CONCERNS_BOAT: bool = false;

    fn at(&self) -> Option<Time> {
        Some(self.told.at)
    }

    on_no_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        vec![("told.whom", &self.told.whom)]
    }

    fn names(&self) -> Names<'_> {
        Names::walk(&self.walk, Part::Beside)
    }

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let named = |(field, message)| (format!("told.{field}"), message);
        let told = being_told(grounds.condition, &self.told).into_iter();
        told.map(named)
            .chain(unknown_walk(grounds, &self.walk))
            .collect()
    }

    fn apply(&self, _: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        if let Some(walk) = state.walk(&self.walk) {
            let spot = walk.told.partition_point(|known| known.at <= self.told.at);
            walk.told.insert(spot, self.told.clone());
        }
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("told {} of what is unsafe", self.told.whom))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.walks.iter().flat_map(told);
        vec![of.lines(rows)]
    }
}

tables! {
    /// An unsafe finding of a walk that somebody was told of.
    ToldRow = "told" key(walk, item, whom, at) {
        /// Walk id.
        walk: String,
        /// Catalogue id of the item.
        item: String,
        /// Who was told.
        whom: String,
        /// When.
        at: Time,
    }
}

/// Who was told of what in a walk, item by item.
fn told(walk: &Walk) -> impl Iterator<Item = ToldRow> + '_ {
    walk.told.iter().flat_map(move |told| {
        told.items.iter().map(|item| ToldRow {
            walk: walk.id.clone(),
            item: item.clone(),
            whom: told.whom.clone(),
            at: told.at,
        })
    })
}
