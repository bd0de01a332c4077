//! Readings against hours, days or engine speed: every reading is the digit of its rung at the
//! height of its value, limits are lines with their figure on the axis, and the regions between them
//! are shaded the denser the worse their rung, which is named beside them.
//!
//! Nothing joins the readings: what lies between two of them nobody has seen. The axis has
//! its figures, so a scale that does not begin at nought says so.

mod marks;

use ratatui::text::{Line, Span};

use crate::checklist::{Band, Grade};
use crate::paint::field::{Field, Scale};
use crate::paint::scale::decimals_of;
use crate::paint::theme::Theme;
use crate::text::{fit, round_ticks, width};

/// A reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dot {
    /// Hours, days or engine speed.
    pub x: f64,
    /// Value in the unit shown.
    pub y: f64,
    /// The rung given with it.
    pub grade: Grade,
    /// It lies far from the rest and counts for no trend.
    pub stray: bool,
}

/// Something was topped up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TopUp {
    /// When, as an x.
    pub x: f64,
    /// The value before and after, where both are known.
    pub rise: Option<(f64, f64)>,
}

/// What a chart shows.
#[derive(Clone, Debug, Default)]
pub struct Chart<'a> {
    /// Readings by x, those outside the span too.
    pub dots: &'a [Dot],
    /// Which rung a value means, in the unit shown; empty where values are judged otherwise.
    pub bands: &'a [Band],
    /// Two points of the trend line.
    pub line: Option<[(f64, f64); 2]>,
    /// Where the trend meets a limit.
    pub crossing: Option<(f64, f64)>,
    /// The edges of what the trend leaves open, each as two points: not before, and not after.
    pub fan: [Option<[(f64, f64); 2]>; 2],
    /// Where the series begins anew, with the letter of what was done.
    pub restarts: &'a [(f64, &'static str)],
    /// What was topped up.
    pub top_ups: &'a [TopUp],
    /// From the reading before to the one after: long times without any.
    pub pauses: &'a [(f64, f64)],
    /// The reading that is read out, by its place among `dots`.
    pub cursor: Option<usize>,
    /// First and last x in sight.
    pub span: (f64, f64),
    /// Marks on the x axis with their labels, the most needed first.
    pub ticks: &'a [(f64, String)],
}

/// A chart as drawn.
#[derive(Clone, Debug, Default)]
pub struct Drawn {
    /// Its lines.
    pub lines: Vec<Line<'static>>,
    /// Column and line of the reading that is read out.
    pub cursor: Option<(usize, usize)>,
    /// The other readings in the same cell.
    pub beside: Vec<usize>,
    /// Sound readings stand as points finer than a cell.
    pub fine: bool,
}

/// Stands for what was topped up.
pub const ADDED: &str = "+";

/// Columns of the rungs' words at the right.
const WORDS: usize = 10;
/// Fewer columns than this for the plot, and the words give way.
const LEAST: usize = 30;

impl Chart<'_> {
    /// The chart as exactly `height` lines of at most `columns`. Needs four lines at least to show
    /// anything.
    pub fn drawn(&self, columns: usize, height: usize, theme: &Theme) -> Drawn {
        let blank = || Drawn {
            lines: vec![Line::default(); height],
            ..Drawn::default()
        };
        let signs = !(self.restarts.is_empty() && self.top_ups.is_empty()) && height >= 6;
        let rows = height.saturating_sub(2 + usize::from(signs));
        if rows < 2 {
            return blank();
        }
        let range = self.range();
        let labels = self.labels(range, rows);
        let gutter = labels.iter().flatten().map(|l| width(l)).max().unwrap_or(0);
        let worded = columns >= gutter + 2 + LEAST + WORDS && !self.bands.is_empty();
        let taken = gutter + 2 + if worded { WORDS } else { 0 };
        let plot = columns.saturating_sub(taken);
        if plot < 4 {
            return blank();
        }
        let mut field = Field::new(plot, rows, self.span, range);
        let cells = self.cells(&field);
        let fine = self.is_fine(&field, &cells, theme);
        self.paint(&mut field, &cells, fine, theme);
        let words = self.words(&field);
        let axis = theme.glyphs.pick("│", "|");
        let cross = theme.glyphs.pick("┼", "+");
        let mut lines = Vec::with_capacity(height);
        for row in 0..rows {
            let label = labels[row].as_deref().unwrap_or("");
            let blank = gutter - width(label);
            let edge = if label.is_empty() { axis } else { cross };
            let mut spans = vec![
                Span::raw(" ".repeat(blank)),
                Span::styled(format!("{label} {edge}"), theme.quiet()),
            ];
            spans.extend(field.spans(row));
            if let (true, Some(grade)) = (worded, words[row]) {
                let told = format!(" {} {grade}", grade.rung());
                spans.push(Span::styled(fit(&told, WORDS), theme.quiet()));
            }
            lines.push(Line::from(spans));
        }
        if signs {
            lines.push(self.signs(&field, gutter, theme));
        }
        let cursor = self.cursor.and_then(|at| cells.get(at).copied().flatten());
        let [foot, told] = field.foot(gutter, self.ticks, self.pauses, theme);
        lines.push(match cursor {
            Some((column, _)) => pointed(foot, gutter + 2 + column, theme),
            None => foot,
        });
        lines.push(told);
        let here = |at: &usize| cursor.is_some() && cells[*at] == cursor;
        Drawn {
            lines,
            cursor: cursor.map(|(column, row)| (gutter + 2 + column, row)),
            beside: (0..cells.len())
                .filter(|at| here(at) && Some(*at) != self.cursor)
                .collect(),
            fine,
        }
    }

    /// Lowest and highest value shown: all readings, and a limit on either side of them where one
    /// is near enough not to press them flat.
    fn range(&self) -> (f64, f64) {
        let values = || self.dots.iter().map(|d| d.y);
        let low = values().fold(f64::INFINITY, f64::min);
        let high = values().fold(f64::NEG_INFINITY, f64::max);
        if low > high {
            return (0.0, 1.0);
        }
        let edges: Vec<f64> = self.edges().collect();
        let below = edges.iter().copied().filter(|e| *e <= low);
        let above = edges.iter().copied().filter(|e| *e > high);
        let below = below.fold(f64::NEG_INFINITY, f64::max);
        let above = above.fold(f64::INFINITY, f64::min);
        let nearest = (low - below).min(above - high);
        let spread = (high - low).max(nearest.min(low.abs().max(1.0)));
        // A limit further off than three times what the readings spread would press them flat.
        let reach = 3.0 * spread.max(f64::MIN_POSITIVE);
        let low = if low - below <= reach { below } else { low };
        let high = if above - high <= reach { above } else { high };
        let pad = if high > low {
            (high - low) * 0.06
        } else {
            (high.abs() * 0.05).max(0.5)
        };
        (low - pad, high + pad)
    }

    fn edges(&self) -> impl Iterator<Item = f64> {
        let ends = self.bands.iter().flat_map(|b| [b.from, b.to]);
        ends.flatten()
    }

    /// Figures on the y axis by row: the limits, then round figures where there is room.
    fn labels(&self, range: (f64, f64), rows: usize) -> Vec<Option<String>> {
        let mut labels: Vec<Option<String>> = vec![None; rows];
        let scale = Scale {
            range,
            dots: rows * 4,
        };
        let limits: Vec<f64> = self
            .edges()
            .filter(|e| (range.0..=range.1).contains(e))
            .collect();
        let round = round_ticks(range.0, range.1, (rows / 3).clamp(2, 6));
        let digits = |values: &[f64]| values.iter().map(|v| decimals_of(*v)).max().unwrap_or(0);
        let places = digits(&round).max(digits(&limits));
        let mut put = |value: &f64, close: bool| {
            let row = scale.dot(*value) / 4;
            let taken = |r: usize| labels.get(r).is_some_and(Option::is_some);
            let beside = taken(row.wrapping_sub(1)) || taken(row + 1);
            if !taken(row) && (close || !beside) {
                labels[row] = Some(format!("{value:.places$}"));
            }
        };
        limits.iter().for_each(|v| put(v, true));
        round.iter().for_each(|v| put(v, false));
        // One figure makes no scale.
        if labels.iter().flatten().count() < 2 {
            let ends = [round.first(), round.last()];
            for value in ends.into_iter().flatten() {
                let row = scale.dot(*value) / 4;
                labels[row].get_or_insert_with(|| format!("{value:.places$}"));
            }
        }
        labels
    }

    /// Which row names which rung: the middle of what is seen of its band.
    fn words(&self, field: &Field) -> Vec<Option<Grade>> {
        let rows = field.rows;
        let mut words = vec![None; rows];
        for band in self.bands {
            let (low, high) = field.scale.range;
            let from = band.from.unwrap_or(low).max(low);
            let to = band.to.unwrap_or(high).min(high);
            if from >= to {
                continue;
            }
            let middle = field.scale.dot((from + to) / 2.0) / 4;
            let near = [middle, middle.saturating_sub(1), middle + 1];
            let top = field.scale.dot(to) / 4;
            let foot = field.scale.dot(from) / 4;
            let free = near
                .into_iter()
                .find(|r| *r < rows && (top..=foot).contains(r) && words[*r].is_none());
            if let Some(row) = free {
                words[row] = Some(band.grade);
            }
        }
        words
    }
}

/// A line with a mark at a column, under what is read out.
fn pointed(line: Line<'static>, column: usize, theme: &Theme) -> Line<'static> {
    let style = line.style;
    let text = line.to_string();
    let before: String = text.chars().take(column).collect();
    let behind: String = text.chars().skip(column + 1).collect();
    Line::from(vec![
        Span::styled(before, style),
        Span::styled(theme.glyphs.pick("▴", "^"), theme.key()),
        Span::styled(behind, style),
    ])
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
