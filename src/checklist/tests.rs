//! - `built_in`: what is compiled in is whole, and stops where it must
//! - `complaints`: every rule, its wording and its place
//! - `tasks`: the service tasks, built in and a user's own
//! - `hostile`: no text makes the checker panic

mod built_in;
mod complaints;
mod hostile;
mod tasks;
