//! A condition carried on: by each walk, and by what is told beside the walks, of which only the lives
//! it touches are told anew. Where it cannot be carried on it says so, and a fold tells.

use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::asked::unknown;
use super::condition::{Condition, WaitsByWaters};
use super::events::Event;
use super::history::{History, LooksBySubject, Stamped};
use super::news::Length;
use super::passage::{Passage, Passed};
use super::stopped::owed;
use super::subject::Subject;
use crate::boat::Boat;
use crate::checklist::{Library, Scope, Then};
use crate::walk::{Walk, When};

/// A condition on its way with a history that grows. What it is folded from is a second history, which
/// has what had happened by its time; or the first itself, where all of that had.
pub(super) struct Carried {
    passage: Passage<'static>,
    /// Places of the items on their way.
    places: HashMap<Subject, usize>,
    /// The time it was asked for last.
    asked: DateTime<FixedOffset>,
    /// No walk it knows reaches further.
    newest: DateTime<FixedOffset>,
    /// When the first thing happened beside the walks that it does not know of, if anything did.
    next: Option<DateTime<FixedOffset>>,
    /// The same of what only a fold tells.
    ends: Option<DateTime<FixedOffset>>,
    /// How many walks the whole history had.
    walks: usize,
    /// How long the rest of it was.
    length: Length,
}

impl Carried {
    /// As of a time from what had happened by then, `then`, or from all of a history; none where a look
    /// that was taken back is owed one, or something is asked of no machine: then a fold tells.
    pub(super) fn begin(
        boat: &Boat,
        library: &Arc<Library>,
        history: &History,
        then: Option<&mut History>,
        at: DateTime<FixedOffset>,
    ) -> Option<Carried> {
        if !history.is_in_order() {
            return None;
        }
        let known = then.as_deref().unwrap_or(history);
        let mut passage = Passage::begin(boat, library, known, Event::kept);
        if !passage.unasked.is_empty() {
            return None;
        }
        let condition = &mut passage.condition;
        let looks = condition.looks(known);
        if owed(condition, known, &looks)
            .iter()
            .any(|owed| owed.is_open())
        {
            return None;
        }
        condition.quiet = condition.uncalled(&looks);
        let mut carried = Carried {
            places: passage.places(),
            asked: at,
            newest: at,
            next: history.next_beside(at),
            ends: history.next_otherwise(at),
            walks: history.walks.len(),
            length: history.lengths(),
            passage,
        };
        carried.go_on(history, then, at).then_some(carried)
    }

    /// What it came to.
    pub(super) fn condition(&self) -> &Condition {
        &self.passage.condition
    }

    /// Goes on to a later time; false where it cannot be carried on to there.
    pub(super) fn go_on(
        &mut self,
        history: &History,
        mut then: Option<&mut History>,
        at: DateTime<FixedOffset>,
    ) -> bool {
        let is_later = at >= self.asked && at >= self.newest;
        if !is_later || self.ends.is_some_and(|ends| ends <= at) {
            return false;
        }
        if self.next.is_some_and(|next| next <= at) {
            let news = history.between(self.asked, at);
            self.next = history.next_beside(at);
            // Of all that is on record everything had happened.
            let Some(then) = then.as_deref_mut() else {
                return false;
            };
            then.put_news(&news);
            if !self.tell(&news, then) {
                return false;
            }
        }
        if let Some(then) = then.as_deref_mut() {
            then.latest = history.latest.map(|latest| latest.min(at));
        }
        self.asked = at;
        let known = then.as_deref().unwrap_or(history);
        let here = When {
            at,
            place: history.length,
        };
        if self.passage.go_on(known, here) != Passed::There {
            return false;
        }
        self.passage.settle(known, here);
        let condition = &mut self.passage.condition;
        condition.planned = condition.planned_dips(known);
        condition.waits = vec![WaitsByWaters::default(); condition.lives.len()];
        true
    }

    /// Takes in by what the history grew: a walk and what was told beside it. False where a walk came out
    /// of its turn, or something else became of the history.
    pub(super) fn grow(&mut self, history: &History, mut then: Option<&mut History>) -> bool {
        let Some(records) = history.length.checked_sub(self.length.records) else {
            return false;
        };
        let is_new = |place: usize| place >= self.length.records;
        let walk = match history.walks.len().checked_sub(self.walks) {
            Some(0) => None,
            Some(1) => history.walks.last().filter(|walk| is_new(walk.place)),
            _ => return false,
        };
        // A walk that is not the last came before others.
        if walk.is_none() && history.walks.len() != self.walks {
            return false;
        }
        let Some(news) = history.grown_since(&self.length) else {
            return false;
        };
        let of_walk = walk.map_or(0, |walk| {
            1 + walk.looks.len() + usize::from(walk.finished.is_some())
        });
        if of_walk + news.records != records {
            return false;
        }
        let mut news = news.history;
        let next = news.part_at(self.asked);
        if then.is_none() && next.is_some() {
            return false;
        }
        self.next = self.next.into_iter().chain(next).min();
        if let Some(then) = then.as_deref_mut() {
            then.put_news(&news);
            then.walks.extend(walk.cloned());
            then.length = history.length;
        }
        let known = then.as_deref().unwrap_or(history);
        if walk.is_some() && !self.walk(known) {
            return false;
        }
        self.walks = history.walks.len();
        self.length = history.lengths();
        self.tell(&news, known)
    }

    /// Takes in the last walk of what is known; false where that came out of its turn.
    fn walk(&mut self, known: &History) -> bool {
        let Some((walk, before)) = known.walks.split_last() else {
            return false;
        };
        let in_turn = before.last().is_none_or(|last| last.when() < walk.when());
        if !in_turn || self.is_of_joined(walk) {
            return false;
        }
        if let Some(hours) = walk.hours
            && !self.passage.read(&walk.machine, walk.when(), hours, known)
        {
            return false;
        }
        for timed in &walk.looks {
            let subject = self.condition().subject(&timed.look.item, &walk.machine);
            let Some(item) = self.places.get(&subject) else {
                return false;
            };
            self.passage.see(*item, before.len(), timed);
        }
        let ends = walk.looks.iter().map(|timed| timed.at).chain(walk.finished);
        self.newest = ends.fold(self.newest.max(walk.at), DateTime::max);
        true
    }

    /// True of a walk that was asked when items of today were one: its looks speak for both.
    fn is_of_joined(&self, walk: &Walk) -> bool {
        let library = &self.condition().library;
        let Then::Other(then) = library.then(&walk.checklist, walk.asked.as_deref()) else {
            return false;
        };
        let mut items = library.catalogue.items().iter();
        items.any(|i| i.split_from.is_some() && then.catalogue.item(&i.id).is_none())
    }

    /// Takes in what came beside the walks, which is in what is known; false where only a fold tells what
    /// follows from it.
    fn tell(&mut self, news: &History, known: &History) -> bool {
        let of_all = [
            news.meters.is_empty(),
            news.profile_hours.is_empty(),
            news.given_on.is_empty(),
            news.own_causes.is_empty(),
            news.aside.is_empty(),
        ];
        let library = &self.condition().library;
        if of_all.contains(&false) || !unknown(news, &LooksBySubject::default(), library).is_empty()
        {
            return false;
        }
        let Some(touched) = self.touched(news, known) else {
            return false;
        };
        for machine in &self.condition().boat.machines.clone() {
            for read in news.all_meter_reads(&machine.id) {
                let hours = read.hours;
                if !self.passage.read(&machine.id, read.when, hours, known) {
                    return false;
                }
            }
        }
        for item in touched {
            self.passage.tell_anew(item, known);
        }
        true
    }

    /// The items whose lives are others by what came; none where it names one that is not on its way, or
    /// one that was seen together with another.
    fn touched(&self, news: &History, known: &History) -> Option<BTreeSet<usize>> {
        let catalogue = &self.condition().library.catalogue;
        let is_joined = |id: &str| self.passage.joined.contains(id);
        for named in news.named() {
            let Some(id) = named.item else { continue };
            let item = catalogue.item(id)?;
            let machine = named.machine.filter(|_| item.scope == Scope::Machine);
            let subject = Subject {
                item: id.to_owned(),
                machine: machine.map(str::to_owned),
            };
            if is_joined(id) || !self.places.contains_key(&subject) {
                return None;
            }
        }
        let mut touched = BTreeSet::new();
        let mut touch = |is: &dyn Fn(&Subject) -> bool| {
            let places = self.places.iter().filter(|(subject, _)| is(subject));
            touched.extend(places.map(|(_, place)| *place));
        };
        macro_rules! touch {
            ($($list:ident)+) => {
                $(for Stamped { rec, .. } in &news.$list {
                    touch(&|s| (&s.item, &s.machine) == (&rec.item, &rec.machine));
                })+
            };
        }
        touch!(repairs deferrals overrides withdrawals fitted removed);
        for Stamped { rec, .. } in &news.services {
            let mut items = rec.renewed.iter().chain(&rec.restarted);
            if items.any(|id| is_joined(id)) {
                return None;
            }
            touch(&|s| rec.touches(&rec.renewed, s) || rec.touches(&rec.restarted, s));
        }
        for Stamped { rec, .. } in &news.when_last {
            if rec.renews.iter().any(|id| is_joined(id)) {
                return None;
            }
            touch(&|s| rec.tells_of(s));
        }
        for opened in &news.opened {
            touch(&|s| opened.rec.is_of(s));
        }
        for closed in &news.closed {
            for opened in known.opened.iter().filter(|o| o.id == closed.rec.of) {
                touch(&|s| opened.rec.is_of(s));
            }
        }
        Some(touched)
    }
}
