//! Published reference values and worked examples, each with its source, and the laws of the
//! method.
#![allow(clippy::expect_used)]

mod agreement;
mod causes;
mod causes_logged;
mod chain;
mod cost;
mod criticality;
mod fan;
mod fuel;
mod laws;
mod leak_classes;
mod leak_rates;
mod learning;
mod names;
mod passage;
mod passage_laws;
mod pooled;
mod projection;
mod risk_table;
#[path = "../skip/mod.rs"]
mod skip;
mod slopes;
mod spans;
mod stages;
mod troubles;
mod units;
