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

use super::condition::{Condition, MachineUse};
use super::doubt::{Doubt, NotCounted};
use super::events::events;
use super::history::History;
use super::life::{Life, Subject};
use crate::boat::{Boat, Machine, PassedStop};
use crate::checklist::Library;

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

/// An open stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenStop {
    /// On what.
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
    let probe = Probe::new(profile, library, history, now);
    for machine in &mut found.boat.machines {
        machine.without.retain(|item| {
            let open = probe.stop(item, &machine.id);
            let told = open.map(|stop| {
                (
                    history.profiles.reason(&stop.subject, &stop.look, now),
                    stop,
                )
            });
            match told {
                Some((None, _)) => false,
                Some((Some(passed), stop)) => {
                    let how = format!("'{}' is said to be without it", machine.id);
                    found.doubts.push(set_aside(&stop, &how, passed));
                    true
                }
                None => true,
            }
        });
    }
    for (id, named) in &probe.named {
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
        let mut stays = named > at;
        for stop in probe.stops_of(id) {
            match history.profiles.reason(&stop.subject, &stop.look, now) {
                Some(passed) => {
                    let how = format!("'{id}' left the boat");
                    found.doubts.push(set_aside(&stop, &how, passed));
                }
                None => stays = true,
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
        file: None,
        line: None,
        item: Some(stop.subject.item.clone()),
        why: format!(
            "a stop on it was set aside by hand, as {how}: {}; the reason given: {}",
            stop.rule, passed.why
        ),
    })
}

/// Looks for open stops on what the profile leaves out.
struct Probe<'a> {
    condition: Condition,
    history: &'a History,
    /// Machines that records name and the profile has not, with the last time each is named.
    named: BTreeMap<String, DateTime<FixedOffset>>,
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
        let named = named_beside(profile, history);
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
            named,
            looks,
        }
    }

    /// The open stop on an item that the profile leaves out, in the farthest waters since its look.
    fn stop(&self, item: &str, machine: &str) -> Option<OpenStop> {
        let looks = self.looks.get(&(machine, item))?;
        let subject = self.condition.subject(item, machine);
        // What the boat has once is hers, whoever's walk saw it.
        subject.machine.as_ref()?;
        let known = self.condition.item(&subject)?;
        let events = events(&subject, looks, self.history);
        let usage = self.condition.usage(&subject);
        let life = Life::fold(&events, self.history, usage, |walk, phase| {
            self.condition.library.phase_state(&walk.checklist, phase)
        });
        let look = life.standing.look.as_ref()?;
        let profiles = &self.history.profiles;
        let farthest = profiles.farthest(look.at, self.condition.now);
        let waters = farthest.max(Some(self.condition.boat.waters))?;
        let rule = self.condition.stop_rule(&subject, known, &life, waters)?;
        Some(OpenStop {
            subject,
            rule,
            look: look.id.clone(),
        })
    }

    fn stops_of(&self, machine: &str) -> Vec<OpenStop> {
        let seen = self.looks.keys().filter(|(of, _)| *of == machine);
        let items: BTreeSet<&str> = seen.map(|(_, item)| *item).collect();
        let stops = items.into_iter();
        stops.filter_map(|item| self.stop(item, machine)).collect()
    }
}

/// The machines that records name and a profile has not, with the last time each is named.
fn named_beside(profile: &Boat, history: &History) -> BTreeMap<String, DateTime<FixedOffset>> {
    macro_rules! acts {
        ($($list:ident),+) => {
            [$(history.$list.iter().filter_map(|s| Some((s.rec.machine.as_deref()?, s.at))).collect::<Vec<_>>()),+]
        };
    }
    let acts = acts!(
        repairs,
        deferrals,
        overrides,
        withdrawals,
        rechecks,
        fitted,
        removed,
        services,
        intervals,
        costs
    );
    let walks = history.walks.iter().map(|w| (w.machine.as_str(), w.at));
    let meters = history
        .meters
        .iter()
        .map(|m| (m.rec.machine.as_str(), m.at));
    let mut named: BTreeMap<String, DateTime<FixedOffset>> = BTreeMap::new();
    for (machine, at) in walks.chain(meters).chain(acts.into_iter().flatten()) {
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
        let stops = self.lives.iter().filter_map(|(subject, life)| {
            let rule = self.stop_rule(subject, self.item(subject)?, life, self.boat.waters)?;
            Some(OpenStop {
                subject: subject.clone(),
                rule,
                look: life.standing.look.as_ref()?.id.clone(),
            })
        });
        stops.collect()
    }

    /// Stops that hold in farther waters she was in since the look and not in her own, each with
    /// those waters in its rule.
    pub fn stops_elsewhere(&self, history: &History) -> Vec<OpenStop> {
        let own = self.boat.waters;
        let farther = |(_, waters): &(_, crate::boat::Waters)| *waters > own;
        if !history.profiles.waters.iter().any(farther) {
            return Vec::new();
        }
        let stops = self.lives.iter().filter_map(|(subject, life)| {
            let look = life.standing.look.as_ref()?;
            let waters = history.profiles.farthest(look.at, self.now)?;
            let item = self.item(subject)?;
            let rule = self
                .stop_rule(subject, item, life, waters)
                .filter(|_| waters > own)?;
            self.stop_rule(subject, item, life, own)
                .is_none()
                .then(|| OpenStop {
                    subject: subject.clone(),
                    rule: format!("{rule} in {waters} waters"),
                    look: look.id.clone(),
                })
        });
        stops.collect()
    }

    /// What of the records is not counted by then, `known`, with what the profile keeps out of sight.
    pub(super) fn doubts_of(&self, history: &History, known: Vec<Doubt>) -> Vec<Doubt> {
        let profiles = &history.profiles;
        let mut doubts = known;
        doubts.extend(profiles.doubts.iter().cloned());
        for stop in self.stops_elsewhere(history) {
            match profiles.reason(&stop.subject, &stop.look, self.now) {
                Some(passed) => {
                    let how = format!("her waters are {} now", self.boat.waters);
                    doubts.push(set_aside(&stop, &how, passed));
                }
                None => doubts.push(Doubt::blocking(NotCounted {
                    file: None,
                    line: None,
                    item: Some(stop.subject.item.clone()),
                    why: format!(
                        "it was a stop where she was ({}), and her waters are {} now; it has not been looked at since",
                        stop.rule, self.boat.waters
                    ),
                })),
            }
        }
        doubts
    }
}
