//! The questions of a line typed in one go: what they ask, what stands in them at first, how an answer is
//! read.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use crate::boat::units::Volume;
use crate::boat::{Hours, Measure, Unit, UnitHabit};
use crate::checklist::Figure;
use crate::defects::finding::happened_at;
use crate::defects::round_draft::LineField;
use crate::defects::under_way_line::{EVERY, USUAL_EVERY};
use crate::defects::{RoundDraft, UnderWay};

/// What fields are read with.
#[derive(Clone, Copy)]
pub struct Reader {
    /// Units as typed.
    pub habit: UnitHabit,
    /// Now.
    pub now: DateTime<FixedOffset>,
}

/// The figure a field asks for, where it is one with a unit.
const fn figure(field: LineField) -> Option<Figure> {
    match field {
        LineField::Speed => Some(Figure::Speed),
        LineField::Oil => Some(Figure::Oil),
        LineField::Temperature => Some(Figure::Temperature),
        LineField::Volts => Some(Figure::Volts),
        LineField::Vacuum => Some(Figure::Vacuum),
        LineField::Bilge => Some(Figure::Bilge),
        _ => None,
    }
}

/// What a field asks.
pub const fn question(field: LineField) -> &'static str {
    match field {
        LineField::Plan => "With which plan?",
        LineField::At => "When was that round?",
        LineField::Hours => "Hour meter?",
        LineField::Rpm => "Engine speed?",
        LineField::Speed => "Speed of the boat?",
        LineField::Oil => "Oil pressure?",
        LineField::Temperature => "Coolant temperature?",
        LineField::Volts => "Volts?",
        LineField::Vacuum => "Vacuum behind the pre-filter?",
        LineField::Bilge => "Water in the bilge?",
        LineField::Drops => "Drops of the gland in a minute?",
        LineField::Fuel => "Fuel aboard?",
        LineField::FuelAdded => "Fuel taken in since?",
        LineField::Every => "Minutes between two rounds?",
        LineField::Remark => "A remark?",
    }
}

impl Reader {
    /// What can be typed.
    pub fn hint(self, field: LineField) -> String {
        match field {
            LineField::Plan => "the name of a plan; empty: without one".to_owned(),
            LineField::At => {
                "such as 09:00; the whole line of the sheet may follow it, - for what was not read"
                    .to_owned()
            }
            LineField::Hours => "such as 1243.6; empty: not read".to_owned(),
            LineField::Rpm => "in rpm; empty: not read".to_owned(),
            LineField::Drops => "counted by eye; empty: not counted".to_owned(),
            LineField::Fuel | LineField::FuelAdded => {
                format!(
                    "in {}, or with its unit; empty: not told",
                    Unit::of_fuel(self.habit)
                )
            }
            LineField::Every => format!("{} to {}; empty: {USUAL_EVERY}", EVERY[0], EVERY[1]),
            LineField::Remark => "one line; empty: none".to_owned(),
            field => match figure(field) {
                Some(figure) => format!(
                    "in {}, or with its unit; empty: not read",
                    figure.unit().preferred(self.habit)
                ),
                None => String::new(),
            },
        }
    }

    /// Puts what was typed at a field into a line.
    ///
    /// # Errors
    /// What is wrong with it, in a sentence.
    fn put(self, line: &mut UnderWay, field: LineField, text: &str) -> Result<(), String> {
        let measure = || {
            let unit = figure(field).map_or(Unit::Litre, Figure::unit);
            Measure::parse(text, unit.preferred(self.habit)).map(Some)
        };
        let number = || {
            let value = text.replace(',', ".").parse::<f64>();
            value.map(Some).map_err(|_| "expected a number".to_owned())
        };
        let volume = || {
            let measure = Measure::parse(text, Unit::of_fuel(self.habit))?;
            Volume::new(measure).map(Some)
        };
        match field {
            LineField::Plan => line.plan = Some(text.to_owned()),
            LineField::At => line.at = Some(happened_at(text, self.now)?),
            LineField::Hours => line.hours = Some(Hours::typed(text)?),
            LineField::Rpm => line.rpm = number()?,
            LineField::Drops => line.drops = number()?,
            LineField::Speed => line.speed = measure()?,
            LineField::Oil => line.oil = measure()?,
            LineField::Temperature => line.temperature = measure()?,
            LineField::Volts => line.volts = measure()?,
            LineField::Vacuum => line.vacuum = measure()?,
            LineField::Bilge => line.bilge = measure()?,
            LineField::Fuel => line.fuel = volume()?,
            LineField::FuelAdded => line.fuel_added = volume()?,
            LineField::Every => {
                let every = text.parse::<u32>();
                line.every = Some(every.map_err(|_| "expected minutes, such as 60".to_owned())?);
            }
            LineField::Remark => line.remark = Some(text.to_owned()),
        }
        Ok(())
    }

    /// The line that was typed so far, as far as a field.
    ///
    /// # Errors
    /// At which field what is wrong.
    pub fn line(self, form: &RoundDraft, upto: LineField) -> Result<UnderWay, (LineField, String)> {
        let mut line = UnderWay {
            machine: Some(form.machine.clone()),
            ..UnderWay::bare(form.kind)
        };
        for field in form.fields().into_iter().filter(|field| *field <= upto) {
            if let Some(text) = form.text(field) {
                self.put(&mut line, field, text)
                    .map_err(|wrong| (field, wrong))?;
            }
        }
        Ok(line)
    }
}

/// The order of the printed sheet, after the time.
const SHEET: [LineField; 10] = [
    LineField::Hours,
    LineField::Rpm,
    LineField::Speed,
    LineField::Oil,
    LineField::Temperature,
    LineField::Volts,
    LineField::Vacuum,
    LineField::Bilge,
    LineField::Drops,
    LineField::Fuel,
];

/// A whole line of the sheet typed at its time: the time, then what stands in its columns, `-` for what was
/// not read, and the rest as a remark; none where the time stands alone.
pub fn whole_line(text: &str) -> Option<BTreeMap<LineField, String>> {
    let mut words = text.split_whitespace();
    let first = words.next()?;
    let is_day = first.contains('-');
    let at = match is_day.then(|| words.next()).flatten() {
        Some(time) => format!("{first} {time}"),
        None => first.to_owned(),
    };
    let rest: Vec<&str> = words.collect();
    if rest.is_empty() {
        return None;
    }
    let mut typed = BTreeMap::from([(LineField::At, at)]);
    for (field, word) in SHEET.iter().zip(&rest) {
        if *word != "-" {
            typed.insert(*field, (*word).to_owned());
        }
    }
    let remark = rest.get(SHEET.len()..).unwrap_or_default().join(" ");
    if !remark.is_empty() {
        typed.insert(LineField::Remark, remark);
    }
    Some(typed)
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    #[test]
    fn a_whole_line_goes_into_the_columns_of_the_sheet() {
        let typed =
            whole_line("09:00 1252 2200 5.5 4 80 14.1 - 10 12 94 all quiet").expect("a line");
        assert_eq!(typed[&LineField::At], "09:00");
        assert_eq!(typed[&LineField::Hours], "1252");
        assert_eq!(typed[&LineField::Fuel], "94");
        assert_eq!(typed[&LineField::Remark], "all quiet");
        assert!(!typed.contains_key(&LineField::Vacuum));
        let dated = whole_line("2026-05-03 09:00 1252").expect("a line");
        assert_eq!(dated[&LineField::At], "2026-05-03 09:00");
        assert!(whole_line("09:00").is_none() && whole_line("2026-05-03 09:00").is_none());
    }
}
