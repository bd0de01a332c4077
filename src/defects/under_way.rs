//! Under way: when it began and ended, the rounds between, and the ones that were missed.

use chrono::{DateTime, Duration, FixedOffset};

use super::history::{History, Stamped};
use super::under_way_line::{EVERY, Leg, USUAL_EVERY, UnderWay};
use crate::assess::exposure::Exposure;
use crate::assess::slope::median_of_sorted;
use crate::boat::Hours;
use crate::boat::units::Volume;
use crate::checklist::Figure;
use crate::passage::fuel::Burnt;

/// Missed rounds of one gap that have a line of their own; more are one line together.
const ONE_BY_ONE: u32 = 24;

/// The speed is told by so many of the last rounds (judgement).
const LAST_SPEEDS: usize = 3;

/// One time under way, with all that is on record of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Passage<'a> {
    /// Where it begins; none where that line is not on record.
    pub begins: Option<&'a Stamped<UnderWay>>,
    /// Every line, the first and the last included, by time.
    pub lines: Vec<&'a Stamped<UnderWay>>,
    /// It is over.
    pub ended: bool,
}

/// A line of the log.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Line<'a> {
    /// On record.
    Told(&'a Stamped<UnderWay>),
    /// Rounds that nobody made or wrote down: never filled in.
    Missed {
        /// When the first of them was due.
        due: DateTime<FixedOffset>,
        /// How many.
        rounds: u32,
    },
}

impl<'a> Passage<'a> {
    /// All of a machine, by time.
    pub fn all(history: &'a History, machine: &str) -> Vec<Passage<'a>> {
        let mut all: Vec<Passage<'a>> = Vec::new();
        let of = |line: &&Stamped<UnderWay>| line.rec.machine.as_deref() == Some(machine);
        for line in history.under_way.iter().filter(of) {
            let begins = line.rec.kind == Leg::Begins;
            match all.last_mut().filter(|last| !begins && !last.ended) {
                Some(last) => last.lines.push(line),
                None => all.push(Passage {
                    begins: begins.then_some(line),
                    lines: vec![line],
                    ended: false,
                }),
            }
            // What was left without an end is over when the next begins.
            let open = all.len().saturating_sub(1);
            all.iter_mut().take(open).for_each(|p| p.ended = true);
            if let Some(last) = all.last_mut() {
                last.ended |= line.rec.kind == Leg::Ends;
            }
        }
        all
    }

    /// The one a machine is under way on at a time, also where it has ended since.
    pub fn running(
        history: &'a History,
        machine: &str,
        at: DateTime<FixedOffset>,
    ) -> Option<Passage<'a>> {
        let mut all = Passage::all(history, machine);
        all.retain(|p| p.lines.first().is_some_and(|line| line.at <= at));
        all.pop().filter(|last| {
            let goes_on = last.lines.last().is_some_and(|line| line.at > at);
            !last.ended || goes_on
        })
    }

    /// It is on record that she was in.
    pub fn is_in(&self) -> bool {
        self.lines
            .last()
            .is_some_and(|line| line.rec.kind == Leg::Ends)
    }

    /// Minutes between two rounds.
    pub fn every(&self) -> u32 {
        let said = self.begins.and_then(|line| line.rec.every);
        // A line from elsewhere may say anything.
        said.unwrap_or(USUAL_EVERY).clamp(EVERY[0], EVERY[1])
    }

    /// When the next round is due; none when it is over.
    pub fn next(&self) -> Option<DateTime<FixedOffset>> {
        let last = self.lines.last().filter(|_| !self.ended)?;
        Some(last.at + Duration::minutes(self.every().into()))
    }

    /// The log up to a time, with what was missed: a round is missed when the next one is nearer.
    pub fn log(&self, now: DateTime<FixedOffset>) -> Vec<Line<'a>> {
        let mut log = Vec::new();
        let mut before: Option<DateTime<FixedOffset>> = None;
        for line in &self.lines {
            if let Some(before) = before {
                log.extend(self.missed(before, line.at));
            }
            log.push(Line::Told(line));
            before = Some(line.at);
        }
        if let Some(last) = before.filter(|_| !self.ended) {
            log.extend(self.missed(last, now));
        }
        log
    }

    fn missed(&self, from: DateTime<FixedOffset>, to: DateTime<FixedOffset>) -> Vec<Line<'a>> {
        let every = i64::from(self.every());
        let due = |n: i64| from + Duration::minutes(every * n);
        let half = every / 2;
        let rounds = ((to - from).num_minutes() - half).max(0) / every;
        // The one that closes a gap was made, if late.
        let rounds = u32::try_from(rounds).unwrap_or(u32::MAX);
        if rounds > ONE_BY_ONE {
            return vec![Line::Missed {
                due: due(1),
                rounds,
            }];
        }
        let each = (1..=i64::from(rounds)).map(|n| Line::Missed {
            due: due(n),
            rounds: 1,
        });
        each.collect()
    }

    /// What is left of a plan at a time: its hours less those the meter has run since it began, its
    /// days less those gone by; never less than nothing. Hours no meter told stay ahead.
    pub fn left(&self, planned: Exposure, now: DateTime<FixedOffset>) -> Exposure {
        let gone = self.begins.map_or(0.0, |line| {
            (now - line.at).num_seconds().max(0) as f64 / 86_400.0
        });
        Exposure {
            hours: (planned.hours - self.run()).max(0.0),
            days: (planned.days - gone).max(0.0),
        }
    }

    /// Hours run as the meter told, from its first reading here to its last.
    pub fn run(&self) -> f64 {
        let mut read = self.lines.iter().filter_map(|line| line.rec.hours);
        let first = read.next();
        let last = read.next_back();
        first.zip(last).map_or(0.0, |(a, b)| b.since(a).max(0.0))
    }

    /// Hours run as the meter told since a time, from the last reading by then to the last of all; an
    /// earlier reading makes them more, never fewer.
    pub fn run_since(&self, at: DateTime<FixedOffset>) -> f64 {
        let read = |line: &&Stamped<UnderWay>| Some((line.at, line.rec.hours?));
        let last = self.lines.iter().filter_map(read).next_back();
        let by_then = self
            .lines
            .iter()
            .filter_map(read)
            .rfind(|(when, _)| *when <= at);
        let first = by_then.or_else(|| self.lines.iter().find_map(read));
        first
            .zip(last)
            .map_or(0.0, |((_, a), (_, b))| b.since(a).max(0.0))
    }

    /// The speed over the last rounds that told it, knots: their median.
    pub fn speed(&self) -> Option<f64> {
        let told = self.lines.iter().rev();
        let told = told.filter_map(|line| line.rec.figure(Figure::Speed));
        let mut last: Vec<f64> = told.take(LAST_SPEEDS).collect();
        last.sort_unstable_by(f64::total_cmp);
        median_of_sorted(&last)
    }

    /// The fuel aboard as last told, and when.
    pub fn fuel(&self) -> Option<(Volume, DateTime<FixedOffset>)> {
        let mut told = self.lines.iter().rev();
        told.find_map(|line| Some((line.rec.fuel?, line.at)))
    }
}

/// Fuel used from one reading of tank and meter to the next within a passage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FuelStretch {
    /// When it ended.
    pub until: DateTime<FixedOffset>,
    /// Litres; less than nothing where a reading was wrong.
    pub litres: f64,
    /// Hours by the meter.
    pub hours: f64,
    /// Engine speed at its end, rpm, where it was read.
    pub rpm: Option<f64>,
}

/// Every stretch between two readings of tank and meter under way, passage after passage.
pub fn fuel_stretches(history: &History, machine: &str) -> Vec<FuelStretch> {
    let mut stretches = Vec::new();
    for passage in Passage::all(history, machine) {
        let mut from: Option<(f64, Hours)> = None;
        let mut added = 0.0;
        for line in &passage.lines {
            added += line.rec.fuel_added.map_or(0.0, Volume::litres);
            let Some((fuel, hours)) = line.rec.fuel.zip(line.rec.hours) else {
                continue;
            };
            if let Some((before, meter)) = from {
                stretches.push(FuelStretch {
                    until: line.at,
                    litres: before + added - fuel.litres(),
                    hours: hours.since(meter),
                    rpm: line.rec.rpm,
                });
            }
            from = Some((fuel.litres(), hours));
            added = 0.0;
        }
    }
    stretches
}

/// Fuel used under way, added up.
pub fn burnt(history: &History, machine: &str) -> Burnt {
    Burnt::over(&fuel_stretches(history, machine))
}

impl Burnt {
    /// Stretches added up.
    pub(super) fn over<'a>(stretches: impl IntoIterator<Item = &'a FuelStretch>) -> Burnt {
        let mut burnt = Burnt::default();
        for stretch in stretches {
            burnt.add(stretch.litres, stretch.hours);
        }
        burnt
    }
}
