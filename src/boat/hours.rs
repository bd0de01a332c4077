//! Running hours: what a meter shows, and the machine's total across replaced meters.

use std::fmt;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Hours in whole thousandths, so that sums and comparisons are exact. Written as a plain number.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(try_from = "f64", into = "f64")]
pub struct Hours(i64);

/// The most an hour meter can show.
const MOST: Hours = Hours(999_999_000);

impl Hours {
    /// 0 h, of a meter that never ran.
    pub const ZERO: Hours = Hours(0);

    /// From a number of hours, rounded to a thousandth.
    ///
    /// # Errors
    /// Where the number is not finite, negative or above 999 999.
    pub fn new(hours: f64) -> Result<Hours, String> {
        if !hours.is_finite() {
            return Err(format!("{hours} is not a number of hours"));
        }
        if !(0.0..=MOST.get()).contains(&hours) {
            return Err(format!(
                "{hours} h is outside what an hour meter can show (0 to 999999)"
            ));
        }
        Ok(Hours((hours * 1000.0).round() as i64))
    }

    /// As a person types them; a decimal comma is read as a point.
    ///
    /// # Errors
    /// It is no number, or none that a meter shows.
    pub fn typed(text: &str) -> Result<Hours, String> {
        let text = text
            .trim()
            .trim_end_matches(['h', 'H'])
            .trim()
            .replace(',', ".");
        let hours: f64 = text
            .parse()
            .map_err(|_| format!("'{text}' is no number of hours; type such as 1243.6"))?;
        Hours::new(hours)
    }

    /// From whole thousandths of an hour; may be negative for a difference.
    pub const fn from_thousandths(thousandths: i64) -> Hours {
        Hours(thousandths)
    }

    /// As a plain number.
    pub fn get(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    /// Shifted by as much as `was` is from `is`, within what a meter can show.
    #[must_use]
    pub fn shifted(self, was: Hours, is: Hours) -> Hours {
        Hours((self.0 + is.0 - was.0).clamp(0, MOST.0))
    }

    /// Hours from `earlier` to `self`, negative if the meter went back.
    pub fn since(self, earlier: Hours) -> f64 {
        (self.0 - earlier.0) as f64 / 1000.0
    }
}

impl TryFrom<f64> for Hours {
    type Error = String;
    fn try_from(hours: f64) -> Result<Hours, String> {
        Hours::new(hours)
    }
}

impl From<Hours> for f64 {
    fn from(hours: Hours) -> f64 {
        hours.get()
    }
}

impl JsonSchema for Hours {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Hours".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({"type": "number", "minimum": 0, "maximum": 999_999, "description": "hours as the meter shows them"})
    }
}

impl fmt::Display for Hours {
    /// One decimal, as hour meters show.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{:.1}", self.get()))
    }
}

impl std::ops::Add for Hours {
    type Output = Hours;
    fn add(self, other: Hours) -> Hours {
        Hours(self.0 + other.0)
    }
}

/// A meter was replaced: from `at` on, the new meter's reading counts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MeterChange {
    /// The machine whose meter it is, by its id in the profile.
    pub machine: String,
    /// From when on the new meter counts.
    pub at: DateTime<FixedOffset>,
    /// Last reading of the old meter.
    pub old: Hours,
    /// Id of the record of the reading that `old` was taken from, which it follows where that is put
    /// right; none where somebody gave the figure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// First reading of the new one.
    pub new: Hours,
}

/// A machine's meters in time: turns a reading into total running hours.
#[derive(Clone, Debug, Default)]
pub struct MeterLine {
    /// From when on, and what to add to the reading; ascending by time.
    offsets: Vec<(DateTime<FixedOffset>, i64)>,
}

impl MeterLine {
    /// Builds the line from replacements in any order.
    pub fn new<'a>(changes: impl IntoIterator<Item = &'a MeterChange>) -> MeterLine {
        let mut changes: Vec<_> = changes.into_iter().collect();
        changes.sort_by_key(|c| c.at);
        let mut offsets = Vec::with_capacity(changes.len());
        let mut offset = 0;
        for change in changes {
            offset += change.old.0 - change.new.0;
            offsets.push((change.at, offset));
        }
        MeterLine { offsets }
    }

    /// Total running hours for a reading taken at a time.
    pub fn total(&self, reading: Hours, at: DateTime<FixedOffset>) -> Hours {
        Hours(reading.0 + self.offset(at))
    }

    /// The reading the meter in service at `at` shows for a total.
    pub fn reading(&self, total: Hours, at: DateTime<FixedOffset>) -> Hours {
        Hours(total.0 - self.offset(at))
    }

    fn offset(&self, at: DateTime<FixedOffset>) -> i64 {
        let in_service = self.offsets.iter().take_while(|(from, _)| *from <= at);
        in_service.last().map_or(0, |(_, offset)| *offset)
    }
}
