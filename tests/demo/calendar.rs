//! When she was walked and run: every walk of the story with its time and meter reading.

use chrono::{DateTime, Days, FixedOffset, NaiveTime, TimeZone, Timelike};

use super::story::{Period, Story};
use handlamp::boat::Hours;

/// One walk to be.
#[derive(Debug)]
pub(super) struct Outing {
    pub day: u32,
    pub at: DateTime<FixedOffset>,
    pub checklist: String,
    pub machine: String,
    pub by: String,
    /// Nobody read the meter.
    pub unread: bool,
    /// Walked first, typed afterwards.
    pub entered_after: bool,
}

impl Outing {
    /// Hour of the day it begins.
    pub fn hour(&self) -> f64 {
        f64::from(self.at.num_seconds_from_midnight()) / 3600.0
    }
}

/// Days before today as times.
#[derive(Clone, Copy, Debug)]
pub(super) struct Almanac {
    now: DateTime<FixedOffset>,
}

impl Almanac {
    pub fn new(now: DateTime<FixedOffset>) -> Almanac {
        Almanac { now }
    }

    /// An hour of a day before today, in the zone of now.
    pub fn at(&self, day: u32, hour: f64) -> DateTime<FixedOffset> {
        let today = self.now.date_naive();
        let date = today
            .checked_sub_days(Days::new(u64::from(day)))
            .unwrap_or(today);
        let seconds = (hour.clamp(0.0, 23.99) * 3600.0).round() as u32;
        let time = NaiveTime::from_num_seconds_from_midnight_opt(seconds, 0).unwrap_or_default();
        let here = self
            .now
            .timezone()
            .from_local_datetime(&date.and_time(time));
        here.single().unwrap_or(self.now)
    }
}

/// Hours of one machine: what it ran, and what its meter shows.
#[derive(Debug)]
pub(super) struct Ledger {
    /// (when it ran, tenths of an hour), oldest first.
    runs: Vec<(DateTime<FixedOffset>, i64)>,
    /// When the meter was replaced, and both readings in tenths.
    swap: Option<(DateTime<FixedOffset>, i64, i64)>,
    /// Reading before the first run, tenths.
    start: i64,
}

fn tenths(hours: Hours) -> i64 {
    (hours.get() * 10.0).round() as i64
}

impl Ledger {
    fn new(
        runs: Vec<(DateTime<FixedOffset>, i64)>,
        swap: Option<(DateTime<FixedOffset>, i64, i64)>,
        today: Hours,
    ) -> Ledger {
        let until = |end: DateTime<FixedOffset>| -> i64 {
            runs.iter().filter(|r| r.0 < end).map(|r| r.1).sum()
        };
        let all = runs.iter().map(|r| r.1).sum::<i64>();
        let start = swap.map_or(tenths(today) - all, |(at, old, _)| old - until(at));
        Ledger { runs, swap, start }
    }

    /// Hours run since the story began, tenths; never less than nothing.
    fn run(&self, at: DateTime<FixedOffset>) -> i64 {
        self.runs.iter().filter(|r| r.0 < at).map(|r| r.1).sum()
    }

    /// Hours run since the story began.
    pub fn run_by(&self, at: DateTime<FixedOffset>) -> f64 {
        self.run(at) as f64 / 10.0
    }

    /// What the meter shows.
    pub fn reading(&self, at: DateTime<FixedOffset>) -> Hours {
        let shown = match self.swap {
            Some((swapped, old, new)) if at >= swapped => self.start + self.run(at) - old + new,
            _ => self.start + self.run(at),
        };
        Hours::from_thousandths(shown.max(0) * 100)
    }
}

/// Every walk in order of time, and the hours of each machine by id.
pub(super) fn calendar(
    story: &Story,
    almanac: Almanac,
    rng: &mut fastrand::Rng,
) -> (Vec<Outing>, Vec<(String, Ledger)>) {
    let mut diary = Diary {
        story,
        almanac,
        outings: Vec::new(),
        runs: vec![Vec::new(); story.boat.machines.len()],
    };
    for period in &story.periods {
        for day in (period.to..=period.from).rev() {
            diary.day(period, day, rng);
        }
    }
    let Diary {
        mut outings, runs, ..
    } = diary;
    outings.extend(story.special.iter().map(|s| Outing {
        day: s.day,
        at: almanac.at(s.day, s.hour),
        checklist: s.checklist.clone(),
        machine: s.machine.clone(),
        by: s.by.clone(),
        unread: false,
        entered_after: false,
    }));
    outings.sort_by_key(|o| o.at);
    let swap = |id: &str| {
        let swap = story.meters.iter().find(|m| m.machine == id)?;
        let at = almanac.at(swap.day, swap.hour);
        Some((at, tenths(swap.old), tenths(swap.new)))
    };
    let ledgers = story.boat.machines.iter().zip(runs).map(|(m, runs)| {
        let ledger = Ledger::new(runs, swap(&m.id), m.hours.unwrap_or_default());
        (m.id.clone(), ledger)
    });
    (outings, ledgers.collect())
}

/// The walks and runs of the days told so far.
struct Diary<'s> {
    story: &'s Story,
    almanac: Almanac,
    outings: Vec<Outing>,
    /// By the place of the machine in the profile.
    runs: Vec<Vec<(DateTime<FixedOffset>, i64)>>,
}

impl Diary<'_> {
    fn day(&mut self, period: &Period, day: u32, rng: &mut fastrand::Rng) {
        let weekend = matches!(day % 7, 1 | 2);
        let share = if weekend { period.weekend } else { period.walk };
        // Drawn whether needed or not, so that changing one share leaves the other days alone.
        let [out, both, hour, unread, after, who, long, charge] =
            std::array::from_fn(|_| rng.f64());
        if out >= share && !self.story.always.contains(&day) {
            return;
        }
        let crew = &self.story.crew;
        let second = usize::from(who > 0.8).min(crew.len().saturating_sub(1));
        let start = 6.9 + 1.6 * hour;
        let outing = |machine: &str, hour: f64| Outing {
            day,
            at: self.almanac.at(day, hour),
            checklist: "daily".to_owned(),
            machine: machine.to_owned(),
            by: crew.get(second).cloned().unwrap_or_default(),
            unread: unread > 0.93,
            entered_after: after > 0.8,
        };
        let run = |[low, high]: [f64; 2], share: f64| {
            ((low + (high - low) * share) * 10.0).round() as i64
        };
        let mut machines = self.story.boat.machines.iter();
        if let Some(main) = machines.next() {
            self.outings.push(outing(&main.id, start));
            self.runs[0].push((self.almanac.at(day, 9.9), run(period.run, long)));
        }
        if let Some(generator) = machines.next().filter(|_| both < period.generator) {
            self.outings.push(outing(&generator.id, start + 0.55));
            let hours = run(period.generator_run, charge);
            self.runs[1].push((self.almanac.at(day, 18.0), hours));
        }
    }
}
