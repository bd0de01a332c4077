//! Records on disk, and the one place where they become state.
//!
//! - [`record`]: what a line can say
//! - [`fold`]: records become state

pub mod fold;
pub mod record;
