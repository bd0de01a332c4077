//! What the records say that hour meters showed.

use chrono::{DateTime, FixedOffset};

use super::history::{History, Stamped};
use crate::boat::{Hours, MeterLine};
use crate::walk::{Walk, When};

/// What an hour meter showed, as a record says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct MeterRead<'a> {
    /// The moment of the record.
    pub(super) when: When,
    /// What it showed.
    pub(super) hours: Hours,
    /// Id of the record; none of a profile.
    pub(super) id: Option<&'a str>,
}

/// What a walk says of the meter of a machine.
fn of_walk<'a>(walk: &'a Walk, machine: &str) -> Option<MeterRead<'a>> {
    let hours = walk.hours.filter(|_| walk.machine == machine)?;
    Some(MeterRead {
        when: walk.when(),
        hours,
        id: walk.hours_by.as_deref(),
    })
}

impl History {
    /// The meters of a machine in time.
    pub fn meter_line(&self, machine: &str) -> MeterLine {
        let changes = self.meters.iter().map(|m| &m.rec);
        MeterLine::new(changes.filter(|m| m.machine == machine))
    }

    /// What profiles said that the meter of a machine shows: id of the record, figure, time.
    pub fn profile_readings<'a>(
        &'a self,
        machine: &'a str,
    ) -> impl Iterator<Item = (&'a str, Hours, DateTime<FixedOffset>)> {
        let here = self
            .profile_hours
            .iter()
            .filter(move |s| s.rec.0 == machine);
        here.map(|s| (s.id.as_str(), s.rec.1, s.at))
    }

    /// Total running hours of a machine wherever a record says them, in order: what its meter
    /// showed, added up across replaced meters.
    pub fn hour_readings(&self, machine: &str) -> Vec<(DateTime<FixedOffset>, Hours)> {
        let readings = self.readings_in_order(machine);
        readings.into_iter().map(|(when, h)| (when.at, h)).collect()
    }

    /// The same with the place of each record.
    pub(super) fn readings_in_order(&self, machine: &str) -> Vec<(When, Hours)> {
        let line = self.meter_line(machine);
        let read = self.all_meter_reads(machine);
        let mut all: Vec<_> = read
            .map(|read| (read.when, line.total(read.hours, read.when.at)))
            .collect();
        all.sort_by_key(|(when, _)| *when);
        all
    }

    /// What the meter in service showed wherever a record says so, with the record, in order.
    pub(super) fn meter_reads<'a>(&'a self, machine: &'a str) -> Vec<MeterRead<'a>> {
        let mut all: Vec<_> = self.all_meter_reads(machine).collect();
        all.sort_by_key(|read| read.when);
        all
    }

    /// The same in no order.
    pub(super) fn all_meter_reads<'a>(
        &'a self,
        machine: &'a str,
    ) -> impl Iterator<Item = MeterRead<'a>> {
        let walks = self.walks.iter();
        let walks = walks.filter_map(move |walk| of_walk(walk, machine));
        walks.chain(self.meter_reads_beside(machine))
    }

    /// Those that no walk says, in no order.
    fn meter_reads_beside<'a>(&'a self, machine: &'a str) -> impl Iterator<Item = MeterRead<'a>> {
        fn of<'a, T>(
            all: &'a [Stamped<T>],
            says: impl Fn(&'a T) -> Option<Hours>,
        ) -> impl Iterator<Item = MeterRead<'a>> {
            all.iter().filter_map(move |s| {
                Some(MeterRead {
                    when: s.when(),
                    hours: says(&s.rec)?,
                    id: Some(&s.id),
                })
            })
        }
        let here = move |named: &Option<String>| named.as_deref() == Some(machine);
        let repairs = of(&self.repairs, move |r| r.hours.filter(|_| here(&r.machine)));
        let fitted = of(&self.fitted, move |f| f.hours.filter(|_| here(&f.machine)));
        let services = of(&self.services, move |s| {
            s.hours.filter(|_| here(&s.machine))
        });
        let meters = of(&self.meters, move |m| {
            Some(m.new).filter(|_| m.machine == machine)
        });
        // No entry puts a profile right.
        let profiles = of(&self.profile_hours, move |p| {
            Some(p.1).filter(|_| p.0 == machine)
        });
        let profiles = profiles.map(|read| MeterRead { id: None, ..read });
        let lines = of(&self.under_way, move |u| {
            u.hours.filter(|_| here(&u.machine))
        });
        let read = repairs.chain(fitted).chain(services).chain(lines);
        read.chain(profiles).chain(meters)
    }

    /// The last reading before a time and the first after it.
    pub(super) fn meter_reads_around<'a>(
        &'a self,
        machine: &'a str,
        at: DateTime<FixedOffset>,
    ) -> (Option<MeterRead<'a>>, Option<MeterRead<'a>>) {
        // Walks stand in the order of time, and there are many.
        let before = self.walks.partition_point(|walk| walk.at < at);
        let until = self.walks.partition_point(|walk| walk.at <= at);
        let before = self.walks.iter().take(before).rev();
        let before = before.filter_map(|walk| of_walk(walk, machine)).next();
        let after = self.walks.iter().skip(until);
        let after = after.filter_map(|walk| of_walk(walk, machine)).next();
        let beside = || self.meter_reads_beside(machine);
        let earlier = beside().filter(|read| read.when.at < at);
        let later = beside().filter(|read| read.when.at > at);
        (
            earlier.chain(before).max_by_key(|read| read.when),
            later.chain(after).min_by_key(|read| read.when),
        )
    }
}
