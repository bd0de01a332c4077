//! What to mend before a passage within so many hours and so much money, and which spares to take in
//! a locker of so many litres: exact choices over chances that are handed in. Knows no logbook, no
//! files and no clock.
//!
//! - [`trouble`]: the chance that an item brings trouble, and what mending it gains
//! - [`knapsack`]: the best choice of things within limits, the order by gain for cost, and the bound
//! - [`fuel`]: fuel for so many hours, by two rules, and how long what is aboard lasts
//! - `front`: choices of which none is beaten by another; `grid`: the same on a grid of one limit
//! - [`mod@plan`]: jobs before leaving, what must be done first, which choices still stand when work takes
//!   longer
//! - [`poisson`]: demand for spares and what a stock of them protects; [`spares`]: which to take;
//!   [`under_way`]: what can be mended with one at sea, and the room that takes
//!
#![doc = include_str!("README.md")]

mod front;
pub mod fuel;
mod grid;
pub mod knapsack;
pub mod plan;
pub mod poisson;
pub mod spares;
pub mod trouble;
pub mod under_way;

pub use knapsack::{Chosen, Costs, Knapsack, LIMITS, Thing};
pub use plan::{Access, Call, Job, Means, Plan, plan};
