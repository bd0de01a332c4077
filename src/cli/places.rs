//! `places`: where things are, in words.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arrangement::words::{NOT_TOLD, in_words};
use crate::arrangement::{Arrangement, Standing};
use crate::boat::Point;
use crate::checklist::Grade;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::defects::list::Scenario;

/// Said above the places.
const BY_JUDGEMENT: &str =
    "Places nobody said otherwise of are those of no boat in particular: judgement.";

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct PlacesBody {
    /// Every item the boat has, by its id.
    rows: Vec<PlaceRow>,
}

/// Where an item is, and how it stands.
#[derive(Serialize, JsonSchema)]
pub struct PlaceRow {
    /// The item, by its id in the catalogue.
    item: String,
    /// Machine id; null for what the boat has once.
    machine: Option<String>,
    /// Its title.
    title: String,
    /// Aft of the engine's free end, to starboard, up from the bilge, in hundredths of the engine's
    /// length. Where nobody said otherwise it is judgement.
    at: Point,
    /// The same in words.
    words: String,
    /// It is in another place in every boat, and nobody has said where.
    not_told: bool,
    /// The rung that counts; null where nobody has seen it.
    grade: Option<Grade>,
    /// Its number in the list of defects over the usual plan; null for what is not in it.
    number: Option<usize>,
}

/// Runs the command.
///
/// # Errors
/// The logbook cannot be read.
pub fn run(cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book()?;
    cx.known_asked(&book)?;
    let history = cx.history(&book);
    let condition = cx.condition(&book, &history);
    let (exposure, waters) = condition.usual_plan();
    let list = condition.list(Scenario::new(exposure, waters), false);
    let arrangement = Arrangement::of(&condition, &history);
    let standings = Standing::all(&arrangement, &condition, &history, &list);
    let rows = arrangement.places.into_iter().zip(standings);
    let rows = rows.filter(|(place, _)| cx.is_asked(place.subject.machine.as_deref()));
    let rows = rows.map(|(place, standing)| PlaceRow {
        title: condition
            .item(&place.subject)
            .map_or_else(String::new, |item| item.title.clone()),
        at: place.point,
        words: in_words(place.point),
        not_told: place.is_asked,
        grade: standing.rung,
        number: standing.number,
        item: place.subject.item,
        machine: place.subject.machine,
    });
    let body = PlacesBody {
        rows: rows.collect(),
    };
    Ok(cx.form.answer("places", &body, |page| {
        page.line(BY_JUDGEMENT);
        for row in &body.rows {
            let machine = row
                .machine
                .as_ref()
                .map(|id| format!(", {id}"))
                .unwrap_or_default();
            let stands = row
                .grade
                .map_or_else(|| "not seen".to_owned(), |g| format!("{} {g}", g.rung()));
            let number = row
                .number
                .map(|n| format!(", number {n} in the list"))
                .unwrap_or_default();
            let told = match row.not_told {
                true => format!("; {NOT_TOLD}"),
                false => String::new(),
            };
            page.hang(
                "- ",
                format!(
                    "{}{machine}: {}{told}; {stands}{number}",
                    row.title, row.words
                ),
            );
        }
    }))
}
