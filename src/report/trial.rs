//! A trial at engine speeds as a section of a report.

use super::blocks::{Block, Column, Head, Section, Table};
use super::lines::at_speed;
use super::parts::{TrialCell, TrialPart};
use super::words::{Said, Words, told};

/// Columns of the grid that fit on paper beside the engine speed.
const COLUMNS: usize = 6;

impl TrialCell {
    /// What stands in the table: each reading with the digit of its rung, or why there is none.
    fn words(&self, w: Words) -> Said {
        let looks = self.looks.iter();
        match &self.empty {
            Some(why) => why.clone(),
            None => Said::join(
                looks.map(|look| at_speed(w, look.reading.as_deref(), look.grade)),
                ", ",
            ),
        }
    }
}

/// The grid as a section: tables, what still climbed, and what it is held against.
pub fn section<'a>(w: Words, trial: &TrialPart) -> Section<'a> {
    let mut blocks = vec![Block::Said(w.say("trial-about").into())];
    if trial.rows.iter().all(|row| row.of_rated.is_none()) {
        blocks.push(Block::Said(w.say("trial-no-rated").into()));
    }
    if !trial.climbing.is_empty() {
        blocks.push(Block::Points(trial.climbing.clone()));
    }
    let all = trial.columns.len();
    for first in (0..all).step_by(COLUMNS) {
        let last = (first + COLUMNS).min(all);
        let names = trial.columns[first..last].iter().map(|column| Head {
            said: column.title.clone(),
            unbroken: false,
        });
        let rows = trial.rows.iter().map(|row| {
            let cells = row.cells[first..last].iter().map(|cell| cell.words(w));
            [row.title.clone()].into_iter().chain(cells).collect()
        });
        let part = match all > COLUMNS {
            true => told!(
                w,
                "trial-columns",
                first = first + 1,
                last = last,
                all = all
            ),
            false => w.say("trial-grid").into(),
        };
        let speed = Column::kept("col-speed").head(w);
        blocks.push(Block::Table(Table {
            head: [speed].into_iter().chain(names).collect(),
            rows: rows.collect(),
            caption: Some(part),
        }));
    }
    blocks.push(Block::Under(w.say("trial-pass").into()));
    let pass = trial.columns.iter().flat_map(|column| {
        let lines = column.pass.iter();
        lines.map(|line| {
            let (says, source) = (w.english(&*line.says), w.english(&*line.source));
            vec![column.title.clone(), says, source]
        })
    });
    let head = ["col-item", "col-passes", "col-source"].map(Column::kept);
    blocks.push(Block::Table(Table {
        caption: Some(w.say("trial-pass-lines").into()),
        ..Table::new(w, &head, pass.collect())
    }));
    Section::new(w, "section-trial", blocks)
}
