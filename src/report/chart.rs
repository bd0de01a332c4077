//! Readings in time as a drawing: each reading is the digit of its rung at the height of its value,
//! so that colour carries nothing.
//!
//! Nothing joins the readings, since nobody saw what lies between two of them, and x is true to
//! hours or days, so that a gap in the record is a gap in the drawing. Limits are dashed lines with
//! their figure and the rungs named beside them. A line is drawn where a trend is called.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use chrono::{DateTime, Duration, FixedOffset};

use super::lines;
use super::parts::TrendPart;
use crate::assess::trend::Direction;
use crate::boat::UnitHabit;
use crate::checklist::Grade;
use crate::defects::trend_answer::{Over, PointRow, TrendAnswer};
use crate::defects::trend_words::figure;
use crate::text::{html_text, round_ticks, safe_line};

/// Width and height of the whole drawing, in its own units.
const SIZE: (f64, f64) = (720.0, 250.0);
/// The plot within it: left, top, right, bottom.
const PLOT: (f64, f64, f64, f64) = (64.0, 14.0, 620.0, 206.0);
/// Marks closer than this cover each other; the same digit is then drawn once.
const CELL: (f64, f64) = (7.0, 8.0);
/// How far ahead of the readings a crossing is drawn, as a share of their span.
const AHEAD: f64 = 0.6;
/// Rungs named beside the plot need this much height.
const NAME: f64 = 13.0;

/// Readings of an item in time.
pub(super) struct Chart<'a> {
    answer: &'a TrendAnswer,
    habit: UnitHabit,
    x: (f64, f64),
    y: (f64, f64),
}

impl<'a> Chart<'a> {
    /// None for fewer than two readings.
    pub fn of(part: &'a TrendPart, habit: UnitHabit) -> Option<Chart<'a>> {
        let answer = &part.answer;
        let first = along(answer, answer.points.first()?);
        let last = along(answer, answer.points.last()?);
        let values = answer.points.iter().map(|p| p.value);
        let (mut low, mut high) = ends(values)?;
        // The next limit on either side belongs to it: without it a small change looks large.
        let limits = || {
            let bands = answer.limits.bands.iter();
            bands.flat_map(|b| [b.from, b.to]).flatten()
        };
        let (below, above) = (low, high);
        let under = limits().filter(|l| *l < below).fold(f64::NAN, f64::max);
        let over = limits().filter(|l| *l > above).fold(f64::NAN, f64::min);
        low = low.min(under);
        high = high.max(over);
        let room = ((high - low) * 0.08).max(high.abs().max(low.abs()) * 0.01);
        let room = if room > 0.0 { room } else { 1.0 };
        // A value that cannot be below nought gets no room there.
        let bottom = if low >= 0.0 && low - room < 0.0 {
            0.0
        } else {
            low - room
        };
        let mut chart = Chart {
            answer,
            habit,
            x: (first, last),
            y: (bottom, high + room),
        };
        let span = (last - first).max(1.0);
        let ahead = chart.crossing().map_or(last, |(x, _)| x);
        let end = if ahead <= last + AHEAD * span {
            ahead.max(last)
        } else {
            last
        };
        chart.x = (first - span * 0.03, end + span * 0.03);
        Some(chart)
    }

    /// The drawing as an SVG element, its text made safe for a page.
    pub fn svg(&self, title: &str) -> String {
        let (left, top, right, bottom) = PLOT;
        let mut out = format!(
            "<svg class=\"chart\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\" font-family=\"system-ui,sans-serif\" font-size=\"12\" fill=\"currentColor\" stroke-width=\"1\">\n",
            SIZE.0,
            SIZE.1,
            svg_text(&format!("Readings of {title} in time"))
        );
        let _ = writeln!(
            out,
            "<path d=\"M{left} {top}V{bottom}H{right}\" fill=\"none\" stroke=\"currentColor\"/>"
        );
        self.y_axis(&mut out);
        self.x_axis(&mut out);
        self.limits(&mut out);
        self.line(&mut out);
        self.marks(&mut out);
        out.push_str("</svg>\n");
        out
    }

    /// What has to be known to read the drawing, and what it shows.
    pub fn caption(&self) -> Vec<String> {
        let mut told = vec!["Each digit is a reading and the rung given with it.".to_owned()];
        if self.y.0 > 0.0 {
            told.push("The scale does not begin at 0.".to_owned());
        }
        if self.slope().is_some() {
            told.push("The line is a Theil–Sen line, dotted beyond the readings.".to_owned());
        }
        told.extend(self.words());
        told
    }

    /// What the readings say, without the drawing.
    pub fn words(&self) -> Vec<String> {
        let answer = self.answer;
        let over = match answer.over {
            Over::Hours => "running hours",
            Over::Days => "days",
        };
        let state = answer.phase;
        let state = state.map_or_else(String::new, |s| {
            format!(", engine {}", lines::spaced(s.as_str()))
        });
        let mut told = vec![format!(
            "{} readings in {} over {over}{state}.",
            answer.points.len(),
            answer.shown_unit(self.habit)
        )];
        if answer.earlier > 0 {
            told.push(format!(
                "{} earlier readings belong to a series before.",
                answer.earlier
            ));
        }
        let sentences = answer.sentences(self.habit);
        told.extend(sentences.into_iter().map(|s| format!("{s}.")));
        told.extend(answer.notes.iter().map(|note| lines::sentence(note)));
        told
    }

    fn px(&self, x: f64) -> f64 {
        PLOT.0 + (x - self.x.0) / (self.x.1 - self.x.0) * (PLOT.2 - PLOT.0)
    }

    fn py(&self, y: f64) -> f64 {
        PLOT.3 - (y - self.y.0) / (self.y.1 - self.y.0) * (PLOT.3 - PLOT.1)
    }

    fn y_axis(&self, out: &mut String) {
        let own = self.answer.unit;
        let unit = self.answer.shown_unit(self.habit);
        let shown = |y: f64| own.convert(y, unit).unwrap_or(y);
        let (from, to) = (shown(self.y.0), shown(self.y.1));
        let _ = writeln!(
            out,
            "<text x=\"4\" y=\"{}\" font-weight=\"bold\">{}</text>",
            PLOT.1 - 3.0,
            svg_text(unit.as_str())
        );
        for tick in round_ticks(from, to, 5) {
            let y = self.py(unit.convert(tick, own).unwrap_or(tick));
            let _ = writeln!(
                out,
                "<path d=\"M{} {y:.1}h5\" stroke=\"currentColor\"/><text x=\"{}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>",
                PLOT.0 - 5.0,
                PLOT.0 - 8.0,
                y + 4.0,
                figure(tick)
            );
        }
    }

    fn x_axis(&self, out: &mut String) {
        let hours = self.answer.over == Over::Hours;
        for tick in round_ticks(self.x.0, self.x.1, 5) {
            let x = self.px(tick);
            let label = if hours { figure(tick) } else { self.date(tick) };
            let _ = writeln!(
                out,
                "<path d=\"M{x:.1} {}v5\" stroke=\"currentColor\"/><text x=\"{x:.1}\" y=\"{}\" text-anchor=\"middle\">{label}</text>",
                PLOT.3,
                PLOT.3 + 18.0
            );
        }
        let name = if hours { "running hours" } else { "date" };
        let _ = writeln!(
            out,
            "<text x=\"{}\" y=\"{}\" text-anchor=\"middle\" font-weight=\"bold\">{name}</text>",
            (PLOT.0 + PLOT.2) / 2.0,
            PLOT.3 + 36.0
        );
    }

    fn date(&self, day: f64) -> String {
        let start = |p: &PointRow| start_of(p.at, p.days);
        let start = self.answer.points.first().and_then(start);
        let at =
            Duration::try_minutes((day * 1440.0) as i64).and_then(|d| start?.checked_add_signed(d));
        at.map_or_else(String::new, |at| at.format("%Y-%m-%d").to_string())
    }

    fn limits(&self, out: &mut String) {
        let inside = |v: f64| v > self.y.0 && v < self.y.1;
        let bounds: Vec<f64> = {
            let bands = self.answer.limits.bands.iter();
            let mut all: Vec<f64> = bands.flat_map(|b| [b.from, b.to]).flatten().collect();
            all.retain(|v| inside(*v));
            all.sort_by(f64::total_cmp);
            all.dedup();
            all
        };
        for bound in &bounds {
            let _ = writeln!(
                out,
                "<path d=\"M{} {y:.1}H{}\" stroke=\"currentColor\" stroke-dasharray=\"6 4\" opacity=\"0.7\"/>",
                PLOT.0,
                PLOT.2,
                y = self.py(*bound)
            );
        }
        // Between two limits stands the name of the rung that a value there means.
        let ends = [self.y.0]
            .into_iter()
            .chain(bounds.iter().copied())
            .chain([self.y.1]);
        let ends: Vec<f64> = ends.collect();
        for pair in ends.windows(2) {
            let middle = f64::midpoint(pair[0], pair[1]);
            let Some(grade) = self.answer.limits.rung_of(middle) else {
                continue;
            };
            if self.py(pair[0]) - self.py(pair[1]) >= NAME {
                self.beside(out, self.py(middle) + 4.0, &lines::grade(grade));
            }
        }
    }

    fn beside(&self, out: &mut String, y: f64, text: &str) {
        let _ = writeln!(
            out,
            "<text x=\"{}\" y=\"{y:.1}\">{}</text>",
            PLOT.2 + 8.0,
            svg_text(text)
        );
    }

    /// What was added since the series began lifts the level above its levelled image.
    fn lift(&self) -> f64 {
        let last = self.answer.points.last();
        last.and_then(|p| Some(p.value - p.levelled?))
            .unwrap_or(0.0)
    }

    fn slope(&self) -> Option<(f64, f64)> {
        let called = self.answer.trend != Direction::None;
        let line = self.answer.slope.zip(self.answer.intercept);
        line.filter(|_| called)
            .map(|(slope, intercept)| (slope, intercept + self.lift()))
    }

    /// Where the line meets the next limit.
    fn crossing(&self) -> Option<(f64, f64)> {
        let (slope, intercept) = self.slope()?;
        let limit = self.answer.crossing?.limit;
        Some(((limit - intercept) / slope, limit))
    }

    fn line(&self, out: &mut String) {
        let Some((slope, intercept)) = self.slope() else {
            return;
        };
        let lift = self.lift();
        let same = |p: &&PointRow| {
            p.levelled
                .is_some_and(|l| (p.value - l - lift).abs() < 1e-9)
        };
        let Some(from) = self.answer.points.iter().find(same) else {
            return;
        };
        let at = |x: f64| (self.px(x), self.py(intercept + slope * x));
        let last = self
            .answer
            .points
            .last()
            .map_or(self.x.1, |p| along(self.answer, p));
        let crossing = self.crossing().filter(|(x, _)| *x <= self.x.1);
        let (start, end) = (at(along(self.answer, from)), at(last));
        let _ = writeln!(
            out,
            "<path d=\"M{:.1} {:.1}L{:.1} {:.1}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"2\"/>",
            start.0, start.1, end.0, end.1
        );
        let Some((x, _)) = crossing else {
            return;
        };
        let met = at(x);
        let _ = writeln!(
            out,
            "<path d=\"M{:.1} {:.1}L{:.1} {:.1}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"2\" stroke-dasharray=\"2 4\"/><circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"6\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"2\"/>",
            end.0, end.1, met.0, met.1, met.0, met.1
        );
    }

    fn marks(&self, out: &mut String) {
        let mut drawn: BTreeSet<(i64, i64, Grade)> = BTreeSet::new();
        for point in &self.answer.points {
            let (x, y) = (self.px(along(self.answer, point)), self.py(point.value));
            let cell = ((x / CELL.0) as i64, (y / CELL.1) as i64, point.grade);
            if !drawn.insert(cell) {
                continue;
            }
            let apart = if point.outlier {
                " text-decoration=\"underline\""
            } else {
                ""
            };
            let _ = writeln!(
                out,
                "<text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\" font-weight=\"bold\"{apart}>{}</text>",
                y + 4.0,
                point.grade.rung()
            );
        }
    }
}

fn along(answer: &TrendAnswer, point: &PointRow) -> f64 {
    match answer.over {
        Over::Hours => point.hours,
        Over::Days => point.days,
    }
}

fn start_of(at: DateTime<FixedOffset>, days: f64) -> Option<DateTime<FixedOffset>> {
    at.checked_sub_signed(Duration::try_minutes((days * 1440.0) as i64)?)
}

fn ends(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.fold(None, |ends: Option<(f64, f64)>, v| {
        Some(ends.map_or((v, v), |(low, high)| (low.min(v), high.max(v))))
    })
}

/// Text inside a drawing: one line, since a line break in HTML would end the drawing.
pub(super) fn svg_text(text: &str) -> String {
    html_text(&safe_line(text))
}
