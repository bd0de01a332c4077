//! What people say of a spare aboard, and what went in and out of the locker. It is told, and no verdict
//! rests on it.
//!
//! A record says only what it names, and of each field the newest word stands, as with parts. How many
//! there are follows from what was bought, used, counted and thrown away, by time; so an entry taken back
//! counts no more.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::acts::At;
use super::newest_word::newest_word;
use crate::text::words;

newest_word! {
    /// What is said of a spare aboard. What is left out stays as it was said before.
    SpareSaid of {
        /// Its id: of the built-in list, or made of words of one's own.
        spare,
        /// The machine that it fits alone; none where it fits any.
        machine,
    } says {
        /// What it is, in words of one's own.
        title: String,
        /// Where it lies.
        lies: String,
        /// Until when it can be used.
        use_by: NaiveDate,
        /// When one like it was fitted once in harbour, as practice.
        fitted_once: NaiveDate,
        /// The tools that fitting it takes are aboard.
        tools: bool,
        /// How it is fitted is written down aboard.
        instruction: bool,
        /// It lies ashore or aboard another boat: here it counts for nothing.
        elsewhere: bool,
        /// Litres one takes.
        litres: f64,
        /// Kilograms of one.
        kilos: f64,
        /// What one costs, in the currency of the estimates.
        price: f64,
        /// Minutes it took to fit one by day, in harbour.
        minutes: u32,
        /// In the words of who says it.
        note: String,
    } lists {
        /// Items and service tasks it serves, by their ids; those of the built-in list need not be named.
        serves,
    }
}

impl SpareSaid {
    /// True where it says nothing of the spare.
    pub fn is_empty(&self) -> bool {
        self.says().is_empty() && self.serves.is_empty() && self.not_known.is_empty()
    }

    /// The fields it speaks of, by name.
    pub fn says(&self) -> Vec<&'static str> {
        let fields = SpareSaid::FIELDS.iter().copied();
        fields.filter(|field| self.value(field).is_some()).collect()
    }

    fn take_lists(&mut self, later: &SpareSaid) {
        if !later.serves.is_empty() {
            self.serves.clone_from(&later.serves);
        }
    }
}

words! {
    /// What became of a stock.
    StockMove, "what became of a stock" {
        /// Bought, or brought aboard.
        Bought = "bought",
        /// Used.
        Used = "used",
        /// Seen and counted: so many there are, whatever was reckoned before.
        Counted = "counted",
        /// Thrown away: too old, damaged.
        ThrownAway = "thrown-away",
    }
}

/// What went in or out of the locker, or was counted in it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StockChange {
    /// Id of the spare.
    pub spare: String,
    /// The machine that it fits alone; none where it fits any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: At,
    /// What became of it.
    pub moved: StockMove,
    /// How many, in the unit of the spare.
    pub count: f64,
    /// The item or the task it went into, by its id.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub used_for: Option<String>,
    /// In the words of who says it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl StockChange {
    /// True where it speaks of that spare.
    pub fn is_of(&self, spare: &str, machine: Option<&str>) -> bool {
        self.spare == spare && self.machine.as_deref() == machine
    }

    /// What is there after it, where so many were there before: never less than none.
    pub fn after(&self, before: f64) -> f64 {
        match self.moved {
            StockMove::Bought => before + self.count,
            StockMove::Used | StockMove::ThrownAway => (before - self.count).max(0.0),
            StockMove::Counted => self.count,
        }
    }
}
