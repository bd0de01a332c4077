//! Hostile input.
#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used, missing_docs)]

mod corpus;
mod disk;
mod escapes;
mod lines;
mod seeds;
mod supply;
mod surroundings;
mod time;

#[path = "../journeys/harness.rs"]
#[allow(dead_code, reason = "shared with the journeys, which use all of it")]
mod harness;
#[path = "../journeys/keyscript.rs"]
mod keyscript;
#[path = "../fuzz/laws.rs"]
mod laws;
#[path = "../cli/harness.rs"]
#[allow(
    dead_code,
    reason = "shared with the tests of the commands, which use all of it"
)]
mod place;
