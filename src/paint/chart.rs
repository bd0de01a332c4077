//! Readings against hours or days: every reading is the digit of its rung at the height of its
//! value, limits are lines with their figure on the axis and their rungs named beside them.
//!
//! Nothing joins the readings: what lies between two of them nobody has seen. The axis has
//! its figures, so a scale that does not begin at nought says so.

use ratatui::text::{Line, Span};

use crate::checklist::{Band, Grade};
use crate::paint::field::{DIGITS, Field, Scale};
use crate::paint::scale::decimals_of;
use crate::paint::theme::Theme;
use crate::text::{fit, round_ticks, width};

/// A reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dot {
    /// Hours or days.
    pub x: f64,
    /// Value in the unit shown.
    pub y: f64,
    /// The rung given with it.
    pub grade: Grade,
    /// It lies far from the rest and counts for no trend.
    pub stray: bool,
}

/// What a chart shows.
#[derive(Clone, Debug, Default)]
pub struct Chart<'a> {
    /// Readings by x.
    pub dots: &'a [Dot],
    /// Which rung a value means, in the unit shown; empty where values are judged otherwise.
    pub bands: &'a [Band],
    /// Two points of the trend line.
    pub line: Option<[(f64, f64); 2]>,
    /// Where the trend meets a limit.
    pub crossing: Option<(f64, f64)>,
    /// The edges of what the trend leaves open, each as two points: not before, and not after.
    pub fan: [Option<[(f64, f64); 2]>; 2],
    /// Where the series begins anew: repairs, services.
    pub restarts: &'a [f64],
    /// First and last x.
    pub span: (f64, f64),
    /// Marks on the x axis with their labels, the most needed first.
    pub ticks: &'a [(f64, String)],
}

/// Columns of the rungs' words at the right.
const WORDS: usize = 10;
/// Fewer columns than this for the plot, and the words give way.
const LEAST: usize = 30;

impl Chart<'_> {
    /// The chart as exactly `height` lines of at most `columns`. Needs four lines at least to show
    /// anything.
    pub fn lines(&self, columns: usize, height: usize, theme: &Theme) -> Vec<Line<'static>> {
        let rows = height.saturating_sub(2);
        if rows < 2 {
            return vec![Line::default(); height];
        }
        let range = self.range();
        let labels = self.labels(range, rows);
        let gutter = labels.iter().flatten().map(|l| width(l)).max().unwrap_or(0);
        let worded = columns >= gutter + 2 + LEAST + WORDS && !self.bands.is_empty();
        let taken = gutter + 2 + if worded { WORDS } else { 0 };
        let plot = columns.saturating_sub(taken);
        if plot < 4 {
            return vec![Line::default(); height];
        }
        let mut field = Field::new(plot, rows, self.span, range);
        self.paint(&mut field, theme);
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
        lines.extend(field.foot(gutter, self.ticks, theme));
        lines
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

    fn paint(&self, field: &mut Field, theme: &Theme) {
        let glyphs = theme.glyphs;
        let limit = glyphs.pick("┄", "-");
        let (low, high) = field.scale.range;
        let limits: Vec<f64> = self.edges().filter(|e| (low..=high).contains(e)).collect();
        for edge in limits {
            let row = field.scale.dot(edge) / 4;
            for column in 0..field.columns {
                field.put(column, row, limit, theme.quiet());
            }
        }
        for restart in self.restarts {
            if let Some(column) = field.column(*restart) {
                for row in 0..field.rows {
                    field.put(column, row, glyphs.pick("┊", ":"), theme.saved());
                }
                field.put(column, 0, glyphs.repair(), theme.saved());
            }
        }
        for edge in self.fan.into_iter().flatten() {
            field.stroke(edge, glyphs.pick("", "."), theme.quiet());
        }
        if let Some(ends) = self.line {
            field.stroke(ends, glyphs.pick("", "."), theme.mark());
        }
        for dot in self.dots {
            let Some(column) = field.column(dot.x) else {
                continue;
            };
            let row = field.scale.dot(dot.y) / 4;
            if dot.stray {
                field.put(column, row, glyphs.pick("◇", "%"), theme.text());
            } else {
                field.put(
                    column,
                    row,
                    DIGITS[dot.grade.rung()],
                    theme.grade(dot.grade),
                );
            }
        }
        if let Some((x, y)) = self.crossing
            && let Some(column) = field.column(x)
        {
            let row = field.scale.dot(y) / 4;
            field.put(column, row, "X", theme.mark());
        }
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::paint::theme::tests::{ASCII, PLAIN};

    fn band(grade: Grade, from: Option<f64>, to: Option<f64>) -> Band {
        Band { grade, from, to }
    }

    fn battery() -> [Band; 4] {
        [
            band(Grade::Sound, Some(12.6), None),
            band(Grade::Early, Some(12.4), Some(12.6)),
            band(Grade::Worn, Some(12.2), Some(12.4)),
            band(Grade::Failing, Some(10.8), Some(12.2)),
        ]
    }

    fn falling() -> Vec<Dot> {
        (0..14)
            .filter(|n| !(6..=8).contains(n))
            .map(|n| {
                let y = 12.78 - 0.03 * f64::from(n) + if n % 3 == 0 { 0.02 } else { 0.0 };
                Dot {
                    x: 1000.0 + f64::from(n) * 10.0,
                    y,
                    grade: if y >= 12.6 {
                        Grade::Sound
                    } else {
                        Grade::Early
                    },
                    stray: n == 4,
                }
            })
            .collect()
    }

    fn drawn(theme: &Theme, columns: usize, rows: usize) -> String {
        let (dots, bands) = (falling(), battery());
        let ticks: Vec<_> = round_ticks(1000.0, 1160.0, 4)
            .into_iter()
            .map(|x| (x, format!("{x} h")))
            .collect();
        let chart = Chart {
            dots: &dots,
            bands: &bands,
            line: Some([(1000.0, 12.79), (1160.0, 12.31)]),
            crossing: Some((1130.0, 12.4)),
            fan: [
                Some([(1130.0, 12.41), (1135.0, 12.4)]),
                Some([(1130.0, 12.41), (1160.0, 12.4)]),
            ],
            restarts: &[1040.0],
            span: (1000.0, 1160.0),
            ticks: &ticks,
        };
        chart
            .lines(columns, rows, theme)
            .iter()
            .map(|l| l.to_string().trim_end().to_owned() + "\n")
            .collect()
    }

    #[test]
    fn a_falling_battery_is_drawn() {
        let all = [
            drawn(&PLAIN, 76, 14),
            drawn(&PLAIN, 40, 10),
            drawn(&ASCII, 76, 14),
        ];
        insta::assert_snapshot!(all.join("\n"));
    }

    #[test]
    fn one_reading_and_equal_readings_have_a_scale() {
        for dots in [
            vec![(5.0, 40.0)],
            vec![(5.0, 40.0), (9.0, 40.0)],
            vec![(5.0, 0.0), (5.0, 0.0)],
        ] {
            let dots: Vec<Dot> = dots
                .into_iter()
                .map(|(x, y)| Dot {
                    x,
                    y,
                    grade: Grade::Sound,
                    stray: false,
                })
                .collect();
            let chart = Chart {
                dots: &dots,
                span: (5.0, 9.0),
                ..Chart::default()
            };
            let lines = chart.lines(60, 8, &PLAIN);
            let text: String = lines.iter().map(|l| l.to_string() + "\n").collect();
            assert!(text.contains('0'), "{text}");
            assert!(text.matches('┼').count() >= 2, "{text}");
        }
    }

    proptest! {
        #[test]
        fn it_keeps_its_columns_and_lines(
            values in prop::collection::vec((0.0..500.0f64, -1e6..1e6f64), 0..40),
            columns in 0usize..150,
            height in 0usize..50,
        ) {
            let dots: Vec<Dot> = values
                .iter()
                .map(|(x, y)| Dot { x: *x, y: *y, grade: Grade::Worn, stray: false })
                .collect();
            let bands = battery();
            let ticks = [(0.0, "0 h".to_owned()), (490.0, "490 h".to_owned())];
            let chart = Chart {
                dots: &dots,
                bands: &bands,
                line: Some([(0.0, -5.0), (500.0, 5.0)]),
                restarts: &[100.0],
                span: (0.0, 500.0),
                ticks: &ticks,
                ..Chart::default()
            };
            let lines = chart.lines(columns, height, &PLAIN);
            prop_assert_eq!(lines.len(), height);
            for line in lines {
                prop_assert!(width(&line.to_string()) <= columns);
            }
        }
    }
}
