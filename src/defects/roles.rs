//! What the role of a machine asks for. A record on what its role does not ask for goes on counting:
//! the item stays among the lives while anything of it is left to say. So does one on what is looked at
//! only when findings call for it; beside the lives it is still known by its name.

use std::collections::{BTreeMap, BTreeSet};

use super::condition::Condition;
use super::history::{History, LooksBySubject};
use super::life::Life;
use super::owed::subject_of;
use super::subject::Subject;
use crate::boat::{Boat, Machine, Role};
use crate::checklist::{Grade, Item, Library, Scope};
use crate::walk::Walk;

/// True where a look is owed at an item that the role of its machine does not ask for.
pub(super) fn owes_unasked(boat: &Boat, library: &Library, history: &History) -> bool {
    let mut owed = history.rechecks.iter().map(subject_of);
    owed.any(|subject| is_unasked(boat, library, &subject))
}

fn unasked(
    boat: &Boat,
    library: &Library,
    history: &History,
    looks: &LooksBySubject<'_>,
) -> Vec<Subject> {
    let seen = looks.keys().copied();
    let acts = history.named().into_iter();
    let acts = acts.filter_map(|named| Some((named.item?, named.machine)));
    let named: BTreeSet<(&str, Option<&str>)> = seen.chain(acts).collect();
    let is_named = |item: &Item, machine: Option<&str>| {
        let was = item.split_from.as_deref();
        named.contains(&(&item.id, machine))
            || was.is_some_and(|was| named.contains(&(was, machine)))
    };
    let items = library.catalogue.items().iter();
    let subjects = items.flat_map(|item| {
        let machines = boat.machines.iter().map(|m| Some(m.id.clone()));
        let whose: Vec<Option<String>> = match item.scope {
            Scope::Boat => vec![None],
            Scope::Machine => machines.collect(),
        };
        let whose = whose.into_iter();
        let named = whose.filter(|machine| is_named(item, machine.as_deref()));
        named.map(|machine| Subject {
            item: item.id.clone(),
            machine,
        })
    });
    subjects.filter(|s| is_unasked(boat, library, s)).collect()
}

fn is_unasked(boat: &Boat, library: &Library, subject: &Subject) -> bool {
    let Some(item) = library.catalogue.item(&subject.item) else {
        return false;
    };
    let Some(id) = &subject.machine else {
        return item.called_for || !asked_of_boat(boat, item);
    };
    let mut machines = boat.machines.iter().filter(|m| m.id == *id);
    let asks = |machine: &Machine| !item.called_for && item.is_for(machine.role);
    machines.any(|m| !asks(m) && !m.without.contains(&item.id))
}

/// What the boat has once is hers unless it is for roles that no machine of hers has.
fn asked_of_boat(boat: &Boat, item: &Item) -> bool {
    item.roles.is_none() || boat.machines.iter().any(|m| item.is_for(m.role))
}

impl Condition {
    /// What a machine is for; one that is not known counts as one that drives the boat.
    pub fn role(&self, machine: &str) -> Role {
        let known = self.boat.machines.iter().find(|m| m.id == machine);
        known.map_or(Role::Propulsion, |m| m.role)
    }

    /// Every item the boat is asked for: one each for the boat or for each machine that has it and
    /// whose role asks for it. Without what is looked at only when it is called for.
    pub(super) fn subjects(&self, library: &Library, looks: &LooksBySubject<'_>) -> Vec<Subject> {
        self.subjects_of(library, looks, |item| !item.called_for)
    }

    /// The same of the items that are wanted.
    pub(super) fn subjects_of(
        &self,
        library: &Library,
        looks: &LooksBySubject<'_>,
        wanted: impl Fn(&Item) -> bool,
    ) -> Vec<Subject> {
        // Without the whole she is without what was split off, unless somebody looked at it.
        let lacks = |machine: &Machine, item: &Item| {
            let was = item.split_from.as_ref();
            machine.without.contains(&item.id)
                || was.is_some_and(|was| machine.without.contains(was))
                    && !looks.contains_key(&(item.id.as_str(), Some(machine.id.as_str())))
        };
        let mut subjects = Vec::new();
        for item in library.catalogue.items().iter().filter(|i| wanted(i)) {
            let mut asking = self.boat.machines.iter().filter(|m| item.is_for(m.role));
            match item.scope {
                Scope::Boat if item.roles.is_none() || asking.next().is_some() => {
                    subjects.push(Subject {
                        item: item.id.clone(),
                        machine: None,
                    });
                }
                Scope::Boat => {}
                Scope::Machine => {
                    let fitted = asking.filter(|m| !lacks(m, item));
                    subjects.extend(fitted.map(|m| Subject {
                        item: item.id.clone(),
                        machine: Some(m.id.clone()),
                    }));
                }
            }
        }
        subjects
    }

    /// Items that nothing asks for and records name all the same.
    pub(super) fn unasked(&self, history: &History, looks: &LooksBySubject<'_>) -> Vec<Subject> {
        unasked(&self.boat, &self.library, history, looks)
    }

    /// True where an item is looked at only when it is called for, or the role of its machine, or of any
    /// for what the boat has once, does not ask for it; and the machine is not said to be without it.
    pub(super) fn is_unasked(&self, subject: &Subject) -> bool {
        is_unasked(&self.boat, &self.library, subject)
    }

    /// Lets go of what is unasked and of which nothing is left to say.
    pub(super) fn let_go(&mut self, unasked: &[Subject], history: &History) {
        if unasked.is_empty() {
            return;
        }
        let owed: Vec<Subject> = self.owed(history).map(|o| subject_of(o.recheck)).collect();
        for (subject, life) in self.without_resting(unasked) {
            if owed.contains(&subject) {
                self.lives.insert(subject, life);
            } else if self.is_called_for(&subject) {
                self.quiet.insert(subject, life);
            }
        }
    }

    fn is_called_for(&self, subject: &Subject) -> bool {
        let item = self.library.catalogue.item(&subject.item);
        item.is_some_and(|item| item.called_for)
    }

    /// What the boat has that is looked at only when it is called for, and of which nothing is on
    /// record.
    pub(super) fn uncalled(&self, looks: &LooksBySubject<'_>) -> BTreeMap<Subject, Life> {
        let subjects = self.subjects_of(&self.library, looks, |item| item.called_for);
        let subjects = subjects.into_iter().filter(|s| !self.lives.contains_key(s));
        subjects.map(|s| (s, Life::default())).collect()
    }

    /// Takes out what is unasked and of which nothing is left to say but that a look may be owed.
    pub(super) fn without_resting(&mut self, unasked: &[Subject]) -> Vec<(Subject, Life)> {
        let resting = unasked.iter().filter(|s| self.is_at_rest(s));
        let resting: Vec<&Subject> = resting.collect();
        let taken = resting.into_iter();
        taken.filter_map(|s| self.lives.remove_entry(s)).collect()
    }

    /// True where no answer speaks of an item: it is sound, nobody waits for it and nothing is set.
    fn is_at_rest(&self, subject: &Subject) -> bool {
        let Some((item, life)) = self.item(subject).zip(self.lives.get(subject)) else {
            return true;
        };
        let status = &life.status;
        let speaks = life.current().is_some()
            || status.unconfirmed
            || status.kept_stop.is_some()
            || status.overridden.is_some()
            || !status.left_open.is_empty()
            || self.counted_grade(subject, item, life) > Some(Grade::Sound)
            || self
                .stop_rule(subject, item, life, self.boat.waters)
                .is_some()
            || self.watch(subject, item, life).is_some()
            || self.care(subject, item, life).is_some();
        status.removed || !speaks
    }

    /// Why a walk says little of its machine: its checklist is not made for the role of it, or nothing
    /// here is; one sentence without a full stop.
    pub(super) fn not_for(&self, walk: &Walk) -> Option<String> {
        let machine = self.boat.machines.iter().find(|m| m.id == walk.machine)?;
        if !self.library.covers(machine.role) {
            return Some(not_covered(machine));
        }
        let list = self.list_of(walk)?;
        let suits = self.library.suits(&list, machine.role);
        (!suits).then(|| {
            format!(
                "'{}' asks nothing of a machine with the role {}: walk one that is made for it",
                list.id, machine.role
            )
        })
    }

    /// The machines that nothing here is made for, by id, in words; one sentence each, without a full
    /// stop.
    pub fn not_covered(&self) -> impl Iterator<Item = (&str, String)> {
        let machines = self.boat.machines.iter();
        let bare = machines.filter(|m| !self.library.covers(m.role));
        bare.map(|m| (m.id.as_str(), not_covered(m)))
    }
}

fn not_covered(machine: &Machine) -> String {
    format!(
        "not covered here: {} (role {}), see its handbook",
        machine.name, machine.role
    )
}
