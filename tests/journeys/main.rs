//! Journeys in a real pseudo-terminal, judged by the screen a user would see.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used)]

mod boat;
mod harness;
mod keyscript;
mod terminal;
mod toy;
