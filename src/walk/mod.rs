//! A walk in progress and a finished one: looks, grades, not-seen, readings, wear marks, notes.
//!
//! - [`look`]: what a walk says of one item
//! - [`agreed`]: what was agreed before it, and who was told of what is unsafe
//! - [`front`]: what its document says before its findings
//! - [`round`]: one performance of a checklist on one machine
//! - [`plan`]: which rows a walk asks today, and how far it has come
//! - [`beside`]: what was seen beside what it asks
//! - [`fuel`]: what fuel a guest left
//! - [`timing`]: how long its phases took
//! - [`touched`]: what a leak run asks once it is known what was disturbed
//! - [`trial`]: a trial at engine speeds as one grid
//! - [`pace`]: whether it went faster than looking takes
//!
#![doc = include_str!("README.md")]

pub mod agreed;
pub mod beside;
pub mod front;
pub mod fuel;
pub mod look;
pub mod pace;
pub mod plan;
pub mod round;
pub mod timing;
pub mod touched;
pub mod trial;

pub use agreed::{Agreed, Notified};
pub use beside::SEEN_BESIDE;
pub use front::{FrontFact, FrontMatter};
pub use fuel::FuelLeft;
pub use look::{Better, Details, Look, Outcome, Photo, Signs, Wear};
pub use plan::{Cause, Join, Plan, PlanPhase, PlanRow, Spot};
pub use round::{LeftOut, PhaseBegun, TimedLook, Walk, When};
pub use touched::{Role, Touched};
pub use trial::{Cell, Trial, TrialRow};

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
