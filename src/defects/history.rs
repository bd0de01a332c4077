//! Everything the records say, undone records left out, in the order things happened.

use std::collections::{BTreeMap, HashMap};

use chrono::{DateTime, FixedOffset};

use super::acts::{
    Closed, Cost, Deferral, Fitted, Opened, Override, Recheck, Removed, Repair, Withdrawal,
};
use super::doubt::{Doubt, GoneOn, NotCounted};
use super::given_on::GivenOn;
use super::issued::Issued;
use super::job_minutes::JobMinutes;
use super::learning_set::LearningSet;
use super::learning_start::LearningStart;
use super::own_causes::OwnCauses;
use super::part_said::PartSaid;
use super::place_photo::PlacePhoto;
use super::plan::NamedPlan;
use super::profiles::Profiles;
use super::round_draft::RoundDraft;
use super::said::Said;
use super::spare_said::{SpareSaid, StockChange};
use super::subject::Subject;
use super::taken_back::{Aside, TakenBack};
use super::under_way_line::UnderWay;
use super::when_last::WhenLast;
use super::work::{Service, ServiceDraft, ServiceInterval};
use crate::boat::{Arranged, Hours, MeterChange};
use crate::checklist::FINDING;
use crate::text::Hashed;
use crate::walk::{Details, Photo, Walk, When};

/// A record with its id and the time it speaks of.
#[derive(Clone, Debug, PartialEq)]
pub struct Stamped<T> {
    /// Id of the record.
    pub id: String,
    /// When it happened, as it counts.
    pub at: DateTime<FixedOffset>,
    /// Place of the record in the order of the log.
    pub place: usize,
    /// What it says.
    pub rec: T,
}

impl<T> Stamped<T> {
    /// Its moment.
    pub fn when(&self) -> When {
        When {
            at: self.at,
            place: self.place,
        }
    }

    /// Puts it among its like, which are by time.
    pub fn put_among(self, all: &mut Vec<Stamped<T>>) {
        let spot = all.partition_point(|known| known.when() <= self.when());
        all.insert(spot, self);
    }
}

/// What was done about an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Done {
    /// It was repaired.
    Repaired,
    /// It was repaired for a while.
    Patched,
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
        matches!(self, Done::Repaired | Done::Patched | Done::Renewed)
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

/// What a record beside the walks names.
#[derive(Clone, Copy, Debug)]
pub struct Named<'a> {
    /// The item it acts on.
    pub item: Option<&'a str>,
    /// The machine.
    pub machine: Option<&'a str>,
    /// The time it speaks of.
    pub at: DateTime<FixedOffset>,
}

/// Positions of looks (walk, look) by item id and machine id.
pub type LooksBySubject<'a> = HashMap<(&'a str, Option<&'a str>), Vec<(usize, usize)>>;

/// Whether an item is the boat's as a whole, and the looks at it by machine.
type ByMachine<'a> = (bool, Vec<(Option<&'a str>, Vec<(usize, usize)>)>);

/// The state of a logbook, folded from its records.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History {
    /// By the time they began.
    pub walks: Vec<Walk>,
    /// What was said when walks ended, by their ids; history, never an answer.
    pub said: HashMap<String, Said>,
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
    /// By time, with what services left open.
    pub opened: Vec<Stamped<Opened>>,
    /// By time.
    pub closed: Vec<Stamped<Closed>>,
    /// By time.
    pub learning: Vec<Stamped<LearningSet>>,
    /// What other boats taught, as it was taken in, by time.
    pub learning_starts: Vec<Stamped<LearningStart>>,
    /// By time.
    pub services: Vec<Stamped<Service>>,
    /// By time.
    pub intervals: Vec<Stamped<ServiceInterval>>,
    /// By time.
    pub when_last: Vec<Stamped<WhenLast>>,
    /// How long jobs take, as the owner says, by time; of each the newest counts.
    pub job_minutes: Vec<Stamped<JobMinutes>>,
    /// By time.
    pub parts: Vec<Stamped<PartSaid>>,
    /// What was said of spares, by time.
    pub spares: Vec<Stamped<SpareSaid>>,
    /// What went in and out of the locker, by time.
    pub stock: Vec<Stamped<StockChange>>,
    /// Each time the history went to a new owner, by time.
    pub given_on: Vec<Stamped<GivenOn>>,
    /// By time.
    pub place_photos: Vec<Stamped<PlacePhoto>>,
    /// By time.
    pub arranged: Vec<Stamped<Arranged>>,
    /// Questions and causes of the boat's own, by time.
    pub own_causes: Vec<Stamped<OwnCauses>>,
    /// Lines of being under way, by time.
    pub under_way: Vec<Stamped<UnderWay>>,
    /// By time.
    pub costs: Vec<Stamped<Cost>>,
    /// By time.
    pub meters: Vec<Stamped<MeterChange>>,
    /// When the boat's first profile was written, which is when her record begins.
    pub began: Option<DateTime<FixedOffset>>,
    /// Readings named by a profile when it was written: machine and reading.
    pub profile_hours: Vec<Stamped<(String, Hours)>>,
    /// The profile in force, and how it came about.
    pub profiles: Profiles,
    /// By name, the last one set.
    pub plans: BTreeMap<String, NamedPlan>,
    /// Notes half typed.
    pub drafts: Vec<Draft>,
    /// Services and intervals half typed, the last one typed last.
    pub service_drafts: Vec<ServiceDraft>,
    /// Lines of being under way half typed, the last kept last.
    pub round_drafts: Vec<RoundDraft>,
    /// Graded looks that were taken back or put right, by the records that did so.
    pub taken_back: Vec<TakenBack>,
    /// Walks set aside, by time.
    pub aside: Vec<Stamped<Aside>>,
    /// Corrections that do not agree, in words.
    pub clashes: Vec<NotCounted>,
    /// What is on record and not counted.
    pub doubts: Vec<Doubt>,
    /// The newest time at which anything was written, as it counts; no clock stands before it.
    pub latest: Option<DateTime<FixedOffset>>,
    /// Records taken in: the place of the next one.
    pub length: usize,
    /// Reports that were issued, by time; nothing recorded later changes one.
    pub issued: Vec<Stamped<Issued>>,
    /// Who went on with a copy that lacks records, and why.
    pub gone_on: Vec<Stamped<GoneOn>>,
}

/// All that is on record by time beside the walks, handed to a macro.
macro_rules! by_time {
    ($each:ident) => {
        $each! {
            repairs deferrals overrides withdrawals rechecks fitted removed opened closed learning learning_starts
            services intervals when_last job_minutes parts spares stock place_photos arranged own_causes given_on issued under_way costs meters profile_hours aside
        }
    };
}
pub(super) use by_time;

impl History {
    /// True for one thing found of which nothing is left: neither a look nor a word typed ahead of it.
    pub fn is_taken_back(&self, walk: &Walk) -> bool {
        let half_typed = self.drafts.iter().any(|d| d.walk == walk.id);
        walk.checklist == FINDING && walk.looks.is_empty() && !half_typed
    }

    /// What had happened by a time, whenever it was recorded: what happened later is left out.
    /// Walks that were not finished by then are cut at that time and count as unfinished.
    pub fn as_of(&self, at: DateTime<FixedOffset>) -> History {
        self.cut(When::last_at(at), |walk| walk.as_of(at))
    }

    /// What was known at a moment in the order of the log: what was recorded after it is left out,
    /// and what had not happened yet. So is judged "as at the walk".
    pub fn known_at(&self, cut: When) -> History {
        self.cut(cut, |walk| walk.known_at(cut))
    }

    /// Takes from a later state what was known at a place of the log of what no answer counts.
    pub fn doubts_known_of(&mut self, later: &History, place: usize) {
        let known = later.doubts.iter().filter_map(|d| d.known_at(place));
        self.doubts = known.collect();
    }

    fn cut(&self, cut: When, walk: impl Fn(&Walk) -> Walk) -> History {
        let within = |when: When| when.is_known_at(cut);
        fn until<T: Clone>(all: &[Stamped<T>], within: impl Fn(When) -> bool) -> Vec<Stamped<T>> {
            let known = all.iter().filter(|s| within(s.when()));
            known.cloned().collect()
        }
        let begun = self.walks.iter().filter(|w| within(w.when()));
        let known = self.doubts.iter().filter_map(|d| d.known_at(cut.place));
        let walks: Vec<Walk> = begun.map(walk).collect();
        let ended = walks.iter().filter(|w| w.finished.is_some());
        let said = ended.filter_map(|w| Some((w.id.clone(), self.said.get(&w.id)?.clone())));
        macro_rules! state {
            ($($list:ident)+) => {
                History {
                    $($list: until(&self.$list, within),)+
                    said: said.collect(),
                    walks,
                    began: self.began.filter(|began| *began <= cut.at),
                    profiles: self.profiles.known_at(cut),
                    plans: self.plans.clone(),
                    drafts: Vec::new(),
                    service_drafts: Vec::new(),
                    round_drafts: Vec::new(),
                    taken_back: {
                        let taken_back = self.taken_back.iter();
                        taken_back.filter(|t| within(t.when)).cloned().collect()
                    },
                    clashes: self.clashes.clone(),
                    doubts: known.collect(),
                    latest: self.latest.map(|latest| latest.min(cut.at)),
                    length: self.length,
                    gone_on: self.gone_on.clone(),
                }
            };
        }
        by_time!(state)
    }

    /// What was done about an item, by kind and each kind by time.
    pub fn done<'a>(&'a self, subject: &'a Subject) -> impl Iterator<Item = (When, Done)> + 'a {
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
            Some((s.when(), done))
        });
        repairs
            .map(|r| {
                let lasting = r.rec.temporary.is_none();
                let done = if lasting {
                    Done::Repaired
                } else {
                    Done::Patched
                };
                (r.when(), done)
            })
            .chain(fitted.map(|f| (f.when(), Done::Fitted)))
            .chain(services)
    }

    /// What the records beside the walks name, in no order.
    pub fn named(&self) -> Vec<Named<'_>> {
        // Every field stands here, so that a new one is not passed over.
        let History {
            repairs,
            deferrals,
            overrides,
            withdrawals,
            rechecks,
            fitted,
            removed,
            opened,
            services,
            intervals,
            when_last,
            job_minutes,
            parts,
            spares,
            stock,
            place_photos,
            arranged,
            costs,
            under_way,
            meters,
            own_causes: _,
            closed: _,
            given_on: _,
            issued: _,
            walks: _,
            learning: _,
            learning_starts: _,
            began: _,
            profile_hours: _,
            profiles: _,
            plans: _,
            drafts: _,
            service_drafts: _,
            round_drafts: _,
            taken_back: _,
            aside: _,
            clashes: _,
            doubts: _,
            latest: _,
            length: _,
            gone_on: _,
            said: _,
        } = self;
        let mut all = Vec::new();
        macro_rules! named {
            ($($list:ident: |$rec:ident| $item:expr, $machine:expr;)+) => {
                $(all.extend($list.iter().map(|Stamped { at, rec: $rec, .. }| Named {
                    item: $item,
                    machine: $machine,
                    at: *at,
                }));)+
            };
        }
        named! {
            repairs: |r| Some(&r.item), r.machine.as_deref();
            deferrals: |r| Some(&r.item), r.machine.as_deref();
            overrides: |r| Some(&r.item), r.machine.as_deref();
            withdrawals: |r| Some(&r.item), r.machine.as_deref();
            rechecks: |r| Some(&r.item), r.machine.as_deref();
            fitted: |r| Some(&r.item), r.machine.as_deref();
            removed: |r| Some(&r.item), r.machine.as_deref();
            opened: |r| Some(&r.item), r.machine.as_deref();
            costs: |r| Some(&r.item), r.machine.as_deref();
            services: |r| None, r.machine.as_deref();
            intervals: |r| None, r.machine.as_deref();
            when_last: |r| r.item.as_deref(), r.machine.as_deref();
            job_minutes: |r| r.item.as_deref(), r.machine.as_deref();
            parts: |r| None, r.machine.as_deref();
            spares: |r| None, r.machine.as_deref();
            stock: |r| None, r.machine.as_deref();
            place_photos: |r| None, r.machine.as_deref();
            arranged: |r| r.item.as_deref(), r.machine.as_deref();
            under_way: |r| None, r.machine.as_deref();
            meters: |r| None, Some(&r.machine);
        }
        all
    }

    /// What was left open of an item, by time, with the moment it was put back; none where it was not.
    pub fn opened(&self, subject: &Subject) -> Vec<(&Stamped<Opened>, Option<When>)> {
        let opened = self.opened.iter().filter(|o| o.rec.is_of(subject));
        opened.map(|o| (o, self.put_back(o))).collect()
    }

    /// What is left open and not put back, by time.
    pub fn still_open(&self) -> impl Iterator<Item = &Stamped<Opened>> {
        let opened = self.opened.iter();
        opened.filter(|opened| self.put_back(opened).is_none())
    }

    /// When what was left open was seen put back. Nobody put back what was left open after they said
    /// so.
    pub fn put_back(&self, opened: &Stamped<Opened>) -> Option<When> {
        let mut seen = self.closings(opened).filter(|c| c.rec.told.is_none());
        seen.next().map(Stamped::when)
    }

    /// That it was told put back by somebody, and not seen: when, and by whom.
    pub fn told_back<'a>(&'a self, opened: &'a Stamped<Opened>) -> Option<(When, &'a str)> {
        let mut told = self.closings(opened);
        told.find_map(|c| Some((c.when(), c.rec.told.as_deref()?)))
    }

    fn closings<'a>(
        &'a self,
        opened: &'a Stamped<Opened>,
    ) -> impl Iterator<Item = &'a Stamped<Closed>> {
        let its = |c: &&Stamped<Closed>| c.rec.of == opened.id && c.when() > opened.when();
        self.closed.iter().filter(its)
    }

    /// What is known of a part, field by field the newest word; empty where nobody said anything.
    pub fn part(&self, part: &str, machine: Option<&str>) -> PartSaid {
        let said = self.parts.iter().map(|s| &s.rec);
        let said = said.filter(|said| said.is_of(part, machine));
        said.fold(PartSaid::of(part, machine), PartSaid::with)
    }

    /// When something was said last of a part.
    pub fn part_told(&self, part: &str, machine: Option<&str>) -> Option<&Stamped<PartSaid>> {
        let mut said = self.parts.iter().rev();
        said.find(|s| s.rec.is_of(part, machine))
    }

    /// The photograph of where something is; none where there is none, or it was taken off.
    pub fn place_photo(&self, fact: &str, machine: Option<&str>) -> Option<&Photo> {
        let mut said = self.place_photos.iter().rev().map(|s| &s.rec);
        said.find(|said| said.is_of(fact, machine))?.photo.as_ref()
    }

    /// When an item was put right, see [`Done::mends`].
    pub fn mended(&self, subject: &Subject) -> Vec<When> {
        let done = self.done(subject).filter(|(_, done)| done.mends());
        done.map(|(at, _)| at).collect()
    }

    /// A service by the id of its record.
    pub fn service(&self, id: &str) -> Option<&Stamped<Service>> {
        self.services.iter().find(|s| s.id == id)
    }

    /// Takes a service in, with the looks it leaves owed and what it left open.
    pub fn put_service(&mut self, service: Stamped<Service>) {
        for opened in opened_by(&service) {
            opened.put_among(&mut self.opened);
        }
        for owed in owed_by(&service) {
            owed.put_among(&mut self.rechecks);
        }
        service.put_among(&mut self.services);
    }

    /// Takes a service out again, with the looks it left owed and what it left open; false where there
    /// is none.
    pub fn take_out_service(&mut self, id: &str) -> bool {
        let (out, stay) = std::mem::take(&mut self.services)
            .into_iter()
            .partition(|s| s.id == id);
        self.services = stay;
        let out: Vec<Stamped<Service>> = out;
        let owed: Vec<_> = out.iter().flat_map(owed_by).collect();
        self.rechecks.retain(|r| !owed.contains(r));
        let opened: Vec<_> = out.iter().flat_map(opened_by).collect();
        self.opened.retain(|o| !opened.contains(o));
        !out.is_empty()
    }

    /// The last giving on that is known at a moment.
    pub(super) fn given_on_by(&self, cut: When) -> Option<When> {
        let known = self.given_on.iter().map(Stamped::when);
        known.filter(|when| when.is_known_at(cut)).max()
    }

    /// A walk by its id.
    pub fn walk(&self, id: &str) -> Option<&Walk> {
        self.walks.iter().find(|w| w.id == id)
    }

    /// Positions of the looks at each item, by its id and its machine (none for what the boat has
    /// once), in the order of the walks.
    pub fn looks_by_subject(&self, boat_wide: impl Fn(&str) -> bool) -> LooksBySubject<'_> {
        // By the item alone first: a boat has few machines, and ten years hold many looks.
        let mut by_item: Hashed<&str, ByMachine<'_>> = Hashed::default();
        for (w, walk) in self.walks.iter().enumerate() {
            for (l, timed) in walk.looks.iter().enumerate() {
                let item = timed.look.item.as_str();
                let (whole, machines) = by_item
                    .entry(item)
                    .or_insert_with(|| (boat_wide(item), Vec::new()));
                let machine = (!*whole).then_some(walk.machine.as_str());
                match machines.iter_mut().find(|(known, _)| *known == machine) {
                    Some((_, looks)) => looks.push((w, l)),
                    None => machines.push((machine, vec![(w, l)])),
                }
            }
        }
        let each = by_item.into_iter().flat_map(|(item, (_, machines))| {
            let named = machines.into_iter();
            named.map(move |(machine, looks)| ((item, machine), looks))
        });
        each.collect()
    }
}

/// The looks a service leaves owed, as rechecks. Their ids are that of the service, `.owed.` and a
/// number.
fn owed_by(service: &Stamped<Service>) -> impl Iterator<Item = Stamped<Recheck>> + '_ {
    let owed = service.rec.owed.iter().enumerate();
    owed.map(|(n, owed)| Stamped {
        id: format!("{}.owed.{}", service.id, n + 1),
        at: service.at,
        place: service.place,
        rec: Recheck {
            item: owed.item.clone(),
            machine: owed.machine.clone(),
            at: Some(service.at),
            due_at: owed.due_at,
            due_hours: owed.due_hours,
            // It was reckoned from the reading of the service itself.
            from: owed.due_hours.map(|_| service.id.clone()),
            why: owed.why.clone(),
        },
    })
}

/// What a service left open. Their ids are that of the service, `.open.` and a number.
fn opened_by(service: &Stamped<Service>) -> impl Iterator<Item = Stamped<Opened>> + '_ {
    let open = service.rec.open.iter().enumerate();
    open.map(|(n, item)| Stamped {
        id: format!("{}.open.{}", service.id, n + 1),
        at: service.at,
        place: service.place,
        rec: Opened {
            item: item.clone(),
            machine: service.rec.machine.clone(),
            at: Some(service.at),
            what: format!("a part left out by a service, {}", service.rec.task),
            why: service.rec.note.clone(),
            forbids: None,
        },
    })
}
