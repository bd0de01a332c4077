//! Everything the records say, undone records left out, in the order things happened.

use std::collections::{BTreeMap, HashMap};

use chrono::{DateTime, FixedOffset};

use super::acts::{
    Cost, Deferral, Fitted, NamedPlan, Override, Recheck, Removed, Repair, Withdrawal,
};
use super::doubt::{Doubt, GoneOn};
use super::life::Subject;
use super::taught::LearningSet;
use super::work::{Service, ServiceDraft, ServiceInterval};
use crate::boat::{Hours, MeterChange, MeterLine};
use crate::walk::{Details, Walk};

/// A record with its id and the time it speaks of.
#[derive(Clone, Debug, PartialEq)]
pub struct Stamped<T> {
    /// Id of the record.
    pub id: String,
    /// When it happened.
    pub at: DateTime<FixedOffset>,
    /// What it says.
    pub rec: T,
}

/// What was done about an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Done {
    /// It was repaired.
    Repaired,
    /// A part in service since then was named.
    Fitted,
    /// A service put a new part in its place.
    Renewed,
    /// A service began its readings anew: fresh oil mends no leak.
    Restarted,
}

impl Done {
    /// True where it put the item right, until a look says otherwise.
    pub fn mends(self) -> bool {
        matches!(self, Done::Repaired | Done::Renewed)
    }
}

/// What was typed of an item, kept until the look it belongs to is saved.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// Id of the walk.
    pub walk: String,
    /// Id of the phase.
    pub phase: String,
    /// Id of the item.
    pub item: String,
    /// As far as it was typed.
    pub details: Details,
}

/// Positions of looks (walk, look) by item id and machine id.
pub type LooksBySubject<'a> = HashMap<(&'a str, Option<&'a str>), Vec<(usize, usize)>>;

/// The state of a logbook, folded from its records.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History {
    /// By the time they began.
    pub walks: Vec<Walk>,
    /// By time.
    pub repairs: Vec<Stamped<Repair>>,
    /// By time.
    pub deferrals: Vec<Stamped<Deferral>>,
    /// By time.
    pub overrides: Vec<Stamped<Override>>,
    /// By time.
    pub withdrawals: Vec<Stamped<Withdrawal>>,
    /// By time.
    pub rechecks: Vec<Stamped<Recheck>>,
    /// By time.
    pub fitted: Vec<Stamped<Fitted>>,
    /// By time.
    pub removed: Vec<Stamped<Removed>>,
    /// By time.
    pub learning: Vec<Stamped<LearningSet>>,
    /// By time.
    pub services: Vec<Stamped<Service>>,
    /// By time.
    pub intervals: Vec<Stamped<ServiceInterval>>,
    /// By time.
    pub costs: Vec<Stamped<Cost>>,
    /// By time.
    pub meters: Vec<MeterChange>,
    /// When the boat's first profile was written, which is when her record begins.
    pub began: Option<DateTime<FixedOffset>>,
    /// Readings named by a profile when it was written: (when, machine, reading).
    pub profile_hours: Vec<(DateTime<FixedOffset>, String, Hours)>,
    /// By name, the last one set.
    pub plans: BTreeMap<String, NamedPlan>,
    /// Notes half typed.
    pub drafts: Vec<Draft>,
    /// Services and intervals half typed, the last one typed last.
    pub service_drafts: Vec<ServiceDraft>,
    /// What is on record and not counted.
    pub doubts: Vec<Doubt>,
    /// Who went on with a copy that lacks records, and why.
    pub gone_on: Vec<Stamped<GoneOn>>,
}

impl History {
    /// The history as it stood at a time: what happened later is left out. Walks that were not
    /// finished by then are cut at that time and count as unfinished.
    pub fn as_of(&self, at: DateTime<FixedOffset>) -> History {
        fn until<T: Clone>(all: &[Stamped<T>], at: DateTime<FixedOffset>) -> Vec<Stamped<T>> {
            all.iter().filter(|s| s.at <= at).cloned().collect()
        }
        let begun = self.walks.iter().filter(|w| w.at <= at);
        History {
            walks: begun.map(|walk| walk.as_of(at)).collect(),
            repairs: until(&self.repairs, at),
            deferrals: until(&self.deferrals, at),
            overrides: until(&self.overrides, at),
            withdrawals: until(&self.withdrawals, at),
            rechecks: until(&self.rechecks, at),
            fitted: until(&self.fitted, at),
            removed: until(&self.removed, at),
            learning: until(&self.learning, at),
            services: until(&self.services, at),
            intervals: until(&self.intervals, at),
            began: self.began.filter(|began| *began <= at),
            costs: until(&self.costs, at),
            meters: self.meters.iter().filter(|m| m.at <= at).cloned().collect(),
            profile_hours: self
                .profile_hours
                .iter()
                .filter(|p| p.0 <= at)
                .cloned()
                .collect(),
            plans: self.plans.clone(),
            drafts: Vec::new(),
            service_drafts: Vec::new(),
            // Nobody knows of what time a lost record speaks.
            doubts: self.doubts.clone(),
            gone_on: self.gone_on.clone(),
        }
    }

    /// What was done about an item, by kind and each kind by time.
    pub fn done<'a>(
        &'a self,
        subject: &'a Subject,
    ) -> impl Iterator<Item = (DateTime<FixedOffset>, Done)> + 'a {
        let mine = move |item: &str, machine: &Option<String>| {
            item == subject.item && *machine == subject.machine
        };
        let repairs = self.repairs.iter();
        let repairs = repairs.filter(move |r| mine(&r.rec.item, &r.rec.machine));
        let fitted = self.fitted.iter();
        let fitted = fitted.filter(move |f| mine(&f.rec.item, &f.rec.machine));
        let services = self.services.iter().filter_map(move |s| {
            let touches = |items: &[String]| s.rec.touches(items, subject);
            let done = if touches(&s.rec.renewed) {
                Done::Renewed
            } else if touches(&s.rec.restarted) {
                Done::Restarted
            } else {
                return None;
            };
            Some((s.at, done))
        });
        repairs
            .map(|r| (r.at, Done::Repaired))
            .chain(fitted.map(|f| (f.at, Done::Fitted)))
            .chain(services)
    }

    /// When an item was put right, see [`Done::mends`].
    pub fn mended(&self, subject: &Subject) -> Vec<DateTime<FixedOffset>> {
        let done = self.done(subject).filter(|(_, done)| done.mends());
        done.map(|(at, _)| at).collect()
    }

    /// The meters of a machine in time.
    pub fn meter_line(&self, machine: &str) -> MeterLine {
        MeterLine::new(self.meters.iter().filter(|m| m.machine == machine))
    }

    /// Total running hours of a machine wherever a record says them, by time: what its meter
    /// showed, added up across replaced meters.
    pub fn hour_readings(&self, machine: &str) -> Vec<(DateTime<FixedOffset>, Hours)> {
        let line = self.meter_line(machine);
        let walks = self.walks.iter().filter(|w| w.machine == machine);
        let walks = walks.filter_map(|w| w.hours.map(|h| (w.at, h)));
        let repairs = self
            .repairs
            .iter()
            .filter(|r| r.rec.machine.as_deref() == Some(machine));
        let repairs = repairs.filter_map(|r| r.rec.hours.map(|h| (r.at, h)));
        let fitted = self
            .fitted
            .iter()
            .filter(|f| f.rec.machine.as_deref() == Some(machine));
        let fitted = fitted.filter_map(|f| f.rec.hours.map(|h| (f.at, h)));
        let services = self
            .services
            .iter()
            .filter(|s| s.rec.machine.as_deref() == Some(machine));
        let services = services.filter_map(|s| s.rec.hours.map(|h| (s.at, h)));
        let profiles = self
            .profile_hours
            .iter()
            .filter(|p| p.1 == machine)
            .map(|p| (p.0, p.2));
        let mut all: Vec<_> = walks
            .chain(repairs)
            .chain(fitted)
            .chain(services)
            .chain(profiles)
            .map(|(at, h)| (at, line.total(h, at)))
            .collect();
        all.extend(
            self.meters
                .iter()
                .filter(|m| m.machine == machine)
                .map(|m| (m.at, line.total(m.new, m.at))),
        );
        all.sort_by_key(|(at, _)| *at);
        all
    }

    /// A service by the id of its record.
    pub fn service(&self, id: &str) -> Option<&Stamped<Service>> {
        self.services.iter().find(|s| s.id == id)
    }

    /// Takes a service in, with the looks it leaves owed.
    pub fn put_service(&mut self, service: Stamped<Service>) {
        self.rechecks.extend(owed_by(&service));
        self.services.push(service);
    }

    /// Takes a service out again, with the looks it left owed; false where there is none.
    pub fn take_out_service(&mut self, id: &str) -> bool {
        let (out, stay) = std::mem::take(&mut self.services)
            .into_iter()
            .partition(|s| s.id == id);
        self.services = stay;
        let out: Vec<Stamped<Service>> = out;
        let owed: Vec<_> = out.iter().flat_map(owed_by).collect();
        self.rechecks.retain(|r| !owed.contains(r));
        !out.is_empty()
    }

    /// A walk by its id.
    pub fn walk(&self, id: &str) -> Option<&Walk> {
        self.walks.iter().find(|w| w.id == id)
    }

    /// Positions of the looks at each item, by its id and its machine (none for what the boat has
    /// once), in the order of the walks.
    pub fn looks_by_subject(&self, boat_wide: impl Fn(&str) -> bool) -> LooksBySubject<'_> {
        let mut by_subject: HashMap<_, Vec<(usize, usize)>> = HashMap::new();
        for (w, walk) in self.walks.iter().enumerate() {
            for (l, timed) in walk.looks.iter().enumerate() {
                let item = timed.look.item.as_str();
                let machine = (!boat_wide(item)).then_some(walk.machine.as_str());
                by_subject.entry((item, machine)).or_default().push((w, l));
            }
        }
        by_subject
    }
}

/// The looks a service leaves owed, as rechecks. Their ids are that of the service, `.owed.` and a
/// number.
fn owed_by(service: &Stamped<Service>) -> impl Iterator<Item = Stamped<Recheck>> + '_ {
    let owed = service.rec.owed.iter().enumerate();
    owed.map(|(n, owed)| Stamped {
        id: format!("{}.owed.{}", service.id, n + 1),
        at: service.at,
        rec: Recheck {
            item: owed.item.clone(),
            machine: owed.machine.clone(),
            at: Some(service.at),
            due_at: owed.due_at,
            due_hours: owed.due_hours,
            why: owed.why.clone(),
        },
    })
}
