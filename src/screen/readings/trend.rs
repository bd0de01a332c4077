//! What a trend says of the readings on screen: its line, its crossing, its words and its whole
//! arithmetic, in the units of the person.

use chrono::{DateTime, Duration, FixedOffset};

use crate::assess::trend::Direction;
use crate::boat::UnitHabit;
use crate::checklist::PhaseState;
use crate::defects::condition::Condition;
use crate::defects::series::Taken;
use crate::defects::trend_answer::{CrossingRow, Over, TrendAnswer, When};
use crate::defects::trends::TrendQuery;
use crate::paint::scale::decimals_of;
use crate::screen::readings::Track;
use crate::text::capital;

/// A series against hours or days, and what it says.
pub struct Reckoned {
    /// The trend since the series last began anew.
    pub answer: TrendAnswer,
    /// From the first reading to the last.
    pub whole: f64,
    /// X of this moment.
    now: f64,
    today: DateTime<FixedOffset>,
    /// Day nought of the answer's days.
    base: DateTime<FixedOffset>,
    /// What was topped up since the series began, as a share of the span between the marks.
    shift: f64,
}

impl Reckoned {
    /// None where nothing was read. The same item may be read in other states of the engine; over
    /// hours or days by rule where neither is asked for.
    pub fn of(
        condition: &Condition,
        others: Vec<PhaseState>,
        track: &Track,
        over: Option<Over>,
    ) -> Option<Reckoned> {
        let series = &track.series;
        let asked = TrendQuery {
            state: series.state,
            over,
            ..TrendQuery::default()
        };
        let answer = condition.trend_of(series, others, asked);
        let first = series.current().next().or(series.points.first())?;
        let added: f64 = series.added().map(|a| a.litres).sum();
        let shift = series.raised_by(added).unwrap_or(0.0);
        let mut shown = Reckoned {
            answer,
            whole: 0.0,
            now: 0.0,
            today: condition.now,
            base: first.at,
            shift,
        };
        shown.now = match shown.answer.over {
            Over::Hours => condition.usage(&series.subject).at(condition.now).hours,
            Over::Days => shown.day(condition.now),
        };
        if let (Some(first), Some(last)) = (series.points.first(), series.points.last()) {
            shown.whole = shown.x(last) - shown.x(first);
        }
        Some(shown)
    }

    /// True over running hours.
    pub fn over_hours(&self) -> bool {
        self.answer.over == Over::Hours
    }

    /// Where a reading stands.
    pub fn x(&self, taken: &Taken) -> f64 {
        self.along(taken.at, taken.hours)
    }

    /// Where a moment stands whose running hours are known.
    pub fn along(&self, at: DateTime<FixedOffset>, hours: f64) -> f64 {
        match self.answer.over {
            Over::Hours => hours,
            Over::Days => self.day(at),
        }
    }

    /// Where a moment stands among days.
    pub fn day(&self, at: DateTime<FixedOffset>) -> f64 {
        (at - self.base).num_minutes() as f64 / 1440.0
    }

    /// An x as a label.
    pub fn label(&self, x: f64) -> String {
        if self.over_hours() {
            let places = usize::from(self.whole < 10.0);
            return format!("{x:.places$} h");
        }
        let form = if self.whole < 4.0 {
            "%-d %b %H:%M"
        } else {
            "%-d %b %y"
        };
        let at = Duration::try_minutes((x * 1440.0) as i64);
        let at = at.and_then(|d| self.base.checked_add_signed(d));
        at.map_or_else(String::new, |at| at.format(form).to_string())
    }

    /// Two points of the line where a trend is called, in the catalogue's unit, up to an x: from
    /// where nothing was added any more.
    pub fn line(&self, track: &Track, to: f64) -> Option<[(f64, f64); 2]> {
        if self.answer.trend == Direction::None {
            return None;
        }
        let (slope, intercept) = (self.answer.slope?, self.answer.intercept?);
        let filled = track.series.added().last().map(|a| a.at);
        let mut own = track.series.current();
        let from = own.find(|t| filled.is_none_or(|f| t.at > f))?;
        let at = |x: f64| (x, intercept + slope * x + self.shift);
        Some([at(self.x(from)), at(to)])
    }

    /// Where the trend meets the next limit.
    pub fn crossing(&self) -> Option<(f64, f64)> {
        let crossing = self.answer.crossing?;
        let ahead = match self.answer.over {
            Over::Hours => crossing.about.hours?,
            Over::Days => self.days_to(&crossing.about)?,
        };
        Some((self.now + ahead, crossing.limit))
    }

    /// Where the trend meets that limit not before, and not after; none where that is not known.
    pub fn crossing_ends(&self) -> [Option<f64>; 2] {
        let ends = self
            .answer
            .crossing
            .map_or([None; 2], |c| [c.not_before, c.not_after]);
        ends.map(|end| {
            let ahead = match self.answer.over {
                Over::Hours => end?.hours?,
                Over::Days => self.days_to(&end?)?,
            };
            Some(self.now + ahead)
        })
    }

    fn days_to(&self, when: &When) -> Option<f64> {
        let days = when.date? - self.today.date_naive();
        Some(days.num_days() as f64)
    }

    /// What lies ahead: where a called trend meets a worse rung; where none is called, how a level
    /// falls.
    pub fn ahead_words(&self, track: &Track) -> Option<String> {
        let falls = self.answer.projection.as_ref();
        match self.answer.trend {
            Direction::None => falls.map(|p| format!("{}.", capital(&p.words))),
            _ => Some(self.crossing_words(track, self.answer.crossing.as_ref()?)),
        }
    }

    /// The trend in a short sentence or two.
    pub fn trend_words(&self, track: &Track) -> Vec<String> {
        let answer = &self.answer;
        let weeks = answer.tested;
        let since = match answer.restarted {
            Some(restarted) => format!(
                " since {} ({})",
                restarted.at.format("%-d %b %Y"),
                restarted.by
            ),
            None => String::new(),
        };
        let (Some(slope), Some(p)) = (answer.slope, answer.p) else {
            let mut told = vec![format!("No line{since}.")];
            let why = answer.notes.first();
            told.extend(why.map(|n| format!("{}.", capital(n))));
            return told;
        };
        let chance = if p < 0.001 {
            "p below 0.001".to_owned()
        } else {
            format!("p {p:.3}")
        };
        vec![match answer.trend {
            Direction::None => {
                format!("No trend is called{since}: {weeks} week(s) tested, {chance}.")
            }
            way => {
                let sign = if way == Direction::Rising { 1.0 } else { -1.0 };
                let word = if sign > 0.0 { "Rising" } else { "Falling" };
                let step = |slope: f64| figure(sign * track.step(slope) * self.per().0);
                let ends = answer.slope_low.zip(answer.slope_high);
                let ends =
                    ends.map(|(low, high)| if sign > 0.0 { (low, high) } else { (high, low) });
                let level = answer.interval * 100.0;
                let ends =
                    ends.map(|(a, b)| format!(" ({level:.0} %: {} to {})", step(a), step(b)));
                format!(
                    "{word} {} {} {}{}{since}; {chance}, {weeks} weeks.",
                    step(slope),
                    track.unit,
                    self.per().1,
                    ends.unwrap_or_default()
                )
            }
        }]
    }

    /// Units of x for which a slope is told, and their name.
    fn per(&self) -> (f64, &'static str) {
        match self.answer.over {
            Over::Hours => (100.0, "per 100 h"),
            Over::Days => (30.0, "per 30 d"),
        }
    }

    fn crossing_words(&self, track: &Track, crossing: &CrossingRow) -> String {
        let limit = track.value(crossing.limit);
        let places = decimals_of(limit).min(2);
        let before = match &crossing.not_before {
            Some(when) if self.is_ahead(when) => format!("not before {}", self.ahead(when)),
            Some(_) => "perhaps now".to_owned(),
            None => "from when is not known".to_owned(),
        };
        let after = match &crossing.not_after {
            Some(when) => format!("not after {}", self.ahead(when)),
            None => "perhaps never".to_owned(),
        };
        format!(
            "Meets {} {} at {limit:.places$} {}: about {} ahead, {before}, {after}.",
            crossing.rung.rung(),
            crossing.rung,
            track.unit,
            self.ahead(&crossing.about)
        )
    }

    fn is_ahead(&self, when: &When) -> bool {
        when.hours
            .or(self.days_to(when))
            .is_none_or(|ahead| ahead > 0.0)
    }

    /// So far ahead, in hours or days and as a date.
    fn ahead(&self, when: &When) -> String {
        let date = when.date.map(|d| d.format("%-d %b %Y").to_string());
        match (when.hours, self.days_to(when), date) {
            (Some(hours), _, Some(date)) => format!("{hours:.0} h ({date})"),
            (Some(hours), _, None) => format!("{hours:.0} h"),
            (None, Some(days), Some(date)) => format!("{days:.0} d ({date})"),
            _ => "beyond twenty years".to_owned(),
        }
    }

    /// The whole arithmetic, line by line.
    pub fn page(&self, habit: UnitHabit) -> Vec<String> {
        let answer = &self.answer;
        let axis = if self.over_hours() {
            "running hours"
        } else {
            "days"
        };
        let mut lines = vec![
            format!(
                "{} readings in the line, {} before it began",
                answer.n, answer.earlier
            ),
            format!("over {axis}"),
            "each digit of the chart is the rung given with that reading".to_owned(),
        ];
        lines.extend(answer.sentences(habit));
        if !answer.limits.source.is_empty() {
            lines.push(format!("limits: {}", answer.limits.source));
        }
        lines.extend(answer.notes.iter().cloned());
        lines
    }
}

/// A figure with two digits that count, or as many as it has before the point.
fn figure(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let places = (1 - value.abs().log10().floor() as i32).clamp(0, 4) as usize;
    let text = format!("{value:.places$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}
