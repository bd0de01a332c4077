//! From looks and repairs to living defects.
//!
//! - [`acts`]: records that act on an item or a defect
//! - [`history`]: everything the records say, in order
//! - [`usage`]: running hours of a machine at any time
//! - [`life`]: the life of each item's defects, folded from looks and acts
//! - [`condition`]: what is known of the whole boat at a moment
//! - [`list`], [`explain`]: the ranked list, and the arithmetic behind one row
//! - [`judged`]: the verdict on a walk
//! - `stopped`: what forbids running now
//! - [`owed`]: looks that are owed, and the walk they join
//! - [`survey`]: what the end of a survey owes: who is told, what was not seen
//! - [`admit`]: what may be recorded

pub mod acts;
pub mod admit;
pub mod condition;
pub mod explain;
pub mod history;
pub mod judged;
pub mod life;
pub mod list;
pub mod owed;
mod stopped;
pub mod survey;
pub mod usage;

pub use acts::{
    Deferral, Fitted, NamedPlan, Override, Recheck, Removed, Repair, Until, Withdrawal,
};
pub use history::{Draft, History, Stamped};
pub use life::{Defect, Life, Standing, State, Subject};
pub use usage::Usage;

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
