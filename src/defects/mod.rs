//! From looks and repairs to living defects.
//!
//! - [`acts`]: records that act on an item or a defect
//! - [`work`]: records of recurring work, with what it did to the items
//! - [`history`]: everything the records say, in order
//! - [`usage`]: running hours of a machine at any time
//! - [`life`]: the life of each item's defects, folded from looks and acts
//! - [`condition`]: what is known of the whole boat at a moment
//! - [`list`], [`explain`]: the ranked list, and the arithmetic behind one row
//! - [`judged`]: the verdict on a walk; [`leak_run`]: what the rules of a leak run need of it, and
//!   what it leaves owed
//! - `stopped`: what forbids running now
//! - [`owed`]: looks that are owed, and the walk they join
//! - [`admit`]: what may be recorded

pub mod acts;
pub mod admit;
pub mod condition;
pub mod explain;
pub mod history;
pub mod judged;
pub mod leak_run;
pub mod life;
pub mod list;
pub mod owed;
mod stopped;
pub mod usage;
pub mod work;

pub use acts::{
    Deferral, Fitted, NamedPlan, Override, Recheck, Removed, Repair, Until, Withdrawal,
};
pub use history::{Draft, History, Stamped};
pub use life::{Defect, Life, Standing, State, Subject};
pub use usage::Usage;
pub use work::{Cost, OwedLook, Service, ServiceInterval};

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
