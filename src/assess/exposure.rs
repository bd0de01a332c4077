//! How much an item goes through: running hours and days.

use crate::boat::DayAhead;

/// No span is followed further than this: twenty years.
pub const HORIZON_DAYS: f64 = 7305.0;

/// Running hours and days, ahead or behind.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Exposure {
    /// Running hours, finite and 0 or more.
    pub hours: f64,
    /// Days, running or not.
    pub days: f64,
}

impl Exposure {
    /// No hours and no days: the moment of the look.
    pub const NONE: Exposure = Exposure {
        hours: 0.0,
        days: 0.0,
    };

    /// Running hours and the days they take at a rate of use (running hours per day), at most
    /// [`HORIZON_DAYS`]. A boat at rest says nothing about days, so there it is the fewest they can
    /// take.
    pub fn from_hours(hours: f64, rate_of_use: f64) -> Exposure {
        let days = if rate_of_use > 0.0 {
            (hours / rate_of_use).min(HORIZON_DAYS)
        } else {
            hours / 24.0
        };
        Exposure { hours, days }
    }

    /// Days and the running hours that fall in them at a rate of use (running hours per day).
    pub fn from_days(days: f64, rate_of_use: f64) -> Exposure {
        Exposure {
            hours: days * rate_of_use,
            days,
        }
    }

    /// What ranks the list unless a plan is named: 50 h and the days they take at the rate of
    /// use, at least 30 (judgement).
    pub fn usual_plan(rate_of_use: f64) -> Exposure {
        let plan = Exposure::from_hours(50.0, rate_of_use);
        Exposure {
            days: plan.days.max(30.0),
            ..plan
        }
    }

    /// Wear hours: running hours plus the standing wear of each day.
    pub fn wear(self, standing: f64) -> f64 {
        self.hours + standing * self.days
    }
}

impl From<DayAhead> for Exposure {
    fn from(day: DayAhead) -> Exposure {
        Exposure {
            hours: day.hours,
            days: day.days,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_and_days_follow_from_each_other() {
        let plan = Exposure::from_hours(50.0, 0.5);
        assert_eq!(plan.days, 100.0);
        assert_eq!(Exposure::from_days(plan.days, 0.5), plan);
        assert_eq!(plan.wear(0.5), 100.0);
        assert_eq!(plan.wear(0.0), 50.0);
    }

    #[test]
    fn the_usual_plan_lasts_at_least_thirty_days() {
        assert_eq!(Exposure::usual_plan(5.0).days, 30.0);
        assert_eq!(Exposure::usual_plan(1.0).days, 50.0);
        assert_eq!(Exposure::usual_plan(0.0).days, 30.0);
        assert_eq!(Exposure::usual_plan(1e-9).days, HORIZON_DAYS);
    }

    #[test]
    fn the_day_ahead_of_a_profile_is_an_exposure() {
        let day = Exposure::from(DayAhead::default());
        assert_eq!(day.wear(2.0), 14.0);
    }
}
