//! The cells of a chart: signs put by column and row, thin lines in dots finer than a cell.

use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::paint::theme::Theme;
use crate::text::{pad, width};

/// From values to heights, in quarters of a row from the top.
pub struct Scale {
    /// Lowest and highest value.
    pub range: (f64, f64),
    /// Quarters of rows there are.
    pub dots: usize,
}

impl Scale {
    /// The quarter of a row of a value, from the top.
    pub fn dot(&self, y: f64) -> usize {
        let (low, high) = self.range;
        let share = (high - y) / (high - low);
        let last = self.dots.saturating_sub(1);
        ((share * self.dots as f64).floor().max(0.0) as usize).min(last)
    }

    /// The value in the middle of a row.
    pub fn middle(&self, row: usize) -> f64 {
        let (low, high) = self.range;
        high - (high - low) * (row as f64 * 4.0 + 2.0) / self.dots as f64
    }
}

/// The plot's cells.
pub struct Field {
    /// Columns.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// First and last x.
    pub span: (f64, f64),
    /// Heights.
    pub scale: Scale,
    cells: Vec<(String, Style)>,
}

impl Field {
    /// An empty one.
    pub fn new(columns: usize, rows: usize, span: (f64, f64), range: (f64, f64)) -> Field {
        let scale = Scale {
            range,
            dots: rows * 4,
        };
        let cells = vec![(" ".to_owned(), Style::new()); columns * rows];
        Field {
            columns,
            rows,
            span,
            scale,
            cells,
        }
    }

    /// The column of an x; none outside.
    pub fn column(&self, x: f64) -> Option<usize> {
        self.half_column(x).map(|half| half / 2)
    }

    /// The column and row of a point; none outside. What is above or below stands at the edge.
    pub fn cell(&self, x: f64, y: f64) -> Option<(usize, usize)> {
        Some((self.column(x)?, self.scale.dot(y) / 4))
    }

    fn half_column(&self, x: f64) -> Option<usize> {
        let (from, to) = self.span;
        if !(from..=to).contains(&x) {
            return None;
        }
        let share = if to > from {
            (x - from) / (to - from)
        } else {
            0.5
        };
        let last = self.columns * 2 - 1;
        Some(((share * last as f64).round() as usize).min(last))
    }

    /// Puts a sign into a cell; outside it is left out.
    pub fn put(&mut self, column: usize, row: usize, sign: &str, style: Style) {
        if let Some(cell) = self.cells.get_mut(row * self.columns + column)
            && column < self.columns
        {
            *cell = (sign.to_owned(), style);
        }
    }

    /// A thin line: in dots of two by four to a cell, or in `plain` signs where that is given.
    pub fn stroke(&mut self, [a, b]: [(f64, f64); 2], plain: &str, style: Style) {
        let mut dots = vec![0u8; self.cells.len()];
        let (low, high) = self.scale.range;
        for half in 0..self.columns * 2 {
            let (from, to) = self.span;
            let x = from + (to - from) * half as f64 / (self.columns * 2 - 1) as f64;
            if x < a.0.min(b.0) || x > a.0.max(b.0) || a.0 == b.0 {
                continue;
            }
            let y = a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0);
            // Every second dot: it is drawn, not measured.
            if half % 2 == 1 || !(low..=high).contains(&y) {
                continue;
            }
            self.dot(&mut dots, half, self.scale.dot(y));
        }
        self.put_dots(dots, plain, style);
    }

    /// A line of a called trend: through the columns at three heights to a row, whole as far as
    /// `solid` and every second column beyond; in `plain` signs where that is given.
    pub fn trace(&mut self, [a, b]: [(f64, f64); 2], solid: f64, plain: &str, style: Style) {
        let (low, high) = self.scale.range;
        let (from, to) = self.span;
        let last = self.columns.saturating_sub(1).max(1) as f64;
        let mut before: Option<usize> = None;
        for column in 0..self.columns {
            let x = from + (to - from) * column as f64 / last;
            if x < a.0.min(b.0) || x > a.0.max(b.0) || a.0 == b.0 {
                continue;
            }
            let y = a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0);
            if (x > solid && column % 2 == 1) || !(low..=high).contains(&y) {
                before = None;
                continue;
            }
            let height = (high - y) / (high - low) * self.rows as f64;
            let row = (height as usize).min(self.rows - 1);
            let part = ((height - row as f64) * HEIGHTS.len() as f64) as usize;
            let sign = match plain {
                "" => HEIGHTS[part.min(HEIGHTS.len() - 1)],
                plain => plain,
            };
            // Where it is steep the rows between two columns belong to it.
            for between in before.into_iter().flat_map(|b| b.min(row) + 1..b.max(row)) {
                let upright = if plain.is_empty() { "│" } else { plain };
                self.put(column, between, upright, style);
            }
            self.put(column, row, sign, style);
            before = Some(row);
        }
    }

    /// Points finer than a cell, two by two to each: two dots above each other, since one is easily
    /// overlooked.
    pub fn points(&mut self, all: impl Iterator<Item = (f64, f64)>, style: Style) {
        let mut dots = vec![0u8; self.cells.len()];
        for (x, y) in all {
            if let Some(half) = self.half_column(x) {
                let upper = self.scale.dot(y) & !1;
                self.dot(&mut dots, half, upper);
                self.dot(&mut dots, half, upper + 1);
            }
        }
        self.put_dots(dots, "", style);
    }

    fn dot(&self, dots: &mut [u8], half: usize, quarter: usize) {
        dots[(quarter / 4) * self.columns + half / 2] |= DOTS[half % 2][quarter % 4];
    }

    fn put_dots(&mut self, dots: Vec<u8>, plain: &str, style: Style) {
        for (cell, bits) in self.cells.iter_mut().zip(dots) {
            if bits != 0 {
                let drawn = char::from_u32(0x2800 + u32::from(bits)).map(String::from);
                let sign = if plain.is_empty() { drawn } else { None };
                *cell = (sign.unwrap_or_else(|| plain.to_owned()), style);
            }
        }
    }

    /// First and last column of what lies between two x, as far as it is in sight; between two
    /// readings that stand side by side the column of the later one.
    fn columns_of(&self, spans: &[(f64, f64)]) -> Vec<(usize, usize)> {
        let (low, high) = self.span;
        let seen = spans
            .iter()
            .filter(|(from, to)| *to >= low && *from <= high);
        let seen = seen.filter_map(|(from, to)| {
            let is_inside = |x: &f64| (low..=high).contains(x);
            let column = |x: &f64| self.column(x.clamp(low, high));
            let first = column(from)? + usize::from(is_inside(from));
            let last = column(to)?.saturating_sub(usize::from(is_inside(to)));
            let first = first.min(self.columns - 1);
            Some((first, last.max(first)))
        });
        seen.collect()
    }

    /// A row as spans, cells of one style together.
    pub fn spans(&self, row: usize) -> Vec<Span<'static>> {
        let cells = &self.cells[row * self.columns..(row + 1) * self.columns];
        let mut spans: Vec<Span<'static>> = Vec::new();
        for (sign, style) in cells {
            match spans.last_mut() {
                Some(last) if last.style == *style => last.content.to_mut().push_str(sign),
                _ => spans.push(Span::styled(sign.clone(), *style)),
            }
        }
        spans
    }

    /// The x axis with marks at some x, the most needed first, and their labels, none over another;
    /// dotted or broken in pauses, which are named where there is room.
    pub fn foot(
        &self,
        gutter: usize,
        ticks: &[(f64, String)],
        pauses: &[(f64, f64)],
        theme: &Theme,
    ) -> [Line<'static>; 2] {
        let glyphs = theme.glyphs;
        let mut axis = vec![glyphs.pick("─", "-"); self.columns];
        for (from, to) in self.columns_of(pauses) {
            // In no more than a column the axis is broken.
            if from == to && from > 0 {
                axis[from - 1] = glyphs.pick("┤", "]");
                axis[from] = glyphs.pick("├", "[");
                continue;
            }
            for sign in &mut axis[from..=to] {
                *sign = glyphs.pick("┈", ".");
            }
        }
        let mut labels: Vec<(usize, &str)> = Vec::new();
        for (x, label) in ticks {
            let Some(column) = self.column(*x) else {
                continue;
            };
            let wide = width(label);
            if wide > self.columns {
                continue;
            }
            let start = column.saturating_sub(wide / 2).min(self.columns - wide);
            let clear = labels
                .iter()
                .all(|(other, text)| start + wide + 1 < *other || other + width(text) + 1 < start);
            if clear {
                axis[column] = glyphs.pick("┴", "+");
                labels.push((start, label));
            }
        }
        labels.sort_unstable();
        let mut told = String::new();
        for (start, label) in labels {
            told = pad(&told, start) + label;
        }
        let mut axis: Vec<String> = axis.into_iter().map(str::to_owned).collect();
        for (from, to) in self.columns_of(pauses) {
            // Between two marks of the axis, where most is free.
            let dotted = glyphs.pick("┈", ".");
            let free = axis[from..=to].split(|sign| sign != dotted);
            let most = free.map(<[String]>::len).max().unwrap_or(0);
            let start = (from..=to + 1 - most).find(|at| {
                let run = &axis[*at..at + most];
                run.iter().all(|sign| sign == dotted)
            });
            if let Some(start) = start.filter(|_| most >= width(NOTHING) + 2) {
                let start = start + (most - width(NOTHING)) / 2;
                for (sign, letter) in axis[start..].iter_mut().zip(NOTHING.chars()) {
                    *sign = letter.to_string();
                }
            }
        }
        let corner = glyphs.pick("└", "+");
        let before = " ".repeat(gutter + 1);
        [
            Line::styled(format!("{before}{corner}{}", axis.concat()), theme.quiet()),
            Line::styled(format!("{before} {told}"), theme.quiet()),
        ]
    }
}

/// Stands on the axis where nothing was read for long.
const NOTHING: &str = " no reading ";

/// The rungs, by their digits.
pub const DIGITS: [&str; 5] = ["0", "1", "2", "3", "4"];

/// Bits of the left and the right column of a braille cell, top to foot.
const DOTS: [[u8; 4]; 2] = [[0x01, 0x02, 0x04, 0x40], [0x08, 0x10, 0x20, 0x80]];

/// A level line at three heights of a row, top to foot; fonts have no finer ones everywhere.
const HEIGHTS: [&str; 3] = ["▔", "─", "▁"];
