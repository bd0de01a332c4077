//! The method, pure: from what was seen to what to fix first. No files, no clock, no terminal;
//! the same input gives the same output.
//!
//! - [`words`]: severity, probability level, risk, verdict
//! - [`exposure`]: running hours and days, ahead or behind, and the wear they make
//! - [`dwell`], [`uniformize`], [`chain`]: how things go down their ladders
//! - [`chance`]: the chance that an item fails before it can be put right
//! - [`level`], [`severity`], [`risk`]: the risk table
//! - [`appraise`]: which effect decides and what the row stands on
//! - [`stop`], [`rank`], [`span`]: what forbids running, what comes first, how long it may wait
//! - [`slope`], [`rate`]: a robust slope, and the rate of use from meter readings
//! - [`due`]: when recurring work is due

pub mod appraise;
pub mod chain;
pub mod chance;
pub mod due;
pub mod dwell;
pub mod exposure;
pub mod level;
pub mod rank;
pub mod rate;
pub mod risk;
pub mod severity;
pub mod slope;
pub mod span;
pub mod stop;
pub mod uniformize;
pub mod verdict;
pub mod words;

pub use appraise::{Appraisal, EffectAppraisal, Override, Rating, Stakes};
pub use chance::{Decay, Known, LastLook, Outlook};
pub use due::{Due, Interval, Moment};
pub use dwell::{Dwell, Dwells};
pub use exposure::Exposure;
pub use rank::RankKey;
pub use rate::{RateOfUse, RateSource, rate_of_use};
pub use span::{Course, Threshold, WearSpan};
pub use stop::{default_stop_rung, stop_rung, stops};
pub use words::{Level, Risk, Severity, Verdict};
