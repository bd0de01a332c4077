//! The work that recurs: what each machine is to have done, what was done, and what is due.
//!
//! - [`sheet`]: a service from outside becomes a record; what may be recorded
//! - [`status`]: every task of the boat with its interval, the last time, and when it is due
//! - [`mod@due`]: tasks, rechecks, lives and looks in one list, soonest first
//! - [`disturbed`]: joints that work opened, for the leak run
//! - [`label`]: what to write on the part, as text and as a page to print
//! - [`parts`]: numbers and measures of the parts that the work needs, and one page of them
//! - [`shop`]: what to buy, over defects, due work and the locker, what is aboard taken off
//! - [`calendar`]: months at a glance; [`ics`]: the list as a calendar file
//!
#![doc = include_str!("README.md")]

pub mod calendar;
pub mod disturbed;
pub mod due;
pub mod ics;
pub mod label;
pub mod leaving;
pub mod parts;
pub mod sheet;
pub mod shop;
pub mod status;

pub use disturbed::{
    Disturbed, disturbed_since, disturbed_since_leak_run, put_back_since_leak_run,
};
pub use due::{DueRow, Group, What, due, when_asked};
pub use sheet::{ServiceSheet, interval_of, service_of, tasked_machine};
pub use status::{TaskStatus, standings};

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
