//! Dates, numbers and units as the reader writes them.
//!
//! In sentences a day is written with its month in words, which nobody takes for another day. In
//! tables and on axes it stands as year, month and day in figures (ISO 8601): that is short, sorts, and
//! is right in both languages (DIN 5008 has it beside the form with points).

use std::borrow::Cow;

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate};

use super::{Language, Said, Words, say};
use crate::boat::Unit;
use crate::defects::costs::money;
use crate::defects::list::percent;
use crate::text::{digits, figure};

impl Words {
    /// A day in a sentence: `3 May 2026`.
    pub fn date(self, day: NaiveDate) -> String {
        let month = self.month_name(day);
        say!(
            self,
            "date",
            day = day.day(),
            month = month,
            year = day.format("%Y").to_string()
        )
        .into_owned()
    }

    /// A month in a sentence: `May 2026`.
    pub fn month(self, day: NaiveDate) -> String {
        let month = self.month_name(day);
        say!(
            self,
            "date-month",
            month = month,
            year = day.format("%Y").to_string()
        )
        .into_owned()
    }

    fn month_name(self, day: NaiveDate) -> Cow<'static, str> {
        self.say(MONTHS[day.month0() as usize])
    }

    /// A moment in a sentence, to the minute, with its offset.
    pub fn moment(self, at: DateTime<FixedOffset>) -> String {
        let time = at.format("%H:%M %:z").to_string();
        say!(
            self,
            "date-moment",
            day = self.date(at.date_naive()),
            time = time
        )
        .into_owned()
    }

    /// Figures as text, with the mark between whole and part that the reader writes.
    pub fn figures(self, text: String) -> String {
        match self.language() {
            Language::English => text,
            Language::German => text.replace('.', ","),
        }
    }

    /// A number with so many decimals.
    pub fn number(self, value: f64, decimals: usize) -> String {
        self.figures(format!("{value:.decimals$}"))
    }

    /// A number with about three digits that mean something.
    pub fn figure(self, value: f64) -> String {
        self.figures(figure(value))
    }

    /// A number with about four digits that mean something.
    pub fn finer(self, value: f64) -> String {
        self.figures(digits(value, 4))
    }

    /// An amount of money without its currency.
    pub fn money(self, amount: f64) -> String {
        self.figures(money(amount))
    }

    /// A chance in per cent, or one in so many.
    pub fn percent(self, chance: f64) -> String {
        match percent(chance).strip_prefix("1 in ") {
            Some(many) => say!(self, "one-in", many = many).into_owned(),
            None => self.figures(percent(chance)),
        }
    }

    /// A unit as the reader writes it.
    pub fn unit(self, unit: Unit) -> Cow<'static, str> {
        match name_of(unit) {
            Some(name) => self.say(name),
            None => unit.as_str().into(),
        }
    }

    /// An engine speed.
    pub fn rpm(self, rpm: u32) -> String {
        format!("{rpm} {}", self.unit(Unit::Rpm))
    }

    /// Running hours of a meter.
    pub fn hours(self, hours: f64) -> String {
        format!("{} h", self.number(hours, 1))
    }

    /// A measure as a record has it, a number and a unit; anything else as it is.
    pub fn measure(self, text: &str) -> Said {
        let parts = text.split_once(' ');
        let known = parts.and_then(|(number, unit)| {
            number.parse::<f64>().ok()?;
            let unit = Unit::ALL.iter().find(|known| known.as_str() == unit)?;
            Some(format!(
                "{} {}",
                self.figures(number.to_owned()),
                self.unit(*unit)
            ))
        });
        known.map_or_else(|| Said::people(text), Said::from)
    }
}

const MONTHS: [&str; 12] = [
    "month-1", "month-2", "month-3", "month-4", "month-5", "month-6", "month-7", "month-8",
    "month-9", "month-10", "month-11", "month-12",
];

/// The message of a unit that is a word, or has another sign in another language.
const fn name_of(unit: Unit) -> Option<&'static str> {
    Some(match unit {
        Unit::Rpm => "unit-rpm",
        Unit::DropsPerMinute => "unit-drops",
        Unit::Celsius => "unit-celsius",
        Unit::Fahrenheit => "unit-fahrenheit",
        Unit::CelsiusRise => "unit-celsius-rise",
        Unit::FahrenheitRise => "unit-fahrenheit-rise",
        Unit::UsGallon => "unit-us-gallon",
        Unit::UsQuart => "unit-us-quart",
        Unit::ImpGallon => "unit-imp-gallon",
        Unit::ImpQuart => "unit-imp-quart",
        Unit::ImpPint => "unit-imp-pint",
        Unit::GallonPerMinute => "unit-gallons",
        Unit::Horsepower => "unit-horsepower",
        Unit::Foot => "unit-foot",
        Unit::Inch => "unit-inch",
        _ => return None,
    })
}
