//! Several boats together: who stays, what is to be bought and done, when, what fails, how long things last.
//! It reckons over what each boat says by herself and judges nothing anew.
//!
//! - [`stand`]: how one boat stands; [`shelf`]: every boat of a folder, with what could not be read
//! - [`over`]: over which boats a sum goes: none is told without what is missing in it
//! - [`stays`]: who may not go out, and why
//! - [`parts`] ([`numbers`]), [`work`], [`weeks`]: what is to be bought, done by whom and where, and when
//! - [`failing`]: which item fails most, with its counts
//! - [`rates`]: how long things stay on a rung, pooled; [`offer`]: that as a file, and as what another
//!   boat may begin from
//!
#![doc = include_str!("README.md")]

pub mod failing;
pub mod numbers;
pub mod offer;
pub mod over;
pub mod parts;
pub mod rates;
pub mod shelf;
pub mod stand;
pub mod stays;
pub mod weeks;
pub mod work;

pub use over::{Missing, Over};
pub use shelf::{Fleet, Member};
pub use stand::Stand;

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
