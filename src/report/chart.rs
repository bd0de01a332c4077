//! Readings in time as a drawing: each reading is the digit of its rung at the height of its value,
//! so that colour carries nothing.
//!
//! Nothing joins the readings, since nobody saw what lies between two of them, and x is true to
//! hours or days, so that a gap in the record is a gap in the drawing. Limits are dashed lines with
//! the rungs named beside them, and the worse the rung of a region, the denser it is dotted, which
//! black-and-white print keeps. A line is drawn where a trend is called.

use std::collections::BTreeSet;

use askama::Template;
use askama::filters::Safe;
use chrono::{DateTime, Duration, FixedOffset};

use super::lines;
use super::parts::TrendPart;
use super::trend_words::TrendWords;
use super::words::{Said, Words, told};
use crate::assess::trend::Direction;
use crate::boat::UnitHabit;
use crate::checklist::Grade;
use crate::defects::pauses::pauses;
use crate::defects::series::RestartBy;
use crate::defects::trend_answer::{Over, PointRow, TrendAnswer, When};
use crate::text::round_ticks;

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
/// What began the series is drawn no further ahead of it than this share of its span.
const BEFORE: f64 = 0.15;
/// The words for a pause need this much room.
const ROOM: f64 = 66.0;
/// How far apart the lines of dots are that fill the region of a rung, and how they are broken.
const SHADES: [Option<(f64, &str)>; 5] = [
    None,
    Some((14.0, "1.5 12.5")),
    Some((9.0, "1.5 7.5")),
    Some((6.0, "1.5 4.5")),
    Some((5.0, "3 2")),
];

/// A place in the drawing: from the left, from the top.
type Spot = (f64, f64);

/// Readings of an item in time; `pages/chart.svg`.
#[derive(Template)]
#[template(path = "chart.svg")]
pub(super) struct Chart<'a> {
    /// What is measured, and of which machine.
    pub title: Said,
    answer: &'a TrendAnswer,
    words: TrendWords<'a>,
    w: Words,
    x: (f64, f64),
    y: (f64, f64),
}

impl<'a> Chart<'a> {
    /// None for fewer than two readings.
    pub fn of(part: &'a TrendPart, habit: UnitHabit, w: Words) -> Option<Chart<'a>> {
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
            title: lines::place(&part.title, answer.machine.as_deref()),
            answer,
            words: TrendWords { answer, habit, w },
            w,
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
        // What began the series is in sight where it is no further off than its readings are apart.
        let begun = chart.restart().map(|(x, _)| x);
        let begun = begun.filter(|x| *x < first && first - x <= BEFORE * span);
        let begun = begun.unwrap_or(first);
        chart.x = (begun - span * 0.03, end + span * 0.03);
        Some(chart)
    }

    /// The drawing, for a page.
    pub fn drawing(&self) -> Safe<&Self> {
        Safe(self)
    }

    /// What has to be known to read the drawing, and what it shows.
    pub fn caption(&self) -> Said {
        let w = self.w;
        let holds = [
            (true, "chart-digits"),
            (self.y.0 > 0.0, "chart-not-from-0"),
            (self.slope().is_some(), "chart-line"),
            (!self.fan().is_empty(), "chart-fan"),
            (self.shades().next().is_some(), "chart-dots"),
            (self.steps().next().is_some(), "chart-topped-up"),
        ];
        let said = holds.into_iter().filter(|(holds, _)| *holds);
        let mut told: Vec<Said> = said.map(|(_, name)| w.say(name).into()).collect();
        let begun = self.restart().filter(|(x, _)| *x >= self.x.0);
        told.extend(begun.map(|(_, by)| told!(w, "chart-anew", by = w.word(by))));
        if !self.pauses().is_empty() {
            told.push(w.say("chart-pause").into());
        }
        told.push(self.words());
        Said::join(told, " ")
    }

    /// What the readings say, without the drawing.
    pub fn words(&self) -> Said {
        let (w, answer) = (self.w, self.answer);
        let over = w.say(match answer.over {
            Over::Hours => "over-axis-hours",
            Over::Days => "over-axis-days",
        });
        let (n, unit) = (answer.points.len(), self.words.unit());
        let mut told = vec![match answer.phase {
            Some(state) => told!(
                w,
                "chart-readings-state",
                n = n,
                unit = unit,
                over = over,
                state = w.word(state)
            ),
            None => told!(w, "chart-readings", n = n, unit = unit, over = over),
        }];
        if answer.earlier > 0 {
            told.push(told!(w, "chart-earlier", n = answer.earlier));
        }
        let clauses = self.words.sentences().into_iter();
        told.extend(clauses.map(|clause| {
            let mut sentence = clause;
            sentence.push(".");
            sentence
        }));
        let notes = answer.notes.iter();
        told.extend(notes.map(|note| w.english(&**note).sentence()));
        Said::join(told, " ")
    }

    /// What it is, for whoever does not see it.
    fn label(&self) -> Said {
        told!(self.w, "chart-label", item = &self.title)
    }

    fn px(&self, x: f64) -> f64 {
        PLOT.0 + (x - self.x.0) / (self.x.1 - self.x.0) * (PLOT.2 - PLOT.0)
    }

    fn py(&self, y: f64) -> f64 {
        PLOT.3 - (y - self.y.0) / (self.y.1 - self.y.0) * (PLOT.3 - PLOT.1)
    }

    /// Height of each tick, and its figure.
    fn y_ticks(&self) -> Vec<(f64, String)> {
        let own = self.answer.unit;
        let unit = self.answer.shown_unit(self.words.habit);
        let shown = |y: f64| own.convert(y, unit).unwrap_or(y);
        let ticks = round_ticks(shown(self.y.0), shown(self.y.1), 5).into_iter();
        let height = |tick| self.py(unit.convert(tick, own).unwrap_or(tick));
        ticks
            .map(|tick| (height(tick), self.w.figure(tick)))
            .collect()
    }

    fn over_hours(&self) -> bool {
        self.answer.over == Over::Hours
    }

    /// Place of each tick, and its figure or date.
    fn x_ticks(&self) -> Vec<(f64, String)> {
        let label = |tick| match self.over_hours() {
            true => self.w.figure(tick),
            false => self.date(tick),
        };
        let ticks = round_ticks(self.x.0, self.x.1, 5).into_iter();
        ticks.map(|tick| (self.px(tick), label(tick))).collect()
    }

    fn date(&self, day: f64) -> String {
        let start = |p: &PointRow| start_of(p.at, p.days);
        let start = self.answer.points.first().and_then(start);
        let at =
            Duration::try_minutes((day * 1440.0) as i64).and_then(|d| start?.checked_add_signed(d));
        at.map_or_else(String::new, lines::short_day)
    }

    /// Heights of the limits within the plot.
    fn limit_lines(&self) -> impl Iterator<Item = f64> {
        self.limits().into_iter().map(|limit| self.py(limit))
    }

    /// The limits within the plot, ascending.
    fn limits(&self) -> Vec<f64> {
        let bands = self.answer.limits.bands.iter();
        let mut all: Vec<f64> = bands.flat_map(|b| [b.from, b.to]).flatten().collect();
        all.retain(|v| *v > self.y.0 && *v < self.y.1);
        all.sort_by(f64::total_cmp);
        all.dedup();
        all
    }

    /// Between two limits the name of the rung that a value there means, where there is room.
    fn rungs(&self) -> Vec<(f64, String)> {
        let ends = [vec![self.y.0], self.limits(), vec![self.y.1]].concat();
        let between = ends.windows(2).filter_map(|pair| {
            let middle = f64::midpoint(pair[0], pair[1]);
            let grade = self.answer.limits.rung_of(middle)?;
            let room = self.py(pair[0]) - self.py(pair[1]) >= NAME;
            room.then(|| (self.py(middle), self.w.rung(grade)))
        });
        between.collect()
    }

    /// Lines of dots in the regions of worse rungs: their path, and how they are broken.
    fn shades(&self) -> impl Iterator<Item = (String, &'static str)> {
        let ends = [vec![self.y.0], self.limits(), vec![self.y.1]].concat();
        let between: Vec<(f64, f64)> = ends.windows(2).map(|pair| (pair[0], pair[1])).collect();
        between.into_iter().filter_map(|(from, to)| {
            let grade = self.answer.limits.rung_of(f64::midpoint(from, to))?;
            let (apart, broken) = SHADES[grade.rung()]?;
            let (top, foot) = (self.py(to), self.py(from));
            let rows = (1..).map(|n| top + apart * (f64::from(n) - 0.5));
            let lines = rows.take_while(|y| *y < foot).enumerate().map(|(n, y)| {
                let left = PLOT.0 + apart * if n % 2 == 0 { 0.5 } else { 1.0 };
                format!("M{left:.1} {y:.1}H{}", PLOT.2)
            });
            let path: String = lines.collect();
            (!path.is_empty()).then_some((path, broken))
        })
    }

    /// Where the series began anew, and by what.
    fn restart(&self) -> Option<(f64, RestartBy)> {
        let restart = self.answer.restarted?;
        let day = |p: &PointRow| {
            Some((restart.at - start_of(p.at, p.days)?).num_minutes() as f64 / 1440.0)
        };
        let x = match self.answer.over {
            Over::Hours => restart.hours,
            Over::Days => day(self.answer.points.first()?)?,
        };
        Some((x, restart.by))
    }

    /// The same where it is in the plot.
    fn begun(&self) -> Option<f64> {
        let (x, _) = self.restart()?;
        (self.x.0..=self.x.1).contains(&x).then(|| self.px(x))
    }

    /// What was topped up: where, and from which height to which where its rise is known.
    fn steps(&self) -> impl Iterator<Item = (f64, Option<(f64, f64)>)> {
        let points = &self.answer.points;
        let seen = self.answer.additions.iter().map(|added| {
            let x = match self.answer.over {
                Over::Hours => added.hours,
                Over::Days => added.days,
            };
            (x, added)
        });
        let seen = seen.filter(|(x, _)| (self.x.0..=self.x.1).contains(x));
        seen.map(|(x, added)| {
            let so_far = points.partition_point(|p| p.at <= added.at);
            let last = so_far.checked_sub(1).and_then(|at| points.get(at));
            let rise = last.zip(added.raises).map(|(last, raise)| {
                let with_it = last.at == added.at && added.read_after;
                let from = last.value - if with_it { raise } else { 0.0 };
                let inside = |y: f64| self.py(y.clamp(self.y.0, self.y.1));
                (inside(from), inside(from + raise))
            });
            (self.px(x), rise)
        })
    }

    /// From the reading before to the one after: long times without any.
    fn pauses(&self) -> Vec<(f64, f64)> {
        let points = &self.answer.points;
        let readings: Vec<_> = points
            .iter()
            .map(|p| (p.days, along(self.answer, p)))
            .collect();
        let place = |at: usize| self.px(along(self.answer, &points[at]));
        let all = pauses(&readings).into_iter();
        all.map(|at| (place(at), place(at + 1))).collect()
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

    /// The line of a called trend: where it begins, where the readings end, and where it meets the
    /// next limit if that is in the plot.
    fn line(&self) -> Option<(Spot, Spot, Option<Spot>)> {
        let (slope, intercept) = self.slope()?;
        let lift = self.lift();
        let same = |p: &&PointRow| {
            p.levelled
                .is_some_and(|l| (p.value - l - lift).abs() < 1e-9)
        };
        let from = self.answer.points.iter().find(same)?;
        let last = self.answer.points.last()?;
        let at = |x: f64| (self.px(x), self.py(intercept + slope * x));
        let along = |point| at(along(self.answer, point));
        let crossing = self.crossing().filter(|(x, _)| *x <= self.x.1);
        Some((along(from), along(last), crossing.map(|(x, _)| at(x))))
    }

    /// From the last reading to where the line meets the limit at the earliest and at the latest, as
    /// far as the plot goes.
    fn fan(&self) -> Vec<(Spot, Spot)> {
        let edges = || {
            let crossing = self.answer.crossing?;
            let (slope, intercept) = self.slope()?;
            let from = along(self.answer, self.answer.points.last()?);
            let from = (from, intercept + slope * from);
            let (about, limit) = self.crossing()?;
            let ends = [crossing.not_before?, crossing.not_after?];
            let later = ends.map(|end| later(self.answer.over, &crossing.about, &end));
            let edge = |later: Option<f64>| {
                let to = (about + later?, limit);
                let share = ((self.x.1 - from.0) / (to.0 - from.0)).min(1.0);
                let cut = |from: f64, to: f64| from + (to - from) * share;
                let end = (cut(from.0, to.0), cut(from.1, to.1));
                let spot = |(x, y)| (self.px(x), self.py(y));
                (to.0 > from.0).then(|| (spot(from), spot(end)))
            };
            Some(later.into_iter().filter_map(edge).collect())
        };
        edges().unwrap_or_default()
    }

    /// The readings, and where each stands.
    fn marks(&self) -> Vec<(Spot, &PointRow)> {
        let mut drawn: BTreeSet<(i64, i64, Grade)> = BTreeSet::new();
        let points = self.answer.points.iter();
        let placed = points.map(|p| ((self.px(along(self.answer, p)), self.py(p.value)), p));
        let new = placed.filter(|((x, y), point)| {
            drawn.insert(((x / CELL.0) as i64, (y / CELL.1) as i64, point.grade))
        });
        new.collect()
    }
}

/// By how much one moment is later than another.
fn later(over: Over, about: &When, end: &When) -> Option<f64> {
    match over {
        Over::Hours => Some(end.hours? - about.hours?),
        Over::Days => Some((end.date? - about.date?).num_days() as f64),
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
