//! Reports another person can rely on: of one walk, or of the logbook as of a moment.
//!
//! - [`content`]: what a report says, as plain data; the JSON form is this
//! - [`gather`]: from records and condition to that content; `scribe`: ids in words, what was seen of them
//! - [`parts`], [`extras`]: coverage, costs, readings in time, work, the seal; `by_speed`, `trial`: the
//!   grid of a sea trial
//! - `before_leaving`, [`leaving_part`]: what to do before leaving under a plan; `advice`: what to do; `behind`: what may be behind the findings; `sections`, `blocks`: what HTML and Markdown write alike; `chart`: readings drawn;
//!   `ladder`: a defect in time drawn, `in_time` and `trend_words`: both in words
//! - [`write`](mod@write): a report as a file; [`making`]: made on a thread
//!   beside whoever waits for it, the command or the screen
//! - [`wording`]: what every report says of its limits; [`words`]: the words of a language
//! - [`issue`]: a report frozen under a number, its revisions and addenda
//! - [`proof`]: by what a page proves to be the one issued
//! - [`html`], [`markdown`], [`table`]: the other forms
//! - `document`: a survey as a page others rely on: `front`, `answer`, `scope`, `definitions`; [`class`]: how
//!   long what is recommended may wait; `frame`: what stands around the words of any page
//! - [`pictures`]: photographs as a page holds them
//! - `places`: where things are, as drawings
//! - [`sheet`]: a checklist to fill in on paper
//! - [`watch_sheet`]: the watch of a day to fill in on paper
//! - [`first_minute`]: the first-minute cards, to print for the hatch
//! - [`yard`]: the letter to the yard
//! - [`hand_over`]: what somebody else has to know who takes her out
//!
//! A report records what was seen, apart from what is thought of it. It certifies nothing.
//!
#![doc = include_str!("README.md")]

mod advice;
mod answer;
mod before_leaving;
mod behind;
mod blocks;
mod by_speed;
mod chart;
pub mod class;
pub mod content;
mod definitions;
mod document;
pub mod extras;
pub mod first_minute;
mod frame;
mod front;
pub mod gather;
pub mod hand_over;
pub mod html;
mod in_time;
pub mod issue;
mod ladder;
pub mod leaving_part;
mod lines;
pub mod making;
pub mod markdown;
pub mod parts;
pub mod pictures;
mod places;
pub mod proof;
mod scope;
mod scribe;
mod sections;
pub mod sheet;
pub mod table;
mod trend_words;
mod trial;
pub mod watch_sheet;
pub mod wording;
pub mod words;
pub mod write;
pub mod yard;

pub use content::Report;
pub use gather::{of_now, of_walk};
