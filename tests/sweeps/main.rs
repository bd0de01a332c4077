//! The record and the terminal, proved on the real program: killed at every system call, cut off
//! from power, refused by the disk, and left by its terminal.
//!
//! | module | what it does to the program |
//! |---|---|
//! | [`kill`] | SIGKILL at every system call that touches the logbook: commands, and a walk by keys |
//! | [`power`] | the file system stopped dead while records are made |
//! | [`refused`] | every write-side call of a command failing once and for ever |
//! | [`not_saved`] | the same in a walk by keys, and disks that are really full or read-only |
//! | [`terminal`] | the twelve known traps of terminals, each with its test |
//! | [`network`] | every network call traced |
//!
//! What a machine cannot do is skipped with the word SKIPPED on the standard error.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used)]

// Shared with the journeys, which use more of it.
#[allow(dead_code)]
#[path = "../journeys/harness.rs"]
mod harness;
#[path = "../journeys/keyscript.rs"]
mod keyscript;
mod kill;
mod network;
mod not_saved;
mod power;
mod refused;
mod scene;
#[path = "../skip/mod.rs"]
#[allow(dead_code)]
mod skip;
mod terminal;
mod trace;
