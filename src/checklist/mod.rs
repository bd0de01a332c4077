//! What can be looked at and in which order: the catalogue of items, the checklists that
//! choose from it, their loading and checking.
//!
//! - [`words`]: the enums every other room speaks in (grade, kind, fluid, effect, ...)
//! - [`item`]: one catalogue item with its ladder, reading, leak place, effects and remedy
//! - [`list`]: checklists, phases and rows

pub mod item;
pub mod list;
pub mod words;

pub use item::{Band, Effect, Item, Life, Reading, Remedy, Versus};
pub use list::{Cadence, Checklist, Phase, Row};
pub use words::{
    EffectKind, Fluid, Grade, Kind, Leak, PhaseState, Place, Scope, WearMark, Where, Who,
};
