//! A trial at engine speeds as a section of a report.

use super::lines;
use super::parts::{TrialCell, TrialLook, TrialPart};
use super::sections::{Block, Section, Table};

/// Columns of the grid that fit on paper beside the engine speed.
const COLUMNS: usize = 6;

impl TrialCell {
    /// What stands in the table: each reading with the digit of its rung, or why there is none.
    fn words(&self) -> String {
        let look = |look: &TrialLook| match (&look.reading, look.grade) {
            (Some(value), Some(grade)) => format!("{value} ({})", grade.rung()),
            (None, Some(grade)) => lines::grade(grade),
            (_, None) => "not seen".to_owned(),
        };
        match &self.empty {
            Some(why) => why.clone(),
            None => self.looks.iter().map(look).collect::<Vec<_>>().join(", "),
        }
    }
}

/// The grid as a section: tables, what still climbed, and what it is held against.
pub fn section<'a>(trial: &TrialPart) -> Section<'a> {
    let mut blocks = vec![Block::Said(
        "A row is an engine speed, and a look at one stands for no other. Each value has the digit of its rung. \"Not asked\": not at this speed. \"Asked once\": seen at another speed of the same part of the walk. \"Not read\": asked, and nothing is on record.".into(),
    )];
    if trial.rows.iter().all(|row| row.of_rated.is_none()) {
        let told = "Her rated speed is not on record, so that no share of it is told.";
        blocks.push(Block::Said(told.into()));
    }
    if !trial.climbing.is_empty() {
        blocks.push(Block::Points(trial.climbing.clone()));
    }
    let all = trial.columns.len();
    for first in (0..all).step_by(COLUMNS) {
        let last = (first + COLUMNS).min(all);
        let names = trial.columns[first..last].iter().map(|c| c.title.clone());
        let rows = trial.rows.iter().map(|row| {
            let cells = row.cells[first..last].iter().map(TrialCell::words);
            [row.title.clone()].into_iter().chain(cells).collect()
        });
        let part = match all > COLUMNS {
            true => format!(
                "Sea trial by engine speed, columns {} to {last} of {all}",
                first + 1
            ),
            false => "Sea trial by engine speed".to_owned(),
        };
        blocks.push(Block::Table(Table {
            head: ["Engine speed".to_owned()]
                .into_iter()
                .chain(names)
                .collect(),
            rows: rows.collect(),
            caption: Some(part),
        }));
    }
    blocks.push(Block::Under("What the readings are held against".into()));
    let pass = trial.columns.iter().flat_map(|column| {
        let lines = column.pass.iter();
        lines.map(|line| vec![column.title.clone(), line.says.clone(), line.source.clone()])
    });
    blocks.push(Block::Table(Table {
        head: ["Item", "What passes", "Source"].map(str::to_owned).into(),
        rows: pass.collect(),
        caption: Some("Pass lines of the sea trial; the maker's handbook outranks them".into()),
    }));
    Section {
        title: "Sea trial",
        blocks,
    }
}
