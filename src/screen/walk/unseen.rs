//! What is said of an item that was not seen, or that the boat has not.

use crate::assess::words::Severity;
use crate::checklist::Scope;
use crate::defects::aboard::OpenStop;
use crate::logbook::book::Book;
use crate::logbook::mend::taking_back;
use crate::logbook::record::{LookMade, Record};
use crate::screen::layers::Layer;
use crate::screen::walk::ask::{self, Line, Pick};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::screen::walk::survey::HOW_HINT;
use crate::walk::{Details, Look, Spot};

impl WalkScreen {
    pub fn quick_note(&mut self, spot: Spot, offered: bool, cx: &mut Turn<'_>) {
        cx.ask(Layer::line(
            "A note? (Enter: none)",
            "one line; n opens the whole note later",
            Line::QuickNote(spot, offered),
        ));
    }

    pub fn not_seen_picked(&mut self, spot: Spot, at: usize, text: &str, cx: &mut Turn<'_>) {
        match at {
            ask::TYPED => {
                cx.ask(Layer::line(
                    "Not seen: why?",
                    "a few words",
                    Line::NotSeenWords(spot),
                ));
            }
            ask::NOT_FITTED if self.is_of_safety(spot) => {
                let boat_wide = self.item(spot).is_some_and(|i| i.scope == Scope::Boat);
                let (lead, options) = match boat_wide {
                    true => (ask::BOAT_WIDE, ask::HAS_NONE),
                    false => (ask::OF_SAFETY, ask::TAKE_OFF),
                };
                cx.ask(Layer::told(
                    self.title_of(spot, "has she really none?"),
                    vec![lead.to_owned()],
                    options.map(str::to_owned).into(),
                    Pick::TakeOff(spot),
                ));
            }
            ask::NOT_FITTED => self.take_off(spot, cx),
            _ => self.put_not_seen(spot, text, cx),
        }
    }

    /// In a survey every item not seen says how it could be closed.
    pub fn put_not_seen(&mut self, spot: Spot, why: &str, cx: &mut Turn<'_>) {
        if self.is_survey() {
            cx.ask(Layer::line(
                "How could it be seen?",
                HOW_HINT,
                Line::CloseBy(spot, why.to_owned()),
            ));
        } else {
            self.record_not_seen(spot, why, None, cx);
        }
    }

    pub fn record_not_seen(
        &mut self,
        spot: Spot,
        why: &str,
        close_by: Option<String>,
        cx: &mut Turn<'_>,
    ) {
        let book = &*cx.book;
        let Some(row) = self.row() else { return };
        // A closed row is not seen as a whole.
        let spots: Vec<Spot> = if self.open || row.items.len() == 1 {
            vec![spot]
        } else {
            let all = (0..row.items.len()).map(|item| Spot { item, ..spot });
            all.filter(|s| self.look(book, *s).is_none()).collect()
        };
        let mut records = Vec::with_capacity(spots.len());
        for spot in spots {
            let Some(item) = self.item(spot) else {
                continue;
            };
            if let Some(earlier) = self.look(book, spot) {
                records.push(taking_back(book, &earlier.id));
            }
            let look = Look::not_seen(&item.id, Some(self.phase_id(spot)), why, close_by.clone());
            let mut details = self.details(book, spot);
            details.at_rpm = details.at_rpm.or(self.speed());
            records.push(self.left_unseen(book, look, details));
        }
        if self.walk_record(records, true, cx) {
            self.advance(cx);
        }
    }

    /// The record of a look that was not made, with all that was typed of its item.
    pub(super) fn left_unseen(&self, book: &Book, look: Look, details: Details) -> Record {
        let look = Look {
            note: noted(&details, self.before.sign_lines(&details.signs)),
            said: details.said,
            at_rpm: details.at_rpm,
            photos: details.photos,
            ..look
        };
        Record::Look(LookMade {
            walk: self.started.walk.as_str().into(),
            at: book.now(),
            look: look.into(),
        })
    }

    /// A stop rule stands on the item, or its failure can be severe, and it can leave the list.
    fn is_of_safety(&self, spot: Spot) -> bool {
        let waters = self.before.boat.waters;
        self.item(spot).is_some_and(|item| {
            let severe = Severity::worst_of(&item.effects, waters) <= Severity::Critical;
            item.stop_at.is_some() || severe
        })
    }

    /// The machine has no such item: it leaves her profile and this walk.
    pub fn take_off(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let book = &*cx.book;
        let Some(item) = self.item(spot).map(|i| i.id.clone()) else {
            return;
        };
        let machine = self.started.machine.clone();
        let mut boat = book.profile().clone();
        let scope = self.item(spot).map(|i| i.scope);
        // What she has and has not is the owner's to say.
        if scope == Some(Scope::Boat) || self.started.guest {
            let close_by = "nothing to see: not fitted".to_owned();
            let close_by = self.is_survey().then_some(close_by);
            self.record_not_seen(spot, ask::NOT_SEEN[ask::NOT_FITTED], close_by, cx);
            return;
        }
        if let Some(why) = stays(self, book, &item, &machine) {
            cx.warn(why);
            return;
        }
        for m in boat.machines.iter_mut().filter(|m| m.id == machine) {
            if !m.without.contains(&item) {
                m.without.push(item.clone());
            }
        }
        let id = self.started.walk.clone();
        let begun = self.is_begun(book);
        if let Err(error) = cx.book.set_boat(boat) {
            cx.warn(error.to_string());
            return;
        }
        if !begun {
            *self = self.recomposed(cx.book);
        } else if let Some(again) = WalkScreen::resume(cx.book, &id) {
            let undo = std::mem::take(&mut self.undo);
            *self = WalkScreen { undo, ..again };
        }
        cx.tell(format!(
            "{item} is off this machine's list; boat.json names it under 'without'"
        ));
    }
}

/// The note of an item not seen: what was read, filled, marked and answered of it before stays there,
/// since a look without a grade has none of it.
fn noted(details: &Details, signs: Vec<String>) -> Option<String> {
    let read = details.reading.map(|r| format!("read before: {r}"));
    let leak = details
        .leak
        .map(|leak| format!("leak class before: {leak}"));
    let added = details.added.map(|added| format!("added before: {added}"));
    let wear = details.wear.iter();
    let wear = wear.map(|wear| format!("marked before: {}", wear.words()));
    let said = signs.into_iter().map(|line| format!("said before: {line}"));
    let note = details.note.clone().into_iter();
    let told = note.chain(read).chain(leak).chain(added);
    let told: Vec<String> = told.chain(wear).chain(said).collect();
    Some(told.join("; ")).filter(|note| !note.is_empty())
}

/// Why an item cannot be taken off the list of a machine: a stop is open on it, or the profile does
/// not know the machine.
fn stays(walk: &WalkScreen, book: &Book, item: &str, machine: &str) -> Option<String> {
    let of_item = |stop: &OpenStop| {
        stop.subject.item == item && stop.subject.machine.as_deref() == Some(machine)
    };
    let stop = book.condition().open_stops().into_iter().find(of_item);
    if let Some(stop) = stop.filter(|_| !walk.started.blind) {
        return Some(format!("{item} holds a stop and stays: {}", stop.rule));
    }
    let known = book.profile().machines.iter().any(|m| m.id == machine);
    (!known).then(|| format!("the profile has no machine '{machine}'; nothing was changed"))
}
