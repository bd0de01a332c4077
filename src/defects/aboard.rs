//! The boat that answers speak of: her profile, and what the records name beside it.
//!
//! A profile is a choice of what is looked at, and no choice makes an open stop vanish. A machine
//! that a record names stands with all its stops though no profile has it, an item that a machine is
//! said to be without stays while a stop is open on it, and a stop that only farther waters know is
//! told. With a written reason on record the stop is told beside every answer and holds no verdict
//! up; without one it counts.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::acts::Opened;
use super::condition::{Condition, MachineUse};
use super::doubt::{Doubt, NotCounted};
use super::events::Origin;
use super::history::{History, Stamped};
use super::life::Life;
use super::subject::Subject;
use crate::boat::{Boat, Machine, PassedStop, Waters};
use crate::checklist::{Grade, Library};
use crate::walk::Look;

/// The boat, with what is to be said of her.
#[derive(Clone, Debug, PartialEq)]
pub struct Aboard {
    /// The profile, with the machines that records name beside it, and without leaving out an item
    /// on which a stop is open.
    pub boat: Boat,
    /// Ids of the machines that are not in the profile.
    pub stubs: Vec<String>,
    /// Stops out of sight with a reason.
    pub doubts: Vec<Doubt>,
}

/// A stop that is open on an item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenStop {
    /// The item it is on, and whose.
    pub subject: Subject,
    /// The rule, in words.
    pub rule: String,
    /// Id of the look behind it.
    pub look: String,
}

/// The boat of a profile after what is on record.
pub fn aboard(
    profile: &Boat,
    library: &Arc<Library>,
    history: &History,
    now: DateTime<FixedOffset>,
) -> Aboard {
    let mut found = Aboard {
        boat: profile.clone(),
        stubs: Vec::new(),
        doubts: Vec::new(),
    };
    let beside = named_beside(profile, history);
    if beside.is_empty() && !looks_at_left_out(profile, history) {
        return found;
    }
    let mut probe = Probe::new(profile, library, history, now);
    for machine in &mut found.boat.machines {
        machine.without.retain(|item| {
            if is_open(history, item, &machine.id) {
                return false;
            }
            let Some(Held { stop, .. }) = probe.held(item, &machine.id) else {
                return true;
            };
            let passed = history.profiles.reason(&stop.passed(), now);
            let how = format!("'{}' is said to be without it", machine.id);
            let told = passed.map(|passed| set_aside(&stop, &how, passed));
            found.doubts.extend(told);
            passed.is_some()
        });
    }
    for (id, named) in &beside {
        let left = history
            .profiles
            .left
            .iter()
            .rev()
            .find(|(_, m)| m.id == *id);
        let Some((at, machine)) = left else {
            let name = format!("{id} (not in the profile)");
            found.boat.machines.push(Machine::bare(id, &name));
            found.stubs.push(id.clone());
            continue;
        };
        let open = |o: &Stamped<Opened>| o.rec.machine.as_ref() == Some(id);
        let mut stays = named > at || history.still_open().any(open);
        let how = format!("'{id}' left the boat");
        for Held { stop, is_known } in probe.held_of(id) {
            match history.profiles.reason(&stop.passed(), now) {
                Some(passed) => found.doubts.push(set_aside(&stop, &how, passed)),
                None if is_known => stays = true,
                None => found.doubts.push(Doubt::said(NotCounted {
                    item: Some(stop.subject.item.clone()),
                    ..NotCounted::because(format!("{how}: {}", stop.rule))
                })),
            }
        }
        if stays {
            found.boat.machines.push(Machine {
                name: format!("{} (retired, and on record since)", machine.name),
                ..machine.clone()
            });
            found.stubs.push(id.clone());
        }
    }
    found
}

fn set_aside(stop: &OpenStop, how: &str, passed: &super::profiles::Passed) -> Doubt {
    Doubt::said(NotCounted {
        item: Some(stop.subject.item.clone()),
        ..NotCounted::because(format!(
            "a stop on it was set aside by hand, as {how}: {}; the reason given: {}",
            stop.rule, passed.why
        ))
    })
}

/// What a profile must not take out of sight without a word.
struct Held {
    stop: OpenStop,
    /// It is a stop, and does not only have to be taken for one.
    is_known: bool,
}

/// Looks for open stops on what the profile leaves out.
struct Probe<'a> {
    condition: Condition,
    history: &'a History,
    /// Positions of the looks at what is left out, by machine and item.
    looks: HashMap<(&'a str, &'a str), Vec<(usize, usize)>>,
}

impl<'a> Probe<'a> {
    fn new(
        profile: &Boat,
        library: &Arc<Library>,
        history: &'a History,
        now: DateTime<FixedOffset>,
    ) -> Probe<'a> {
        let mut looks: HashMap<_, Vec<_>> = HashMap::new();
        for (w, walk) in history.walks.iter().enumerate() {
            let machine = profile.machines.iter().find(|m| m.id == walk.machine);
            let without = machine.map(|m| &m.without);
            if without.is_some_and(Vec::is_empty) {
                continue;
            }
            for (l, timed) in walk.looks.iter().enumerate() {
                let item = &timed.look.item;
                if without.is_none_or(|without| without.contains(item)) {
                    let key = (walk.machine.as_str(), item.as_str());
                    looks.entry(key).or_default().push((w, l));
                }
            }
        }
        let whose: BTreeSet<&str> = looks.keys().map(|(machine, _)| *machine).collect();
        let machines = whose.into_iter().map(|id| {
            let known = MachineUse::of(id, profile, history, now);
            (id.to_owned(), known)
        });
        let library = Arc::clone(library);
        Probe {
            condition: Condition::begin(profile, library, machines.collect(), now),
            history,
            looks,
        }
    }

    /// The open stop on an item that the profile leaves out, in the farthest waters since its look; or
    /// what may be one by a text that is lost.
    fn held(&mut self, item: &str, machine: &str) -> Option<Held> {
        let looks = self.looks.get(&(machine, item))?;
        let subject = self.condition.subject(item, machine);
        // What the boat has once is hers, whoever's walk saw it.
        subject.machine.as_ref()?;
        let (life, _) = self
            .condition
            .tell(&subject, &Origin::own(looks), self.history);
        let look = life.status.look.as_ref()?;
        let profiles = &self.history.profiles;
        let farthest = profiles.farthest(look.at, self.condition.now);
        let waters = farthest.max(Some(self.condition.boat.waters))?;
        let known = self.condition.open_stop(&subject, &life, waters);
        let is_known = known.is_some();
        let lost = self.condition.may_be_worse(&subject, &life);
        let maybe = lost.then(|| OpenStop {
            rule: "the text it was asked with is lost, so that nobody can say that it is no stop"
                .to_owned(),
            look: look.id.to_string(),
            subject,
        });
        let stop = known.or(maybe)?;
        Some(Held { stop, is_known })
    }

    fn held_of(&mut self, machine: &str) -> Vec<Held> {
        let seen = self.looks.keys().filter(|(of, _)| *of == machine);
        let items: BTreeSet<&str> = seen.map(|(_, item)| *item).collect();
        let held = items.into_iter();
        held.filter_map(|item| self.held(item, machine)).collect()
    }
}

/// True where a look that may hold a stop is on record, or something is left open, at what a machine
/// of a profile is said to be without.
pub(super) fn looks_at_left_out(profile: &Boat, history: &History) -> bool {
    let mut machines = profile.machines.iter().filter(|m| !m.without.is_empty());
    machines.any(|machine| {
        let walks = history.walks.iter().filter(|w| w.machine == machine.id);
        let mut looks = walks.flat_map(|w| &w.looks);
        let mut without = machine.without.iter();
        looks.any(|t| machine.without.contains(&t.look.item) && may_stop(&t.look))
            || without.any(|item| is_open(history, item, &machine.id))
    })
}

/// True where something is left open on an item of a machine.
fn is_open(history: &History, item: &str, machine: &str) -> bool {
    let its = |o: &Stamped<Opened>| o.rec.item == item && o.rec.machine.as_deref() == Some(machine);
    history.still_open().any(its)
}

/// What says nothing worse than sound stops nothing, by whatever text.
fn may_stop(look: &Look) -> bool {
    let Some(grade) = look.grade() else {
        return false;
    };
    grade > Grade::Sound || look.leak.is_some() || look.reading.is_some()
}

/// True where records name a machine that a profile has not.
pub(super) fn names_beside(profile: &Boat, history: &History) -> bool {
    !named_beside(profile, history).is_empty()
}

/// The machines that records name and a profile has not, with the last time each is named.
fn named_beside(profile: &Boat, history: &History) -> BTreeMap<String, DateTime<FixedOffset>> {
    let walks = history.walks.iter().map(|w| (w.machine.as_str(), w.at));
    let beside = history.named().into_iter();
    let beside = beside.filter_map(|named| Some((named.machine?, named.at)));
    let mut named: BTreeMap<String, DateTime<FixedOffset>> = BTreeMap::new();
    for (machine, at) in walks.chain(beside) {
        if machine.is_empty() || profile.machines.iter().any(|m| m.id == machine) {
            continue;
        }
        match named.get_mut(machine) {
            Some(last) => *last = at.max(*last),
            None => {
                named.insert(machine.to_owned(), at);
            }
        }
    }
    named
}

impl OpenStop {
    /// As a record names it.
    pub fn passed(&self) -> PassedStop {
        PassedStop {
            item: self.subject.item.clone(),
            machine: self.subject.machine.clone(),
            look: self.look.clone(),
        }
    }

    /// The item, and whose it is.
    pub fn place(&self) -> String {
        match &self.subject.machine {
            Some(machine) => format!("{} of '{machine}'", self.subject.item),
            None => self.subject.item.clone(),
        }
    }
}

impl Condition {
    /// The open stops in the boat's own waters.
    pub fn open_stops(&self) -> Vec<OpenStop> {
        let stop = |(subject, life)| self.open_stop(subject, life, self.boat.waters);
        self.lives.iter().filter_map(stop).collect()
    }

    fn open_stop(&self, subject: &Subject, life: &Life, waters: Waters) -> Option<OpenStop> {
        Some(OpenStop {
            subject: subject.clone(),
            rule: self.stop_rule(subject, self.item(subject)?, life, waters)?,
            look: life.status.look.as_ref()?.id.to_string(),
        })
    }

    /// Stops that hold in farther waters she was in since the look and not in her own, each with
    /// those waters in its rule.
    pub fn stops_elsewhere(&self, history: &History) -> Vec<OpenStop> {
        let own = self.boat.waters;
        let farther = |(_, waters): &(_, Waters)| *waters > own;
        if !history.profiles.waters.iter().any(farther) {
            return Vec::new();
        }
        let stops = self.lives.iter().filter_map(|(subject, life)| {
            let look = life.status.look.as_ref()?;
            let farthest = history.profiles.farthest(look.at, self.now);
            let waters = farthest.filter(|waters| *waters > own)?;
            let stop = self.open_stop(subject, life, waters)?;
            let here = self.open_stop(subject, life, own);
            here.is_none().then(|| OpenStop {
                rule: format!("{} in {waters} waters", stop.rule),
                ..stop
            })
        });
        stops.collect()
    }

    /// Notes what is not counted: of the records what was `known` by then, with what the profile keeps
    /// out of sight, and what no text describes of what records name, `unknown`.
    pub(super) fn doubt(
        &mut self,
        history: &History,
        known: Vec<Doubt>,
        unknown: &[(DateTime<FixedOffset>, Doubt)],
    ) {
        self.doubts = self.doubts_of(history, known);
        let of_texts = self.text_doubts(unknown);
        self.doubts.extend(of_texts);
    }

    /// What of the records is not counted by then, `known`, with what the profile keeps out of sight.
    fn doubts_of(&self, history: &History, known: Vec<Doubt>) -> Vec<Doubt> {
        let profiles = &history.profiles;
        let mut doubts = known;
        doubts.extend(self.longer_by_others());
        doubts.extend(profiles.doubts.iter().cloned());
        for stop in self.stops_elsewhere(history) {
            match profiles.reason(&stop.passed(), self.now) {
                Some(passed) => {
                    let how = format!("her waters are {} now", self.boat.waters);
                    doubts.push(set_aside(&stop, &how, passed));
                }
                None => doubts.push(Doubt::blocking(NotCounted {
                    item: Some(stop.subject.item.clone()),
                    ..NotCounted::because(format!(
                        "it was a stop where she was ({}), and her waters are {} now; it has not been looked at since",
                        stop.rule, self.boat.waters
                    ))
                })),
            }
        }
        doubts
    }
}
