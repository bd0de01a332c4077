//! What can be said of a part, field by field: one table that command, screen, page and checks read.

use serde_json::{Map, Value};

use crate::boat::facts::{Form, NOT_KNOWN};
use crate::boat::kinds::Coolant;
use crate::boat::profile::UnitHabit;
use crate::boat::units::Unit;
use crate::checklist::PartKind;
use crate::defects::PartSaid;
use crate::defects::admit::{Fault, LONGEST_TEXT, photo_fault};
use crate::text::safe_line;
use crate::walk::Photo;

/// The longest number of a part, bytes.
const LONGEST_NUMBER: usize = 80;
/// More equivalents than this in one record belong to several parts.
const MOST_NUMBERS: usize = 50;
/// The longest hose or belt of a small boat, millimetres: beyond it the unit was mistyped (judgement).
const LONGEST_HOSE: f64 = 20_000.0;
/// The largest diameter or height of a part that is held in a hand, millimetres (judgement).
const LARGEST: f64 = 600.0;

/// One thing that can be said of a part.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// Its name in the record and on the command line.
    pub name: &'static str,
    /// What it is, in words.
    pub words: &'static str,
    /// How it is typed, kept and shown; for a list, of each of its numbers.
    pub form: Form,
    /// Of which kinds of part it can be said; of all where none is named.
    pub kinds: &'static [PartKind],
    /// Several can be said, between semicolons.
    pub many: bool,
}

const fn field(
    name: &'static str,
    words: &'static str,
    form: Form,
    kinds: &'static [PartKind],
) -> Field {
    Field {
        name,
        words,
        form,
        kinds,
        many: false,
    }
}

const fn many(name: &'static str, words: &'static str) -> Field {
    Field {
        many: true,
        ..field(name, words, NUMBER, &[])
    }
}

const fn millimetres(most: f64) -> Form {
    Form::Figure {
        kept: Unit::Millimetre,
        us: Unit::Inch,
        imperial: Unit::Millimetre,
        least: 0.5,
        most,
    }
}

const NUMBER: Form = Form::Text(LONGEST_NUMBER);
const WORDS: Form = Form::Text(LONGEST_TEXT);
const VANES: Form = Form::Number {
    unit: "",
    least: 3.0,
    most: 24.0,
    whole: true,
};
const COOLANTS: Form = Form::Words(|| Coolant::ALL.iter().map(|kind| kind.as_str()).collect());

const BELT: &[PartKind] = &[PartKind::Belt];
const IMPELLER: &[PartKind] = &[PartKind::Impeller];
const FILTER: &[PartKind] = &[PartKind::Filter];

/// Every field, in the order it is asked and shown.
#[rustfmt::skip]
pub const FIELDS: &[Field] = &[
    field("makers_number", "Maker's number", NUMBER, &[]),
    field("fitted_number", "Number on the one fitted", NUMBER, &[]),
    field("differs", "What differs on the one fitted", WORDS, &[]),
    many(PartSaid::FITS, "Equivalents that have fitted"),
    many(PartSaid::FITS_NOT, "Does not fit"),
    field("specification", "Specification", WORDS, &[PartKind::Oil, PartKind::Coolant]),
    field("coolant", "Kind of coolant", COOLANTS, &[PartKind::Coolant]),
    field("section", "Section", NUMBER, BELT),
    field("outside_length_mm", "Outside length", millimetres(LONGEST_HOSE), BELT),
    field("diameter_mm", "Diameter", millimetres(LARGEST), IMPELLER),
    field("width_mm", "Width", millimetres(LARGEST), IMPELLER),
    field("bore_mm", "Bore", millimetres(LARGEST), &[PartKind::Impeller, PartKind::Hose]),
    field("vanes", "Vanes", VANES, IMPELLER),
    field("drive", "Driven by", NUMBER, IMPELLER),
    field("thread", "Thread", NUMBER, &[PartKind::Filter, PartKind::Anode]),
    field("seal_outside_mm", "Seal, outside diameter", millimetres(LARGEST), FILTER),
    field("seal_inside_mm", "Seal, inside diameter", millimetres(LARGEST), FILTER),
    field("height_mm", "Height", millimetres(LARGEST), FILTER),
    field("bypass", "By-pass, as specified", Form::YesNo, FILTER),
    field("fitted_bypass", "By-pass, on the one fitted", Form::YesNo, FILTER),
    field("drain_back", "Holds the oil up, as specified", Form::YesNo, FILTER),
    field("fitted_drain_back", "Holds the oil up, the one fitted", Form::YesNo, FILTER),
    field("length_mm", "Length", millimetres(LONGEST_HOSE), &[PartKind::Hose, PartKind::Anode]),
    field("measures", "Other measures", WORDS, &[]),
    field("bought", "Bought at", WORDS, &[]),
    field("note", "Note", WORDS, &[]),
    field(PartSaid::PHOTO, "Photograph", WORDS, &[]),
];

impl Field {
    /// The one of a name.
    pub fn named(name: &str) -> Option<&'static Field> {
        FIELDS.iter().find(|field| field.name == name)
    }

    /// Those that can be said of a kind of part.
    pub fn of(kind: PartKind) -> impl Iterator<Item = &'static Field> {
        FIELDS.iter().filter(move |field| field.is_for(kind))
    }

    fn is_for(&self, kind: PartKind) -> bool {
        self.kinds.is_empty() || self.kinds.contains(&kind)
    }

    /// True for a measure: what a counter without the number goes by.
    pub fn is_measure(&self) -> bool {
        !self.kinds.is_empty() || self.name == "measures"
    }

    /// True for the photograph: its file is taken in before it is said.
    pub fn is_photo(&self) -> bool {
        self.name == PartSaid::PHOTO
    }

    /// True where a text says that nobody knows.
    pub fn leaves_open(text: &str) -> bool {
        let text = text.trim();
        text.is_empty() || text.replace('-', " ") == NOT_KNOWN
    }

    /// What may be typed, in words.
    pub fn hint(&self, habit: UnitHabit) -> String {
        match (self.many, self.name) {
            (true, _) => "numbers, a semicolon between two".to_owned(),
            (_, PartSaid::PHOTO) => "the path of a picture: JPEG, PNG, HEIC or WebP".to_owned(),
            (_, "drive") => "key, pin, spline, flat, or in your words".to_owned(),
            _ => self.form.hint(habit),
        }
    }

    /// What is known, in words and the unit a person thinks in; none where nothing is.
    pub fn shown(&self, known: &PartSaid, habit: UnitHabit) -> Option<String> {
        if self.many {
            let numbers = self.numbers(known);
            return (!numbers.is_empty()).then(|| numbers.join("; "));
        }
        if self.is_photo() {
            return known.photo.as_ref().map(Photo::words);
        }
        Some(self.form.shown(&known.value(self.name)?, habit))
    }

    fn numbers<'a>(&self, said: &'a PartSaid) -> &'a [String] {
        match self.name {
            PartSaid::FITS => &said.fits,
            _ => &said.fits_not,
        }
    }

    /// What was said with this typed in besides; `not known`, or nothing, says that nobody knows. A
    /// photograph is no text: whoever takes its file in says it.
    ///
    /// # Errors
    /// What is wrong with it, in a sentence.
    pub fn put(&self, said: &PartSaid, text: &str, habit: UnitHabit) -> Result<PartSaid, String> {
        let mut said = said.clone();
        let text = text.trim();
        if Field::leaves_open(text) {
            said.not_known.push(self.name.to_owned());
            return Ok(said);
        }
        if self.many {
            let numbers = text.split(';').map(str::trim).filter(|n| !n.is_empty());
            let numbers: Vec<String> = numbers.map(str::to_owned).collect();
            match self.name {
                PartSaid::FITS => said.fits.extend(numbers),
                _ => said.fits_not.extend(numbers),
            }
            return Ok(said);
        }
        let value = self.form.read(text, habit)?;
        self.form.fault(&value).map_or(Ok(()), Err)?;
        let mut all = match serde_json::to_value(&said) {
            Ok(Value::Object(all)) => all,
            _ => Map::new(),
        };
        all.insert(self.name.to_owned(), value);
        serde_json::from_value(Value::Object(all)).map_err(|e| e.to_string())
    }

    fn faults(&self, said: &PartSaid) -> Option<String> {
        if self.is_photo() {
            return photo_fault(said.photo.as_ref()?);
        }
        if !self.many {
            return self.form.fault(&said.value(self.name)?);
        }
        let numbers = self.numbers(said);
        if numbers.len() > MOST_NUMBERS {
            return Some(format!("more than {MOST_NUMBERS} numbers in one record"));
        }
        let mut numbers = numbers.iter().map(|number| Value::from(number.as_str()));
        numbers.find_map(|number| self.form.fault(&number))
    }

    fn is_said(&self, said: &PartSaid) -> bool {
        match self.many {
            true => !self.numbers(said).is_empty(),
            false => said.value(self.name).is_some(),
        }
    }
}

/// What is wrong with what is said of a part of a kind, by field.
pub fn faults(said: &PartSaid, kind: PartKind) -> Vec<Fault> {
    let mut faults: Vec<Fault> = Vec::new();
    if said.is_empty() {
        let message = "say something of the part, such as its maker's number";
        faults.push(("part".to_owned(), message.to_owned()));
    }
    for field in FIELDS.iter().filter(|field| field.is_said(said)) {
        let message = if !field.is_for(kind) {
            Some(format!(
                "of this part ({kind}) there is no {}",
                field.words.to_lowercase()
            ))
        } else if said.leaves_open(field.name) {
            Some("it is said, and that nobody knows it".to_owned())
        } else {
            field.faults(said)
        };
        faults.extend(message.map(|message| (field.name.to_owned(), message)));
    }
    let open = said.not_known.iter();
    let unknown = open.filter(|name| Field::named(name).is_none());
    faults.extend(unknown.map(|name| {
        let message = format!("there is no field '{}'", safe_line(name));
        ("not_known".to_owned(), message)
    }));
    faults
}

/// What is said of a part in words: each field with what it says.
pub fn in_words(said: &PartSaid, habit: UnitHabit) -> Vec<String> {
    FIELDS
        .iter()
        .filter_map(|field| match field.shown(said, habit) {
            Some(shown) => Some(format!("{}: {shown}", lower(field.words))),
            None if said.leaves_open(field.name) => {
                Some(format!("{}: {NOT_KNOWN}", lower(field.words)))
            }
            None => None,
        })
        .collect()
}

fn lower(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|c| c.to_lowercase().to_string());
    format!("{}{}", first.unwrap_or_default(), letters.as_str())
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_field_of_the_record_has_a_row() {
        let rows: BTreeSet<&str> = FIELDS.iter().map(|field| field.name).collect();
        assert_eq!(rows.len(), FIELDS.len(), "a row stands twice");
        let lists = [PartSaid::FITS, PartSaid::FITS_NOT];
        let said: BTreeSet<&str> = PartSaid::FIELDS.iter().copied().chain(lists).collect();
        assert_eq!(rows, said);
    }

    #[test]
    fn every_kind_has_measures_of_its_own() {
        for kind in PartKind::ALL {
            let own = Field::of(*kind).filter(|field| field.is_measure()).count();
            assert!(own > usize::from(*kind != PartKind::Other), "{kind}");
        }
    }

    #[test]
    fn a_measure_is_typed_in_either_unit_and_kept_in_one() {
        let field = Field::named("bore_mm").expect("a field");
        let none = PartSaid::of("raw-water-hose", Some("main"));
        let metric = field.put(&none, "38", UnitHabit::Metric).expect("a figure");
        let us = field.put(&none, "1.5", UnitHabit::Us).expect("a figure");
        assert_eq!((metric.bore_mm, us.bore_mm), (Some(38.0), Some(38.1)));
        assert_eq!(field.shown(&us, UnitHabit::Us).as_deref(), Some("1.5 in"));
        assert!(field.put(&none, "38 bar", UnitHabit::Metric).is_err());
        assert!(field.put(&none, "NaN", UnitHabit::Metric).is_err());
        assert!(field.put(&none, "90000", UnitHabit::Metric).is_err());
        let open = field
            .put(&none, "not known", UnitHabit::Us)
            .expect("nobody knows");
        assert_eq!(open.not_known, ["bore_mm"]);
    }

    #[test]
    fn what_cannot_be_said_of_a_part_is_named() {
        let none = PartSaid::of("drive-belt", Some("main"));
        let fields = |said: &PartSaid| -> Vec<String> {
            let faults = faults(said, PartKind::Belt).into_iter();
            faults.map(|(field, _)| field).collect()
        };
        assert_eq!(fields(&none), ["part"]);
        let vanes = PartSaid {
            vanes: Some(6),
            ..none.clone()
        };
        assert_eq!(fields(&vanes), ["vanes"]);
        let odd = PartSaid {
            section: Some("x".repeat(81)),
            fits: vec![" ".to_owned()],
            not_known: vec!["section".to_owned(), "colour".to_owned()],
            outside_length_mm: Some(f64::NAN),
            ..none
        };
        assert_eq!(
            fields(&odd),
            ["fits", "section", "outside_length_mm", "not_known"]
        );
    }
}
