//! The parts that the remedies need, each once.

use schemars::JsonSchema;
use serde::Serialize;

use crate::checklist::Library;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::exposure::{Ahead, words};
use crate::cli::page::Set;
use crate::cli::verdict::title_of;
use crate::defects::State;
use crate::defects::list::{DefectList, Scenario};

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
}

/// The parts of the defects that wait for a repair.
pub fn answer(list: &DefectList, scenario: Scenario, library: &Library, cx: &Context) -> Answer {
    let mut rows: Vec<PartRow> = Vec::new();
    let waiting = list
        .rows
        .iter()
        .filter(|row| matches!(row.state, State::Open | State::Deferred));
    for row in waiting {
        for part in &row.parts {
            match rows.iter_mut().find(|known| known.part == *part) {
                Some(known) if known.items.contains(&row.item) => {}
                Some(known) => known.items.push(row.item.clone()),
                None => rows.push(PartRow {
                    part: part.clone(),
                    items: vec![row.item.clone()],
                }),
            }
        }
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
        let cells: Vec<Vec<String>> = body
            .rows
            .iter()
            .map(|row| {
                let items = row.items.iter().map(|i| title_of(library, i));
                vec![row.part.clone(), items.collect::<Vec<_>>().join("; ")]
            })
            .collect();
        page.table(&[("part", Set::Wrap), ("for", Set::Wrap)], &cells);
    })
}
