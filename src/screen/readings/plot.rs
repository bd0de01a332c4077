//! The chosen readings laid out along an axis, once: a frame only draws what stands here.

use crate::defects::pauses::pauses;
use crate::defects::series::{Addition, RestartBy, Series, Taken};
use crate::defects::trend_answer::Over;
use crate::defects::usage::days;
use crate::paint::chart::{Dot, TopUp};
use crate::screen::readings::Track;
use crate::screen::readings::trend::Reckoned;

/// The chart runs ahead of the last reading by at most this share of what it shows.
const AHEAD: f64 = 0.5;

/// What readings are drawn over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// Running hours or days.
    Time(Over),
    /// The engine speed they were taken at.
    Speed,
}

impl Axis {
    /// Over what there is anything to draw, that of the trend first.
    pub fn all(track: &Track, by_rule: Over) -> Vec<Axis> {
        let mut all = vec![Axis::Time(by_rule)];
        if by_rule == Over::Hours {
            all.push(Axis::Time(Over::Days));
        }
        let at_speeds = track.series.points.iter().filter(|t| t.speed.is_some());
        if at_speeds.count() > 1 {
            all.push(Axis::Speed);
        }
        all
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Axis::Time(Over::Hours) => "running hours",
            Axis::Time(Over::Days) => "days",
            Axis::Speed => "engine speed",
        }
    }
}

/// Readings along an axis, in the unit shown.
pub struct Plot {
    /// Over what.
    pub axis: Axis,
    /// The readings by x, and those of one x by time.
    pub dots: Vec<Dot>,
    /// Their x.
    pub xs: Vec<f64>,
    /// Which reading of the series each is.
    pub readings: Vec<usize>,
    /// First and last x of the whole.
    pub whole: (f64, f64),
    /// Where the series begins anew.
    pub restarts: Vec<(f64, &'static str)>,
    /// What was topped up.
    pub top_ups: Vec<TopUp>,
    /// The readings of the series after which none was taken for long.
    pub paused: Vec<usize>,
    /// The same along an axis of time.
    pub pauses: Vec<(f64, f64)>,
    /// Two points of the line of a called trend.
    pub line: Option<[(f64, f64); 2]>,
    /// Where it meets the next limit, if that is near enough.
    pub crossing: Option<(f64, f64)>,
    /// The edges of what the trend leaves open.
    pub fan: [Option<[(f64, f64); 2]>; 2],
}

impl Plot {
    /// Over time as reckoned, or over engine speed, where no trend is drawn.
    pub fn of(track: &Track, shown: &Reckoned, axis: Axis) -> Plot {
        match axis {
            Axis::Time(_) => Plot::over_time(track, shown),
            Axis::Speed => Plot::over_speed(track, shown),
        }
    }

    fn over_speed(track: &Track, shown: &Reckoned) -> Plot {
        let speed = |t: &Taken| t.speed.map(f64::from);
        Plot::laid(track, shown, Axis::Speed, speed)
    }

    fn over_time(track: &Track, shown: &Reckoned) -> Plot {
        let series = &track.series;
        let axis = Axis::Time(shown.answer.over);
        let mut plot = Plot::laid(track, shown, axis, |t| Some(shown.x(t)));
        let (from, to) = plot.whole;
        let crossing = shown.crossing().map(|(x, y)| (x, track.value(y)));
        plot.crossing = crossing.filter(|(x, _)| *x - to <= (to - from) * AHEAD);
        let restarts = series.restarts.iter();
        plot.restarts = restarts
            .map(|r| (shown.along(r.at, r.hours), letter(r.by)))
            .collect();
        plot.top_ups = top_ups(track, shown);
        // What was done since the last reading is in sight as well.
        let done = plot.restarts.iter().map(|(x, _)| *x);
        let done = done.chain(plot.top_ups.iter().map(|top_up| top_up.x));
        let end = done.chain(plot.crossing.map(|(x, _)| x)).fold(to, f64::max);
        plot.whole = (from, end);
        let line = |to: f64| Some(shown.line(track, to)?.map(|(x, y)| (x, track.value(y))));
        plot.line = line(end);
        // From the last reading the trend opens to where it meets the limit at the earliest and latest.
        plot.fan = shown.crossing_ends().map(|met| {
            let (last, limit) = (line(to)?[1], plot.crossing?.1);
            Some([last, (met?, limit)])
        });
        let place = |at: usize| shown.x(&series.points[at]);
        let paused = plot.paused.iter();
        plot.pauses = paused.map(|at| (place(*at), place(at + 1))).collect();
        plot
    }

    fn laid(
        track: &Track,
        shown: &Reckoned,
        axis: Axis,
        x: impl Fn(&Taken) -> Option<f64>,
    ) -> Plot {
        let points = &track.series.points;
        let mut strays = shown.answer.points.iter().map(|p| p.outlier);
        let mut all: Vec<(Dot, usize)> = Vec::with_capacity(points.len());
        for (at, taken) in points.iter().enumerate() {
            // The answer's points are those of the series in force, in the same order.
            let stray = taken.current && strays.next().unwrap_or(false);
            all.extend(x(taken).map(|x| {
                let y = track.value(taken.value);
                let grade = taken.grade;
                (Dot { x, y, grade, stray }, at)
            }));
        }
        all.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
        let (dots, readings): (Vec<Dot>, Vec<usize>) = all.into_iter().unzip();
        let xs: Vec<f64> = dots.iter().map(|dot| dot.x).collect();
        let ends = xs.first().zip(xs.last());
        Plot {
            axis,
            whole: ends.map_or((0.0, 1.0), |(from, to)| (*from, *to)),
            dots,
            xs,
            readings,
            restarts: Vec::new(),
            top_ups: Vec::new(),
            paused: paused(&track.series, shown),
            pauses: Vec::new(),
            line: None,
            crossing: None,
            fan: [None; 2],
        }
    }

    /// An x as a label.
    pub fn label(&self, shown: &Reckoned, x: f64) -> String {
        match self.axis {
            Axis::Time(_) => shown.label(x),
            Axis::Speed => format!("{x:.0} rpm"),
        }
    }
}

/// The places of the readings after which nothing was read for long.
fn paused(series: &Series, shown: &Reckoned) -> Vec<usize> {
    let Some(first) = series.points.first() else {
        return Vec::new();
    };
    let points = series.points.iter();
    let readings: Vec<_> = points.map(|t| (days(first.at, t.at), shown.x(t))).collect();
    pauses(&readings)
}

/// What was added, from the level read before it, or with it, to what that raises it to.
fn top_ups(track: &Track, shown: &Reckoned) -> Vec<TopUp> {
    let series = &track.series;
    let top_up = |added: &Addition| {
        let so_far = series.points.partition_point(|t| t.at <= added.at);
        let last = so_far.checked_sub(1).and_then(|at| series.points.get(at));
        let rise = last
            .zip(series.raised_by(added.litres))
            .map(|(last, raise)| {
                let with_it = last.at == added.at && added.read_after;
                let from = last.value - if with_it { raise } else { 0.0 };
                (track.value(from), track.value(from + raise))
            });
        TopUp {
            x: shown.along(added.at, added.hours),
            rise,
        }
    };
    series.additions.iter().map(top_up).collect()
}

/// Stands for what began a series anew.
pub fn letter(by: RestartBy) -> &'static str {
    match by {
        RestartBy::Repair => "R",
        RestartBy::Fitted => "F",
        RestartBy::Service => "S",
        RestartBy::Cleaned => "C",
        RestartBy::Adjusted => "A",
    }
}
