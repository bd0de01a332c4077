//! Symptoms in a skipper's words, and the first-minute cards: what is done before anything is looked at,
//! and the looks that come after.
//!
//! - [`mod@file`]: cards, symptoms and the looks they lead to, as they are compiled in
//! - [`told`]: a line of them, with where a hand goes aboard this boat
//!
#![doc = include_str!("README.md")]

pub mod file;
#[cfg(test)]
#[allow(clippy::expect_used, clippy::panic)]
mod tests;
pub mod told;

pub use file::{Card, CardLine, LookAt, Symptom, SymptomsFile};
pub use told::{NOT_TOLD, ToldLine, ToldPlace};

/// Said under every card and symptom.
pub const OUTRANKED: &str = "The maker's handbook and local rules come before this.";
