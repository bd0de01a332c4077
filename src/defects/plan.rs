//! A named plan: what lies ahead, and what there is before it to put things right with.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::boat::Waters;
use crate::checklist::Who;

/// No more minutes of work are taken: a season of days.
pub const LONGEST_WORK: f64 = 120_000.0;
/// No larger sum is taken.
pub const LARGEST_SUM: f64 = 1e9;

/// A named exposure, with the means there are before it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NamedPlan {
    /// The user's name for it.
    pub name: String,
    /// Running hours; follow from the days and the hours a day where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<f64>,
    /// Days; follow from the hours and the hours a day where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days: Option<f64>,
    /// Running hours a day, more than 0; where absent, hours by days where both are there, else the rate
    /// of use.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours_per_day: Option<f64>,
    /// Waters; the boat's own where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub waters: Option<Waters>,
    /// Minutes of work there are before it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub work: Option<u32>,
    /// Money there is before it, in the currency of the estimates.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spend: Option<f64>,
    /// Who can lend a hand before it; the owner where empty.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hands: Vec<Hand>,
    /// Days she stands ashore before it; she stays afloat where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ashore_days: Option<f64>,
    /// Items mended before it whatever they gain.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub with: Vec<String>,
    /// Items not mended before it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub without: Vec<String>,
}

/// Somebody who can lend a hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Hand {
    /// Who.
    pub who: Who,
    /// Minutes; without limit where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<u32>,
}

impl NamedPlan {
    /// Running hours a day under it; none where it says nothing of them.
    pub fn per_day(&self) -> Option<f64> {
        let both = self.hours.zip(self.days);
        let of_both = both.filter(|(h, d)| *h > 0.0 && *d > 0.0);
        self.hours_per_day
            .or_else(|| of_both.map(|(hours, days)| (hours / days).min(24.0)))
    }

    /// This plan over an earlier one of its name: what it says nothing of stays. Hours, days and hours a
    /// day go together.
    #[must_use]
    pub fn over(self, before: &NamedPlan) -> NamedPlan {
        let [hours, days, hours_per_day] = match (self.hours, self.days, self.hours_per_day) {
            (None, None, None) => [before.hours, before.days, before.hours_per_day],
            (None, None, of_day) => match (before.hours, before.days) {
                // The days follow.
                (Some(hours), _) => [Some(hours), None, of_day],
                (None, days) => [None, days, of_day],
            },
            (hours, days, None) if hours.is_none() || days.is_none() => {
                let both = before.hours.is_some() && before.days.is_some();
                [hours, days, before.hours_per_day.filter(|_| !both)]
            }
            (hours, days, of_day) => [hours, days, of_day],
        };
        let or = |new: Vec<Hand>, old: &Vec<Hand>| if new.is_empty() { old.clone() } else { new };
        NamedPlan {
            name: self.name,
            hours,
            days,
            hours_per_day,
            waters: self.waters.or(before.waters),
            work: self.work.or(before.work),
            spend: self.spend.or(before.spend),
            hands: or(self.hands, &before.hands),
            ashore_days: self.ashore_days.or(before.ashore_days),
            with: before.with.clone(),
            without: before.without.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_a_day_are_its_own_or_follow_from_both() {
        let plan = |hours, days, hours_per_day| NamedPlan {
            hours,
            days,
            hours_per_day,
            ..NamedPlan::default()
        };
        assert_eq!(plan(Some(60.0), None, Some(20.0)).per_day(), Some(20.0));
        assert_eq!(plan(Some(60.0), Some(3.0), None).per_day(), Some(20.0));
        assert_eq!(plan(Some(60.0), None, None).per_day(), None);
        assert_eq!(plan(Some(0.0), Some(3.0), None).per_day(), None);
        assert_eq!(plan(Some(60.0), Some(0.0), None).per_day(), None);
    }
}
