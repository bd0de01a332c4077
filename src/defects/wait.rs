//! How long something may wait.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use super::usage::days;
use crate::assess::span::Threshold;

/// How long something may wait. Part of the outside surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Wait {
    /// In wear hours of the item.
    pub wear_hours: f64,
    /// In running hours at the rate of use; null where she does not run at that rate, so that the
    /// date alone limits it.
    pub hours: Option<f64>,
    /// The day it comes due at the rate of use, or came due: with nothing new on record it stays the
    /// same. Null where no use and no ageing give one, where nobody looked yet, and beyond the
    /// horizon.
    pub date: Option<chrono::NaiveDate>,
    /// Which threshold ends it.
    pub threshold: Threshold,
    /// It has come due.
    #[serde(skip)]
    pub over: bool,
    /// She does not run at the rate of use, so that hours limit it but no date does.
    #[serde(skip)]
    pub idle: bool,
    /// The moment of the date.
    #[serde(skip)]
    pub at: Option<DateTime<FixedOffset>>,
}

impl Wait {
    /// The same where she runs so many hours a day, more than 0, from now on, for an item that wears so
    /// many wear hours in a day at rest. What is over stays over; what the calendar alone ends keeps its
    /// day.
    #[must_use]
    pub(super) fn at(self, hours_per_day: f64, standing: f64, now: DateTime<FixedOffset>) -> Wait {
        if self.over || self.threshold == Threshold::Horizon {
            return self;
        }
        if self.threshold == Threshold::Interval {
            let left = self.at.map(|at| days(now, at).max(0.0));
            let hours = left.map(|days| days * hours_per_day);
            return Wait {
                hours: hours.or(self.hours),
                wear_hours: hours.unwrap_or(self.wear_hours),
                ..self
            };
        }
        let ahead = self.wear_hours / (hours_per_day + standing);
        let at = chrono::Duration::try_milliseconds((ahead * 86_400_000.0) as i64)
            .and_then(|ahead| now.checked_add_signed(ahead));
        Wait {
            hours: Some(ahead * hours_per_day),
            date: at.map(|at| at.date_naive()),
            at,
            idle: false,
            ..self
        }
    }

    /// In words: `now`, `12 h, by 2026-06-01`, `by 2026-06-01`, `12 h of running, no limit at this
    /// use`; `hours` and `date` say how each is written.
    pub fn words(
        &self,
        hours: impl Fn(f64) -> String,
        date: impl Fn(chrono::NaiveDate) -> String,
    ) -> String {
        match (self.hours, self.date) {
            _ if self.over => "now".to_owned(),
            _ if self.threshold == Threshold::Horizon => "20 years or more".to_owned(),
            (Some(left), Some(day)) => format!("{}, {}", hours(left), date(day)),
            (None, Some(day)) => date(day),
            (Some(left), None) if self.idle => {
                format!("{} of running, no limit at this use", hours(left))
            }
            (Some(left), None) => hours(left),
            (None, None) => "no limit at this use".to_owned(),
        }
    }
}
