//! Journeys in a real pseudo-terminal, judged by the screen a user would see.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used)]

#[path = "../ages/mod.rs"]
mod ages;
mod boat;
mod causes;
mod entries;
// Shared with the sweeps, which use more of it.
#[allow(dead_code)]
mod harness;
mod keyscript;
mod leak_run;
mod outboard;
mod profile;
mod put_right;
mod report;
mod rescue;
mod seasons;
mod service;
mod signs;
#[path = "../skip/mod.rs"]
#[allow(dead_code)]
mod skip;
mod survey;
mod terminal;
mod tools;
mod toy;
mod under_way;
mod windows;
