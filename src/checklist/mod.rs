//! What can be looked at and in which order: the catalogue of items, the checklists that
//! choose from it, their loading and checking.
//!
//! - [`words`]: the enums every other room speaks in (grade, kind, fluid, effect, ...)
//! - [`item`]: one catalogue item with its ladder, reading, leak place, effects and remedy
//! - [`list`]: checklists, phases and rows; [`step`]: the steps of a trial at engine speeds;
//!   [`season_step`]: what is done at a row of the walks of the seasons
//! - [`catalogue`]: stations in walking order with their items
//! - [`task`]: service tasks, what they need, open and renew; [`part`]: a part as a task
//!   names it; [`known_part`]: the parts that tasks and remedies need, by id; [`known_spare`]: the spares
//!   that are customary aboard
//! - [`library`]: catalogue and checklists together, built in and the user's
//! - [`own`]: what people add, in the settings folder and with a boat; [`boats_own`]: what records put
//!   into a boat's logbook of it; [`own_item`]: an item of one's
//!   own, question by question; [`own_list`]: a checklist of one's own, row by row; [`own_row`]: one
//!   more item in a checklist
//! - [`asked`]: what an earlier walk was asked with; `then`: the library beside that
//! - [`check`]: a user's file, checked; [`complaint`]: what is wrong with it, by file, line and field
//! - [`leak`]: which rung a leak class means; [`downhill`]: where else a leak shows;
//!   [`tool`]: what an item can be measured with
//! - [`first_look`]: words for a first look, where the usual ones presuppose an earlier one
//! - [`first_places`]: where things are in an installation of no boat in particular
//! - [`translation`]: what catalogue and checklists say, in German
//! - [`watch_round`]: what is looked at under way, how often and from where
//! - [`remedy_minutes`]: how long remedies take, and what is opened for them
//! - [`schema`]: JSON Schema of the files
//!
//! Behind [`check`]: `compiled` (files that are part of the program), [`complaint`] (a file read whole, or all that is wrong with it), `rules` and `task_rules`
//! (what a file must keep to), `faults` (what was found, and the rules of any file), `position` (where a field
//! stands in a text), `wording` (plain words for faults).
//!
#![doc = include_str!("README.md")]

pub mod asked;
pub mod boats_own;
pub mod catalogue;
pub mod check;
mod compiled;
pub mod complaint;
pub mod downhill;
pub(crate) mod faults;
pub mod first_look;
pub mod first_places;
pub mod item;
pub mod known_part;
pub mod known_spare;
pub mod leak;
pub mod library;
pub mod list;
pub mod own;
pub mod own_item;
pub mod own_list;
pub mod own_row;
pub mod part;
pub(crate) mod position;
pub mod remedy_minutes;
mod rules;
pub mod schema;
pub mod season_step;
pub mod step;
pub mod task;
mod task_rules;
#[cfg(test)]
#[allow(clippy::expect_used, clippy::panic)]
mod tests;
mod then;
pub mod tool;
pub mod translation;
pub mod watch_round;
mod wording;
pub mod words;

pub use asked::{Asked, ListAsked, Texts, Then};
pub use boats_own::{BoatsOwn, Given};
pub use catalogue::{Catalogue, CatalogueFile, Station};
pub use check::{Parsed, check_file};
pub use complaint::Complaint;
pub(crate) use faults::id_fault;
pub use first_look::FirstLook;
pub use first_places::{Body, FirstPlaces, Group};
pub use item::{
    Band, BeforeStarting, Effect, Item, Marks, Reading, Remedy, ServiceLife, Signs, Versus,
};
pub use known_part::KnownPart;
pub use known_spare::{Carried, KnownSpare, SpareUnit};
pub use leak::{fuel_leak, leak_grade};
pub use library::{Library, LostText};
pub use list::{Cadence, Checklist, ChecklistFile, Closing, FINDING, Phase, Row};
pub use own::{Own, Sort, Source};
pub use own_item::Ask;
pub use own_row::OwnRow;
pub use part::{PartKind, TaskPart};
pub use remedy_minutes::{Opened, RemedyMinutes};
pub use schema::schemas;
pub use season_step::{Leaves, SeasonStep};
pub use step::{Pass, Step};
pub use task::{After, Capacity, Every, FollowUp, Task, TaskStep, TasksFile};
pub use tool::Tool;
pub use translation::Translation;
pub use watch_round::{Figure, LookFrom, RoundCadence, RoundLook};
pub(crate) use wording::{nearest, plain, visible};
pub use words::{
    Chore, EffectKind, Fluid, Forbids, Grade, Kind, Leak, Order, PhaseState, Place, Scope,
    UnknownAge, WearMark, Where, Who,
};
