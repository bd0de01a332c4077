//! The words beneath a chart: the reading that is read out, what the letters mean, what all readings
//! say.

use chrono::{DateTime, FixedOffset};

use crate::boat::Unit;
use crate::checklist::Grade;
use crate::defects::condition::Condition;
use crate::defects::series::{Addition, Taken};
use crate::paint::chart::{ADDED, Drawn};
use crate::paint::widgets::age;
use crate::screen::kind::{View, volume_unit};
use crate::screen::readings::plot::{Axis, Plot, letter};
use crate::screen::readings::trend::Reckoned;
use crate::screen::readings::{Chosen, ReadingsScreen, Track};

/// So many dates of what was done are told, the latest first.
const DATES: usize = 3;
/// So many other readings of one cell are told.
const BESIDE: usize = 3;

/// What is told of a chart.
pub struct Telling<'a> {
    pub view: &'a View<'a>,
    pub screen: &'a ReadingsScreen,
    pub track: &'a Track,
    pub chosen: &'a Chosen,
}

impl Telling<'_> {
    /// The reading under the cursor, and the others in its cell.
    pub fn read_out(&self, beside: &[usize]) -> Option<String> {
        let points = &self.track.series.points;
        let at = self.chosen.reading()?;
        let taken = points.get(at)?;
        let place = format!("Reading {} of {}", at + 1, points.len());
        let mut told = vec![
            format!("{place}: {}", taken.at.format("%-d %b %Y %H:%M")),
            self.hours(taken),
            self.value(taken),
            rung(taken.grade),
        ];
        let means = taken.proposed.filter(|means| *means != taken.grade);
        told.extend(means.map(|means| format!("the figure means {}", rung(means))));
        told.extend(taken.speed.map(|speed| format!("at {speed} rpm")));
        told.extend(self.walked(taken));
        let is_stray = self
            .chosen
            .sight
            .at
            .and_then(|at| self.chosen.plot.dots.get(at));
        if is_stray.is_some_and(|dot| dot.stray) {
            told.push("stands apart from the rest, counts all the same".to_owned());
        }
        if !taken.current {
            told.push("before the series began anew".to_owned());
        }
        told.extend(self.added(at));
        let mut told = format!("{}.", told.join(", "));
        if !beside.is_empty() {
            let readings = beside.iter().filter_map(|dot| {
                let taken = points.get(*self.chosen.plot.readings.get(*dot)?)?;
                let value = self.track.figure(self.track.value(taken.value));
                Some(format!(
                    "{value} {} on {}",
                    rung(taken.grade),
                    date(taken.at)
                ))
            });
            let named: Vec<String> = readings.take(BESIDE).collect();
            let more = beside.len() - named.len();
            let more = if more > 0 {
                format!(" and {more} more")
            } else {
                String::new()
            };
            told = format!("{told} In the same place: {}{more}.", named.join("; "));
        }
        Some(told)
    }

    fn hours(&self, taken: &Taken) -> String {
        let about = if taken.hours_estimated { "about " } else { "" };
        format!("{about}{:.1} h", taken.hours)
    }

    /// In the unit shown; as it was typed where that was in another one.
    fn value(&self, taken: &Taken) -> String {
        let value = self.track.figure(self.track.value(taken.value));
        let unit = taken.entered.unit();
        if unit == self.track.unit || unit == self.track.series.unit {
            return value;
        }
        format!("{value} (typed {})", taken.entered)
    }

    /// In which walk, where in it, and by whom.
    fn walked(&self, taken: &Taken) -> Vec<String> {
        let walks = &self.view.book.history().walks;
        let Some(walk) = walks.iter().find(|walk| walk.id == taken.walk) else {
            return Vec::new();
        };
        let library = &self.screen.condition.library;
        let list = library.checklist(&walk.checklist);
        let phase = taken.phase.as_deref().and_then(|id| {
            let phases = &list?.phases;
            phases.iter().find(|phase| phase.id == id)
        });
        let mut told = Vec::new();
        told.extend(list.map(|list| match phase {
            Some(phase) => format!("{}: {}", list.title, phase.title),
            None => list.title.clone(),
        }));
        let guest = if walk.guest { ", a guest" } else { "" };
        told.extend(walk.by.as_ref().map(|by| format!("by {by}{guest}")));
        told
    }

    /// What was topped up since the reading before, and with or after this one.
    fn added(&self, at: usize) -> Vec<String> {
        let series = &self.track.series;
        let (taken, last) = (&series.points[at], at + 1 == series.points.len());
        let before = at.checked_sub(1).map(|before| series.points[before].at);
        let litres = |of: &dyn Fn(&Addition) -> bool| -> Option<String> {
            let all = series.additions.iter().filter(|a| of(a));
            let sum: f64 = all.map(|a| a.litres).sum();
            let unit = volume_unit(self.view.book);
            (sum > 0.0).then(|| format!("{:.2} {unit}", unit.from_base(sum)))
        };
        let earlier = litres(&|a| {
            let since = before.is_none_or(|before| a.at > before);
            since && (a.at < taken.at || (a.at == taken.at && a.read_after))
        });
        let then = litres(&|a| a.at == taken.at && !a.read_after);
        let since = litres(&|a| last && a.at > taken.at);
        let told = [
            (earlier, "added since the reading before"),
            (then, "added after it was read"),
            (since, "added since"),
        ];
        let told = told
            .into_iter()
            .filter_map(|(litres, when)| Some(format!("{} {when}", litres?)));
        told.collect()
    }

    /// What the letters and signs of the chart mean, of those in sight.
    pub fn key(&self, drawn: &Drawn) -> String {
        let (from, to) = self.chosen.span();
        let plot = &self.chosen.plot;
        let seen = |x: f64| (from..=to).contains(&x);
        let mut told = Vec::new();
        let restarts = &self.track.series.restarts;
        let mut done: Vec<(&str, &str, Vec<String>)> = Vec::new();
        for (restart, (x, _)) in restarts.iter().zip(&plot.restarts).rev() {
            if !seen(*x) {
                continue;
            }
            let (sign, what) = (letter(restart.by), restart.by.as_str());
            match done.iter_mut().find(|(known, ..)| *known == sign) {
                Some((.., dates)) => dates.push(date(restart.at)),
                None => done.push((sign, what, vec![date(restart.at)])),
            }
        }
        told.extend(done.into_iter().map(|(sign, what, dates)| {
            let more = dates.len().saturating_sub(DATES);
            let dates = dates[..dates.len().min(DATES)].join(", ");
            match more {
                0 => format!("{sign} {what} {dates}"),
                more => format!("{sign} {what} {dates} and {more} more"),
            }
        }));
        let top_ups = plot.top_ups.iter().filter(|top_up| seen(top_up.x)).count();
        if top_ups > 0 {
            told.push(format!("{ADDED} topped up, {}", times(top_ups)));
        }
        let is_seen = |(before, after): &(f64, f64)| *after >= from && *before <= to;
        if plot.pauses.iter().any(is_seen) {
            told.push("axis broken or dotted: no reading".to_owned());
        }
        told.push(match drawn.fine {
            true => "points: sound, digits: the rung given".to_owned(),
            false => "digits: the rung given".to_owned(),
        });
        told.join(self.view.setup.theme.glyphs.pick(" · ", "; "))
    }
}

/// What all readings say, whatever is in sight: what lies ahead first.
pub fn sentences(
    condition: &Condition,
    track: &Track,
    reckoned: &Reckoned,
    plot: &Plot,
) -> Vec<String> {
    let points = &track.series.points;
    let (low, high) = track.reach;
    let mut told = Vec::new();
    let has_line = low < high;
    told.extend(reckoned.ahead_words(track).filter(|_| has_line));
    told.extend(summary(track, condition.now));
    told.extend(by_speed(track, reckoned, plot));
    if has_line {
        told.extend(reckoned.trend_words(track));
    } else if points.len() == 1 {
        told.push("Nothing can be said of a trend.".to_owned());
    }
    told.extend(pause(track, &plot.paused));
    told.extend(oil_use(
        reckoned,
        Unit::Litre.preferred(condition.boat.units),
    ));
    if track.bands.is_empty() {
        told.push("No limits: there is no usual value yet to compare with.".to_owned());
    }
    told
}

fn summary(track: &Track, now: DateTime<FixedOffset>) -> Option<String> {
    let points = &track.series.points;
    let (first, last) = (points.first()?, points.last()?);
    let (low, high) = track.reach;
    let since = date(first.at);
    let ago = age(last.at, now);
    let value = track.figure(track.value(last.value));
    let last = format!("last {value}, {}, {ago}", rung(last.grade));
    Some(match points.len() {
        1 => format!("One reading: {last}."),
        n if low == high => format!("{n} readings since {since}, all {}.", track.figure(low)),
        n => {
            let (low, high) = (track.figure(low), track.figure(high));
            format!("{n} readings since {since}, {low} to {high}; {last}.")
        }
    })
}

/// Over engine speed: how many readings tell one, and what they are held against.
fn by_speed(track: &Track, reckoned: &Reckoned, plot: &Plot) -> Option<String> {
    if plot.axis != Axis::Speed {
        return None;
    }
    let (told, all) = (plot.dots.len(), track.series.points.len());
    let source = &reckoned.answer.limits.source;
    let limits = match source.is_empty() {
        true => String::new(),
        false => format!(" Limits: {source}."),
    };
    Some(format!(
        "{told} of {all} readings tell the engine speed; no trend is drawn over it.{limits}"
    ))
}

/// The longest time without a reading, and how many others are long.
fn pause(track: &Track, paused: &[usize]) -> Option<String> {
    let points = &track.series.points;
    let days = |at: usize| (points[at + 1].at - points[at].at).num_days();
    let longest = paused.iter().copied().max_by_key(|at| days(*at))?;
    let (before, after) = (&points[longest], &points[longest + 1]);
    let more = match paused.len() - 1 {
        0 => String::new(),
        1 => "; one more long pause".to_owned(),
        n => format!("; {n} more long pauses"),
    };
    Some(format!(
        "No reading between {} and {}, {} d and {:.0} h run{more}.",
        date(before.at),
        date(after.at),
        days(longest),
        (after.hours - before.hours).max(0.0)
    ))
}

/// What was topped up over the hours run.
fn oil_use(reckoned: &Reckoned, unit: Unit) -> Option<String> {
    let used = reckoned.answer.used?;
    let litres = |litres: f64| unit.from_base(litres);
    Some(format!(
        "Added {:.1} {unit} in {:.0} h: {:.1} {unit} per 100 h.",
        litres(used.litres),
        used.hours,
        litres(used.per_100_h?)
    ))
}

fn rung(grade: Grade) -> String {
    format!("{} {grade}", grade.rung())
}

fn date(at: DateTime<FixedOffset>) -> String {
    at.format("%-d %b %Y").to_string()
}

fn times(n: usize) -> String {
    match n {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        n => format!("{n} times"),
    }
}
