//! Figures over a day: each a point at its height, the edges of what is usual as lines with their figures,
//! and on the foot a cross for every round that was missed. A point outside what is usual has another sign;
//! it is no rung.

use ratatui::text::{Line, Span};

use crate::paint::field::Field;
use crate::paint::scale::decimals_of;
use crate::paint::theme::Theme;
use crate::text::{round_ticks, width};

/// What is drawn.
#[derive(Clone, Debug, Default)]
pub struct DayChart<'a> {
    /// Figures as (x, value), in the unit shown.
    pub points: &'a [(f64, f64)],
    /// The lower and the upper edge of what is usual, each open where there is none.
    pub usual: [Option<f64>; 2],
    /// When rounds were missed, as x.
    pub missed: &'a [f64],
    /// First and last x.
    pub span: (f64, f64),
    /// Marks on the foot with their labels, the most needed first.
    pub ticks: &'a [(f64, String)],
}

impl DayChart<'_> {
    /// Exactly `height` lines of at most `columns`; blank where that is too little for anything.
    pub fn lines(&self, columns: usize, height: usize, theme: &Theme) -> Vec<Line<'static>> {
        let blank = || vec![Line::default(); height];
        let rows = height.saturating_sub(2);
        if rows < 2 || self.points.is_empty() {
            return blank();
        }
        let range = self.range();
        let labels = self.labels(range, rows);
        let gutter = labels.iter().flatten().map(|l| width(l)).max().unwrap_or(0);
        let plot = columns.saturating_sub(gutter + 2);
        if plot < 4 {
            return blank();
        }
        let mut field = Field::new(plot, rows, self.span, range);
        self.paint(&mut field, theme);
        let [axis, cross] = [theme.glyphs.pick("│", "|"), theme.glyphs.pick("┼", "+")];
        let mut lines = Vec::with_capacity(height);
        for (row, label) in labels.iter().enumerate() {
            let label = label.as_deref().unwrap_or_default();
            let edge = if label.is_empty() { axis } else { cross };
            let before = " ".repeat(gutter - width(label));
            let mut spans = vec![
                Span::raw(before),
                Span::styled(format!("{label} {edge}"), theme.quiet()),
            ];
            spans.extend(field.spans(row));
            lines.push(Line::from(spans));
        }
        lines.extend(field.foot(gutter, self.ticks, &[], theme));
        lines
    }

    /// Lowest and highest value shown: all points, and the edges of what is usual.
    fn range(&self) -> (f64, f64) {
        let values = self.points.iter().map(|(_, y)| *y);
        let values = values.chain(self.usual.into_iter().flatten());
        let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| {
            (low.min(y), high.max(y))
        });
        let pad = match high > low {
            true => (high - low) * 0.08,
            false => (high.abs() * 0.05).max(0.5),
        };
        (low - pad, high + pad)
    }

    /// Figures beside the rows: the edges first, round ones where there is room.
    fn labels(&self, range: (f64, f64), rows: usize) -> Vec<Option<String>> {
        let mut labels: Vec<Option<String>> = vec![None; rows];
        let field = Field::new(1, rows, self.span, range);
        let round = round_ticks(range.0, range.1, (rows / 3).clamp(2, 5));
        let edges: Vec<f64> = self.usual.into_iter().flatten().collect();
        let digits = |values: &[f64]| values.iter().map(|v| decimals_of(*v)).max().unwrap_or(0);
        let places = digits(&round).max(digits(&edges)).min(2);
        for (value, close) in edges
            .iter()
            .map(|v| (v, true))
            .chain(round.iter().map(|v| (v, false)))
        {
            let row = field.scale.dot(*value) / 4;
            let taken = |row: usize| labels.get(row).is_some_and(Option::is_some);
            let beside = taken(row.wrapping_sub(1)) || taken(row + 1);
            if !taken(row) && (close || !beside) {
                labels[row] = Some(format!("{value:.places$}"));
            }
        }
        labels
    }

    fn paint(&self, field: &mut Field, theme: &Theme) {
        for edge in self.usual.into_iter().flatten() {
            let row = field.scale.dot(edge) / 4;
            for column in 0..field.columns {
                field.put(column, row, theme.glyphs.pick("┄", "-"), theme.quiet());
            }
        }
        let foot = field.rows - 1;
        for x in self.missed {
            if let Some(column) = field.column(*x) {
                field.put(column, foot, theme.glyphs.times(), theme.mark());
            }
        }
        let [low, high] = self.usual;
        for (x, y) in self.points {
            let Some((column, row)) = field.cell(*x, *y) else {
                continue;
            };
            match (
                low.is_some_and(|low| *y < low),
                high.is_some_and(|high| *y >= high),
            ) {
                (false, false) => field.put(column, row, theme.glyphs.pick("•", "o"), theme.text()),
                (true, _) => field.put(column, row, theme.glyphs.pick("▼", "v"), theme.mark()),
                (_, true) => field.put(column, row, theme.glyphs.pick("▲", "^"), theme.mark()),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paint::glyphs::Glyphs;
    use crate::paint::theme::ThemeName;

    fn drawn(chart: &DayChart<'_>) -> Vec<String> {
        let theme = Theme {
            name: ThemeName::Plain,
            glyphs: Glyphs::Ascii,
        };
        let lines = chart.lines(40, 8, &theme);
        lines.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_point_outside_the_usual_has_its_own_sign_and_a_missed_round_its_cross() {
        let points = [(0.0, 80.0), (1.0, 81.0), (3.0, 90.0)];
        let chart = DayChart {
            points: &points,
            usual: [Some(72.0), Some(83.0)],
            missed: &[2.0],
            span: (0.0, 3.0),
            ticks: &[],
        };
        let lines = drawn(&chart);
        assert_eq!(lines.len(), 8);
        let all = lines.concat();
        assert_eq!(all.matches('^').count(), 1, "{all}");
        assert_eq!(all.matches('o').count(), 2, "{all}");
        assert_eq!(all.matches('x').count(), 1, "{all}");
        assert!(all.contains("83") && all.contains("72"), "{all}");
    }

    #[test]
    fn nothing_read_and_no_room_are_blank_lines() {
        assert!(
            drawn(&DayChart::default())
                .iter()
                .all(|l| l.trim().is_empty())
        );
    }
}
