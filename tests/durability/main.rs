//! The record of a logbook under every failure that can be thought out without a real machine
//! dying: a model of a file system that crashes, forgets and fails; files damaged in every way;
//! two of everything.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, missing_docs)]

mod copies;
mod crashes;
mod damage;
mod faults;
mod filter;
mod model;
mod scenes;
mod two;
