//! `symptoms`: what she does, in a skipper's words, what comes first then, and the looks it leads to.

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::first_minute::put_lines;
use crate::boat::Boat;
use crate::checklist::Catalogue;
use crate::symptoms::{LookAt, OUTRANKED, Symptom, SymptomsFile, ToldLine};

/// Options of `symptoms`.
#[derive(Args, Debug)]
pub struct SymptomsArgs {
    /// What she does, by its id or in words it is spoken of with; all where left out
    #[arg(value_name = "WORDS")]
    pub words: Vec<String>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct SymptomsBody {
    /// The symptoms, the most urgent first.
    pub rows: Vec<SymptomRow>,
}

/// What she does.
#[derive(Serialize, JsonSchema)]
pub struct SymptomRow {
    /// Its id.
    pub id: String,
    /// In a skipper's words.
    pub title: String,
    /// Id of its first-minute card; null where it has none.
    pub card: Option<String>,
    /// What comes first: the lines of its card, else its own.
    pub first: Vec<ToldLine>,
    /// The looks it leads to, at what she has; all of them where there is no boat.
    pub looks: Vec<LookRow>,
    /// Where it comes from: a published source, or common practice.
    pub source: String,
}

/// A look.
#[derive(Serialize, JsonSchema)]
pub struct LookRow {
    /// Catalogue id of the item.
    pub item: String,
    /// What it is called.
    pub title: String,
    /// Id of the question of the causes asked with it; null where none is.
    pub question: Option<String>,
    /// True where it was seen already: it is told, and nothing is done for it again.
    pub seen: bool,
}

/// Runs the command.
///
/// # Errors
/// Nothing is spoken of with these words, or the files of one's own are at fault.
pub fn run(args: &SymptomsArgs, cx: &Context) -> Result<Answer, Failure> {
    let all = SymptomsFile::built_in();
    let words = args.words.join(" ");
    let found: Vec<&Symptom> = match all.symptom(&words) {
        Some(symptom) => vec![symptom],
        None => {
            let spoken = all.symptoms.iter();
            spoken.filter(|s| s.is_spoken_of(&words)).collect()
        }
    };
    if found.is_empty() {
        return Err(Failure::usage(format!(
            "nothing she does is spoken of with '{words}'; see: handlamp symptoms"
        )));
    }
    let book = cx.book_at_hand()?;
    let own = cx.library()?;
    let library = book.as_ref().map_or(&own, |book| book.library());
    let boat = book.as_ref().map(|book| book.boat());
    let row = |symptom: &Symptom| SymptomRow {
        id: symptom.id.clone(),
        title: symptom.title.clone(),
        card: symptom.card.clone(),
        first: all.first(symptom).iter().map(|l| l.told(boat)).collect(),
        looks: symptom
            .looks
            .iter()
            .filter(|at| boat.is_none_or(|boat| has(boat, &at.item, &library.catalogue)))
            .map(|at| look(at, &library.catalogue))
            .collect(),
        source: symptom.source.clone(),
    };
    let body = SymptomsBody {
        rows: found.into_iter().map(row).collect(),
    };
    Ok(cx.form.answer("symptoms", &body, |page| {
        for row in &body.rows {
            page.hang("", format!("{} [{}]", row.title, row.id));
            put_lines(page, &row.first);
            let looks = row.looks.iter().map(|look| match look.seen {
                true => format!("as seen: {} [{}]", look.title, look.item),
                false => format!("{} [{}]", look.title, look.item),
            });
            page.hang("  Then look: ", looks.collect::<Vec<_>>().join("; "));
            page.blank();
        }
        page.paragraph(OUTRANKED);
    }))
}

/// True where one of her machines has an item, or the boat has it once.
fn has(boat: &Boat, item: &str, catalogue: &Catalogue) -> bool {
    let item = catalogue.item(item);
    let mut machines = boat.machines.iter();
    item.is_some_and(|item| machines.any(|m| item.is_for(m.role) && !m.without.contains(&item.id)))
}

fn look(look: &LookAt, catalogue: &Catalogue) -> LookRow {
    let item = catalogue.item(&look.item);
    LookRow {
        item: look.item.clone(),
        title: item.map_or_else(|| look.item.clone(), |item| item.title.clone()),
        question: look.asks.clone(),
        seen: look.seen,
    }
}
