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
            let dot = self.scale.dot(y);
            dots[(dot / 4) * self.columns + half / 2] |= LEFT_DOTS[dot % 4];
        }
        for (cell, bits) in self.cells.iter_mut().zip(dots) {
            if bits != 0 {
                let drawn = char::from_u32(0x2800 + u32::from(bits)).map(String::from);
                let sign = if plain.is_empty() { drawn } else { None };
                *cell = (sign.unwrap_or_else(|| plain.to_owned()), style);
            }
        }
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

    /// The x axis with marks at some x, the most needed first, and their labels, none over another.
    pub fn foot(
        &self,
        gutter: usize,
        ticks: &[(f64, String)],
        theme: &Theme,
    ) -> [Line<'static>; 2] {
        let glyphs = theme.glyphs;
        let mut axis = vec![glyphs.pick("─", "-"); self.columns];
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
        let corner = glyphs.pick("└", "+");
        let before = " ".repeat(gutter + 1);
        [
            Line::styled(format!("{before}{corner}{}", axis.concat()), theme.quiet()),
            Line::styled(format!("{before} {told}"), theme.quiet()),
        ]
    }
}

/// The rungs, by their digits.
pub const DIGITS: [&str; 5] = ["0", "1", "2", "3", "4"];

/// Bits of the left column of a braille cell, top to foot.
const LEFT_DOTS: [u8; 4] = [0x01, 0x02, 0x04, 0x40];
