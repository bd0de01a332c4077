//! Where things are aboard, as a drawing: the places of all items and the boxes of what is large, seen from
//! above or from the side, laid into cells or pixels. Lines, boxes and marks; who shows them draws them.
//!
//! - [`places`]: what stands where in this boat
//! - [`view`]: a point seen from above or from the side, and a window on that
//! - [`sheet`]: boxes and marks in the cells of a terminal
//! - [`leaders`]: labels at the edge of a drawing, each led to its place by a line that crosses none
//! - [`steps`]: which place comes next in a direction
//! - [`words`]: where a point is, in words
//! - [`standing`]: how each item stands, as a mark says it

pub mod leaders;
pub mod places;
pub mod sheet;
pub mod standing;
pub mod steps;
pub mod view;
pub mod words;

pub use places::{Arrangement, Box3, Place};
pub use sheet::{Mark, Sheet};
pub use standing::Standing;
pub use steps::{Direction, next};
pub use view::{View, Window};

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
