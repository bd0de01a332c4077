//! The profile in words and as JSON.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use crate::boat::facts::{Fact, NOT_KNOWN, Of, Place};
use crate::boat::{Boat, Machine};
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::page::Page;
use crate::defects::History;
use crate::defects::trend_answer::RateRow;
use crate::logbook::book::{Book, Differs};
use crate::walk::Photo;

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct BoatBody {
    /// Folder of the logbook, as the system names it.
    logbook: String,
    /// The profile that the records give.
    boat: Boat,
    /// The rate of use of each machine, by which hours become dates everywhere.
    rates: Vec<MachineRate>,
    /// Machines that records name and the profile does not; missing where there is none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    beside: Vec<String>,
    /// All that can be known of her, in order: known or not.
    facts: Vec<FactRow>,
    /// Where the file of the profile and the records differ; missing where they agree.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    differs: Vec<FieldRow>,
}

/// A field in which the file of the profile and the records differ. The records hold.
#[derive(Serialize, JsonSchema)]
pub struct FieldRow {
    /// Such as `waters` or `machines.main.sump`.
    field: String,
    /// Its value by the records; null where they have none.
    record: Option<String>,
    /// When a record last set it.
    set_at: Option<DateTime<FixedOffset>>,
    /// Its value in boat.json; null where that has none.
    file: Option<String>,
}

impl From<Differs> for FieldRow {
    fn from(differs: Differs) -> FieldRow {
        FieldRow {
            field: differs.field.field,
            record: differs.field.first,
            set_at: differs.set_at,
            file: differs.field.second,
        }
    }
}

/// The rate of use of a machine.
#[derive(Serialize, JsonSchema)]
pub struct MachineRate {
    /// The machine, by its id in the profile.
    machine: String,
    /// Running hours per day, with the interval where meter readings give one.
    #[serde(flatten)]
    rate: RateRow,
}

/// One thing that can be known of her.
#[derive(Serialize, JsonSchema)]
pub struct FactRow {
    /// Its name, to give to `boat put`.
    fact: &'static str,
    /// What it is known of.
    of: Of,
    /// The machine, tank or battery bank; null for the boat.
    id: Option<String>,
    /// What it is, in words.
    words: &'static str,
    /// As it is shown, in the unit you think in; null where it is not known.
    shown: Option<String>,
    /// The photograph of where it is; missing where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    photo: Option<Photo>,
    /// The unit typed and shown; null where it has none.
    unit: Option<&'static str>,
    /// Why it is asked.
    why: &'static str,
    /// What changes when it is known.
    then: &'static str,
}

impl FactRow {
    fn of(boat: &Boat, history: &History, place: &Place, fact: &'static Fact) -> FactRow {
        let unit = fact.form.unit(boat.units);
        FactRow {
            fact: fact.name,
            of: place.of,
            id: (place.of != Of::Boat).then(|| place.id.clone()),
            words: fact.words,
            shown: fact.shown(boat, place),
            photo: history.place_photo(fact.name, place.machine()).cloned(),
            unit: (!unit.is_empty()).then_some(unit),
            why: fact.why,
            then: fact.then,
        }
    }
}

/// The profile, after what was done to it; with the reason for each question where that is asked.
pub fn answer(book: &Book, cx: &Context, why: bool, done: &str) -> Answer {
    let history = cx.history(book);
    let condition = cx.condition(book, &history);
    let rates = book.boat().machines.iter().map(|m| MachineRate {
        machine: m.id.clone(),
        rate: condition.rate(Some(&m.id)).into(),
    });
    let boat = book.profile();
    let facts = Place::all(boat).into_iter().flat_map(|place| {
        let facts = place.facts();
        let history = &history;
        facts.map(move |fact| FactRow::of(boat, history, &place, fact))
    });
    let body = BoatBody {
        logbook: book.root().display().to_string(),
        boat: boat.clone(),
        rates: rates.collect(),
        beside: book.beside_profile().to_vec(),
        facts: facts.collect(),
        differs: book
            .file_differs()
            .into_iter()
            .map(FieldRow::from)
            .collect(),
    };
    cx.form.answer("boat", &body, |page| {
        if !done.is_empty() {
            page.line(done);
        }
        write(page, &body, why);
    })
}

fn write(page: &mut Page, body: &BoatBody, why: bool) {
    let boat = &body.boat;
    for place in Place::all(boat) {
        let mut indent = "";
        if place.of != Of::Boat {
            let name = place.name(boat).unwrap_or_default();
            let of = crate::text::capital(place.of.words());
            page.line(format!("{of} {}: {name}", place.id));
            indent = "  ";
        }
        write_facts(page, body, &place, indent, why);
        let Some(machine) = boat
            .machines
            .iter()
            .find(|m| place == Place::new(Of::Machine, &m.id))
        else {
            continue;
        };
        write_lists(page, machine);
        let rate = body.rates.iter().find(|rate| rate.machine == machine.id);
        if let Some(rate) = rate {
            page.line(format!("  Rate of use: {}", rate.rate.in_words()));
        }
    }
    for id in &body.beside {
        page.line(format!(
            "Beside the profile: machine '{id}', which records name"
        ));
    }
    for row in &body.differs {
        let value = |value: &Option<String>| value.clone().unwrap_or_else(|| "none".to_owned());
        let since = row
            .set_at
            .map(|at| format!(", set {}", at.format("%Y-%m-%d")));
        page.hang(
            "Differs: ",
            format!(
                "{}: {} in the records{}, {} in boat.json",
                row.field,
                value(&row.record),
                since.unwrap_or_default(),
                value(&row.file)
            ),
        );
    }
    page.line(format!("Logbook: {}", body.logbook));
}

/// What is known of a thing aboard, a line each; then what is not, by the names to put it under.
fn write_facts(page: &mut Page, body: &BoatBody, place: &Place, indent: &str, why: bool) {
    let boat = &body.boat;
    let mut unknown = Vec::new();
    for fact in place.facts() {
        let shown = fact.shown(boat, place);
        let own = |row: &&FactRow| {
            let id = row.id.as_deref().unwrap_or_default();
            row.fact == fact.name && row.of == place.of && id == place.id
        };
        let photo = body
            .facts
            .iter()
            .find(own)
            .and_then(|row| row.photo.as_ref());
        let photo = photo.map(|photo| format!("photograph {}", photo.words()));
        let shown = match (shown, photo) {
            (Some(shown), Some(photo)) => Some(format!("{shown}; {photo}")),
            (shown, photo) => shown.or(photo),
        };
        if why {
            let value = shown.as_deref().unwrap_or(NOT_KNOWN);
            page.hang(indent, format!("{}: {value}", fact.words));
            let unit = fact.form.unit(boat.units);
            let unit = if unit.is_empty() {
                String::new()
            } else {
                format!(", {unit}")
            };
            let told = format!("{}{unit}. {} {}", fact.name, fact.why, fact.then);
            page.hang(&format!("{indent}    "), told);
            continue;
        }
        match shown {
            // The name of what hers is called stands above.
            Some(_) if fact.name == "name" && place.of != Of::Boat => {}
            Some(value) => page.hang(indent, format!("{}: {value}", fact.words)),
            None => unknown.push(fact.name),
        }
    }
    if !unknown.is_empty() {
        page.hang(&format!("{indent}Not known: "), unknown.join(", "));
    }
}

fn write_lists(page: &mut Page, machine: &Machine) {
    if !machine.without.is_empty() {
        page.hang("  Without: ", machine.without.join(", "));
    }
    for limit in &machine.handbook {
        page.hang(
            "  Handbook: ",
            format!("{} {} ({})", limit.item, limit.range(), limit.source),
        );
    }
}
