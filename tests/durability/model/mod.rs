//! The stage of these proofs.
//!
//! - [`disk`]: a disk in memory that knows what is on stable storage and what is not
//! - [`images`]: what such a disk can look like after a crash
//! - [`ledger`]: what was tried and what was acknowledged, and whether an image keeps it
//! - [`stage`]: a disk, a ledger and a clock, and those who write on them

pub mod disk;
pub mod images;
pub mod ledger;
pub mod stage;
