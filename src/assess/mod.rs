//! The method, pure: from what was seen to what to fix first. No files, no clock, no terminal;
//! the same input gives the same output.
//!
//! - [`words`]: severity, probability level, risk, verdict
//! - [`verdict`]: what a finished walk says

pub mod verdict;
pub mod words;
