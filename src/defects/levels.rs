//! How a level between marks falls between its fillings, and when it meets its low mark.

use super::acts::Recheck;
use super::admit::Fault;
use super::condition::Condition;
use super::dips::{Course, Dipped, Filling, HIGH_MARK, LOW_MARK};
use super::falls::{Falling, ReadingError};
use super::history::{History, Stamped};
use super::life::Life;
use super::subject::Subject;
use super::usage::days;
use crate::assess::chance::FallAhead;
use crate::assess::projection::Dip;
use crate::assess::trend::LEVEL;
use crate::boat::dip::above_low_mark;
use crate::checklist::{Item, PhaseState};
use crate::walk::Look;

/// So many fillings within [`OFTEN_HOURS`] are said even where nothing projects them.
const OFTEN: usize = 3;
/// Running hours.
const OFTEN_HOURS: f64 = 50.0;

impl Condition {
    /// Millimetres between the marks of the dipstick that an item is read off on a machine, where
    /// they are known.
    pub fn mm_between_marks(&self, item: &Item, machine: &str) -> Option<f64> {
        let marks = item.marks.as_ref().filter(|m| m.dipstick);
        let mut machines = self.boat.machines.iter();
        let machine = machines.find(|m| m.id == machine);
        machine.filter(|_| marks.is_some())?.mm_between_marks
    }

    /// Turns a dipstick's reading in millimetres above its low mark into per cent of the span
    /// between the marks; other readings are left.
    ///
    /// # Errors
    /// How far the marks are apart is not known, or it is beyond what a figure may be.
    pub fn level_in_per_cent(&self, look: &mut Look, machine: &str) -> Result<(), Fault> {
        let item = self.library.catalogue.item(&look.item);
        let item = item.filter(|item| item.is_between_marks());
        let Some((item, measure)) = item.zip(look.reading) else {
            return Ok(());
        };
        if let Some(read) = above_low_mark(measure, self.mm_between_marks(item, machine)) {
            look.reading = Some(read.map_err(|why| ("reading".to_owned(), why))?);
        }
        Ok(())
    }

    /// How a level falls, where its readings show that it does. Coolant speaks only by looks at a
    /// cold engine; other levels by the state of the engine they were most read in.
    pub fn falling(&self, subject: &Subject, item: &Item, life: &Life) -> Option<Falling> {
        let course = &life.status.course;
        let dips = self.dips(subject, item, life)?;
        let between_marks = self.between_marks(subject, item);
        let last = dips.last().map_or(0.0, |d| d.x);
        let now = self.usage(subject).at(self.now).hours.max(last);
        let is_read = between_marks.is_some()
            || dips
                .last()
                .is_some_and(|d| d.filling == course.fillings.len());
        let (error, fall) = self.falls.of(subject, item, dips);
        let (error, fall) = error.zip(fall)?;
        Some(Falling {
            interval: fall.interval(LEVEL)?,
            meets: fall.meets(LOW_MARK, now, LEVEL).filter(|_| is_read),
            ahead: FallAhead {
                fall,
                now,
                limit: LOW_MARK,
                is_read,
            },
            between_marks,
            error,
        })
    }

    /// What one reading of a level is taken to be wrong by; none for what is no level between marks.
    pub fn reading_error(&self, subject: &Subject) -> Option<ReadingError> {
        let (item, life) = (self.item(subject)?, self.life_of(subject)?);
        self.falls
            .of(subject, item, self.dips(subject, item, life)?)
            .0
    }

    /// The readings that a fall of a level is taken from, in the order in which they were made; none of
    /// what is no level between marks.
    fn dips(&self, subject: &Subject, item: &Item, life: &Life) -> Option<Vec<Dip>> {
        item.reading.as_ref().filter(|_| item.is_between_marks())?;
        let course = &life.status.course;
        let state = spoken_state(item, course);
        let between_marks = self.between_marks(subject, item);
        let all: f64 = course.fillings.iter().map(|f| f.litres).sum();
        // Filled before each filling and, last, before now.
        let before = course.fillings.iter().scan(0.0, |filled, f| {
            let before = *filled;
            *filled += f.litres;
            Some(before)
        });
        let before: Vec<f64> = before.chain([all]).collect();
        let usage = self.usage(subject);
        let meters = self.meters(subject.machine.as_deref());
        let hours = |dip: &Dipped| match dip.meter {
            Some((read, walk)) => meters.total(read, walk).get(),
            None => usage.at(dip.at).hours,
        };
        let dip = |dip: &Dipped| {
            let x = hours(dip);
            let since = all - before.get(dip.filled).unwrap_or(&all);
            match between_marks {
                // As if filled since then already: one filling, joined by the amounts.
                Some(litres) => Dip {
                    x,
                    y: dip.value + HIGH_MARK * since / litres,
                    filling: 0,
                },
                None => Dip {
                    x,
                    y: dip.value,
                    filling: dip.filled,
                },
            }
        };
        let of_state = |d: &&Dipped| state(d.state);
        Some(course.dips.iter().filter(of_state).map(dip).collect())
    }

    /// That a level meets its low mark inside the day ahead by the middle of its fall, in words.
    pub(super) fn low_soon(&self, subject: &Subject, falling: &Falling) -> Option<String> {
        let day = self.day_ahead().hours;
        let meets = falling.meets.filter(|m| m.about <= day)?;
        let planned = self.next_planned(subject).filter(|h| *h < meets.about);
        let (plan, _) = self.usual_plan();
        Some(match planned {
            Some(planned) => falling.carry_and_dip(planned, plan.hours),
            None => self.fall_in_words(falling),
        })
    }

    /// Looks at levels that are owed at a time or a meter reading and were not made since.
    pub(super) fn planned_dips(&self, history: &History) -> Vec<Stamped<Recheck>> {
        let level = |r: &Recheck| {
            let item = self.library.catalogue.item(&r.item);
            item.is_some_and(Item::is_between_marks)
        };
        let owed = self.owed(history).map(|owed| owed.recheck);
        owed.filter(|r| level(&r.rec)).cloned().collect()
    }

    /// Running hours until the next look at a level that is planned and not due yet.
    fn next_planned(&self, subject: &Subject) -> Option<f64> {
        let mine = |r: &&Stamped<Recheck>| {
            (&r.rec.item, &r.rec.machine) == (&subject.item, &subject.machine)
        };
        let machine = subject.machine.as_deref();
        let run = self.usage(subject).at(self.now).hours;
        let ahead = |r: &Stamped<Recheck>| {
            let by_meter = r.rec.due_hours.map(|due| {
                let total = self.meters(machine).total(due, r.at);
                total.get() - run
            });
            let by_date = r.rec.due_at.map(|due| {
                let days = days(self.now, due);
                days * self.rate(machine).per_day
            });
            by_meter.into_iter().chain(by_date).min_by(f64::total_cmp)
        };
        let planned = self.planned.iter().filter(mine).filter_map(ahead);
        planned.filter(|h| *h > 0.0).min_by(f64::total_cmp)
    }

    /// What is to be said of a falling level, over the day ahead and the usual plan.
    pub fn fall_in_words(&self, falling: &Falling) -> String {
        let (plan, _) = self.usual_plan();
        falling.sentence(self.day_ahead().hours, plan.hours)
    }

    /// What is worth watching of a level, in words: that it falls towards its low mark within the
    /// usual plan, or that it was filled often.
    pub(super) fn level_watch(
        &self,
        subject: &Subject,
        life: &Life,
        falling: Option<&Falling>,
    ) -> Option<String> {
        let (plan, _) = self.usual_plan();
        let soon = falling.filter(|f| f.meets.is_some_and(|m| m.about <= plan.hours));
        let often = || {
            let n = self.filled_lately(subject, life);
            (n >= OFTEN).then(|| format!("filled {n} times within {OFTEN_HOURS} h: watch it"))
        };
        soon.map(|f| self.fall_in_words(f)).or_else(often)
    }

    /// True where a level was found below its low mark and filled, and nobody read it since; not where
    /// what was filled is known to be too little.
    pub fn is_filled(&self, subject: &Subject, item: &Item, life: &Life) -> bool {
        let course = &life.status.course;
        let Some(found) = course.filled_on().filter(|found| *found < LOW_MARK) else {
            return false;
        };
        let read = course.dips.last().map_or(0, |d| d.filled);
        let litres: f64 = course.fillings.iter().skip(read).map(|f| f.litres).sum();
        let marks = self.between_marks(subject, item);
        marks.is_none_or(|marks| found + HIGH_MARK * litres / marks >= LOW_MARK)
    }

    /// That what goes nowhere but out was filled too often within fifty hours, in words.
    pub(super) fn lost(&self, subject: &Subject, item: &Item, life: &Life) -> Option<String> {
        let most = item.marks.as_ref()?.lost_after?;
        let n = self.filled_lately(subject, life);
        (n >= most).then(|| format!("filled {n} times within {OFTEN_HOURS} h: find where it goes"))
    }

    /// Fillings within the fifty running hours before it was last seen: of itself no day makes them
    /// fewer.
    fn filled_lately(&self, subject: &Subject, life: &Life) -> usize {
        let course = &life.status.course;
        let fillings = || course.fillings.iter().chain(&course.by_guests);
        let dips = course.dips.iter().map(|d| d.at);
        let seen = dips.chain(fillings().map(|f| f.at));
        let Some(seen) = seen.max() else { return 0 };
        let usage = self.usage(subject);
        let lately = |f: &&Filling| usage.between(f.at, seen).hours <= OFTEN_HOURS;
        fillings().filter(lately).count()
    }
}

/// Which states of the engine a level is followed in.
fn spoken_state(item: &Item, course: &Course) -> impl Fn(Option<PhaseState>) -> bool {
    let cold_only = item.marks.as_ref().is_some_and(|m| m.cold_only);
    let mut counts: Vec<(Option<PhaseState>, usize)> = Vec::new();
    for dip in &course.dips {
        match counts.iter_mut().find(|(state, _)| *state == dip.state) {
            Some((_, n)) => *n += 1,
            None => counts.push((dip.state, 1)),
        }
    }
    // Of equally full ones the one begun first.
    let most = counts.iter().rev().max_by_key(|(_, n)| *n).map(|c| c.0);
    move |state| match cold_only {
        true => matches!(state, Some(PhaseState::Cold | PhaseState::NextMorning)),
        false => Some(state) == most,
    }
}
