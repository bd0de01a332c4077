//! What stands in the plot of a chart, from the plainest to what may not be covered.

use ratatui::text::{Line, Span};

use super::{ADDED, Chart, Dot};
use crate::checklist::{Band, Grade};
use crate::paint::field::{DIGITS, Field};
use crate::paint::theme::Theme;

/// Column and row of each reading; none outside the span.
pub(super) type Cells = Vec<Option<(usize, usize)>>;

impl Chart<'_> {
    pub(super) fn cells(&self, field: &Field) -> Cells {
        let dots = self.dots.iter();
        dots.map(|dot| field.cell(dot.x, dot.y)).collect()
    }

    /// True where sound readings crowd so that one cell would have to show several: they stand as
    /// points then, which the band they lie in names. Plain signs are not fine enough.
    pub(super) fn is_fine(&self, field: &Field, cells: &Cells, theme: &Theme) -> bool {
        if theme.glyphs.pick("", ".") == "." {
            return false;
        }
        let mut taken = vec![false; field.columns * field.rows];
        let plain = self.dots.iter().zip(cells);
        let mut plain = plain.filter_map(|(dot, cell)| cell.filter(|_| self.is_plain(dot)));
        plain.any(|(column, row)| std::mem::replace(&mut taken[row * field.columns + column], true))
    }

    /// A sound reading that lies where sound ones lie.
    fn is_plain(&self, dot: &Dot) -> bool {
        dot.grade == Grade::Sound && !dot.stray && self.rung_at(dot.y) == Some(Grade::Sound)
    }

    /// The rung a value means.
    pub(super) fn rung_at(&self, y: f64) -> Option<Grade> {
        let holds = |b: &&Band| b.from.is_none_or(|from| y >= from) && b.to.is_none_or(|to| y < to);
        self.bands.iter().find(holds).map(|b| b.grade)
    }

    pub(super) fn paint(&self, field: &mut Field, cells: &Cells, fine: bool, theme: &Theme) {
        self.shade(field, theme);
        self.limits(field, theme);
        self.uprights(field, theme);
        for edge in self.fan.into_iter().flatten() {
            field.stroke(edge, theme.glyphs.pick("", "~"), theme.quiet());
        }
        if let Some(ends) = self.line {
            let solid = self.dots.last().map_or(ends[1].0, |dot| dot.x);
            let plain = theme.glyphs.pick("", "*");
            field.trace(ends, solid, plain, theme.mark());
        }
        self.readings(field, cells, fine, theme);
        if let Some((x, y)) = self.crossing
            && let Some((column, row)) = field.cell(x, y)
        {
            field.put(column, row, "X", theme.mark());
        }
    }

    /// Regions of worse rungs, the worse the denser; that of sound readings stays clear.
    fn shade(&self, field: &mut Field, theme: &Theme) {
        let sign = theme.glyphs.pick("·", ".");
        for row in 0..field.rows {
            let Some(grade) = self.rung_at(field.scale.middle(row)) else {
                continue;
            };
            let apart = APART[grade.rung()];
            if apart == 0 {
                continue;
            }
            let first = if row % 2 == 0 { 0 } else { apart / 2 };
            for column in (first..field.columns).step_by(apart) {
                field.put(column, row, sign, theme.shade(grade));
            }
        }
    }

    fn limits(&self, field: &mut Field, theme: &Theme) {
        let (low, high) = field.scale.range;
        let limits: Vec<f64> = self.edges().filter(|e| (low..=high).contains(e)).collect();
        for edge in limits {
            let row = field.scale.dot(edge) / 4;
            for column in 0..field.columns {
                field.put(column, row, theme.glyphs.pick("┄", "-"), theme.quiet());
            }
        }
    }

    /// Where the series begins anew, from top to foot; what was added, from the value before to the
    /// value after.
    fn uprights(&self, field: &mut Field, theme: &Theme) {
        for (x, _) in self.restarts {
            if let Some(column) = field.column(*x) {
                for row in 0..field.rows {
                    field.put(column, row, theme.glyphs.pick("┊", ":"), theme.saved());
                }
            }
        }
        for top_up in self.top_ups {
            let Some((column, (from, to))) = field.column(top_up.x).zip(top_up.rise) else {
                continue;
            };
            let [from, to] = [from, to].map(|y| field.scale.dot(y) / 4);
            for row in from.min(to)..=from.max(to) {
                field.put(column, row, theme.glyphs.pick("╎", "!"), theme.mark());
            }
        }
    }

    /// In each cell the worst digit of those that need it, else points at their heights.
    fn readings(&self, field: &mut Field, cells: &Cells, fine: bool, theme: &Theme) {
        let ends = [
            cells.iter().position(Option::is_some),
            cells.iter().rposition(Option::is_some),
        ];
        let needs_digit =
            |at: usize| !fine || ends.contains(&Some(at)) || !self.is_plain(&self.dots[at]);
        let points = (0..cells.len()).filter(|at| cells[*at].is_some() && !needs_digit(*at));
        field.points(
            points.map(|at| (self.dots[at].x, self.dots[at].y)),
            theme.grade(Grade::Sound),
        );
        // The worst of a cell stands, and any other before a stray.
        let weight = |at: usize| (!self.dots[at].stray, self.dots[at].grade);
        let mut standing: Vec<Option<usize>> = vec![None; field.columns * field.rows];
        for (at, cell) in cells.iter().enumerate().filter(|(at, _)| needs_digit(*at)) {
            if let Some((column, row)) = cell {
                let here = &mut standing[row * field.columns + column];
                if here.is_none_or(|other| weight(at) >= weight(other)) {
                    *here = Some(at);
                }
            }
        }
        for (cell, at) in standing.into_iter().enumerate() {
            let Some(dot) = at.and_then(|at| self.dots.get(at)) else {
                continue;
            };
            let (column, row) = (cell % field.columns, cell / field.columns);
            match dot.stray {
                true => field.put(column, row, theme.glyphs.pick("◇", "%"), theme.text()),
                false => field.put(
                    column,
                    row,
                    DIGITS[dot.grade.rung()],
                    theme.grade(dot.grade),
                ),
            }
        }
        if let Some((column, row)) = self.cursor.and_then(|at| cells.get(at).copied().flatten()) {
            let worst = (0..cells.len()).filter(|at| cells[*at] == Some((column, row)));
            let worst = worst.map(|at| self.dots[at].grade).max();
            let sign = worst.map_or(DIGITS[0], |grade| DIGITS[grade.rung()]);
            field.put(column, row, sign, theme.selected());
        }
    }

    /// Beneath the plot the letters of what was done, and what was added where none stands.
    pub(super) fn signs(&self, field: &Field, gutter: usize, theme: &Theme) -> Line<'static> {
        let mut cells = vec![" "; field.columns];
        let top_ups = self.top_ups.iter().map(|top_up| (top_up.x, ADDED));
        for (x, sign) in top_ups.chain(self.restarts.iter().copied()) {
            if let Some(column) = field.column(x) {
                cells[column] = sign;
            }
        }
        let edge = format!("{}{}", " ".repeat(gutter + 1), theme.glyphs.pick("│", "|"));
        Line::from(vec![
            Span::styled(edge, theme.quiet()),
            Span::styled(cells.concat(), theme.mark()),
        ])
    }
}

/// A sign so many columns apart, by rung; none in the first.
const APART: [usize; 5] = [0, 8, 4, 2, 1];
