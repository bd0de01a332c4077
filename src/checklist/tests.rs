//! - `built_in`: what is compiled in is whole, and stops where it must
//! - `complaints`: every rule, its wording and its place
//! - `first_look`: what a survey asks can be seen by a stranger
//! - `tasks`: the service tasks, built in and a user's own
//! - `hostile`: no text makes the checker panic

mod built_in;
mod complaints;
mod first_look;
mod hostile;
mod tasks;
