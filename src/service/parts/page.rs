//! One page to print, or to hold up on a telephone: big numbers, the measures beneath, and the engine
//! they are for as its plate has it.

use std::collections::BTreeMap;

use askama::Template;
use chrono::NaiveDate;

use super::PartRow;
use crate::boat::profile::UnitHabit;
use crate::boat::{Boat, Machine};
use crate::walk::Photo;

/// Long side of a photograph on the page, pixels: some 60 mm of paper, fine enough to know the part by.
pub const LONGEST: u32 = 480;

/// The page of these parts, without any script; `pictures` are their photographs as addresses that hold
/// them, by the names they are kept under, and `not_counted` the sentences on what is on record and left
/// out.
pub fn html(
    boat: &Boat,
    rows: &[PartRow],
    on: NaiveDate,
    pictures: &BTreeMap<String, String>,
    not_counted: Vec<String>,
) -> String {
    let mut sheets: Vec<Sheet<'_>> = Vec::new();
    for row in rows {
        let machine = row.machine.as_deref();
        let last = sheets.last().filter(|sheet| sheet.machine == machine);
        if last.is_none() {
            sheets.push(Sheet::of(boat, machine));
        }
        if let Some(sheet) = sheets.last_mut() {
            sheet.put(row, boat.units, pictures);
        }
    }
    // A sheet of which nothing is known is no paper worth printing, unless there is no other.
    if sheets.iter().any(|sheet| !sheet.parts.is_empty()) {
        sheets.retain(|sheet| !sheet.parts.is_empty());
    }
    let on = on.to_string();
    let title = "Parts".to_owned();
    Page {
        title,
        sheets,
        on,
        not_counted,
    }
    .to_string()
}

/// The parts of a machine, or of the boat.
struct Sheet<'a> {
    machine: Option<&'a str>,
    /// Maker, model, serial number, as on the plate.
    plate: Vec<(&'static str, &'a str)>,
    heading: &'a str,
    parts: Vec<Shown<'a>>,
    /// Titles of what nothing is known of.
    open: Vec<&'a str>,
}

/// A part as it stands there.
struct Shown<'a> {
    row: &'a PartRow,
    /// What one asks for by number, the maker's first.
    numbers: Vec<(&'static str, String)>,
    measures: Vec<(&'static str, String)>,
    words: Vec<(&'static str, String)>,
    picture: Option<Picture<'a>>,
}

/// The photograph of a part.
struct Picture<'a> {
    photo: &'a Photo,
    /// An address that holds it; none where it cannot be shown.
    address: Option<&'a str>,
    /// What it shows.
    caption: &'a str,
}

impl<'a> Picture<'a> {
    fn of(row: &'a PartRow, pictures: &'a BTreeMap<String, String>) -> Option<Picture<'a>> {
        let photo = row.photo()?;
        let kept = photo.kept.as_ref();
        Some(Picture {
            photo,
            address: kept.and_then(|kept| pictures.get(kept)).map(String::as_str),
            caption: photo.caption.as_deref().unwrap_or(&row.title),
        })
    }
}

impl<'a> Sheet<'a> {
    fn of(boat: &'a Boat, machine: Option<&'a str>) -> Sheet<'a> {
        let known = boat
            .machines
            .iter()
            .find(|m| Some(m.id.as_str()) == machine);
        Sheet {
            machine,
            plate: known.map(plate).unwrap_or_default(),
            heading: match known {
                Some(machine) => &machine.name,
                None => machine.unwrap_or("What the boat has once"),
            },
            parts: Vec::new(),
            open: Vec::new(),
        }
    }

    fn put(&mut self, row: &'a PartRow, habit: UnitHabit, pictures: &'a BTreeMap<String, String>) {
        if row.known.is_none() {
            self.open.push(&row.title);
            return;
        }
        let mut shown = Shown {
            row,
            numbers: Vec::new(),
            measures: Vec::new(),
            words: Vec::new(),
            picture: Picture::of(row, pictures),
        };
        let lines = row.lines(habit).into_iter();
        for (field, said) in lines.filter(|(field, _)| !field.is_photo()) {
            let list = match field.name {
                "makers_number" | "fitted_number" | "fits" | "specification" => &mut shown.numbers,
                _ if field.is_measure() => &mut shown.measures,
                _ => &mut shown.words,
            };
            list.push((field.words, said));
        }
        self.parts.push(shown);
    }
}

fn plate(machine: &Machine) -> Vec<(&'static str, &str)> {
    let plate = [
        ("Maker", &machine.maker),
        ("Model", &machine.model),
        ("Serial number", &machine.serial),
    ];
    let known = plate.into_iter();
    known
        .filter_map(|(name, said)| Some((name, said.as_deref()?)))
        .collect()
}

#[derive(Template)]
#[template(path = "parts.html")]
struct Page<'a> {
    title: String,
    sheets: Vec<Sheet<'a>>,
    on: String,
    not_counted: Vec<String>,
}
