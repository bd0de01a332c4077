//! What every report says of its scope and its limits. The facts are common practice of published
//! survey guidance, in this project's own words.

/// What limits any look.
pub const LIMITATIONS: [&str; 6] = [
    "limit-1", "limit-2", "limit-3", "limit-4", "limit-5", "limit-6",
];

/// How the numbers come about.
pub const METHOD: [&str; 6] = [
    "method-1", "method-2", "method-3", "method-4", "method-5", "method-6",
];

/// What every report says of working on an engine.
pub const CAUTIONS: [&str; 5] = [
    "caution-1",
    "caution-2",
    "caution-3",
    "caution-4",
    "caution-5",
];

/// Stands under every report.
pub const CLOSING: &str = "closing";
