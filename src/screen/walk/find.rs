//! `/` in a walk: a row or an item of it by a part of its name, and what the boat has besides. What
//! no row asks comes in with a row of its own, where one is; its look puts it on record. Left
//! without a word, it goes again.

use std::collections::HashSet;

use crate::logbook::book::Book;
use crate::screen::layers::Layer;
use crate::screen::walk::ask::{Found, Pick};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::text::safe_line;
use crate::walk::Spot;

impl WalkScreen {
    /// Places whose row or item has a text in its name, in walking order from here on.
    pub fn find(&self, text: &str) -> Vec<Spot> {
        let text = text.to_lowercase();
        let named = |s: &Spot| {
            let row = self
                .plan
                .row(s.phase, s.row)
                .is_some_and(|r| r.title.to_lowercase().contains(&text));
            let item = self
                .item(*s)
                .is_some_and(|i| i.title.to_lowercase().contains(&text));
            item || (row && s.item == 0)
        };
        let mut found: Vec<_> = self.plan.spots().filter(named).collect();
        found.sort_by_key(|s| (*s <= self.at, *s));
        found
    }

    /// Ids of items that this machine or the boat has, that no row asks and that have a text in
    /// their name, in the order of the catalogue.
    pub fn find_beside(&self, text: &str) -> Vec<String> {
        let text = text.to_lowercase();
        let items = self.before.library.catalogue.items().iter();
        let named = items.filter(|item| item.title.to_lowercase().contains(&text));
        let has = named.filter(|item| self.before.life(&item.id, &self.started.machine).is_some());
        let asked = |id: &str| self.plan.spots().any(|s| self.plan.item(s) == Some(id));
        let beside = has.filter(|item| !asked(&item.id));
        beside.map(|item| item.id.clone()).collect()
    }

    /// Puts an item that no row asks in front of one: before the row one stands at, after it where
    /// that is done.
    pub fn put_beside(&mut self, book: &Book, item: &str) -> Option<Spot> {
        let place = self.before.place_of(item, &self.started.machine)?;
        let (phase, row) = (self.at.phase, self.at.row);
        let done = self.plan.row_done(self.walk(book), phase, row);
        let row = row + usize::from(done);
        let spot = self.plan.put_row_beside(phase, row, item, &place)?;
        self.go(spot);
        self.at = spot;
        self.open = false;
        Some(spot)
    }

    /// Takes rows out that came in beside the others and got neither a look nor a word; the one in
    /// front stays with `keep`.
    pub fn drop_beside(&mut self, book: &Book, keep: bool) {
        let left: Vec<(usize, usize)> = self
            .plan
            .rows()
            .filter(|r| self.is_left(book, *r))
            .collect();
        let here = (self.at.phase, self.at.row);
        for (phase, row) in left.into_iter().rev() {
            let Some(p) = self.plan.phases.get_mut(phase).filter(|p| p.rows.len() > 1) else {
                continue;
            };
            if keep && (phase, row) == here {
                continue;
            }
            p.rows.remove(row);
            let last = p.rows.len() - 1;
            if phase == self.at.phase && row < self.at.row {
                self.at.row -= 1;
            } else if (phase, row) == here {
                self.at = Spot {
                    phase,
                    row: row.min(last),
                    item: 0,
                };
                self.open = false;
            }
        }
    }

    fn is_left(&self, book: &Book, (phase, row): (usize, usize)) -> bool {
        let spot = Spot {
            phase,
            row,
            item: 0,
        };
        let beside = self.plan.row(phase, row).is_some_and(|r| r.beside);
        beside && self.look(book, spot).is_none() && self.draft(book, spot).is_none()
    }

    /// Of places found by a text, the first of each item named so; where it is rows alone that are
    /// named so, the first of each row.
    pub(super) fn first_of_each(&self, found: Vec<Spot>, text: &str) -> Vec<Spot> {
        let is_named = |s: &Spot| self.name_of(*s, text).1;
        let any = found.iter().any(is_named);
        let mut names = HashSet::new();
        let found = found.into_iter().filter(|s| !any || is_named(s));
        found
            .filter(|s| names.insert(self.name_of(*s, text).0))
            .collect()
    }

    /// What a place found by a text is called: the item where it has the text in its name, else
    /// the row. True with the item.
    fn name_of(&self, spot: Spot, text: &str) -> (&str, bool) {
        let text = text.to_lowercase();
        let item = self.item(spot).map(|i| i.title.as_str());
        let row = self.plan.row(spot.phase, spot.row).map(|r| &r.title);
        match item.filter(|title| title.to_lowercase().contains(&text)) {
            Some(title) => (title, true),
            None => (row.map_or("", |title| title), false),
        }
    }

    /// A thing found by a text, as offered.
    pub(super) fn offered(&self, found: &Found, text: &str) -> String {
        let (name, place) = match found {
            Found::Asked(spot) => {
                let phase = self.plan.phases.get(spot.phase);
                let there = phase.filter(|_| spot.phase != self.at.phase);
                let name = self.name_of(*spot, text).0;
                (name, there.map_or("", |p| &p.title))
            }
            Found::Beside(id) => {
                let item = self.before.library.catalogue.item(id);
                let name = item.map_or(id.as_str(), |i| &i.title);
                (name, "not asked here")
            }
        };
        let place = match place {
            "" => String::new(),
            place => format!(" ({})", safe_line(place)),
        };
        format!("{}{place}", safe_line(name))
    }
}

impl WalkScreen {
    /// Goes to what has a text in its name, the walk's own rows first. Where the boat has more of
    /// that name that the walk does not ask, the same again from there, or an empty line, offers
    /// both.
    pub fn find_typed(&mut self, text: &str, cx: &mut Turn<'_>) -> Result<(), String> {
        self.drop_beside(cx.book, true);
        let last = self.found.clone();
        let again = last.filter(|(last, spot)| {
            // Who stands where the name led and asks for it again meant another; who has gone on
            // comes back by the same word.
            text.is_empty() || (text == last && *spot == (self.at.phase, self.at.row))
        });
        let (again, text) = match again {
            Some((last, _)) => (true, last),
            None => (false, text.to_owned()),
        };
        let asked = self.find(&text);
        // Without a text everything is found, and nobody means the whole boat.
        let beside = if text.is_empty() {
            Vec::new()
        } else {
            self.find_beside(&text)
        };
        match (asked.as_slice(), beside.as_slice()) {
            ([], []) => return Err("nothing on this boat has that in its name".into()),
            ([], [only]) => {
                let only = only.clone();
                self.bring_beside(&only, cx);
            }
            ([first, more @ ..], others) if others.is_empty() || !again => {
                let (first, told) = (*first, found_words(more.len(), others.len()));
                self.go_found(first, &text);
                cx.tell(told);
            }
            _ => {
                let asked = self.first_of_each(asked, &text);
                let asked = asked.into_iter().map(Found::Asked);
                let found: Vec<Found> =
                    asked.chain(beside.into_iter().map(Found::Beside)).collect();
                let options = found.iter().map(|f| self.offered(f, &text)).collect();
                let ask = Pick::WhichFound(text.clone(), found);
                cx.ask(Layer::choice("Which one?", options, ask));
            }
        }
        self.found = Some((text, (self.at.phase, self.at.row)));
        Ok(())
    }

    /// One of several was picked.
    pub fn found_picked(&mut self, text: &str, found: Option<&Found>, cx: &mut Turn<'_>) {
        match found {
            Some(Found::Asked(spot)) => self.go_found(*spot, text),
            Some(Found::Beside(item)) => self.bring_beside(item, cx),
            None => {}
        }
    }

    fn go_found(&mut self, spot: Spot, text: &str) {
        self.go(spot);
        // Who names an item means it, not the row it stands in.
        let row = self.row().map(|r| r.title.to_lowercase());
        self.open = !row.unwrap_or_default().contains(&text.to_lowercase());
    }

    pub(crate) fn bring_beside(&mut self, item: &str, cx: &mut Turn<'_>) {
        if self.put_beside(cx.book, item).is_some() {
            cx.tell("not asked in this walk; its look brings it in");
        }
    }
}

/// What is said at the first of what was found: how much more the walk asks, and how much of that
/// name it does not.
fn found_words(more: usize, beside: usize) -> String {
    match (more, beside) {
        (0, 0) => "found".to_owned(),
        (more, 0) => format!("{more} more; / finds again from here"),
        (0, beside) => format!("found; {beside} more not asked here: / and Enter offers them"),
        (more, beside) => {
            format!("{more} more, {beside} not asked here: / and Enter offers them")
        }
    }
}
