//! Readings against hours or days: every reading is the digit of its rung at the height of its
//! value, limits are lines with their figure on the axis and their rungs named beside them.
//!
//! Nothing joins the readings: what lies between two of them nobody has seen. The axis has
//! its figures, so a scale that does not begin at nought says so.

use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::theme::Theme;
use crate::boat::Unit;
use crate::checklist::{Band, Grade};
use crate::defects::limits::{Limit, Limits};
use crate::text::{fit, pad, width};

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
        lines.extend(self.foot(&field, gutter, theme));
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

    /// The x axis and its labels, none over another.
    fn foot(&self, field: &Field, gutter: usize, theme: &Theme) -> [Line<'static>; 2] {
        let glyphs = theme.glyphs;
        let mut axis = vec![glyphs.pick("─", "-"); field.columns];
        let mut labels: Vec<(usize, &str)> = Vec::new();
        for (x, label) in self.ticks {
            let Some(column) = field.column(*x) else {
                continue;
            };
            let wide = width(label);
            if wide > field.columns {
                continue;
            }
            let start = column.saturating_sub(wide / 2).min(field.columns - wide);
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

const DIGITS: [&str; 5] = ["0", "1", "2", "3", "4"];

/// Decimals a figure is written with, three at most.
pub fn decimals_of(value: f64) -> usize {
    let exact = |digits: &usize| {
        let scale = 10_f64.powi(*digits as i32);
        ((value * scale).round() / scale - value).abs() < 1e-9
    };
    (0..3).find(exact).unwrap_or(3)
}

/// From values to heights, in quarters of a row from the top.
struct Scale {
    range: (f64, f64),
    dots: usize,
}

impl Scale {
    fn dot(&self, y: f64) -> usize {
        let (low, high) = self.range;
        let share = (high - y) / (high - low);
        let last = self.dots.saturating_sub(1);
        ((share * self.dots as f64).floor().max(0.0) as usize).min(last)
    }
}

/// The plot's cells.
struct Field {
    columns: usize,
    rows: usize,
    span: (f64, f64),
    scale: Scale,
    cells: Vec<(String, Style)>,
}

impl Field {
    fn new(columns: usize, rows: usize, span: (f64, f64), range: (f64, f64)) -> Field {
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

    /// The column of an x, at half columns where `twice`; none outside.
    fn column(&self, x: f64) -> Option<usize> {
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

    fn put(&mut self, column: usize, row: usize, sign: &str, style: Style) {
        if let Some(cell) = self.cells.get_mut(row * self.columns + column)
            && column < self.columns
        {
            *cell = (sign.to_owned(), style);
        }
    }

    /// A thin line: in dots of two by four to a cell, or in `plain` signs where that is given.
    fn stroke(&mut self, [a, b]: [(f64, f64); 2], plain: &str, style: Style) {
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
    fn spans(&self, row: usize) -> Vec<Span<'static>> {
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
}

/// Bits of the left column of a braille cell, top to foot.
const LEFT_DOTS: [u8; 4] = [0x01, 0x02, 0x04, 0x40];

/// The last values as small bars of eight heights, scaled from `low` to `high`; beyond these they
/// are as low or as high as bars go. Figures have to stand beside it.
pub fn sparkline(values: &[f64], (low, high): (f64, f64), theme: &Theme) -> String {
    const BARS: [&str; 8] = ["▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"];
    const PLAIN: [&str; 8] = ["_", "_", ".", ".", "-", "-", "^", "^"];
    let bar = |value: &f64| {
        let share = if high > low {
            (value - low) / (high - low)
        } else {
            0.5
        };
        let step = ((share * 8.0).floor().max(0.0) as usize).min(7);
        theme.glyphs.pick(BARS[step], PLAIN[step])
    };
    values.iter().map(bar).collect()
}

/// Ranges of one unit in another.
pub fn bands_in(limits: &Limits, from: Unit, to: Unit) -> Vec<Band> {
    let shown = |end: Option<f64>| end.and_then(|end| from.convert(end, to));
    let band = |limit: &Limit| Band {
        grade: limit.rung,
        from: shown(limit.from),
        to: shown(limit.to),
    };
    limits.bands.iter().map(band).collect()
}

/// What small bars are scaled between: the outermost limits, or the values where they go beyond.
/// Where there are no limits, a tenth of the value on either side at least, so that small strays do
/// not look like falls.
pub fn reach(bands: &[Band], values: &[f64]) -> (f64, f64) {
    let ends = bands.iter().flat_map(|b| [b.from, b.to]).flatten();
    let all: Vec<f64> = ends.chain(values.iter().copied()).collect();
    let low = all.iter().copied().fold(f64::INFINITY, f64::min);
    let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let about = if bands.is_empty() {
        (low.abs().max(high.abs())) / 10.0
    } else {
        0.0
    };
    (low - about, high + about)
}

/// Round figures from `from` to `to`, about `wanted` of them.
pub fn round_ticks(from: f64, to: f64, wanted: usize) -> Vec<f64> {
    let rough = (to - from) / wanted.max(1) as f64;
    if !(rough.is_finite() && rough > 0.0) {
        return vec![from];
    }
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * power)
        .find(|s| *s >= rough)
        .unwrap_or(rough);
    let first = (from / step).ceil();
    (0..=wanted * 2)
        .map(|n| (first + n as f64) * step)
        .take_while(|x| *x <= to + step * 1e-9)
        .collect()
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::screen::glyphs::Glyphs;
    use crate::screen::theme::ThemeName;

    const PLAIN: Theme = Theme {
        name: ThemeName::Plain,
        glyphs: Glyphs::Unicode,
    };
    const ASCII: Theme = Theme {
        name: ThemeName::Mono,
        glyphs: Glyphs::Ascii,
    };

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

    #[test]
    fn small_bars_stand_between_the_limits() {
        assert_eq!(
            sparkline(&[0.0, 5.0, 10.0, 99.0], (0.0, 10.0), &PLAIN),
            "▁▅██"
        );
        assert_eq!(sparkline(&[3.0, 3.0], (3.0, 3.0), &PLAIN), "▅▅");
        assert_eq!(sparkline(&[-9.0, 9.0], (0.0, 8.0), &ASCII), "_^");
    }

    #[test]
    fn ticks_are_round() {
        assert_eq!(round_ticks(0.0, 10.0, 5), [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]);
        assert_eq!(round_ticks(1003.0, 1240.0, 3), [1100.0, 1200.0]);
        assert_eq!(round_ticks(7.0, 7.0, 3), [7.0]);
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
