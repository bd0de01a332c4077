//! The history was given on with the boat: what stands in it is as the former owner told it. Ages and
//! findings count as told; what was sound is nobody's word but theirs, until the new owner has looked.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::text::words;

words! {
    /// What a former owner may keep back.
    Private, "thing to keep back" {
        /// Who walked, who did it, who was told.
        Names = "names",
        /// What anything cost.
        Prices = "prices",
        /// Where things were bought.
        Places = "places",
        /// What was typed in words of one's own: notes, reasons, what was done.
        Notes = "notes",
        /// Pictures.
        Photographs = "photographs",
    }
}

/// What a copy that was given on says of itself. What it names was made by another person before it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct GivenOn {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// What was kept back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub kept_back: Vec<Private>,
    /// Entries that went along.
    pub entries: usize,
    /// Entries left out whole.
    pub left_out: usize,
    /// Entries of which something was left out.
    pub shortened: usize,
    /// Entries among those of the book that had been taken back or set aside.
    pub taken_back: usize,
    /// Entries among them that had been put right.
    pub put_right: usize,
    /// What the former owner's book could not count.
    pub not_counted: usize,
}

impl GivenOn {
    /// What went along and what did not, in sentences.
    pub fn words(&self) -> String {
        let entries = |n: usize| match n {
            1 => "1 entry".to_owned(),
            n => format!("{n} entries"),
        };
        let mut said = format!("{} went along", entries(self.entries));
        let before = [
            (self.taken_back, "taken back"),
            (self.put_right, "put right"),
        ];
        for (n, how) in before.into_iter().filter(|(n, _)| *n > 0) {
            said.push_str(&format!(", {n} of them {how} before"));
        }
        said.push_str(&match self.left_out {
            0 => "; none was left out whole".to_owned(),
            n => format!("; {} left out whole", entries(n)),
        });
        if self.shortened > 0 {
            said.push_str(&format!("; {} shortened", entries(self.shortened)));
        }
        if !self.kept_back.is_empty() {
            let kept: Vec<&str> = self.kept_back.iter().map(|p| p.as_str()).collect();
            said.push_str(&format!(" (kept back: {})", kept.join(", ")));
        }
        if self.not_counted > 0 {
            let lost = self.not_counted;
            said.push_str(&format!(
                "; {lost} thing(s) in the former owner's book could not be counted there"
            ));
        }
        said
    }
}

/// Why no walk of a former owner is clear: said in every verdict on one.
pub const FORMER: &str =
    "it was walked by the former owner: nothing is sound until you have looked";

/// What stands on the first screen until the new owner has made a morning check.
pub const AS_TOLD: &str =
    "all of this is as the former owner told it: nothing is sound until you have looked";
