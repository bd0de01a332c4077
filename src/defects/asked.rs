//! What an item is judged by: the text its last look was asked with, until it is looked at again.
//! Where today's text differs, the stricter of the two counts and a note says so. Where a text is
//! lost, what rests on it is named.

use std::collections::{BTreeMap, HashSet};

use chrono::{DateTime, FixedOffset};

use super::condition::{Condition, undriven};
use super::doubt::{Doubt, NotCounted};
use super::events::Event;
use super::history::{History, LooksBySubject};
use super::life::Life;
use super::stricter::{Rest, Stricter, differences, stricter, tightened};
use super::subject::Subject;
use crate::checklist::{Checklist, Grade, Item, Library, Then};
use crate::walk::{Look, Walk, When};

/// The most items named in one sentence.
const MOST_NAMED: usize = 5;

impl Condition {
    /// Finds what the standing of an item rests on, once its life is told as far as it goes.
    pub(super) fn rest(
        &mut self,
        subject: &Subject,
        life: &mut Life,
        events: &[(When, Event<'_>)],
        history: &History,
    ) {
        life.status.raised = None;
        let found = self.found(subject, life, events, history);
        match found {
            Some(rest) => self.rests.insert(subject.clone(), rest),
            None if self.rests.is_empty() => None,
            None => self.rests.remove(subject),
        };
    }

    fn found(
        &self,
        subject: &Subject,
        life: &mut Life,
        events: &[(When, Event<'_>)],
        history: &History,
    ) -> Option<Rest> {
        life.status.grade?;
        let walk = walk_behind(life, events, history)?;
        let (checklist, asked) = (walk.checklist.as_str(), walk.asked.as_deref());
        let lost = |why: String| {
            Some(Rest::Lost {
                asked: asked.unwrap_or_default().to_owned(),
                walk: walk.id.clone(),
                why,
            })
        };
        let now = self.library.catalogue.item(&subject.item)?;
        let first_look = self.list_of(walk).is_some_and(|list| list.is_first_look());
        let then = match self.library.then(checklist, asked) {
            // Its answer rests on the words it was asked with.
            Then::Today if first_look && now.first_look.is_some() => {
                return Some(self.rest_on(&now.at_first_look(), now));
            }
            Then::Today => return None,
            Then::Lost(why) => return lost(why),
            Then::Other(then) => then,
        };
        let differs = then.catalogue.item(&subject.item) != Some(now);
        let as_first = first_look && now.first_look.is_some();
        if !differs && !as_first {
            return None;
        }
        let was = || then.item(now.split_from.as_deref()?);
        let item = match then.item(&subject.item).or_else(was)? {
            Ok(item) => item,
            Err(why) => return lost(why),
        };
        life.status.raised = self.raised(subject, life, (item, now), walk);
        Some(match first_look {
            true => self.rest_on(&item.at_first_look(), now),
            false => self.rest_on(item, now),
        })
    }

    /// The stricter of the item as it was asked and as it is today.
    fn rest_on(&self, then: &Item, now: &Item) -> Rest {
        let item = stricter(then, now);
        Rest::Stricter(Box::new(Stricter {
            undriven: undriven(&item.effects),
            differs: differences(then, now, self.boat.waters),
            item,
        }))
    }

    /// How the rung of a look looks, in the words it was asked with: those of its checklist, or where
    /// none is told, those on which the standing of its item rests.
    pub fn rung_seen(
        &self,
        list: Option<&Checklist>,
        machine: Option<&str>,
        look: &Look,
    ) -> Option<String> {
        let item = match list {
            Some(_) => self.library.catalogue.item(&look.item),
            None => self.item(&Subject {
                item: look.item.clone(),
                machine: machine.map(str::to_owned),
            }),
        };
        let (item, grade) = item.zip(look.grade())?;
        let first = item.first_look.as_ref();
        let first = first.filter(|_| list.is_some_and(Checklist::is_first_look));
        let own = first.and_then(|first| first.rung(grade).as_ref());
        Some(own.unwrap_or(&item.ladder[grade.rung()]).clone())
    }

    /// The rung that the reading of the last look means today, where the limits became tighter. A
    /// figure of the handbook outranks both, and a grade given after topping up is of the state
    /// after it.
    fn raised(
        &self,
        subject: &Subject,
        life: &Life,
        (then, now): (&Item, &Item),
        walk: &Walk,
    ) -> Option<Grade> {
        let standing = &life.status;
        let timed = standing.look.as_ref()?;
        let stands = standing.since == Some(timed.at)
            && standing.trail.last().map(|step| step.grade) == standing.grade;
        let measure = timed.look.reading.filter(|_| stands)?;
        let machine = self.boat.machines.iter().find(|m| m.id == walk.machine);
        let by_handbook =
            machine.is_some_and(|m| m.handbook.iter().any(|h| h.item == subject.item));
        if by_handbook || timed.look.added.is_some() {
            return None;
        }
        let phase = timed.look.phase.as_deref();
        let state = phase.and_then(|p| {
            self.library
                .phase_state_of(&walk.checklist, walk.asked.as_deref(), p)
        });
        tightened(then, now, measure, state)
    }

    /// True where the text behind a standing is lost, by which it may have been worse.
    pub(super) fn may_be_worse(&self, subject: &Subject, life: &Life) -> bool {
        let lost = matches!(self.rests.get(subject), Some(Rest::Lost { .. }));
        lost && !life.status.removed && life.status.grade > Some(Grade::Sound)
    }

    /// What the texts of the record leave open: items that no text here describes, and texts that
    /// are lost and on which a standing rests.
    pub(super) fn text_doubts(&self, unknown: &[(DateTime<FixedOffset>, Doubt)]) -> Vec<Doubt> {
        let known = unknown.iter().filter(|(at, _)| *at <= self.now);
        let mut doubts: Vec<Doubt> = known.map(|(_, doubt)| doubt.clone()).collect();
        let mut lost: BTreeMap<&str, (&str, &str, Vec<&str>, bool)> = BTreeMap::new();
        for (subject, life) in &self.lives {
            let Some(Rest::Lost { asked, walk, why }) = self.rests.get(subject) else {
                continue;
            };
            let at = lost.entry(asked).or_insert((walk, why, Vec::new(), false));
            at.2.push(&subject.item);
            at.3 |= self.may_be_worse(subject, life);
        }
        doubts.extend(lost.into_iter().map(|(asked, (walk, why, items, blocks))| {
            let why = format!(
                "{why}; the walk {walk} was asked with it, and {} may have been asked more strictly than today: bring it back from another copy of the logbook, or look again",
                names(&items)
            );
            let told = NotCounted {
                file: Some(file_of(asked)),
                item: Some(items.first().copied().unwrap_or_default().to_owned()),
                ..NotCounted::because(why)
            };
            match blocks {
                true => Doubt::blocking(told),
                false => Doubt::said(told),
            }
        }));
        doubts.extend(self.library.lost().iter().map(|lost| {
            Doubt::blocking(NotCounted {
                file: Some(file_of(&lost.name)),
                ..NotCounted::because(&lost.why)
            })
        }));
        doubts
    }

    /// What is worth knowing of an answer though all is counted: which machine nothing here is made
    /// for, and where an item was asked otherwise than today, and the stricter counts. One sentence
    /// each, without a full stop.
    pub fn notes(&self) -> Vec<String> {
        let mut notes: Vec<String> = self.not_covered().map(|(_, told)| told).collect();
        for (subject, life) in &self.lives {
            let Some(Rest::Stricter(rest)) = self.rests.get(subject) else {
                continue;
            };
            if rest.differs.is_empty() || life.status.removed {
                continue;
            }
            let on = subject.machine.as_ref();
            let on = on.filter(|_| self.boat.machines.len() > 1);
            notes.push(format!(
                "{}{}: {}; the stricter counts until it is looked at again",
                rest.item.title,
                on.map_or(String::new(), |m| format!(" ({m})")),
                rest.differs.join(", ")
            ));
        }
        notes
    }
}

/// The walk of the look behind a standing.
fn walk_behind<'a>(
    life: &Life,
    events: &[(When, Event<'a>)],
    history: &'a History,
) -> Option<&'a Walk> {
    let look = life.status.look.as_ref()?;
    let walk = events.iter().rev().find_map(|(_, event)| match event {
        Event::Look(walk, timed) if timed.id == look.id => Some(*walk),
        _ => None,
    })?;
    history.walks.get(walk)
}

/// Items that counted records name and that no text here describes, checklists and service tasks
/// likewise; each with the time from which it matters.
pub(super) fn unknown(
    history: &History,
    looks: &LooksBySubject<'_>,
    library: &Library,
) -> Vec<(DateTime<FixedOffset>, Doubt)> {
    let known = |item: &str| library.catalogue.item(item).is_some();
    let mut items: BTreeMap<&str, (DateTime<FixedOffset>, Option<&Walk>)> = BTreeMap::new();
    let mut lists: BTreeMap<(&str, Option<&str>), &Walk> = BTreeMap::new();
    let mut seen = HashSet::new();
    for walk in history.walks.iter().filter(|w| !w.is_stub) {
        let asked = (walk.checklist.as_str(), walk.asked.as_deref());
        if seen.insert(asked) && library.checklist_of(asked.0, asked.1).is_none() {
            lists.insert(asked, walk);
        }
    }
    for ((item, _), places) in looks.iter().filter(|((item, _), _)| !known(item)) {
        for &(w, l) in places {
            let Some(walk) = history.walks.get(w) else {
                continue;
            };
            if let Some(timed) = walk.looks.get(l).filter(|t| t.look.grade().is_some()) {
                let at = items.entry(item).or_insert((timed.at, None));
                *at = (at.0.min(timed.at), Some(walk));
            }
        }
    }
    let mut acts = |item, at: DateTime<FixedOffset>| {
        if !known(item) {
            let earliest = items.entry(item).or_insert((at, None));
            earliest.0 = earliest.0.min(at);
        }
    };
    for r in &history.repairs {
        acts(r.rec.item.as_str(), r.at);
    }
    for r in &history.rechecks {
        acts(r.rec.item.as_str(), r.at);
    }
    let mut doubts = Vec::new();
    for (item, (at, walk)) in items {
        let asked = walk.and_then(|w| w.asked.as_deref());
        let walk = walk.map_or(String::new(), |w| format!(" (walk {})", w.id));
        let told = NotCounted {
            file: asked.map(file_of),
            item: Some(item.to_owned()),
            ..NotCounted::because(format!(
                "records name '{item}'{walk} and no text here says what it is, so that nothing of it counts: bring the text back from another copy of the logbook, or put the item in with: handlamp checklist add FILE"
            ))
        };
        doubts.push((at, Doubt::blocking(told)));
    }
    for ((list, asked), walk) in lists {
        let told = NotCounted {
            file: asked.map(file_of),
            ..NotCounted::because(format!(
                "the walk {} was made by the checklist '{list}', of which there is no text here, so that it gets no verdict; what it saw counts",
                walk.id
            ))
        };
        doubts.push((walk.at, Doubt::blocking(told)));
    }
    let tasks = history.services.iter().map(|s| (s.rec.task.as_str(), s.at));
    let tasks = tasks.chain(
        history
            .intervals
            .iter()
            .map(|i| (i.rec.task.as_str(), i.at)),
    );
    let told = history.when_last.iter();
    let tasks = tasks.chain(told.filter_map(|t| Some((t.rec.task.as_deref()?, t.at))));
    let mut unknown_tasks: BTreeMap<&str, DateTime<FixedOffset>> = BTreeMap::new();
    for (task, at) in tasks.filter(|(task, _)| library.task(task).is_none()) {
        let earliest = unknown_tasks.entry(task).or_insert(at);
        *earliest = at.min(*earliest);
    }
    for (task, at) in unknown_tasks {
        let told = NotCounted::because(format!(
            "services name the task '{task}' and no text here says what it is, so that it is not in the list of what is due; put it in with: handlamp checklist add FILE"
        ));
        doubts.push((at, Doubt::said(told)));
    }
    doubts
}

/// Where a text lies in the folder. A name that is none comes from a record and is not repeated.
fn file_of(name: &str) -> String {
    let plain = name.len() == 64 && name.bytes().all(|b| b.is_ascii_hexdigit());
    let name = if plain { name } else { "(no name of a text)" };
    format!("texts/{name}.json")
}

fn names(items: &[&str]) -> String {
    let named: Vec<_> = items.iter().take(MOST_NAMED).copied().collect();
    let more = items.len().saturating_sub(MOST_NAMED);
    match more {
        0 => named.join(", "),
        more => format!("{} and {more} more", named.join(", ")),
    }
}
