//! The method, pure: from what was seen to what to fix first. No files, no clock, no terminal;
//! the same input gives the same output.
//!
//! - [`words`]: severity, probability level, risk, verdict
//! - [`exposure`]: running hours and days, ahead or behind, and the wear they make
//! - [`dwell`], [`uniformize`], [`chain`]: how things go down their ladders
//! - [`learning`], [`gamma`]: what looks at a boat teach about that
//! - [`pooled`]: what several boats teach of it together
//! - [`chance`]: the chance that an item fails before it can be put right
//! - [`level`], [`severity`], [`risk`]: the risk table
//! - [`appraise`]: which effect decides and what the row stands on
//! - [`stop`], [`rank`], [`span`]: what forbids running, what comes first, how long it may wait
//! - [`fan`]: when each rung below the present one is likely to be met
//! - [`due`]: when recurring work is due
//! - [`slope`], [`kendall`]: a robust line with its interval, and the test for a trend
//!   ([`normal`]: the arithmetic below them)
//! - [`trend`], [`crossing`], [`outlier`]: whether a series rises or falls, when it meets a limit,
//!   and which readings stand apart
//! - [`projection`]: how a level falls between fillings, and when it meets its low mark
//!   ([`scatter`]: how far a person's own readings scatter)
//! - [`rate`]: the rate of use from meter readings
//! - [`leak_rate`]: drops, buckets, oil added: how much in how long
//! - [`cost`], [`coverage`], [`agreement`]: for a survey, what it may cost, how much was seen, and
//!   how far two gradings agree
//!
#![doc = include_str!("METHOD.md")]

pub mod agreement;
pub mod appraise;
pub mod chain;
pub mod chance;
pub mod cost;
pub mod coverage;
pub mod crossing;
pub mod due;
pub mod dwell;
pub mod exposure;
pub mod fan;
pub mod gamma;
pub mod kendall;
pub mod leak_rate;
pub mod learning;
pub mod level;
pub mod normal;
pub mod outlier;
pub mod pooled;
pub mod projection;
pub mod rank;
pub mod rate;
pub mod risk;
pub mod scatter;
pub mod severity;
pub mod slope;
pub mod span;
pub mod stop;
pub mod trend;
pub mod uniformize;
pub mod verdict;
pub mod words;

/// The number of the method. It rises with any change of a rule or of a starting value by which a
/// record once written can be judged otherwise.
pub const METHOD: u32 = 1;

pub use appraise::{Appraisal, Consequences, EffectAppraisal, Override, Rating};
pub use chance::{Decay, Known, LastLook, Prognosis, Reach};
pub use crossing::Crossing;
pub use due::{Due, Interval, Moment};
pub use dwell::{Dwell, Dwells};
pub use exposure::Exposure;
pub use fan::FirstPassage;
pub use learning::{LeavingRate, Taught};
pub use rank::RankKey;
pub use rate::{RateOfUse, RateSource, rate_of_use};
pub use span::{Breach, Threshold, WearCourse, WearSpan, Whole};
pub use stop::{default_stop_rung, stop_rung, stops};
pub use trend::{Direction, Trend};
pub use words::{Level, Risk, Severity, Verdict};
