//! The screens: what is drawn and how it looks. No rules live here.
//!
//! - [`theme`]: what colours and weights mean, in four themes
//! - [`glyphs`]: the signs drawn, and their twins for terminals without Unicode
//! - [`contrast`]: how far two colours stand apart
//! - [`ladder`]: the upright ladder of an item
//! - [`history`]: the ladder lying along time
//! - [`svg`]: a picture of a screen

pub mod contrast;
pub mod glyphs;
pub mod history;
pub mod ladder;
mod palette;
pub mod svg;
pub mod theme;
