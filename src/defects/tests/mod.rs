//! Histories told in a few words, and what follows from them.

mod aboard;
mod asked;
mod beside;
mod compare;
mod explain;
mod findings;
mod judged;
mod laws;
mod leak_run;
mod left_open;
mod levels;
mod life;
mod list;
mod machines;
mod next_look;
mod owed;
mod patches;
mod roles;
mod said;
mod series;
mod split;
mod stops;
mod story;
mod taught;
mod verdicts;
mod waits;
