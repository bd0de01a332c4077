//! A trend in words, in the units a person thinks in.

use super::trend_answer::{CrossingRow, Over, RateRow, TrendAnswer, When};
use crate::assess::rate::RateSource;
use crate::assess::trend::Direction;
use crate::boat::{Unit, UnitHabit};
use crate::text::{capital, digits, figure};

impl TrendAnswer {
    /// The unit a person reads the values in.
    pub fn shown_unit(&self, habit: UnitHabit) -> Unit {
        self.unit.preferred(habit)
    }

    /// A value of the answer in the unit of a habit, without the unit's name.
    pub fn shown(&self, value: f64, habit: UnitHabit) -> String {
        let unit = self.shown_unit(habit);
        digits(self.unit.convert(value, unit).unwrap_or(value), 4)
    }

    /// A difference of values, as [`TrendAnswer::shown`].
    fn shown_step(&self, step: f64, habit: UnitHabit) -> String {
        figure(step * self.unit.factor() / self.shown_unit(habit).factor())
    }

    /// What there is to say, a plain sentence each: the slope, the trend called or not, when the
    /// next two worse rungs are reached, what was topped up.
    pub fn sentences(&self, habit: UnitHabit) -> Vec<String> {
        let mut sentences = Vec::new();
        sentences.extend(self.slope_in_words(habit));
        sentences.extend(self.projection.as_ref().map(|p| capital(&p.words)));
        sentences.extend(self.call_in_words());
        let crossings = self.crossing.iter().chain(self.later.first());
        sentences.extend(crossings.map(|c| self.crossing_in_words(c, habit)));
        if self.trend != Direction::None && self.crossing.is_none() && !self.limits.bands.is_empty()
        {
            sentences.push("No worse rung lies ahead of it".into());
        }
        sentences.extend(self.use_in_words(habit));
        sentences.extend(self.oil_use.map(|oil| oil.words()));
        if self.crossing.is_some() && self.over == Over::Hours {
            sentences.push(format!(
                "Dates by the rate of use, {}",
                self.rate_of_use.in_words()
            ));
        }
        sentences
    }

    fn slope_in_words(&self, habit: UnitHabit) -> Option<String> {
        let (span, per) = match self.over {
            Over::Hours => (100.0, "100 h"),
            Over::Days => (30.0, "30 days"),
        };
        let step = |slope: f64| self.shown_step(slope * span, habit);
        let bounds = match self.slope_low.zip(self.slope_high) {
            Some((low, high)) => format!(
                " ({} %: {} to {})",
                figure(self.interval * 100.0),
                step(low),
                step(high)
            ),
            None => String::new(),
        };
        Some(format!(
            "Slope {} {} per {per}{bounds}",
            step(self.slope?),
            self.shown_unit(habit)
        ))
    }

    fn call_in_words(&self) -> Option<String> {
        let call = match self.trend {
            Direction::Rising => "Rising",
            Direction::Falling => "Falling",
            Direction::None => "No trend is called",
        };
        let (p, method) = (self.p?, self.p_method?);
        let p = if p < 0.001 {
            "below 0.001".to_owned()
        } else {
            format!("{p:.3}")
        };
        let tau = self.tau.map(|tau| format!(", tau {tau:.2}"));
        Some(format!(
            "{call}: chance without a trend {p} ({method}), S {}{}, {} points tested",
            self.s.unwrap_or(0),
            tau.unwrap_or_default(),
            self.tested
        ))
    }

    fn crossing_in_words(&self, crossing: &CrossingRow, habit: UnitHabit) -> String {
        let limit = format!(
            "{} at {} {}",
            crossing.rung,
            self.shown(crossing.limit, habit),
            self.shown_unit(habit)
        );
        if crossing.not_after.is_some_and(|when| when.is_now) {
            return format!("By the line it has reached {limit} since the last reading");
        }
        let not_before = match &crossing.not_before {
            Some(when) => format!("not before {}", moment(when)),
            None => "no interval is known".to_owned(),
        };
        let not_after = match &crossing.not_after {
            Some(when) => format!("; not after {}", moment(when)),
            None if crossing.not_before.is_some() => "; perhaps never".to_owned(),
            None => String::new(),
        };
        let about = moment(&crossing.about);
        format!("Reaches {limit} about {about}; {not_before}{not_after}")
    }

    fn use_in_words(&self, habit: UnitHabit) -> Option<String> {
        let used = self.used?;
        let unit = Unit::Litre.preferred(habit);
        let volume = |litres: f64| format!("{} {unit}", figure(unit.from_base(litres)));
        let rate = match used.per_100_h {
            Some(per) => format!("{} per 100 h", volume(per)),
            None => "no running hours to set it against".to_owned(),
        };
        Some(format!(
            "Topped up {} time(s), {} in {} h watched: {rate}",
            used.additions,
            volume(used.litres),
            figure(used.hours)
        ))
    }
}

impl RateRow {
    /// Hours a day, with the interval and what it rests on.
    pub fn in_words(&self) -> String {
        let bounds = match self.low.zip(self.high) {
            Some((low, high)) => format!(" (90 %: {} to {})", figure(low), figure(high)),
            None => String::new(),
        };
        let rests_on = match self.found {
            RateSource::Recent => "meter readings of the last 180 days",
            RateSource::All => "all meter readings",
            RateSource::Profile => "the usual hours of a month",
        };
        format!("{} h a day{bounds}, by {rests_on}", figure(self.per_day))
    }
}

/// A moment ahead: how far in running hours, what the meter shows then, and the date.
fn moment(when: &When) -> String {
    if when.is_now {
        return "now".to_owned();
    }
    let mut parts = Vec::new();
    if let Some(hours) = when.hours {
        parts.push(format!("in {} h", figure(hours)));
    }
    if let Some(meter) = when.meter {
        parts.push(format!("meter {meter:.0}"));
    }
    parts.push(match when.date {
        Some(date) => date.to_string(),
        None => "no date".to_owned(),
    });
    parts.join(", ")
}
