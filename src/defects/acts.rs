//! Records that act on an item or its defect. Each names its item; the machine is named for items
//! of which every machine has its own, and left out for those the boat has once. `at` is when it
//! happened; where it is absent the time of recording counts.

use chrono::{DateTime, FixedOffset, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::subject::Subject;
use crate::assess::words::{Level, Severity};
use crate::boat::Hours;
use crate::checklist::Forbids;
use crate::text::safe_line;

/// When something happened, if it was said.
pub type At = Option<DateTime<FixedOffset>>;

macro_rules! acts {
    ($($(#[$doc:meta])* $name:ident { $($(#[$fdoc:meta])* $field:ident: $ty:ty),* $(,)? })+) => {$(
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
        pub struct $name {
            /// Catalogue id.
            pub item: String,
            /// Machine id, for items each machine has of its own.
            #[serde(default, skip_serializing_if = "Option::is_none")]
            pub machine: Option<String>,
            /// When it happened.
            #[serde(default, skip_serializing_if = "Option::is_none")]
            pub at: At,
            $($(#[$fdoc])* pub $field: $ty),*
        }
    )+};
}

acts! {
    /// Something was put right.
    Repair {
        /// Meter reading at the time.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        hours: Option<Hours>,
        /// What was done.
        done: String,
        /// By whom.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
        /// Until when it is to hold, where it is a temporary one: a meter reading, a date, or words
        /// such as "next harbour". A lasting repair leaves it out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        temporary: Option<HoldsUntil>,
        /// What was behind it, by the id of a cause. It teaches only once what the cause explained has
        /// stayed away.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cause: Option<String>,
        /// Minutes that it really took in all, at least 1; left out where nobody said.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        minutes: Option<u32>,
    }
    /// A defect may wait, for a reason, until an hour or a date.
    Deferral {
        /// Why it may wait.
        why: String,
        /// Until when.
        until: Until,
    }
    /// The computed severity or level is replaced by a person's, for a reason. With neither, an
    /// earlier override is lifted.
    Override {
        /// Severity in place of the computed one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        severity: Option<Severity>,
        /// Level in place of the computed one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        level: Option<Level>,
        /// Why.
        why: String,
    }
    /// A defect was none: misjudged, or gone by cleaning or adjusting.
    Withdrawal {
        /// Why.
        why: String,
    }
    /// A look owed at a stated time or meter reading.
    Recheck {
        /// Due at this time.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        due_at: Option<DateTime<FixedOffset>>,
        /// Due at this meter reading.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        due_hours: Option<Hours>,
        /// Id of the record of the reading from which `due_hours` was reckoned, which it follows
        /// where that is put right; none where somebody gave the figure.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        from: Option<String>,
        /// Why it is owed.
        why: String,
    }
    /// A part went into service.
    Fitted {
        /// Meter reading at the time.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        hours: Option<Hours>,
    }
    /// What putting a defect right may cost. The last one made since the defect was found, and since
    /// the last repair, counts.
    Cost {
        /// Low figure for everything but the labour given apart, in the currency.
        low: f64,
        /// Likely figure.
        likely: f64,
        /// High figure.
        high: f64,
        /// Hours of work, where they are priced apart.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        labour: Option<Labour>,
        /// Currency; as in the last estimate where it is left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        currency: Option<String>,
        /// What it rests on.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    }
    /// Something of it was shut, taken out or left so that she must not be started before it is put
    /// back.
    Opened {
        /// What was left how, such as "seacock shut".
        what: String,
        /// Why.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        why: Option<String>,
        /// What it forbids; left out, to start, and the verdict is not clear beside it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        forbids: Option<Forbids>,
    }
    /// The item was taken out of the boat for good.
    Removed {
        /// Why.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        why: Option<String>,
    }
}

/// What was left open is put back.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Closed {
    /// Id of the record that says it was left open; of the n-th part that a service left out, the id
    /// of the service, `.open.` and n.
    pub of: String,
    /// When it was put back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: At,
    /// Who told that it is put back, where whoever records it has not seen it; left out, it was seen.
    /// It stays open, as told, until it is seen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told: Option<String>,
}

impl Opened {
    /// True where it speaks of an item: what the boat has once is the same whichever machine was
    /// serviced.
    pub(super) fn is_of(&self, subject: &Subject) -> bool {
        self.item == subject.item && (subject.machine.is_none() || self.machine == subject.machine)
    }

    /// What it forbids.
    pub fn what_it_forbids(&self) -> Forbids {
        self.forbids.unwrap_or(Forbids::Start)
    }

    /// In a sentence without a full stop, with the day it was left so.
    pub fn words(&self, at: DateTime<FixedOffset>) -> String {
        let why = self.why.as_deref();
        let why = why.map_or_else(String::new, |why| format!(" ({})", safe_line(why)));
        let day = at.format("%-d %b %Y");
        let forbids = self.forbids.map(Forbids::words);
        let forbids = forbids.map_or_else(String::new, |words| format!("; forbids {words}"));
        format!(
            "left open: {}, since {day}{why}{forbids}",
            safe_line(&self.what)
        )
    }
}

/// Hours of work and what an hour costs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Labour {
    /// Low, likely and high.
    pub hours: [f64; 3],
    /// For one hour, in the currency of the estimate.
    pub rate: f64,
}

/// How long a deferral holds: a meter reading, or the end of a date.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum Until {
    /// Until the meter shows this.
    Hours(Hours),
    /// Until the end of this day.
    Date(NaiveDate),
}

impl std::fmt::Display for Until {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Until::Hours(hours) => write!(f, "{hours} h"),
            Until::Date(date) => write!(f, "{date}"),
        }
    }
}

impl std::str::FromStr for Until {
    type Err = String;
    fn from_str(text: &str) -> Result<Until, String> {
        let text = text.trim();
        if let Ok(date) = text.parse::<NaiveDate>() {
            return Ok(Until::Date(date));
        }
        let number = text.trim_end_matches('h').trim();
        let hours: f64 = number.parse().map_err(|_| {
            format!("'{text}' is neither a date such as 2026-06-01 nor hours such as 1260 h")
        })?;
        Ok(Until::Hours(Hours::new(hours)?))
    }
}

/// How long a temporary repair is to hold.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum HoldsUntil {
    /// Until the meter shows this.
    Hours(Hours),
    /// Until the end of this day.
    Date(NaiveDate),
    /// Until what these words say, such as "next harbour".
    Words(String),
}

impl std::fmt::Display for HoldsUntil {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            HoldsUntil::Hours(hours) => write!(f, "{hours} h"),
            HoldsUntil::Date(date) => write!(f, "{date}"),
            HoldsUntil::Words(words) => f.write_str(&safe_line(words)),
        }
    }
}

impl std::str::FromStr for HoldsUntil {
    type Err = String;
    fn from_str(text: &str) -> Result<HoldsUntil, String> {
        let text = text.trim();
        if text.is_empty() {
            return Err("say until when: a date, a meter reading such as 1260 h, or words such as next harbour".into());
        }
        Ok(match text.parse() {
            Ok(Until::Hours(hours)) => HoldsUntil::Hours(hours),
            Ok(Until::Date(date)) => HoldsUntil::Date(date),
            Err(_) => HoldsUntil::Words(text.to_owned()),
        })
    }
}
