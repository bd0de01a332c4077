//! Readings in time in the words of a report, in the units a person reads. The screens say the same
//! (`defects/trend_words`); a test holds the English of both together.

use super::words::{Said, Words, told};
use crate::assess::kendall::PMethod;
use crate::assess::rate::RateSource;
use crate::assess::trend::Direction;
use crate::boat::{Unit, UnitHabit};
use crate::defects::trend_answer::{CrossingRow, Over, RateRow, TrendAnswer, UseRow, When};

/// Readings in time, and the words and units for them.
#[derive(Clone, Copy)]
pub struct TrendWords<'a> {
    /// What is told.
    pub answer: &'a TrendAnswer,
    /// In which units.
    pub habit: UnitHabit,
    /// By which words.
    pub w: Words,
}

impl TrendWords<'_> {
    /// What there is to say, a clause each without its full stop.
    pub fn sentences(&self) -> Vec<Said> {
        let (w, answer) = (self.w, self.answer);
        let mut told = Vec::new();
        told.extend(self.slope());
        let projection = answer.projection.as_ref();
        told.extend(projection.map(|p| w.english(&*p.words).capital()));
        told.extend(self.call());
        let crossings = answer.crossing.iter().chain(answer.later.first());
        told.extend(crossings.map(|crossing| self.crossing(crossing)));
        let called = answer.trend != Direction::None;
        if called && answer.crossing.is_none() && !answer.limits.bands.is_empty() {
            told.push(w.say("trend-no-rung-ahead").into());
        }
        told.extend(answer.used.map(|used| self.topped_up(used)));
        told.extend(answer.oil_use.map(|oil| w.english(oil.words())));
        if answer.crossing.is_some() && answer.over == Over::Hours {
            let rate = rate(w, &answer.rate_of_use);
            told.push(told!(w, "trend-dates", rate = rate));
        }
        told
    }

    /// The unit of the values.
    pub fn unit(&self) -> String {
        self.w.unit(self.answer.shown_unit(self.habit)).into_owned()
    }

    fn step(&self, step: f64) -> String {
        let unit = self.answer.shown_unit(self.habit);
        self.w
            .figure(step * self.answer.unit.factor() / unit.factor())
    }

    fn slope(&self) -> Option<Said> {
        let (w, answer) = (self.w, self.answer);
        let (span, per) = match answer.over {
            Over::Hours => (100.0, "trend-per-hours"),
            Over::Days => (30.0, "trend-per-days"),
        };
        let (slope, per) = (self.step(answer.slope? * span), w.say(per));
        Some(match answer.slope_low.zip(answer.slope_high) {
            Some((low, high)) => told!(
                w,
                "trend-slope-between",
                slope = slope,
                unit = self.unit(),
                per = per,
                share = w.figure(answer.interval * 100.0),
                low = self.step(low * span),
                high = self.step(high * span)
            ),
            None => told!(
                w,
                "trend-slope",
                slope = slope,
                unit = self.unit(),
                per = per
            ),
        })
    }

    fn call(&self) -> Option<Said> {
        let (w, answer) = (self.w, self.answer);
        let call = match answer.trend {
            Direction::Rising => "trend-rising",
            Direction::Falling => "trend-falling",
            Direction::None => "trend-none",
        };
        let method = match answer.p_method? {
            PMethod::Exact => "trend-exact",
            PMethod::Normal => "trend-normal",
        };
        let p = match answer.p? {
            p if p < 0.001 => told!(w, "trend-p-below", p = w.number(0.001, 3)),
            p => w.number(p, 3).into(),
        };
        let mut pairs = format!("S {}", answer.s.unwrap_or(0));
        if let Some(tau) = answer.tau {
            pairs = format!("{pairs}, τ {}", w.number(tau, 2));
        }
        Some(told!(
            w,
            "trend-call",
            call = w.say(call),
            p = p,
            method = w.say(method),
            pairs = pairs,
            n = answer.tested
        ))
    }

    fn crossing(&self, crossing: &CrossingRow) -> Said {
        let (w, answer) = (self.w, self.answer);
        let unit = answer.shown_unit(self.habit);
        let value = answer.unit.convert(crossing.limit, unit);
        let limit = told!(
            w,
            "trend-limit",
            rung = w.word(crossing.rung),
            value = w.finer(value.unwrap_or(crossing.limit)),
            unit = self.unit()
        );
        if crossing.not_after.is_some_and(|when| when.is_now) {
            return told!(w, "trend-reached", limit = limit);
        }
        let about = moment(w, &crossing.about);
        let mut said = told!(w, "trend-reaches", limit = limit, about = about);
        said.push("; ");
        match &crossing.not_before {
            Some(when) => said.push(told!(w, "trend-not-before", when = moment(w, when))),
            None => said.push(w.say("trend-no-interval")),
        }
        match &crossing.not_after {
            Some(when) => {
                said.push("; ");
                said.push(told!(w, "trend-not-after", when = moment(w, when)));
            }
            None if crossing.not_before.is_some() => {
                said.push("; ");
                said.push(w.say("trend-perhaps-never"));
            }
            None => {}
        }
        said
    }

    fn topped_up(&self, used: UseRow) -> Said {
        let w = self.w;
        let unit = Unit::Litre.preferred(self.habit);
        let volume = |litres: f64| format!("{} {}", w.figure(unit.from_base(litres)), w.unit(unit));
        let rate = match used.per_100_h {
            Some(per) => told!(w, "topped-up-rate", volume = volume(per)),
            None => w.say("topped-up-no-hours").into(),
        };
        told!(
            w,
            "topped-up",
            n = used.additions,
            volume = volume(used.litres),
            hours = w.figure(used.hours),
            rate = rate
        )
    }
}

/// Hours a day, with the interval and what it rests on.
fn rate(w: Words, rate: &RateRow) -> Said {
    let rests_on = w.say(match rate.found {
        RateSource::Recent => "rate-recent",
        RateSource::All => "rate-all",
        RateSource::Profile => "rate-profile",
    });
    let a_day = w.figure(rate.per_day);
    match rate.low.zip(rate.high) {
        Some((low, high)) => told!(
            w,
            "rate-between",
            hours = a_day,
            low = w.figure(low),
            high = w.figure(high),
            by = rests_on
        ),
        None => told!(w, "rate", hours = a_day, by = rests_on),
    }
}

/// A moment ahead: how far in running hours, what the meter shows then, and the date.
fn moment(w: Words, when: &When) -> Said {
    if when.is_now {
        return w.say("when-now").into();
    }
    let hours = when
        .hours
        .map(|h| told!(w, "when-hours", hours = w.figure(h)));
    let meter = when
        .meter
        .map(|m| told!(w, "when-meter", meter = w.number(m, 0)));
    let date = match when.date {
        Some(date) => w.date(date).into(),
        None => w.say("when-no-date").into(),
    };
    Said::join(hours.into_iter().chain(meter).chain([date]), ", ")
}
