//! How a fact is typed, kept and shown.

use serde_json::Value;

use super::volume;
use crate::boat::hours::Hours;
use crate::boat::profile::UnitHabit;
use crate::boat::units::{Measure, Unit, Volume};
use crate::text::digits;

/// What is typed, and said, where nobody knows.
pub const NOT_KNOWN: &str = "not known";

/// How a fact is typed, kept and shown.
#[derive(Clone, Copy, Debug)]
pub enum Form {
    /// A text of so many bytes at the most.
    Text(usize),
    /// A number in a unit that is not converted, between two bounds; a whole one where that is said.
    Number {
        /// Its unit; empty where it has none.
        unit: &'static str,
        /// The least.
        least: f64,
        /// The most.
        most: f64,
        /// No fractions.
        whole: bool,
    },
    /// A figure kept in one unit, typed and shown in the unit a person thinks in.
    Figure {
        /// As kept, and typed by who thinks in metric units.
        kept: Unit,
        /// Typed by who thinks in US units.
        us: Unit,
        /// Typed by who thinks in imperial units.
        imperial: Unit,
        /// The least, as kept.
        least: f64,
        /// The most, as kept.
        most: f64,
    },
    /// A volume, kept as it was typed.
    Volume {
        /// The most, litres.
        most: f64,
        /// In gallons, not in quarts or pints.
        gallons: bool,
    },
    /// What the hour meter shows.
    Meter,
    /// A day, a month or a year.
    Day,
    /// One of so many words.
    Words(fn() -> Vec<&'static str>),
    /// It has it, or has it not.
    YesNo,
}

impl Form {
    /// What can be picked; none where it is typed.
    pub fn picks(self) -> Option<Vec<&'static str>> {
        match self {
            Form::Words(words) => Some(words()),
            Form::YesNo => Some(vec!["yes", "no"]),
            _ => None,
        }
    }

    /// The unit typed and shown; empty where it has none.
    pub fn unit(self, habit: UnitHabit) -> &'static str {
        match self {
            Form::Number { unit, .. } => unit,
            Form::Figure { .. } | Form::Volume { .. } => self.assumed(habit).as_str(),
            Form::Meter => "h",
            Form::Text(_) | Form::Day | Form::Words(_) | Form::YesNo => "",
        }
    }

    fn assumed(self, habit: UnitHabit) -> Unit {
        match (self, habit) {
            (Form::Figure { us, .. }, UnitHabit::Us) => us,
            (Form::Figure { imperial, .. }, UnitHabit::Imperial) => imperial,
            (Form::Figure { kept, .. }, UnitHabit::Metric) => kept,
            (Form::Volume { gallons: true, .. }, habit) => Unit::of_fuel(habit),
            _ => Unit::Litre.preferred(habit),
        }
    }

    /// What may be typed, in words.
    pub fn hint(self, habit: UnitHabit) -> String {
        match self {
            Form::Text(_) => "as you know it, or as it stands there".to_owned(),
            Form::Number { unit: "", .. } => "a number".to_owned(),
            Form::Number { unit, .. } => format!("a number in {unit}"),
            Form::Figure { .. } | Form::Volume { .. } => {
                format!("a number in {}, or with its unit", self.unit(habit))
            }
            Form::Meter => "what the meter shows, such as 1243.6".to_owned(),
            Form::Day => "as you remember: 2023-05-12, 2023-05 or 2023".to_owned(),
            Form::Words(words) => words().join(", "),
            Form::YesNo => "yes or no".to_owned(),
        }
    }

    /// What was typed, as the profile keeps it.
    ///
    /// # Errors
    /// What is wrong with it, in a sentence.
    pub(crate) fn read(self, text: &str, habit: UnitHabit) -> Result<Value, String> {
        match self {
            Form::Text(_) | Form::Day => Ok(text.into()),
            Form::Number { unit, whole, .. } => {
                let number = text.strip_suffix(unit).unwrap_or(text).trim();
                let number = number.replace(',', ".");
                if whole {
                    let whole = number.parse::<u32>().ok();
                    return whole
                        .map(Value::from)
                        .ok_or_else(|| no_number(text, "a whole number"));
                }
                let number = number.parse::<f64>().ok().filter(|n| n.is_finite());
                let number = number.ok_or_else(|| no_number(text, "a number"))?;
                Ok(number.into())
            }
            Form::Figure { kept, .. } => {
                let typed = Measure::parse(text, self.assumed(habit))?;
                let value = typed.value_in(kept).unwrap_or(typed.value());
                Ok(((value * KEPT).round() / KEPT).into())
            }
            Form::Volume { .. } => {
                let volume = Volume::new(Measure::parse(text, self.assumed(habit))?)?;
                Ok(volume.to_string().into())
            }
            Form::Meter => Ok(serde_json::to_value(Hours::typed(text)?).unwrap_or_default()),
            Form::Words(words) => {
                let typed = text.to_lowercase().replace([' ', '_'], "-");
                let known = words();
                let word = known.iter().find(|word| **word == typed);
                word.map(|word| (*word).into())
                    .ok_or_else(|| no_number(text, &format!("one of {}", known.join(", "))))
            }
            Form::YesNo => match text.to_lowercase().as_str() {
                "yes" | "y" => Ok(true.into()),
                "no" | "n" => Ok(false.into()),
                _ => Err(no_number(text, "yes or no")),
            },
        }
    }

    /// What the profile keeps, in words and the unit a person thinks in.
    pub(crate) fn shown(self, value: &Value, habit: UnitHabit) -> String {
        let unit = self.unit(habit);
        match (self, value) {
            (Form::Figure { kept, .. }, _) => {
                let to = self.assumed(habit);
                let value = value.as_f64().and_then(|value| kept.convert(value, to));
                format!("{} {unit}", digits(value.unwrap_or_default(), 4))
            }
            (Form::Meter, value) => {
                let hours = value.as_f64().and_then(|hours| Hours::new(hours).ok());
                hours.map_or_else(String::new, |hours| format!("{hours} {unit}"))
            }
            (Form::Words(_), Value::String(word)) => word.replace('-', " "),
            (Form::YesNo, value) => if *value == true { "yes" } else { "no" }.to_owned(),
            (_, Value::String(text)) => text.clone(),
            (_, number) => {
                let number = number
                    .as_f64()
                    .map_or_else(|| number.to_string(), |n| n.to_string());
                format!("{number} {unit}").trim_end().to_owned()
            }
        }
    }

    /// What is wrong with what the profile keeps, in a sentence.
    pub(crate) fn fault(self, value: &Value) -> Option<String> {
        match self {
            Form::Text(most) => {
                let text = value.as_str().unwrap_or_default();
                match text.trim() {
                    "" => Some("the text is empty".to_owned()),
                    _ if text.len() > most => Some(format!("it is longer than {most} bytes")),
                    _ => None,
                }
            }
            Form::Number {
                unit, least, most, ..
            } => out_of(value.as_f64(), least, most, unit),
            Form::Figure {
                kept, least, most, ..
            } => out_of(value.as_f64(), least, most, kept.as_str()),
            Form::Volume { most, .. } => {
                let volume = volume(value)?;
                let odd = volume.litres() <= 0.0 || volume.litres() > most;
                odd.then(|| format!("{volume} cannot be meant: more than 0 and at most {most} L"))
            }
            Form::Day => {
                let text = value.as_str().unwrap_or_default();
                (!is_day(text)).then(|| {
                    no_number(
                        text,
                        "a day, a month or a year such as 2023-05-12, 2023-05 or 2023",
                    )
                })
            }
            // Their own types hold them.
            Form::Meter | Form::Words(_) | Form::YesNo => None,
        }
    }
}

/// So many parts of the unit kept are told apart.
const KEPT: f64 = 1e4;

fn out_of(value: Option<f64>, least: f64, most: f64, unit: &str) -> Option<String> {
    let inside = value.is_some_and(|value| (least..=most).contains(&value));
    (!inside).then(|| {
        format!("expected {least} to {most} {unit}")
            .trim_end()
            .to_owned()
    })
}

fn no_number(text: &str, wanted: &str) -> String {
    format!("'{}' is not {wanted}", crate::text::safe_line(text))
}

fn is_day(text: &str) -> bool {
    let full = match text.len() {
        4 => format!("{text}-01-01"),
        7 => format!("{text}-01"),
        _ => text.to_owned(),
    };
    full.parse::<chrono::NaiveDate>().is_ok()
}
