//! A step of the walks of the seasons: what is done at a row before its items are looked at, and what that
//! leaves open.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::faults::{Faults, blank};
use super::list::Row;
use super::words::Forbids;

/// What is done at a row.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SeasonStep {
    /// What can hurt, said before it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
    /// What is done, in one to three sentences.
    #[serde(rename = "do")]
    pub action: String,
    /// What is open once it is done, until it is put back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub opens: Vec<Leaves>,
    /// The service task it is, by its id: told as a service it counts there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
    /// Where it is from.
    pub source: String,
}

/// Something that a step leaves open.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Leaves {
    /// The item, by its id; one of those of the row.
    pub item: String,
    /// What is left how, such as "impeller out".
    pub what: String,
    /// What it forbids until it is put back.
    pub forbids: Forbids,
}

/// Rules of a row's step.
pub(super) fn rules(row: &Row, base: &str, faults: &mut Faults) {
    let Some(step) = &row.step else {
        return;
    };
    let at = |field: &str| format!("{base}.step.{field}");
    blank(&step.action, &at("do"), faults);
    blank(&step.source, &at("source"), faults);
    let caution = step.caution.iter();
    caution.for_each(|text| blank(text, &at("caution"), faults));
    for (n, leaves) in step.opens.iter().enumerate() {
        let at = |field: &str| at(&format!("opens[{n}].{field}"));
        blank(&leaves.what, &at("what"), faults);
        let foreign = !row.items.contains(&leaves.item);
        faults.refuse(foreign, &at("item"), "it is no item of this row");
    }
}
