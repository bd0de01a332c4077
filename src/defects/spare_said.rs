//! What people say of a spare aboard, and what went in and out of the locker. It is told, and no verdict
//! rests on it.
//!
//! A record says only what it names, and of each field the newest word stands, as with parts. How many
//! there are follows from what was bought, used, counted and thrown away, by time; so an entry taken back
//! counts no more.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::acts::At;
use crate::text::words;

macro_rules! said {
    ($($(#[$doc:meta])* $field:ident: $ty:ty),+ $(,)?) => {
        /// What is said of a spare aboard. What is left out stays as it was said before.
        #[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
        pub struct SpareSaid {
            /// Its id: of the built-in list, or made of words of one's own.
            pub spare: String,
            /// The machine that it fits alone; none where it fits any.
            #[serde(default, skip_serializing_if = "Option::is_none")]
            pub machine: Option<String>,
            /// When it was told.
            #[serde(default, skip_serializing_if = "Option::is_none")]
            pub at: At,
            $($(#[$doc])* #[serde(default, skip_serializing_if = "Option::is_none")] pub $field: Option<$ty>,)+
            /// Items and service tasks it serves, by their ids; those of the built-in list need not be named.
            #[serde(default, skip_serializing_if = "Vec::is_empty")]
            pub serves: Vec<String>,
            /// Fields that nobody knows any more, by their names here.
            #[serde(default, skip_serializing_if = "Vec::is_empty")]
            pub not_known: Vec<String>,
        }

        impl SpareSaid {
            /// The fields that say one thing, by name.
            pub const FIELDS: &'static [&'static str] = &[$(stringify!($field)),+];

            /// What stands once a later record has spoken.
            pub fn with(mut self, later: &SpareSaid) -> SpareSaid {
                $(if later.$field.is_some() {
                    self.$field.clone_from(&later.$field);
                } else if later.leaves_open(stringify!($field)) {
                    self.$field = None;
                })+
                if !later.serves.is_empty() {
                    self.serves.clone_from(&later.serves);
                }
                self
            }

            /// The fields it speaks of, by name.
            pub fn says(&self) -> Vec<&'static str> {
                let all = [$((stringify!($field), self.$field.is_some())),+];
                all.into_iter().filter(|(_, is)| *is).map(|(name, _)| name).collect()
            }
        }
    };
}

said! {
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
}

impl SpareSaid {
    /// Nothing yet, of this spare.
    pub fn of(spare: &str, machine: Option<&str>) -> SpareSaid {
        SpareSaid {
            spare: spare.to_owned(),
            machine: machine.map(str::to_owned),
            ..SpareSaid::default()
        }
    }

    /// True where it says nothing of the spare.
    pub fn is_empty(&self) -> bool {
        self.says().is_empty() && self.serves.is_empty() && self.not_known.is_empty()
    }

    /// True where it says that nobody knows.
    pub fn leaves_open(&self, field: &str) -> bool {
        self.not_known.iter().any(|name| name == field)
    }

    /// True where it speaks of that spare.
    pub fn is_of(&self, spare: &str, machine: Option<&str>) -> bool {
        self.spare == spare && self.machine.as_deref() == machine
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
