//! A trial at engine speeds as a report has it: the grid of the walk, and what each column is held against.

use super::parts::{TrialCell, TrialColumn, TrialLine, TrialLook, TrialPart};
use super::scribe::Scribe;
use super::words::{Said, Words, told};
use crate::checklist::Item;
use crate::defects::pass_lines::{PassLine, still_climbing};
use crate::walk::{Cell, Outcome, Plan, Trial, TrialRow, Walk};

impl Scribe<'_> {
    /// The grid of a walk; none where nothing was asked at speeds and no look names one.
    /// `rated` is the rated speed.
    pub(super) fn trial(&self, plan: &Plan, walk: &Walk, rated: Option<f64>) -> Option<TrialPart> {
        let trial = Trial::of(plan, walk, rated, &Default::default())?;
        // What nobody looked at in any phase of it is told with all else that was not seen.
        let mut cells = trial.rows.iter().flat_map(|row| &row.cells);
        cells.find(|cell| cell.look().is_some())?;
        let library = &self.condition.library;
        let items = self.checklist.map(|list| library.catalogue_of(list));
        let items = items.as_ref().unwrap_or(&library.catalogue);
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
            rows: trial
                .rows
                .iter()
                .map(|row| line(self.w, plan, row))
                .collect(),
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

    fn climbing(&self, plan: &Plan, trial: &Trial<'_>) -> Vec<Said> {
        let mut told = Vec::new();
        for row in &trial.rows {
            for (id, cell) in trial.columns.iter().zip(&row.cells) {
                let item = self.condition.library.catalogue.item(id);
                let unit = item.and_then(|item| item.reading.as_ref());
                let unit = unit.map(|r| r.unit.preferred(self.condition.boat.units));
                let said = item.zip(unit);
                let said = said.and_then(|(item, unit)| still_climbing(item, cell, unit));
                told.extend(said.map(|said| {
                    let (item, at) = (self.title(id), named(self.w, plan, row));
                    let said = self.w.english(said);
                    told!(self.w, "climbing", item = item, at = at, said = said)
                }));
            }
        }
        told
    }
}

/// The step of a row, or its share of the rated speed, or its phase; and its speed.
fn named(w: Words, plan: &Plan, row: &TrialRow<'_>) -> Said {
    let phase = row.phase.and_then(|p| plan.phases.get(p));
    let name = match (row.step, row.of_rated, phase) {
        (Some(step), ..) => w.english(&*step.title),
        (None, Some(share), _) => format!("{} %", w.number(share, 0)).into(),
        (None, None, Some(phase)) => w.english(&*phase.title),
        (None, None, None) => w.say("no-phase").into(),
    };
    match row.rpm {
        Some(rpm) => Said::join([name, w.rpm(rpm).into()], ", "),
        None if row.step.is_some_and(|step| step.of_rated.is_none()) => name,
        None => told!(w, "speed-not-told", name = name),
    }
}

/// Why a cell has no value; none where it has one.
fn empty(w: Words, cell: &Cell<'_>) -> Option<Said> {
    Some(match cell {
        Cell::NotAsked => w.say("cell-not-asked").into(),
        Cell::Once => w.say("cell-once").into(),
        Cell::Unseen => w.say("cell-not-read").into(),
        Cell::Looks(_) => match &cell.look()?.look.outcome {
            Outcome::NotSeen { why, .. } => told!(w, "not-seen-why", why = Said::people(why)),
            Outcome::Graded(_) => return None,
        },
    })
}

fn line(w: Words, plan: &Plan, row: &TrialRow<'_>) -> TrialLine {
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
        empty: empty(w, cell),
    };
    let phase = row.phase.and_then(|p| plan.phases.get(p));
    TrialLine {
        phase: phase.map(|p| p.id.clone()),
        title: named(w, plan, row),
        rpm: row.rpm,
        of_rated: row.of_rated.map(|share| (share * 10.0).round() / 10.0),
        cells: row.cells.iter().map(cell).collect(),
    }
}
