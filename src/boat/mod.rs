//! What is inspected: the boat, its machines, their hours, and the units everything is measured in.
//!
//! - [`arranged`]: where things are aboard
//! - [`units`]: quantities, units and text such as `7 L` or `45 psi`
//! - [`dip`]: a dipstick read in millimetres from a mark
//! - [`facts`]: what can be known of her, fact by fact: words, unit, why, what follows
//! - [`hours`]: running hours, hour meters and their replacement
//! - [`kinds`]: kinds of cooling, drive, tank, battery and the like
//! - [`profile`]: the boat and its machines
//! - [`change`]: records that change a profile
//! - [`fields`]: a profile field by field, so that two changes to it can stand side by side
//! - [`fold`]: the profile that changes made on several devices add up to

pub mod arranged;
pub mod change;
pub mod dip;
pub mod facts;
pub mod fields;
pub mod fold;
pub mod hours;
pub mod kinds;
pub mod profile;
pub mod units;

pub use arranged::{Arranged, EngineStands, Point, Thing, ThingKind};
pub use change::{EvenSo, Misread, PassedStop, ProfileSet, Retired};
pub use hours::{Hours, MeterChange, MeterLine};
pub use profile::{Boat, DayAhead, Machine, Packing, Role, UnitHabit, Waters};
pub use units::{Measure, Quantity, Unit};
