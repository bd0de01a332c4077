//! Where the readings of an item are going: line, test, crossing of the next worse rung, and what
//! was used up. One answer for the command and the screen.

use chrono::{DateTime, Duration, FixedOffset};

use super::admit::Fault;
use super::condition::Condition;
use super::history::History;
use super::limits::Limits;
use super::oil_use::OilUseRow;
use super::series::{Addition, Series, Taken, days_in};
use super::subject::Subject;
use super::trend_answer::{
    AdditionRow, CrossingRow, Over, PointRow, ProjectionRow, RestartRow, TrendAnswer, UseRow, When,
};
use super::usage::days;
use crate::assess::crossing::Crossing;
use crate::assess::exposure::{Exposure, HORIZON_DAYS};
use crate::assess::leak_rate::use_per_100_hours;
use crate::assess::outlier::outliers;
use crate::assess::slope::Line;
use crate::assess::trend::{Direction, LEVEL, Point, Trend, within};
use crate::boat::Unit;
use crate::checklist::PhaseState;

/// How a trend is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrendQuery {
    /// In which state of the engine; the fullest series where none is named.
    pub state: Option<PhaseState>,
    /// Over what; by rule where nothing is named.
    pub over: Option<Over>,
    /// Level of the slope's interval, above 0 and below 1.
    pub level: f64,
}

impl Default for TrendQuery {
    fn default() -> TrendQuery {
        TrendQuery {
            state: None,
            over: None,
            level: LEVEL,
        }
    }
}

impl Condition {
    /// The trend of an item's readings.
    ///
    /// # Errors
    /// The item has no reading, or none was taken in the state asked for while some were in others.
    pub fn trend(
        &self,
        history: &History,
        subject: &Subject,
        asked: TrendQuery,
    ) -> Result<TrendAnswer, Fault> {
        let reading = self.item(subject).and_then(|item| item.reading.as_ref());
        let Some(reading) = reading else {
            return Err((
                "item".into(),
                format!("{} has no reading, only a grade", subject.item),
            ));
        };
        let mut all = self.series(history, subject);
        let states = |all: &[Series]| all.iter().filter_map(|s| s.state).collect::<Vec<_>>();
        let place = match asked.state {
            Some(state) => all.iter().position(|s| s.state == Some(state)),
            None => (!all.is_empty()).then_some(0),
        };
        if let (Some(state), None) = (asked.state, place)
            && !all.is_empty()
        {
            let known: Vec<_> = states(&all).iter().map(|s| s.as_str()).collect();
            let message = match known.as_slice() {
                [] => format!("readings of {} are not kept apart by phase", subject.item),
                known => format!(
                    "no reading of {} in phase {state}; there are some in {}",
                    subject.item,
                    known.join(", ")
                ),
            };
            return Err(("phase".into(), message));
        }
        let series = place.map(|place| all.remove(place));
        let other_phases = states(&all);
        Ok(match series {
            Some(series) => self.trend_of(&series, other_phases, asked),
            None => {
                let mut answer = self.blank(subject, reading.unit, asked);
                answer.other_phases = other_phases;
                answer.notes.push("no reading was taken yet".into());
                answer
            }
        })
    }

    /// The trend of one series; the other states of the engine in which the same item is read are said
    /// beside it.
    pub fn trend_of(
        &self,
        series: &Series,
        other_phases: Vec<PhaseState>,
        asked: TrendQuery,
    ) -> TrendAnswer {
        let mut answer = self.blank(&series.subject, series.unit, asked);
        answer.other_phases = other_phases;
        self.fill(&mut answer, series, asked);
        answer
    }

    /// Over what readings of a subject are drawn unless asked otherwise: running hours where it
    /// belongs to a machine whose meter was ever read, else days.
    fn axis(&self, subject: &Subject) -> Over {
        let metered = subject.machine.is_some() && self.usage(subject).last().is_some();
        if metered { Over::Hours } else { Over::Days }
    }

    fn blank(&self, subject: &Subject, unit: Unit, asked: TrendQuery) -> TrendAnswer {
        TrendAnswer {
            item: subject.item.clone(),
            machine: subject.machine.clone(),
            phase: asked.state,
            other_phases: Vec::new(),
            unit,
            over: asked.over.unwrap_or_else(|| self.axis(subject)),
            n: 0,
            points: Vec::new(),
            additions: Vec::new(),
            restarted: None,
            earlier: 0,
            slope: None,
            slope_low: None,
            slope_high: None,
            interval: asked.level,
            intercept: None,
            tested: 0,
            s: None,
            tau: None,
            z: None,
            p: None,
            p_method: None,
            trend: Direction::None,
            named: false,
            crossing: None,
            later: Vec::new(),
            projection: self.projection(subject),
            limits: Limits::default(),
            used: None,
            oil_use: None,
            rate_of_use: self.rate(subject.machine.as_deref()).into(),
            notes: Vec::new(),
        }
    }

    fn fill(&self, answer: &mut TrendAnswer, series: &Series, asked: TrendQuery) {
        let over = answer.over;
        let taken: Vec<&Taken> = series.current().collect();
        let along = |p: &Taken| along(series, p, over);
        let levelled = taken.iter().all(|p| p.levelled.is_some());
        let points: Vec<Point> = taken
            .iter()
            .filter_map(|p| {
                Some(Point {
                    day: days_in(series, p.at),
                    x: along(p),
                    y: p.levelled.filter(|_| levelled)?,
                })
            })
            .collect();
        let trend = Trend::of(&points, asked.level);
        let plain: Vec<(f64, f64)> = points.iter().map(|p| (p.x, p.y)).collect();
        let apart = trend.line.map(|line| outliers(&plain, &line));
        let apart = apart.unwrap_or_default();
        answer.points = taken
            .iter()
            .enumerate()
            .map(|(i, p)| row(series, p, apart.get(i)))
            .collect();
        answer.additions = series.added().map(|a| addition(series, a)).collect();
        answer.phase = series.state;
        answer.n = trend.n;
        answer.earlier = series.points.len() - taken.len();
        answer.restarted = series.restarts.last().copied().map(RestartRow::from);
        answer.limits = series.limits.clone();
        answer.oil_use = self.oil_use(series);
        answer.used = used(series, answer.oil_use);
        answer.slope = trend.line.map(|l| l.slope);
        answer.slope_low = trend.line.and_then(|l| l.low);
        answer.slope_high = trend.line.and_then(|l| l.high);
        answer.intercept = trend.line.map(|l| l.intercept());
        answer.tested = trend.test.map_or(usize::from(trend.n > 0), |t| t.n);
        answer.s = trend.test.map(|t| t.s);
        answer.tau = trend.test.and_then(|t| t.tau_b());
        answer.z = trend.test.map(|t| t.z);
        answer.p = trend.test.map(|t| t.p);
        answer.p_method = trend.test.map(|t| t.p_method);
        answer.trend = trend.direction;
        let mut crossings = self.crossings(series, &trend, over).into_iter();
        answer.crossing = crossings.next();
        answer.later = crossings.collect();
        answer.named = trend.is_sure()
            && answer.crossing.is_some_and(|c| {
                let (plan, _) = self.usual_plan();
                self.falls_within(plan, &c)
            });
        notes(answer, series, levelled, trend.line);
        let taught = self.reading_error(&series.subject);
        answer.notes.extend(taught.and_then(|e| e.words()));
    }

    fn projection(&self, subject: &Subject) -> Option<ProjectionRow> {
        let (item, life) = (self.item(subject)?, self.lives.get(subject)?);
        let falling = self.falling(subject, item, life)?;
        let when = |ahead| self.when(subject, Over::Hours, ahead);
        let (plan, _) = self.usual_plan();
        let meets = falling.meets;
        Some(ProjectionRow {
            per_hour: falling.ahead.fall.per_hour,
            low: falling.interval.0,
            high: falling.interval.1,
            limit: falling.ahead.limit,
            not_before: meets.and_then(|m| m.not_before).map(when),
            about: meets.map(|m| when(m.about)),
            not_after: meets.and_then(|m| m.not_after).map(when),
            add_for_day: falling.wants_litres(self.day_ahead().hours),
            carry_for_plan: falling.wants_litres(plan.hours),
            error: falling.error.of_one,
            error_learned_from: falling.error.learned.map(|s| s.n),
            words: self.fall_in_words(&falling),
        })
    }

    /// True where a crossing falls within a plan.
    pub fn falls_within(&self, plan: Exposure, crossing: &CrossingRow) -> bool {
        let ahead = crossing.about;
        let in_days = ahead
            .date
            .map(|d| (d - self.now.date_naive()).num_days() as f64);
        within(plan, ahead.hours, in_days)
    }

    /// When a called trend reaches each worse rung ahead of it.
    fn crossings(&self, series: &Series, trend: &Trend, over: Over) -> Vec<CrossingRow> {
        let Some(line) = trend.line.filter(|_| trend.direction != Direction::None) else {
            return Vec::new();
        };
        let now = match over {
            Over::Hours => self.usage(&series.subject).at(self.now).hours,
            Over::Days => days_in(series, self.now),
        };
        let rising = line.slope > 0.0;
        let when = |ahead| self.when(&series.subject, over, ahead);
        // What was added is in there: the level itself meets the limit, not its levelled image.
        let added: f64 = series.added().map(|a| a.litres).sum();
        let shift = series.raised_by(added).unwrap_or(0.0);
        // Counted from the last reading: what the line has met since then counts as met now.
        let last = series
            .current()
            .last()
            .map_or(now, |p| along(series, p, over));
        let ends = series.limits.ahead(line.at(last) + shift, rising);
        ends.into_iter()
            .filter_map(|(limit, rung)| {
                let crossing = Crossing::of(&line, limit - shift, now)?;
                Some(CrossingRow {
                    rung,
                    limit,
                    not_before: crossing.not_before.map(when),
                    about: when(crossing.about),
                    not_after: crossing.not_after.map(when),
                })
            })
            .collect()
    }

    fn when(&self, subject: &Subject, over: Over, ahead: f64) -> When {
        let machine = subject.machine.as_deref();
        let rate = self.rate(machine).per_day;
        let (hours, in_days) = match over {
            Over::Hours => (Some(ahead), (rate > 0.0).then(|| ahead / rate)),
            Over::Days => (None, Some(ahead)),
        };
        let date = in_days
            .filter(|days| *days <= HORIZON_DAYS)
            .and_then(|days| {
                let ahead = Duration::try_milliseconds((days * 86_400_000.0) as i64)?;
                Some(self.now.checked_add_signed(ahead)?.date_naive())
            });
        When {
            is_now: ahead <= 0.0,
            hours,
            meter: hours.map(|h| self.meter_now(machine).hours + h),
            date,
        }
    }
}

/// Where a reading lies on the axis.
fn along(series: &Series, point: &Taken, over: Over) -> f64 {
    match over {
        Over::Hours => point.hours,
        Over::Days => days_in(series, point.at),
    }
}

fn row(series: &Series, point: &Taken, outlier: Option<&bool>) -> PointRow {
    PointRow {
        at: point.at,
        hours: point.hours,
        hours_estimated: point.hours_estimated,
        days: days_in(series, point.at),
        value: point.value,
        levelled: point.levelled,
        entered: point.entered.text(),
        proposed: point.proposed,
        grade: point.grade,
        added: point.added,
        outlier: outlier.copied().unwrap_or(false),
        walk: point.walk.clone(),
    }
}

fn addition(series: &Series, added: &Addition) -> AdditionRow {
    AdditionRow {
        at: added.at,
        hours: added.hours,
        days: days_in(series, added.at),
        litres: added.litres,
        raises: series.raised_by(added.litres),
        read_after: added.read_after,
    }
}

/// Additions over running hours. What was added at the first look made up for hours before it.
fn used(series: &Series, oil: Option<OilUseRow>) -> Option<UseRow> {
    let [first, last] = series.watched?;
    let additions = series.added().count();
    if additions == 0 {
        return None;
    }
    let after = series.added().filter(|a| a.at > first.0);
    let after: f64 = after.map(|a| a.litres).sum();
    let hours = last.1 - first.1;
    Some(UseRow {
        additions,
        litres: series.added().map(|a| a.litres).sum(),
        hours: hours.max(0.0),
        per_100_h: use_per_100_hours(after, hours),
        share_of_fuel: oil.and_then(|oil| oil.share_of_fuel),
    })
}

fn notes(answer: &mut TrendAnswer, series: &Series, levelled: bool, line: Option<Line>) {
    let mut note = |sentence: String| answer.notes.push(sentence);
    if !levelled {
        note("something was added and the volume between the marks is not known, so no line is drawn through the levels".into());
    }
    let (n, tested) = (answer.n, answer.tested);
    if n == 1 {
        note("one reading makes no line".into());
    } else if levelled && answer.slope.is_none() {
        note("all readings were taken at one time, so there is no slope".into());
    }
    if let Some(line) = line.filter(|line| line.through < n) {
        note(format!(
            "of so many readings the line goes through the medians of {} runs by time; through every pair of them its slope may be a little steeper or flatter",
            line.through
        ));
    }
    if tested < n {
        note(format!(
            "the test takes the median of each week: {tested} of {n} readings"
        ));
    }
    if n > 1 && tested < 5 {
        note("a trend is called from five readings in different weeks on".into());
    }
    let estimated = answer.points.iter().filter(|p| p.hours_estimated).count();
    if answer.over == Over::Hours && estimated > 0 {
        note(format!(
            "the running hours of {estimated} reading(s) are estimated"
        ));
    }
    let apart = answer.points.iter().filter(|p| p.outlier).count();
    if apart > 0 {
        note(format!(
            "{apart} reading(s) stand apart from the rest; they count all the same"
        ));
    }
    if answer.limits.bands.is_empty() {
        note("the limits follow the boat's usual value, which takes three sound readings".into());
    }
    let from = |at: DateTime<FixedOffset>| days(at, series.points.last().map_or(at, |p| p.at));
    if let Some(restart) = answer.restarted.filter(|r| from(r.at) >= 0.0) {
        note(format!(
            "the series began anew on {} ({})",
            restart.at.date_naive(),
            restart.by
        ));
    }
}
