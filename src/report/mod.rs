//! Reports another person can rely on: of one walk, or of the logbook as of a moment.
//!
//! - [`content`]: what a report says, as plain data; the JSON form is this
//! - [`gather`]: from records and condition to that content
//! - [`parts`], [`extras`]: coverage, costs, readings in time, work, the seal; `by_speed`, `trial`: the
//!   grid of a sea trial
//! - `advice`: what to do; `behind`: what may be behind the findings; `sections`: what HTML and Markdown write alike; `chart`: readings drawn;
//!   `ladder`: a defect in time drawn
//! - [`write`](mod@write): a report as a file; [`making`]: made on a thread
//!   beside whoever waits for it, the command or the screen
//! - [`wording`]: what every report says of its limits; [`words`]: the words of a language
//! - [`issue`]: a report frozen under a number, its revisions and addenda
//! - [`proof`]: by what a page proves to be the one issued
//! - [`html`], [`markdown`], [`table`]: the other forms
//! - [`pictures`]: photographs as a page holds them
//! - `places`: where things are, as drawings
//! - [`sheet`]: a checklist to fill in on paper
//! - [`first_minute`]: the first-minute cards, to print for the hatch
//! - [`hand_over`]: what somebody else has to know who takes her out
//!
//! A report records what was seen, apart from what is thought of it. It certifies nothing.
//!
#![doc = include_str!("README.md")]

mod advice;
mod behind;
mod by_speed;
mod chart;
pub mod content;
pub mod extras;
pub mod first_minute;
pub mod gather;
pub mod hand_over;
pub mod html;
pub mod issue;
mod ladder;
mod lines;
pub mod making;
pub mod markdown;
pub mod parts;
pub mod pictures;
mod places;
pub mod proof;
mod sections;
pub mod sheet;
pub mod table;
mod trial;
pub mod wording;
pub mod words;
pub mod write;

pub use content::Report;
pub use gather::{of_now, of_walk};
