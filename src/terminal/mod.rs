//! The terminal: taken and given back whatever happens, its bytes as keys, its frames.
//!
//! - [`guard`]: taking the terminal and giving it back; under it `modes`, `panic_hook` and [`signals`]
//! - [`input`]: the thread that reads it; [`decode`] turns its bytes into keys and pastes, [`burst`]
//!   tells a stray paste from typing
//! - `changes`: the system's notice that somebody wrote in the folders that are looked at
//! - [`app_loop`]: draw, take one event or deadline, update, draw; `frames` and [`bounded`] are what it
//!   draws on, `encode` makes few bytes of what changed

pub mod app_loop;
pub mod bounded;
pub mod burst;
mod changes;
pub mod decode;
mod encode;
mod frames;
pub mod guard;
pub mod input;
mod modes;
mod panic_hook;
pub mod signals;
