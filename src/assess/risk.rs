//! Risk from severity and probability level.

use super::words::{Level, Risk, Severity};

impl Risk {
    /// The cell of MIL-STD-882E (with Change 1) Table III.
    pub const fn of(severity: Severity, level: Level) -> Risk {
        use Risk::{Eliminated, High, Low, Medium, Serious};
        // Catastrophic, critical, marginal, negligible.
        let row = match level {
            Level::A => [High, High, Serious, Medium],
            Level::B => [High, High, Serious, Medium],
            Level::C => [High, Serious, Medium, Low],
            Level::D => [Serious, Medium, Medium, Low],
            Level::E => [Medium, Medium, Medium, Low],
            Level::F => [Eliminated; 4],
        };
        match severity {
            Severity::Catastrophic => row[0],
            Severity::Critical => row[1],
            Severity::Marginal => row[2],
            Severity::Negligible => row[3],
        }
    }
}

/// Severity digit and probability letter, such as `1A` (MIL-STD-882E, 4.3.3.c).
pub fn code(severity: Severity, level: Level) -> String {
    format!("{}{}", severity.digit(), level.letter())
}
