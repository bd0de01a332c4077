//! What was taken back, put right or set aside, as it was first recorded.

use std::sync::Arc;

use chrono::{DateTime, Duration, FixedOffset};

use crate::walk::{Look, When};

/// So long somebody can be taken to stand before what a look was made at (judgement): longer ago it is
/// another day's word against it, though its walk is unfinished.
pub const SITTING: Duration = Duration::hours(6);

/// A walk that was set aside.
#[derive(Clone, Debug, PartialEq)]
pub struct Aside {
    /// Walk id.
    pub walk: String,
    /// Why.
    pub why: String,
    /// Who says so.
    pub by: Option<String>,
}

/// A graded look that was taken back or put right, as it was first made.
#[derive(Clone, Debug, PartialEq)]
pub struct TakenBack {
    /// Id of the look.
    pub id: String,
    /// Its moment.
    pub when: When,
    /// What it said.
    pub look: Arc<Look>,
    /// Id of its walk.
    pub walk: String,
    /// Id of the checklist of its walk; empty where its beginning is lost.
    pub checklist: String,
    /// Content hash of what that walk was asked with.
    pub asked: Option<String>,
    /// Machine of its walk; empty where that is not known.
    pub machine: String,
    /// Place of the record that took it back or put it right.
    pub deed: usize,
    /// When that was written.
    pub deed_at: DateTime<FixedOffset>,
    /// Why, as recorded.
    pub why: Option<String>,
    /// Who says so.
    pub by: Option<String>,
    /// That was before the end of its walk.
    pub early: bool,
    /// That was within [`SITTING`] of it.
    pub at_once: bool,
}
