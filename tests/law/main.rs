//! The law of the record, asked of real logbooks: no verdict, list or report is better than it
//! would be with every acknowledged record counted, unless that same answer says what is missing.
//!
//! [`oracle`] asks a logbook, in this process and by the real program; [`aboard`] walks, repairs and
//! defers in one; [`scenes`] are its stories. The other files spoil, merge, carry, cut off and
//! misdate them, and count the answers compared; [`views`] holds page, command and report of one walk
//! equal.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, missing_docs)]

mod aboard;
mod clocks;
mod count;
mod crashes;
mod damage;
mod given_on;
mod glance;
#[path = "../cli/harness.rs"]
#[allow(
    dead_code,
    reason = "shared with the tests of the commands, which use all of it"
)]
mod harness;
mod kept;
mod losses;
mod merges;
mod oracle;
mod order;
mod program;
mod scenes;
mod signs;
mod views;
mod windows;
