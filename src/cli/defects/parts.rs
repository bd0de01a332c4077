//! The parts that the remedies need, each once.

use schemars::JsonSchema;
use serde::Serialize;

use crate::checklist::Library;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::exposure::{Ahead, words};
use crate::cli::page::Set;
use crate::cli::verdict::title_of;
use crate::defects::list::{DefectList, Row, Scenario};
use crate::fleet::numbers::PartNumbers;
use crate::service;

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct PartsBody {
    /// Over what the list was ranked.
    pub exposure: Ahead,
    /// In the order of the list.
    pub rows: Vec<PartRow>,
}

/// A part and what it is for.
#[derive(Serialize, JsonSchema)]
pub struct PartRow {
    /// The part in plain words, as the catalogue names it.
    pub part: String,
    /// Items whose remedy needs it.
    pub items: Vec<String>,
    /// What is known of it by number, for each machine that waits for it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub numbers: Vec<PartNumbers>,
}

/// The parts of the defects that wait for a repair; `known` is what is known of parts.
pub fn answer(
    list: &DefectList,
    scenario: Scenario,
    (library, known): (&Library, &[service::parts::PartRow]),
    cx: &Context,
) -> Answer {
    let mut rows: Vec<PartRow> = Vec::new();
    for (row, part, numbers) in needed(list, known) {
        let at = rows.iter().position(|known| known.part == *part);
        let at = at.unwrap_or(rows.len());
        if at == rows.len() {
            rows.push(PartRow {
                part: part.to_owned(),
                items: Vec::new(),
                numbers: Vec::new(),
            });
        }
        let needed = &mut rows[at];
        if !needed.items.contains(&row.item) {
            needed.items.push(row.item.clone());
        }
        let numbers = numbers.filter(|n| !needed.numbers.contains(n));
        needed.numbers.extend(numbers);
    }
    let body = PartsBody {
        exposure: scenario.exposure.into(),
        rows,
    };
    cx.form.answer("parts", &body, |page| {
        page.line(format!("Parts, by the list over {}", words(scenario)));
        if body.rows.is_empty() {
            page.line("No remedy on the list needs a part.");
            return;
        }
        page.blank();
        let rows = body.rows.iter().map(|row| {
            let items = row.items.iter().map(|i| title_of(library, i));
            let cells = vec![row.part.clone(), items.collect::<Vec<_>>().join("; ")];
            let numbers = row.numbers.iter().map(|n| match &n.machine {
                Some(machine) => format!("{machine}: {}", n.words),
                None => n.words.clone(),
            });
            (cells, numbers.collect())
        });
        let rows: Vec<(Vec<String>, Vec<String>)> = rows.collect();
        let columns = [("part", Set::Wrap), ("for", Set::Wrap)];
        page.table_with_notes(&columns, &rows, "    ");
    })
}

/// Every part that a defect waits for, in the order of the list, with what is known of it by number.
pub fn needed<'a>(
    list: &'a DefectList,
    known: &'a [service::parts::PartRow],
) -> impl Iterator<Item = (&'a Row, &'a str, Option<PartNumbers>)> {
    let waiting = list.rows.iter().filter(|row| row.waits());
    waiting.flat_map(move |row| {
        row.parts.iter().map(move |part| {
            let on = row.machine.as_deref();
            let numbers = PartNumbers::in_remedy(known, (&row.item, part), on);
            (row, part.as_str(), numbers)
        })
    })
}
