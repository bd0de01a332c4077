//! Histories told in a few words, and what follows from them.

mod explain;
mod judged;
mod laws;
mod leak_run;
mod life;
mod list;
mod owed;
mod stops;
mod story;
mod taught;
