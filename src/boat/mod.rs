//! What is inspected: the boat, its machines, their hours, and the units everything is measured in.
//!
//! - [`units`]: quantities, units and text such as `7 L` or `45 psi`
//! - [`hours`]: running hours, hour meters and their replacement
//! - [`profile`]: the boat and its machines

pub mod hours;
pub mod profile;
pub mod units;

pub use hours::{Hours, MeterChange, MeterLine};
pub use profile::{Boat, DayAhead, Machine, Role, UnitHabit, Waters};
pub use units::{Measure, Quantity, Unit};
