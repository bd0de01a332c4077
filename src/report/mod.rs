//! Reports another person can rely on: of one walk, or of the logbook as of a moment.
//!
//! - [`content`]: what a report says, as plain data; the JSON form is this
//! - [`gather`]: from records and condition to that content
//! - [`wording`]: what every report says of its limits
//! - [`html`], [`markdown`], [`table`]: the other forms
//! - [`plan`]: the stations as a drawing
//!
//! A report records what was seen. It certifies nothing.

pub mod content;
pub mod gather;
pub mod html;
mod lines;
pub mod markdown;
pub mod plan;
pub mod table;
pub mod wording;

pub use content::Report;
pub use gather::{of_now, of_walk};
