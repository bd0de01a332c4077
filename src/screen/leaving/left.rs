//! What stays of the question before leaving while one goes from screen to screen.

use std::collections::BTreeMap;

use crate::defects::leaving::Kept;
use crate::defects::{JobMinutes, NamedPlan};

/// What stays of this screen while one goes from screen to screen.
#[derive(Default)]
pub struct LeftBehind {
    /// The plan that was in front.
    pub(super) plan: Option<String>,
    /// What was taken in and left out, by plan.
    pub(super) kept: BTreeMap<String, Kept>,
    /// A plan half typed.
    pub(super) typed: Option<NamedPlan>,
    /// Minutes of a job half typed: whose, and what was typed.
    pub(super) minutes: Option<(JobMinutes, String)>,
}
