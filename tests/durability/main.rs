//! The record of a logbook on a model of a file system that crashes, forgets what was not synced
//! and fails.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, missing_docs)]

mod check;
mod crashes;
mod damage;
mod devices;
mod faults;
mod model;
mod scenes;
