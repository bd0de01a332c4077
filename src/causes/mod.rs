//! What findings point to together, and which look tells the causes apart. Knows no logbook.
//!
//! - [`mod@file`]: questions, answers, causes and their signs, ours and an owner's; [`words`]: how often, how
//!   strongly, what a look asks for
//! - [`check`]: such a file, checked; [`table`]: ours with an owner's on top, and what repairs taught
//! - [`looks`]: what was looked at, and which of it counts
//! - [`model`]: how answers follow from causes; [`belief`]: exact chances, and what a look would tell
//! - [`reckon`]: what was seen, weighed; [`offers`]: the next look; [`judge`]: what is said of it all
//! - [`say`]: the same in sentences; [`mod@why`]: the arithmetic behind it
//!
#![doc = include_str!("README.md")]

pub mod belief;
pub mod check;
pub mod file;
pub mod judge;
pub mod looks;
pub mod model;
pub mod offers;
pub mod reckon;
pub mod say;
pub mod table;
#[cfg(test)]
#[allow(clippy::expect_used, clippy::panic)]
mod tests;
pub mod why;
pub mod words;

pub use check::check_file;
pub use file::{ASK, ByItem, ByService, Cause, CausesFile, Question, Reply, Says, Sign};
pub use judge::{Candidate, Danger, Headline, Judged};
pub use looks::{ABNORMAL, Counted, Look, OK, PartLook, Seen, read_looks};
pub use model::Held;
pub use offers::Offer;
pub use reckon::{Arithmetic, Reckoned};
pub use table::Causes;
pub use words::{Act, Alone, Now, Standing, Strength};

/// Text of the causes compiled in.
pub(crate) const BUILT_IN: &str = include_str!("../../checklists/causes.json");

/// From this chance on findings point strongly to a cause (bands after ICD 203).
const STRONG: f64 = 0.80;
/// From this chance on a cause is the most likely one.
const LIKELY: f64 = 0.55;
/// From this chance on it may be one.
const POSSIBLE: f64 = 0.20;
/// From this chance on it is not ruled out.
const REMAINS: f64 = 0.05;
