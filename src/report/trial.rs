//! A trial at engine speeds in a report: the grid of the walk, and what each column is held against.

use super::gather::Scribe;
use super::lines;
use super::parts::{TrialCell, TrialColumn, TrialLine, TrialLook, TrialPart};
use super::sections::{Block, Section, Table};
use crate::checklist::Item;
use crate::defects::pass_lines::{PassLine, still_climbing};
use crate::walk::{Cell, Plan, Trial, TrialRow, Walk};

/// Columns of the grid that fit on paper beside the engine speed.
const COLUMNS: usize = 6;

impl Scribe<'_> {
    /// The grid of a walk; none where nothing was asked at speeds and no look names one.
    pub(super) fn trial(&self, plan: &Plan, walk: &Walk) -> Option<TrialPart> {
        let mut machines = self.condition.boat.machines.iter();
        let machine = machines.find(|m| m.id == walk.machine);
        let rated = machine.and_then(|m| m.rated_rpm);
        let trial = Trial::of(plan, walk, rated, &Default::default())?;
        // What nobody looked at in any phase of it is told with all else that was not seen.
        let mut cells = trial.rows.iter().flat_map(|row| &row.cells);
        cells.find(|cell| cell.look().is_some())?;
        let items = &self.condition.library.catalogue;
        let columns = trial.columns.iter().enumerate();
        let columns = columns.map(|(column, id)| TrialColumn {
            item: (*id).to_owned(),
            title: self.title(id),
            pass: items.item(id).map_or_else(Vec::new, |item| {
                self.pass_lines(plan, walk, &trial, (column, item))
            }),
        });
        Some(TrialPart {
            columns: columns.collect(),
            climbing: self.climbing(plan, &trial),
            rows: trial.rows.iter().map(|row| line(plan, row)).collect(),
        })
    }

    /// What a column is held against: once where it is the same at all speeds, else by the first
    /// speed at which it is another; then what is published of a step.
    fn pass_lines(
        &self,
        plan: &Plan,
        walk: &Walk,
        trial: &Trial<'_>,
        (column, item): (usize, &Item),
    ) -> Vec<PassLine> {
        let mut own: Vec<(String, PassLine)> = Vec::new();
        let mut published = Vec::new();
        for row in &trial.rows {
            if row.cells[column] == Cell::NotAsked {
                continue;
            }
            let phase = row.phase.and_then(|p| plan.phases.get(p));
            let state = phase.map(|phase| phase.state);
            let line = self.condition.pass_lines(item, &walk.machine, state, None);
            if !own.iter().any(|(_, known)| *known == line) {
                let title = phase.map_or_else(String::new, |phase| phase.title.clone());
                own.push((title, line));
            }
            let said = row.step.map(|step| self.condition.published(item, step));
            published.extend(said.into_iter().flatten());
        }
        let several = own.len() > 1;
        let own = own.into_iter().map(|(phase, line)| match several {
            true => PassLine {
                says: format!("{phase}: {}", line.says),
                ..line
            },
            false => line,
        });
        let mut lines: Vec<PassLine> = own.collect();
        published.retain(|line| !lines.contains(line));
        lines.extend(published);
        lines
    }

    fn climbing(&self, plan: &Plan, trial: &Trial<'_>) -> Vec<String> {
        let mut told = Vec::new();
        for row in &trial.rows {
            for (id, cell) in trial.columns.iter().zip(&row.cells) {
                let item = self.condition.library.catalogue.item(id);
                let unit = item.and_then(|item| item.reading.as_ref());
                let unit = unit.map(|r| r.unit.preferred(self.condition.boat.units));
                let said = item.zip(unit);
                let said = said.and_then(|(item, unit)| still_climbing(item, cell, unit));
                told.extend(
                    said.map(|said| format!("{}, {}: {said}", self.title(id), named(plan, row))),
                );
            }
        }
        told
    }
}

fn named(plan: &Plan, row: &TrialRow<'_>) -> String {
    let phase = row.phase.and_then(|p| plan.phases.get(p));
    row.named(phase.map_or("no phase named", |phase| &phase.title))
}

fn line(plan: &Plan, row: &TrialRow<'_>) -> TrialLine {
    let cell = |cell: &Cell<'_>| TrialCell {
        looks: match cell {
            Cell::Looks(looks) => looks
                .iter()
                .map(|timed| TrialLook {
                    look: timed.id.to_string(),
                    at: timed.at,
                    reading: timed.look.reading.map(|r| r.to_string()),
                    grade: timed.look.grade(),
                })
                .collect(),
            _ => Vec::new(),
        },
        empty: cell.empty(),
    };
    TrialLine {
        phase: row
            .phase
            .and_then(|p| plan.phases.get(p))
            .map(|p| p.id.clone()),
        title: named(plan, row),
        rpm: row.rpm,
        of_rated: row.of_rated.map(|share| (share * 10.0).round() / 10.0),
        cells: row.cells.iter().map(cell).collect(),
    }
}

impl TrialCell {
    /// What stands in the table: each reading with the digit of its rung, or why there is none.
    fn words(&self) -> String {
        let look = |look: &TrialLook| match (&look.reading, look.grade) {
            (Some(value), Some(grade)) => format!("{value} ({})", grade.rung()),
            (None, Some(grade)) => lines::grade(grade),
            (_, None) => String::new(),
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
    if !trial.climbing.is_empty() {
        blocks.push(Block::Points(trial.climbing.clone()));
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
