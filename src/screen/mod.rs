//! The screens, from the terminal up. No rules live here.
//!
//! The terminal
//! - [`terminal`]: taking the terminal and giving it back whatever happens; under it `modes`,
//!   `signals`, `panic_hook` and `frames`
//! - [`input`]: the thread that reads the terminal; [`decode`] turns its bytes into keys and
//!   pastes, [`burst`] tells a stray paste from typing
//! - [`key`], [`keys`]: one key; the one table of what keys do, overrides included
//! - [`config`]: the user's settings
//! - `changes`: the system's notice that somebody wrote in the log's folders
//! - [`app_loop`]: draw, take one event or deadline, update, draw
//!
//! The look
//! - [`theme`]: what colours and weights mean, in four themes
//! - [`glyphs`]: the signs drawn, and their twins for terminals without Unicode
//! - [`contrast`]: how far two colours stand apart
//! - [`ladder`]: the upright ladder of an item; [`history`]: the ladder lying along time
//! - [`chart`]: readings against hours or days; [`scale`]: their axes, and small bars of the last few;
//!   `field`: the cells of a chart
//! - [`svg`]: a picture of a screen, written by `picture`
//!
//! The screens
//! - [`app`]: the state and how events change it; [`layer`] and [`ask`]: questions over a screen
//!   and what they are for; `answer`: what answers do
//! - `others`: what others wrote is taken in, and the screen in front made anew; `behind`: records this
//!   computer had seen that are not here, and a clock that is behind
//! - [`measure`]: drops counted and seconds taken at an item; its keys in `measure_keys`, its look in
//!   `measure_draw`
//! - `start`, [`shelf`] where a folder holds several logbooks, `boat_screen`, `walk_screen`,
//!   `verdict_screen`, `defects_screen`, `walks_screen`, `readings_screen` with what a trend says of
//!   them in `readings_trend`; `report_ask` asks for the file of a report, `report_wait` waits for it
//! - `service_screen`: what is due, its look in `service_draw`, a task to read in `service_page`, and
//!   the questions about work that was done in `service_forms`, worded in `service_ask`
//! - `draw`: the frame around them, and `widgets` they share; a walk is drawn by `walk_draw`, `walk_list` and
//!   `walk_item`, its keys are in `walk_steps`, `walk_find` and `walk_grade`; a leak run has `walk_touched` before it,
//!   `walk_clock` for the time of its phases, `walk_leak` for leak classes and the stop; `survey` and
//!   `survey_draw` are what a survey has besides, `walk_blind` what is kept out of sight, `walk_speed` what
//!   is asked at each engine speed; `photo` takes pictures in and `complete` completes their paths

mod answer;
pub mod app;
pub mod app_loop;
pub mod ask;
mod behind;
mod boat_draw;
pub mod boat_screen;
pub mod bounded;
pub mod burst;
mod changes;
pub mod chart;
mod complete;
pub mod config;
pub mod contrast;
pub mod decode;
mod defects_compare;
mod defects_draw;
pub mod defects_screen;
mod draw;
mod field;
mod frames;
pub mod glyphs;
pub mod history;
pub mod input;
pub mod key;
pub mod keys;
pub mod ladder;
pub mod layer;
mod layer_keys;
pub mod measure;
mod measure_draw;
mod measure_keys;
mod modes;
mod others;
mod palette;
mod panic_hook;
mod photo;
mod picture;
mod plain;
mod readings_draw;
pub mod readings_screen;
pub mod readings_trend;
mod report_ask;
pub mod report_wait;
pub mod scale;
mod service_ask;
mod service_draw;
pub mod service_forms;
mod service_page;
pub mod service_screen;
pub mod shelf;
pub mod signals;
mod start;
mod survey;
mod survey_draw;
pub mod svg;
pub mod terminal;
pub mod theme;
pub mod verdict_screen;
mod walk_blind;
mod walk_clock;
mod walk_draw;
mod walk_find;
mod walk_grade;
mod walk_item;
mod walk_leak;
mod walk_list;
pub mod walk_screen;
mod walk_speed;
mod walk_steps;
mod walk_touched;
pub mod walks_screen;
mod widgets;
