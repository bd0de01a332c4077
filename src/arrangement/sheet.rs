//! Boxes and marks in the cells of a terminal. Every mark has cells of its own, as near to its place as the
//! marks before it leave room, and none touches another.

use super::places::{Arrangement, Box3};
use super::view::Window;
use crate::boat::Point;
use crate::text::width;

/// From so many columns on what has no title is drawn too.
const DETAILED: usize = 96;
/// A mark stands at most so many rows beside its place.
const FARTHEST: i32 = 8;
/// A row is about as high as two columns are wide.
const ROW: i32 = 2;

/// What stands at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// Where.
    pub point: Point,
    /// Columns it takes, at least one.
    pub width: usize,
}

/// Where the lines of a box run through a cell, as bits.
pub const UP: u8 = 1;
/// See [`UP`].
pub const RIGHT: u8 = 2;
/// See [`UP`].
pub const DOWN: u8 = 4;
/// See [`UP`].
pub const LEFT: u8 = 8;

/// A view in cells.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// How many columns.
    pub columns: usize,
    /// How many rows.
    pub rows: usize,
    /// Lines, cell by cell, row after row.
    pub strokes: Vec<u8>,
    /// Column and row of the first cell of each mark, in the order given; none where there is no room.
    pub marks: Vec<Option<(usize, usize)>>,
    /// What is written on the boxes, with the column and row where it begins.
    pub titles: Vec<(usize, usize, String)>,
}

impl Sheet {
    /// A window of an arrangement. The marks that matter most come first.
    pub fn of(
        window: &Window,
        arrangement: &Arrangement,
        marks: &[Mark],
        (columns, rows): (usize, usize),
    ) -> Sheet {
        let mut sheet = Sheet {
            columns,
            rows,
            strokes: vec![0; columns * rows],
            marks: Vec::with_capacity(marks.len()),
            titles: Vec::new(),
        };
        if columns == 0 || rows == 0 {
            sheet.marks.resize(marks.len(), None);
            return sheet;
        }
        let shown = |b: &&Box3| columns >= DETAILED || !b.title.is_empty();
        let boxes: Vec<&Box3> = arrangement.boxes.iter().filter(shown).collect();
        for found in &boxes {
            sheet.stroke(window, found);
        }
        let mut taken = Taken {
            columns,
            rows,
            cells: vec![false; columns * rows],
        };
        for mark in marks {
            let at = sheet.cell(window, mark.point);
            sheet.marks.push(taken.nearest(at, mark.width.max(1)));
        }
        for found in &boxes {
            sheet.title(window, found, &mut taken);
        }
        sheet
    }

    /// The cell of a point.
    pub fn cell(&self, window: &Window, point: Point) -> (usize, usize) {
        let (right, down) = window.share(point);
        let of =
            |share: f64, count: usize| (share * count.saturating_sub(1) as f64).round() as usize;
        (of(right, self.columns), of(down, self.rows))
    }

    fn corners(&self, window: &Window, found: &Box3) -> [(usize, usize); 2] {
        let (a, b) = (self.cell(window, found.from), self.cell(window, found.to));
        [(a.0.min(b.0), a.1.min(b.1)), (a.0.max(b.0), a.1.max(b.1))]
    }

    fn stroke(&mut self, window: &Window, found: &Box3) {
        let [(left, top), (right, foot)] = self.corners(window, found);
        for column in left..right {
            for row in [top, foot] {
                self.add(column, row, RIGHT);
                self.add(column + 1, row, LEFT);
            }
        }
        for row in top..foot {
            for column in [left, right] {
                self.add(column, row, DOWN);
                self.add(column, row + 1, UP);
            }
        }
    }

    fn add(&mut self, column: usize, row: usize, bit: u8) {
        if let Some(cell) = self.strokes.get_mut(row * self.columns + column) {
            *cell |= bit;
        }
    }

    /// Writes the title of a box on its upper edge, where that is free.
    fn title(&mut self, window: &Window, found: &Box3, taken: &mut Taken) {
        let [(left, top), (right, foot)] = self.corners(window, found);
        let wide = width(&found.title);
        // What the owner drew in is known by nothing but its name, which may run on beside it.
        let right = match found.thing {
            Some(_) => (left + wide + 1)
                .min(self.columns.saturating_sub(1))
                .max(right),
            None => right,
        };
        let room = (right - left).saturating_sub(1);
        if wide == 0 || wide > room {
            return;
        }
        let rows = [top].into_iter().chain(top + 1..foot);
        let mut spots =
            rows.flat_map(|row| (left + 1..=right - wide).map(move |column| (column, row)));
        if let Some((column, row)) = spots.find(|spot| taken.is_free(*spot, wide)) {
            taken.take((column, row), wide);
            self.titles.push((column, row, found.title.clone()));
        }
    }
}

struct Taken {
    columns: usize,
    rows: usize,
    cells: Vec<bool>,
}

impl Taken {
    /// So many cells from a spot on are free, and those on either side.
    fn is_free(&self, (column, row): (usize, usize), wide: usize) -> bool {
        let whole = column + wide <= self.columns && row < self.rows;
        let (from, to) = (
            column.saturating_sub(1),
            (column + wide + 1).min(self.columns),
        );
        let cells = self
            .cells
            .get(row * self.columns + from..row * self.columns + to);
        whole && cells.is_some_and(|cells| cells.iter().all(|taken| !taken))
    }

    fn take(&mut self, (column, row): (usize, usize), wide: usize) {
        let from = row * self.columns + column;
        for cell in self.cells.get_mut(from..from + wide).into_iter().flatten() {
            *cell = true;
        }
    }

    /// Takes the free spot nearest to a cell.
    fn nearest(&mut self, (column, row): (usize, usize), wide: usize) -> Option<(usize, usize)> {
        let column = column.min(self.columns.checked_sub(wide)?);
        let beside = |from: usize, by: i32| usize::try_from(i32::try_from(from).ok()? + by).ok();
        for ring in 0..=FARTHEST * ROW {
            let rows = ring / ROW;
            for down in -rows..=rows {
                let across = ring - ROW * down.abs();
                let ends = [-across, across];
                for by in &ends[usize::from(across == 0)..] {
                    let spot = beside(column, *by).zip(beside(row, down));
                    if let Some(spot) = spot.filter(|spot| self.is_free(*spot, wide)) {
                        self.take(spot, wide);
                        return Some(spot);
                    }
                }
            }
        }
        None
    }
}
