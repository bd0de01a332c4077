//! One thing found is a walk of its own kind: one item, on record and ended with every grade, so that
//! nothing waits for a key that ends it. What else is said of it is said by the keys of any walk.

use chrono::{DateTime, FixedOffset};

use crate::checklist::FINDING;
use crate::defects::admit::time_fault;
use crate::defects::finding::{Answer, happened_at};
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::logbook::mend::taking_back;
use crate::logbook::record::{Record, WalkFinished};
use crate::screen::kind::{Finder, Go, Shown, To};
use crate::screen::layers::Layer;
use crate::screen::shared::Shared;
use crate::screen::walk::ask::Line;
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::walk::{Look, When};

/// The ladder of an item, ready for its rung; none where the boat has no such item.
pub fn begin(shared: &Shared, book: &mut Book, item: &str, finder: Finder) -> Option<WalkScreen> {
    let by = shared.setup.by.clone();
    let machine = finder.machine.as_str();
    let mut screen = WalkScreen::begin(book, FINDING, machine, by)?;
    (screen.started.blind, screen.blank.blind) = (finder.blind, finder.blind);
    if let Some(name) = finder.guest.clone() {
        screen.by_a_guest(name);
    }
    let list = screen.before.library.checklist(FINDING)?;
    let phase = list.phases.first()?.id.as_str();
    let place = |id: &str| screen.before.place_of(id, machine);
    let on = (list, screen.before.role(machine));
    screen.plan.put_beside(on, [(phase, item)], place);
    screen.fresh_phase = false;
    screen.asks = finder.asks;
    screen.row().is_some().then_some(screen)
}

impl WalkScreen {
    /// True for one thing found, which no checklist asked.
    pub fn is_found(&self) -> bool {
        self.started.checklist == FINDING
    }

    /// False for what is of no use where one thing was found: there is no way on, and nothing unseen.
    pub(crate) const fn is_of_a_finding(action: Action) -> bool {
        !matches!(
            action,
            Action::NotSeen
                | Action::AsLastTime
                | Action::MoveUp
                | Action::MoveDown
                | Action::NextUnseen
                | Action::NextPhase
                | Action::OpenRow
                | Action::Places
                | Action::Said
                | Action::Find
        )
    }

    /// The moment of a look: now, or when what is told afterwards happened.
    pub(crate) fn moment(&self, book: &Book) -> DateTime<FixedOffset> {
        match self.is_found() && self.started.entered_after {
            true => self.started.at,
            false => book.now(),
        }
    }

    /// The end of a finding, which comes with every look at it.
    pub(crate) fn found_ends(&self, book: &Book, records: &[Record]) -> Option<Record> {
        let looked = records.iter().any(|r| matches!(r, Record::Look(_)));
        (self.is_found() && looked).then(|| {
            Record::from(WalkFinished {
                walk: self.started.walk.clone(),
                at: self.moment(book),
                pace: None,
                said: None,
            })
        })
    }

    /// What is to be done about what was found, and what is behind it, unless the past is out of sight;
    /// none before it has its rung, and in any other walk.
    pub(crate) fn answered(&self, book: &Book) -> Option<Box<Answer>> {
        if !self.is_found() {
            return None;
        }
        let look = self.look(book, self.at)?;
        let machine = &self.started.machine;
        let subject = self.before.subject(&look.look.item, machine);
        let condition = &self.so_far.condition;
        let answer = condition.answer(&subject, Some(look))?;
        let behind = || condition.short_behind(book.history(), machine);
        Some(Box::new(Answer {
            behind: (!self.started.blind).then(behind).flatten(),
            ..answer
        }))
    }

    /// The keys that do something else here than in a walk; false for the others.
    pub(crate) fn found_act(&mut self, action: Action, cx: &mut Turn<'_>) -> bool {
        if !self.is_found() {
            return false;
        }
        match action {
            Action::Find | Action::Trouble => cx.go(Go::Instead(To::Trouble(Finder {
                machine: self.started.machine.clone(),
                blind: self.started.blind,
                guest: self.guest(),
                asks: self.asks.clone(),
            }))),
            Action::Finish if !self.is_begun(cx.book) => {
                cx.tell("nothing is entered yet; Esc leaves");
            }
            Action::Finish | Action::OpenRow if self.look(cx.book, self.at).is_some() => {
                cx.go(Go::BackAnew);
            }
            Action::Back => cx.go(Go::BackAnew),
            Action::NotSeen => cx.tell("it is told by its rung; Esc leaves it untold"),
            Action::EnteredAfter => cx.ask(Layer::line(
                "When did it happen?",
                "14:10, or 2026-05-03 14:10; then the hours of that time",
                Line::Happened,
            )),
            Action::Finish | Action::OpenRow | Action::Blind | Action::SoFar | Action::Places => {}
            _ => return false,
        }
        true
    }

    /// Takes when it happened. What is on record with another time is taken back and stands anew.
    pub(crate) fn happened_typed(&mut self, text: &str, cx: &mut Turn<'_>) -> Result<(), String> {
        let book = &mut *cx.book;
        let at = happened_at(text, book.now())?;
        if let Some((_, why)) = time_fault(at, book.now()) {
            return Err(why);
        }
        let look = self.look(book, self.at).cloned();
        if look.is_none() && self.draft(book, self.at).is_some() {
            return Err("give its rung first, so that what is typed of it goes along".to_owned());
        }
        let id = book.new_walk_id();
        let earlier = std::mem::replace(&mut self.started.walk, id);
        self.started.at = at;
        self.started.entered_after = true;
        let hours = book.history().walk(&earlier).and_then(|walk| walk.hours);
        self.started.hours = self.started.hours.or(hours);
        self.blank = self.started.begin(When::last_at(at));
        self.undo.clear();
        if let Some(timed) = look {
            let undo = taking_back(cx.book, &timed.id);
            let made = self.look_made(cx.book, Look::clone(&timed.look));
            self.walk_record(vec![undo, made], false, cx);
        }
        self.ask_hours(cx);
        Ok(())
    }
}
