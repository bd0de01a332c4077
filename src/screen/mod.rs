//! The screens, from the terminal up.
//!
//! - [`terminal`]: taking the terminal and giving it back whatever happens; under it `modes`,
//!   `signals`, `panic_hook` and `frames`
//! - [`input`]: the thread that reads the terminal; [`decode`] turns its bytes into keys and
//!   pastes, [`burst`] tells a stray paste from typing
//! - [`key`], [`keys`]: one key; the one table of what keys do, overrides included
//! - [`config`]: the user's settings
//! - [`app_loop`]: draw, take one event or deadline, update, draw

pub mod app_loop;
pub mod burst;
pub mod config;
pub mod decode;
mod frames;
pub mod input;
pub mod key;
pub mod keys;
mod modes;
mod nearest;
mod panic_hook;
pub mod signals;
pub mod terminal;
