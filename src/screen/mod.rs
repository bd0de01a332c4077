//! The screens. No rules live here.
//!
//! - [`app`]: the state and how events change it; `draw`: the frame around every screen
//! - [`layers`]: questions over a screen, their keys, what they are for and what answers do
//! - `others`: what others wrote is taken in, and the screen in front made anew; `behind`: records this
//!   computer had seen that are not here, and a clock that is behind
//! - `picture`: the screen in front as a picture
//!
//! One folder for each screen:
//! - [`start`]: the first questions, and which boat where a folder holds several
//! - [`boat`]: the boat and what can be done
//! - [`walk`]: the rows of a walk, leak run or survey
//! - [`measure`]: drops counted and seconds taken at an item
//! - [`verdict`]: what a finished walk says
//! - [`defects`]: the defect list, a row of it explained, two plans side by side
//! - [`walks`]: the walks on record
//! - [`readings`]: readings drawn, and what a trend says of them
//! - [`service`]: what is due, a task to read, and the questions about work that was done
//! - [`report`]: the file of a report is asked for, and waited for
//!
#![doc = include_str!("README.md")]

pub mod app;
mod behind;
pub mod boat;
pub mod defects;
mod draw;
pub mod layers;
pub mod measure;
mod others;
mod picture;
pub mod readings;
pub mod report;
pub mod service;
pub mod start;
pub mod verdict;
pub mod walk;
pub mod walks;
