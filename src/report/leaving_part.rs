//! What a report says of what to do before leaving, as plain data.

use schemars::JsonSchema;
use serde::Serialize;

use super::words::Said;
use crate::boat::Waters;
use crate::defects::NamedPlan;
use crate::defects::leaving::Leaving;
use crate::defects::leaving_said::SaidGroup;
use crate::defects::list::Stretch;

/// What to do before leaving, as `leaving --plan` answers it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BeforeLeavingPart {
    /// The plan.
    pub plan: NamedPlan,
    /// What lies ahead under it.
    pub exposure: Stretch,
    /// The waters it goes through.
    pub waters: Waters,
    /// What is to be done, and what it comes to.
    #[serde(flatten)]
    pub list: Leaving,
    /// What lies ahead, in words.
    #[serde(skip)]
    pub(super) ahead: Said,
    /// The groups as they are said.
    #[serde(skip)]
    pub(super) groups: Vec<SaidGroup>,
}
