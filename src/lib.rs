//! handlamp: walk round a small boat's engine room, grade what is seen, and turn it into a defect
//! list ranked by risk.
//!
//! The rooms, each depending only on those before it:
//!
//! - [`text`]: words with one spelling; untrusted text made safe for each place it is shown
//! - [`boat`]: what is inspected, hours, units
//! - [`checklist`]: what can be looked at, and in which order
//! - [`assess`]: the method, pure
//! - [`screen`]: the screens, from the terminal up

pub mod assess;
pub mod boat;
pub mod checklist;
pub mod screen;
pub mod text;
