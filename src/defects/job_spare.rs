//! Whether the spare of a job is to hand.

use schemars::JsonSchema;
use serde::Serialize;

use crate::text::words;

words! {
    /// Whether the spare of a job is to hand.
    ToHand, "whether a spare is to hand" {
        /// One is aboard by the record.
        Aboard = "aboard",
        /// None is left by the record.
        Missing = "missing",
        /// What is aboard goes into jobs that stand before it.
        SpokenFor = "spoken-for",
    }
}

/// The spare of a job, as the locker's record has it. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct JobSpare {
    /// Id of the spare.
    pub spare: String,
    /// Whether one is to hand.
    pub to_hand: ToHand,
    /// In a sentence.
    pub words: String,
}
