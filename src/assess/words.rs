//! The words of the assessment.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::text::words;

/// Severity category, scaled after MIL-STD-882E Table I for small craft (never "per" it).
/// Written as the digit 1 to 4; the order of the enum is worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "u8", into = "u8")]
pub enum Severity {
    /// 1, the worst: such as fire, or exhaust gas where people are.
    Catastrophic = 1,
    /// 2: such as loss of control.
    Critical = 2,
    /// 3: such as damage to the engine on inshore waters.
    Marginal = 3,
    /// 4: such as a nuisance.
    Negligible = 4,
}

impl Severity {
    /// All four, worst first.
    pub const ALL: [Severity; 4] = [
        Severity::Catastrophic,
        Severity::Critical,
        Severity::Marginal,
        Severity::Negligible,
    ];

    /// The digit, 1 (worst) to 4.
    pub const fn digit(self) -> u8 {
        self as u8
    }

    /// The name MIL-STD-882E Table I gives the category, lower case.
    pub const fn name(self) -> &'static str {
        match self {
            Severity::Catastrophic => "catastrophic",
            Severity::Critical => "critical",
            Severity::Marginal => "marginal",
            Severity::Negligible => "negligible",
        }
    }
}

impl TryFrom<u8> for Severity {
    type Error = String;
    fn try_from(digit: u8) -> Result<Severity, String> {
        Severity::ALL
            .into_iter()
            .find(|s| s.digit() == digit)
            .ok_or_else(|| format!("severity {digit} does not exist; expected 1 to 4"))
    }
}

impl From<Severity> for u8 {
    fn from(severity: Severity) -> u8 {
        severity.digit()
    }
}

impl JsonSchema for Severity {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Severity".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({"type": "integer", "minimum": 1, "maximum": 4})
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.digit().to_string())
    }
}

words! {
    /// Probability level of MIL-STD-882E Table A-II; the order of the enum is most likely first.
    Level, "probability level" {
        /// Frequent: 0.1 or more over the exposure.
        A = "a",
        /// Probable: 0.01 up to 0.1.
        B = "b",
        /// Occasional: 0.001 up to 0.01.
        C = "c",
        /// Remote: one in a million up to 0.001.
        D = "d",
        /// Improbable: below one in a million.
        E = "e",
        /// Eliminated: the item was removed for good.
        F = "f",
    }
}

impl Level {
    /// The capital letter used in a code such as `1A`.
    pub const fn letter(self) -> char {
        match self {
            Level::A => 'A',
            Level::B => 'B',
            Level::C => 'C',
            Level::D => 'D',
            Level::E => 'E',
            Level::F => 'F',
        }
    }
}

words! {
    /// Risk, the cell of MIL-STD-882E Table III; the order of the enum is worst first.
    Risk, "risk" {
        /// Put right before relying on it.
        High = "high",
        /// To be put right next, after what is high.
        Serious = "serious",
        /// To be planned with other work.
        Medium = "medium",
        /// To be watched.
        Low = "low",
        /// The item was taken out; no chance is small enough for this.
        Eliminated = "eliminated",
    }
}

words! {
    /// What a finished walk says. It records what was seen and certifies nothing.
    Verdict, "verdict" {
        /// Daily: nothing stands against running.
        ClearToRun = "clear-to-run",
        /// Short check: nothing seen against starting, in the few rows it asks.
        NothingSeenAgainstStarting = "nothing-seen-against-starting",
        /// Daily: run, watching what is named.
        RunWithCare = "run-with-care",
        /// Daily: every stop in force is of what the engine can run without; the boat stays.
        DoNotLeave = "do-not-leave",
        /// Daily: a stop rule is in force.
        DoNotRun = "do-not-run",
        /// Leak run: dry, seen through every phase, and nothing owed.
        SignedOff = "signed-off",
        /// Leak run: dry so far, a look is owed.
        SignedOffWithRecheck = "signed-off-with-recheck",
        /// Leak run: not dry, or not seen through.
        NotSignedOff = "not-signed-off",
    }
}

impl Verdict {
    /// As a sentence has it: `do not run`.
    pub fn spoken(self) -> String {
        self.as_str().replace('-', " ")
    }
}
