//! handlamp: walk round a small boat's engine room, grade what is seen, and turn it into a defect
//! list ranked by risk.
//!
//! The rooms, each depending only on those before it:
//!
//! - `safety`: what a test build can leave out, to prove that a test notices
//! - `platform`: the folders the system has for this program
//! - [`text`]: words with one spelling; untrusted text made safe for each place it is shown
//! - [`photo`]: pictures as bytes: what they tell of the place taken out, smaller copies
//! - [`boat`]: what is inspected, hours, units
//! - [`checklist`]: what can be looked at, and in which order
//! - [`walk`]: a walk in progress and a finished one
//! - [`assess`]: the method, pure
//! - [`causes`]: what findings point to together, pure
//! - [`passage`]: what to mend and which spares to take before a passage, exact choices, pure
//! - [`symptoms`]: what she does, in a skipper's words, and the first-minute cards
//! - [`defects`]: from looks and repairs to living defects
//! - [`service`]: the work that recurs, and what is due
//! - [`arrangement`]: where things are, as a drawing
//! - [`logbook`]: records on disk, and the one place where they become state
//! - [`report`]: reports another person can rely on
//! - [`demo`]: an invented boat with the better part of a year of records
//! - [`keys`]: one key; the one table of what keys do, overrides included
//! - [`settings`]: what the user set
//! - [`terminal`]: the terminal taken, read, drawn on and given back
//! - [`paint`]: what can be drawn on any screen
//! - [`screen`]: the screens
//! - [`cli`]: the commands
//!
#![doc = include_str!("GLOSSARY.md")]

pub mod arrangement;
pub mod assess;
pub mod boat;
pub mod causes;
pub mod checklist;
pub mod cli;
pub mod defects;
pub mod demo;
pub mod fleet;
pub mod keys;
pub mod logbook;
pub mod paint;
pub mod passage;
pub mod photo;
mod platform;
pub mod report;
#[cfg(test)]
#[allow(clippy::expect_used, clippy::panic)]
mod rooms;
mod safety;
pub mod screen;
pub mod service;
pub mod settings;
pub mod symptoms;
pub mod terminal;
pub mod text;
pub mod walk;
