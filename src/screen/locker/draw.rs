//! Draws the locker.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::{LockerScreen, Row};
use crate::defects::locker::{LockerRow, how_many};
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::screen::facts::{FactRow, Facts};
use crate::screen::kind::{Shown, View};

/// Beneath every row.
const CUSTOM: &str = "Custom is common practice, counts are judgement; the maker's handbook outranks them. What to take: handlamp carry. For the shop: handlamp defects --parts";

impl Shown for LockerScreen {
    fn context(&self) -> Context {
        Context::Profile
    }

    /// No picture stands beside a spare.
    fn offers(&self, action: Action) -> bool {
        action != Action::Photo
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let several = view.book.boat().machines.len() > 1;
        let missing = self.spares.iter().filter(|row| row.missing > 0.0).count();
        let right = match missing {
            0 => format!("nothing missing for {} waters", self.waters),
            n => format!("{n} missing for {} waters", self.waters),
        };
        let why = self.here().map(why).unwrap_or_default();
        let facts = Facts {
            left: "Locker",
            right: &right,
            rows: self
                .rows
                .iter()
                .map(|row| self.told(row, several))
                .collect(),
            cursor: self.cursor,
            why: (&why, CUSTOM),
            more: "",
        };
        facts.draw(view, frame, area);
    }

    fn renew(&mut self, book: &Book) -> bool {
        let here = self
            .here()
            .map(|row| (row.spare.clone(), row.machine.clone()));
        self.read(book);
        if let Some((spare, machine)) = here {
            self.go_to(&spare, machine.as_deref());
        }
        true
    }
}

impl LockerScreen {
    fn told(&self, row: &Row, several: bool) -> FactRow {
        let words = match row {
            Row::Waters => ("Waters".to_owned(), Some(self.waters.to_string())),
            Row::Head(head) => ((*head).to_owned(), None),
            Row::Own => ("Another, in your own words".to_owned(), None),
            Row::Spare(at) => match self.spares.get(*at) {
                Some(row) => {
                    let machine = row.machine.as_ref().filter(|_| several);
                    let on = machine.map(|id| format!("{id}: ")).unwrap_or_default();
                    (format!("{on}{}", row.title), Some(value(row)))
                }
                None => (String::new(), None),
            },
        };
        FactRow::of(words, matches!(row, Row::Head(_)))
    }
}

/// How many, of how many, where.
fn value(row: &LockerRow) -> String {
    let of = row
        .customary
        .map(|n| format!(" of {}", how_many(f64::from(n), row.unit)));
    let lies = row.lies.as_ref().map(|lies| format!(", {lies}"));
    let counted = row
        .counted
        .map(|at| format!(", counted {}", at.date_naive()));
    format!(
        "{}{}{}{}",
        row.how_many(),
        of.unwrap_or_default(),
        lies.unwrap_or_default(),
        counted.unwrap_or_default()
    )
}

/// What is to be said of the spare under the arrow.
fn why(row: &LockerRow) -> String {
    let mut told = Vec::new();
    if let Some(words) = &row.customary_words {
        told.push(format!("Customary: {words}."));
    }
    if !row.not_because.is_empty() {
        told.push(format!(
            "Does not count at sea: {}.",
            row.not_because.join("; ")
        ));
    } else if row.count > 0.0 {
        told.push("Counts at sea.".to_owned());
    }
    told.extend(row.notes.iter().cloned());
    told.join(" ")
}
