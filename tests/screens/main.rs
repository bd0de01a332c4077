//! What the screens look like and what keys do to them, on the real application without a terminal.
//!
//! Text snapshots hold the layout, style snapshots a few screens where style carries weight. The
//! pictures in `assets/` are written here too; `HANDLAMP_BLESS=1` writes them anew.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used, missing_docs)]

#[path = "../ages/mod.rs"]
mod ages;
mod ascii;
mod beside;
mod causes;
mod charts;
#[path = "../counts/mod.rs"]
mod counts;
mod document;
mod entries;
mod finding;
mod forms;
mod gate;
mod guest;
mod kept;
mod keys;
mod layout;
mod leak_run;
mod leaving;
mod locker;
mod not_saved;
mod own_item;
mod parts;
mod photographs;
mod picture_files;
mod pictures;
mod places;
mod profile;
mod readings;
mod report;
mod seasons;
mod service;
mod shelf;
mod signs;

mod stage;
mod survey;
mod symptoms;
mod tools;
mod trial;
mod under_way;
mod windows;
