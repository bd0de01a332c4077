//! A walk on the grid of engine speeds: a row for each speed, a column for each item that is asked at
//! speeds. Where one is in it is the place of the walk and the speed of its phase, so that every key says
//! of a cell what it says of a place.

mod beneath;
pub mod draw;

use std::collections::BTreeMap;

use crate::checklist::Step;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::screen::walk::state::{Grid, Turn, WalkScreen};
use crate::walk::{Cell, Spot, Trial};

/// A cell by the indices of its row and column.
type At = (usize, usize);

impl WalkScreen {
    /// The grid; none where nothing is asked at speeds.
    pub fn trial<'a>(&'a self, book: &'a Book) -> Option<Trial<'a>> {
        Trial::of(&self.plan, self.walk(book), self.rated(), &self.speeds)
    }

    /// The rated speed of the engine, revolutions per minute.
    fn rated(&self) -> Option<f64> {
        self.before.rated(&self.started.machine)
    }

    /// The steps of this phase by their speeds, in words; none where there are none or the rated speed
    /// is not known.
    pub fn steps_told(&self) -> Option<String> {
        let (rated, phase) = (self.rated()?, self.plan.phases.get(self.at.phase)?);
        let told = |step: &Step| Some(format!("{} ({})", step.rpm(rated)?, step.title));
        let told: Vec<String> = phase.steps.iter().filter_map(told).collect();
        (!told.is_empty()).then(|| told.join(", "))
    }

    /// Onto the grid, or back to the list.
    pub fn turn_grid(&mut self, cx: &mut Turn<'_>) {
        if self.grid.is_some() {
            return self.leave_grid(cx.book);
        }
        if self.trial(cx.book).is_none() {
            return cx.tell("this walk asks nothing at engine speeds");
        }
        self.drawing.on = None;
        self.grid = Some(Grid {
            before: self.speeds.clone(),
            column: 0,
        });
        self.settle(cx.book);
    }

    /// Back to the list. A speed one only passed by, with nothing seen at it, is not the speed of a step.
    pub fn leave_grid(&mut self, book: &Book) {
        let Some(Grid { before, .. }) = self.grid.take() else {
            return;
        };
        let walk = self.walk(book);
        let seen = |(phase, rpm): &(usize, u32)| {
            let id = self.plan.phases.get(*phase).map(|p| p.id.as_str());
            let mut looks = walk.looks.iter();
            looks.any(|t| t.look.phase.as_deref() == id && t.look.at_rpm == Some(*rpm))
        };
        let kept: BTreeMap<usize, u32> = self
            .speeds
            .iter()
            .map(|(phase, rpm)| (*phase, *rpm))
            .filter(seen)
            .collect();
        self.speeds = before.into_iter().chain(kept).collect();
    }

    /// The cell one is at; none where the place or the speed is none of the grid.
    fn cell_at(&self, trial: &Trial<'_>) -> Option<At> {
        let item = self.plan.item(self.at)?;
        let column = trial.columns.iter().position(|c| *c == item)?;
        let here = (Some(self.at.phase), self.speed());
        let row = trial.rows.iter().position(|r| (r.phase, r.rpm) == here)?;
        let known = |cell: &Cell<'_>| is_open(cell).then_some((row, column));
        trial.rows[row].cells.get(column).and_then(known)
    }

    /// To a cell: its phase, its item and its speed.
    fn stand(&mut self, place: Option<(Spot, Option<u32>)>) {
        let Some((spot, rpm)) = place else { return };
        self.go(spot);
        self.open = self.row().is_some_and(|row| row.items.len() > 1);
        self.put_speed(rpm);
    }

    fn place(&self, trial: &Trial<'_>, (row, column): At) -> Option<(Spot, Option<u32>)> {
        let row = trial.rows.get(row)?;
        let item = *trial.columns.get(column)?;
        let here = |s: &Spot| Some(s.phase) == row.phase && self.plan.item(*s) == Some(item);
        Some((self.plan.spots().find(here)?, row.rpm))
    }

    /// Onto the cell in front.
    pub fn settle(&mut self, book: &Book) {
        let Some(trial) = self.trial(book).filter(|_| self.grid.is_some()) else {
            self.grid = None;
            return;
        };
        let to = self.in_front(&trial);
        let moved = to != self.cell_at(&trial);
        let column = to.filter(|_| moved).map(|to| to.1);
        let place = to.and_then(|to| self.place(&trial, to));
        if let Some(column) = column {
            self.mean(column);
        }
        self.stand(place);
    }

    /// The cell one is at; where one is at none, one of this phase rather than another, unseen rather than
    /// seen.
    fn in_front(&self, trial: &Trial<'_>) -> Option<At> {
        let here = |(row, _): &At| trial.rows[*row].phase == Some(self.at.phase);
        let seen = |(row, column): &At| trial.rows[*row].cells[*column] != Cell::Unseen;
        let nearest = || {
            let all = cells(trial).into_iter();
            all.min_by_key(|at| (!here(at), seen(at)))
        };
        self.cell_at(trial).or_else(nearest)
    }

    /// To the next cell that can be looked at in a direction; up and down to the nearest column of the
    /// row there.
    pub fn step_on_grid(&mut self, action: Action, book: &Book) {
        let Some(trial) = self.trial(book) else {
            return;
        };
        let Some((row, column)) = self.cell_at(&trial) else {
            return;
        };
        let meant = self.grid.as_ref().map_or(column, |grid| grid.column);
        let cells = cells(&trial);
        let mut in_row = cells.iter().filter(|at| at.0 == row);
        let nearest = |target: Option<&At>| {
            let there = cells
                .iter()
                .filter(|at| Some(at.0) == target.map(|at| at.0));
            there.min_by_key(|at| (at.1.abs_diff(meant), at.1))
        };
        let to = match action {
            Action::MoveLeft => in_row.rfind(|at| at.1 < column),
            Action::MoveRight => in_row.find(|at| at.1 > column),
            Action::MoveUp => nearest(cells.iter().rfind(|at| at.0 < row)),
            Action::MoveDown => nearest(cells.iter().find(|at| at.0 > row)),
            Action::First => cells.first(),
            _ => cells.last(),
        };
        let to = to.copied();
        let place = to.and_then(|to| self.place(&trial, to));
        let by_row = matches!(action, Action::MoveUp | Action::MoveDown);
        let meant = to.filter(|_| !by_row).map_or(meant, |to| to.1);
        self.mean(meant);
        self.stand(place);
    }

    fn mean(&mut self, column: usize) {
        if let Some(grid) = &mut self.grid {
            grid.column = column;
        }
    }

    /// On after a look: to the next of the row without one. Another speed is gone to by an arrow, since
    /// the engine has to be brought there first.
    pub fn advance_on_grid(&mut self, cx: &mut Turn<'_>) {
        self.go_unseen(true, cx);
    }

    /// To the next cell without a look, in this row alone or in any, round from the last to the first.
    pub fn go_unseen(&mut self, in_row: bool, cx: &mut Turn<'_>) {
        let Some(trial) = self.trial(cx.book) else {
            return;
        };
        let Some(here) = self.cell_at(&trial) else {
            return;
        };
        let mut unseen = cells(&trial);
        unseen.retain(|at| {
            trial.rows[at.0].cells[at.1] == Cell::Unseen && (!in_row || at.0 == here.0)
        });
        let further = unseen.iter().find(|at| **at > here);
        let to = further.or(unseen.first()).copied();
        match to.and_then(|to| Some((to.1, self.place(&trial, to)?))) {
            Some((column, place)) => {
                self.mean(column);
                self.stand(Some(place));
            }
            None if in_row => {
                cx.tell("every cell of this speed has its look; the arrows go to another")
            }
            None => cx.tell("every cell of the grid has its look"),
        }
    }
}

/// Whether one can stand on a cell: it is asked at this speed, or was seen there.
fn is_open(cell: &Cell<'_>) -> bool {
    matches!(cell, Cell::Unseen | Cell::Looks(_))
}

/// Cells one can stand on, row by row.
fn cells(trial: &Trial<'_>) -> Vec<At> {
    let mut all = Vec::new();
    for (r, row) in trial.rows.iter().enumerate() {
        let cells = row.cells.iter().enumerate();
        let open = cells.filter(|(_, cell)| row.phase.is_some() && is_open(cell));
        all.extend(open.map(|(column, _)| (r, column)));
    }
    all
}
