//! What a trend says of the readings on screen: its line, its crossing, its words and its whole
//! arithmetic.

use chrono::{DateTime, FixedOffset};

use super::readings_screen::{Taken, Track};
use crate::assess::crossing::Crossing;
use crate::assess::trend::{Direction, LEVEL, Point, Trend};
use crate::checklist::{Grade, Kind, Scope};
use crate::defects::condition::Condition;
use crate::defects::limits::next_limit;

/// The readings of a track against hours or days, and what they say.
pub struct Shown {
    /// Running hours, else days since the first reading.
    pub hours: bool,
    start: DateTime<FixedOffset>,
    today: DateTime<FixedOffset>,
    /// From the first reading to the last.
    pub whole: f64,
    /// X of this moment.
    pub now: f64,
    /// Days to one unit of x; none where the machine does not run.
    days_each: Option<f64>,
    /// The trend since the item was last put right or topped up.
    pub trend: Trend,
    /// Where it begins.
    pub since: f64,
    /// The next limit on its way, and the rung behind it; only of a trend that is called.
    pub crossing: Option<(Crossing, Grade)>,
    /// It begins at a top-up or a repair, not at the first reading.
    pub restarted: bool,
}

impl Shown {
    /// Over running hours for what a machine wears, where she has a meter; over days for what
    /// stands.
    pub fn of(condition: &Condition, track: &Track) -> Shown {
        let item = condition.item(&track.subject);
        let machine = item.is_some_and(|i| i.scope == Scope::Machine);
        let usage = condition.usage(&track.subject);
        let hours = machine && usage.last().is_some();
        let start = track.taken.first().map_or(condition.now, |t| t.at);
        let rate = usage.rate();
        let mut shown = Shown {
            hours,
            start,
            today: condition.now,
            whole: 0.0,
            now: 0.0,
            days_each: match hours {
                true => (rate > 0.0).then(|| 1.0 / rate),
                false => Some(1.0),
            },
            trend: Trend::of(&[], LEVEL),
            since: 0.0,
            crossing: None,
            restarted: false,
        };
        shown.now = if hours {
            usage.at(condition.now).hours
        } else {
            shown.day(condition.now)
        };
        let level = item.is_some_and(|i| i.kind == Kind::Level);
        let from = restart(track, level);
        shown.restarted = from > 0;
        let own = &track.taken[from..];
        if let (Some(first), Some(last)) = (track.taken.first(), track.taken.last()) {
            shown.whole = shown.x(last) - shown.x(first);
        }
        shown.since = own.first().map_or(0.0, |t| shown.x(t));
        let points: Vec<Point> = own
            .iter()
            .map(|t| Point {
                day: shown.day(t.at),
                x: shown.x(t),
                y: t.value,
            })
            .collect();
        shown.trend = Trend::of(&points, LEVEL);
        shown.crossing = shown.next_crossing(track);
        shown
    }

    fn next_crossing(&self, track: &Track) -> Option<(Crossing, Grade)> {
        let line = self.trend.line?;
        let rising = match self.trend.direction {
            Direction::Rising => true,
            Direction::Falling => false,
            Direction::None => return None,
        };
        let (limit, grade) = next_limit(&track.bands, line.at(self.now), rising)?;
        Some((Crossing::of(&line, limit, self.now)?, grade))
    }

    /// Where a reading stands.
    pub fn x(&self, taken: &Taken) -> f64 {
        if self.hours {
            taken.hours
        } else {
            self.day(taken.at)
        }
    }

    /// Days since the first reading.
    pub fn day(&self, at: DateTime<FixedOffset>) -> f64 {
        (at - self.start).num_minutes() as f64 / 1440.0
    }

    /// An x as a label.
    pub fn label(&self, x: f64) -> String {
        if self.hours {
            let places = usize::from(self.whole < 10.0);
            return format!("{x:.places$} h");
        }
        let form = if self.whole < 4.0 {
            "%-d %b %H:%M"
        } else {
            "%-d %b %y"
        };
        self.date(x - self.now, form).unwrap_or_default()
    }

    /// The date so far ahead of now on the axis; none at no rate of use, or beyond twenty years.
    fn date(&self, ahead: f64, form: &str) -> Option<String> {
        let days = ahead * self.days_each?;
        if days.abs() > LONGEST {
            return None;
        }
        let minutes = chrono::Duration::minutes((days * 1440.0) as i64);
        let at = self.today.checked_add_signed(minutes)?;
        Some(at.format(form).to_string())
    }

    /// So far ahead, in hours or days and as a date.
    fn ahead(&self, ahead: f64) -> String {
        let date = self.date(ahead, "%-d %b %Y");
        match (self.hours, date) {
            (true, Some(date)) => format!("in {ahead:.0} h ({date})"),
            (true, None) => format!("in {ahead:.0} h"),
            (false, Some(date)) => format!("in {ahead:.0} d ({date})"),
            (false, None) => format!("in {ahead:.0} d"),
        }
    }

    /// Units of x for which a slope is told, and their name.
    fn per(&self) -> (f64, &'static str) {
        if self.hours {
            (100.0, "per 100 h")
        } else {
            (30.0, "per 30 d")
        }
    }

    /// The trend and its crossing in two sentences or one.
    pub fn words(&self, track: &Track) -> Vec<String> {
        let unit = track.unit;
        let weeks = self.trend.test.map_or(0, |t| t.n);
        let since = match self.restarted {
            true => " since it was last put right or filled",
            false => "",
        };
        let (Some(line), Some(test)) = (self.trend.line, self.trend.test) else {
            return vec![format!("Too few readings{since} for a trend.")];
        };
        if weeks < FEWEST_WEEKS {
            return vec![format!(
                "Readings of {weeks} week(s){since}: a trend takes {FEWEST_WEEKS}."
            )];
        }
        let (scale, per) = self.per();
        let interval = match (line.low, line.high) {
            (Some(low), Some(high)) => format!(
                " ({} to {}, {:.0} % interval)",
                figure(low * scale),
                figure(high * scale),
                LEVEL * 100.0
            ),
            _ => String::new(),
        };
        let slope = figure(line.slope * scale);
        let chance = if test.p < 0.001 {
            "p below 0.001".to_owned()
        } else {
            format!("p {:.3}", test.p)
        };
        let mut told = vec![match self.trend.direction {
            Direction::None => format!("No trend is called{since}: {chance} over {weeks} weeks."),
            way => {
                let way = if way == Direction::Rising {
                    "Rising"
                } else {
                    "Falling"
                };
                format!("{way} {slope} {unit} {per}{interval}{since}; {chance}, {weeks} weeks.")
            }
        }];
        if let Some((crossing, grade)) = self.crossing {
            let limit = figure(crossing.limit);
            let before = match crossing.not_before {
                Some(ahead) if ahead > 0.0 => format!("not before {}", self.ahead(ahead)),
                _ => "perhaps now".to_owned(),
            };
            let after = match crossing.not_after {
                Some(ahead) => format!("not after {}", self.ahead(ahead)),
                None => "perhaps never".to_owned(),
            };
            let about = self.ahead(crossing.about);
            told.push(format!(
                "Meets {} {grade} at {limit} {unit} about {about}; {before}, {after}.",
                grade.rung()
            ));
        }
        told
    }

    /// The whole arithmetic, line by line.
    pub fn page(&self, track: &Track) -> Vec<String> {
        let axis = if self.hours { "running hours" } else { "days" };
        let mut lines = vec![
            format!(
                "{} readings, {} of them in the line",
                track.taken.len(),
                self.trend.n
            ),
            format!("over {axis}, values in {}", track.unit),
        ];
        if self.restarted {
            let from = self.label(self.since);
            lines.push(format!(
                "the line begins at {from}, when it was last put right or filled"
            ));
        }
        if let Some(line) = self.trend.line {
            let bound = |b: Option<f64>| b.map_or("none".to_owned(), |b| format!("{b:.6}"));
            lines.push(format!(
                "Theil–Sen slope {:.6}, the median of {} slopes; {:.0} % interval {} to {}",
                line.slope,
                line.slopes,
                LEVEL * 100.0,
                bound(line.low),
                bound(line.high)
            ));
            lines.push(format!(
                "intercept {:.4}, through the medians {:.4} and {:.4}",
                line.intercept(),
                line.x,
                line.y
            ));
        }
        if let Some(test) = self.trend.test {
            lines.push(format!(
                "Mann–Kendall test on {} weekly medians: S {}, variance {:.2}, z {:.3}",
                test.n, test.s, test.variance, test.z
            ));
            let tau = test
                .tau_b()
                .map_or("none".to_owned(), |t| format!("{t:.3}"));
            lines.push(format!("tau-b {tau}, p {:.6} ({})", test.p, test.p_method));
        }
        lines.push(format!(
            "a trend is called from {FEWEST_WEEKS} weeks on with p below 0.10; here: {}",
            self.trend.direction
        ));
        lines.extend(self.words(track));
        lines
    }
}

/// Weeks with readings from which on a trend can be called, as [`crate::assess::trend`] has it.
const FEWEST_WEEKS: usize = 5;
/// Days beyond which no date is told.
const LONGEST: f64 = 7300.0;

/// The reading from which a trend may begin: the first after the last repair, and of a level the
/// first after the last filling.
fn restart(track: &Track, level: bool) -> usize {
    let repaired = track
        .repairs
        .last()
        .map_or(0, |at| track.taken.partition_point(|t| t.at < *at));
    let filled = track.taken.iter().rposition(|t| t.added > 0.0);
    let filled = filled.map_or(0, |n| n + 1).min(track.taken.len());
    if level {
        repaired.max(filled)
    } else {
        repaired
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
