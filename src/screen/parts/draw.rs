//! Draws the parts.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::{PartsScreen, Row};
use crate::boat::facts::NOT_KNOWN;
use crate::boat::profile::UnitHabit;
use crate::keys::Context;
use crate::logbook::book::Book;
use crate::screen::facts::{FactRow, Facts};
use crate::screen::kind::{Shown, View};
use crate::service::parts::PHOTO_UNREAD;

impl Shown for PartsScreen {
    fn context(&self) -> Context {
        Context::Profile
    }

    /// The list, and beneath it what is to be warned of in the part under the arrow.
    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let habit = view.book.profile().units;
        let told = |row: &Row| self.told(row, view.book, habit);
        let known = self
            .parts
            .iter()
            .filter(|part| part.known.is_some())
            .count();
        let cautions = self.here().map(|(part, _)| &part.cautions);
        let cautions = cautions.into_iter().flatten();
        let lost = self.here().filter(|(part, _)| self.has_lost_photo(part));
        let lost = lost.map(|_| PHOTO_UNREAD.to_owned());
        let cautions: Vec<String> = cautions
            .map(|caution| caution.sentence())
            .chain(lost)
            .collect();
        let right = format!("something known of {known} of {}", self.parts.len());
        let quiet = match cautions.is_empty() {
            true => self.quiet_words(),
            false => String::new(),
        };
        // The head of a long list of fields goes out of sight.
        let left = match self.here() {
            Some((part, _)) => format!("{}: {}", self.wanted.title, part.title),
            None => self.wanted.title.clone(),
        };
        let facts = Facts {
            left: &left,
            right: &right,
            rows: self.rows.iter().map(told).collect(),
            cursor: self.cursor,
            why: (&cautions.join(". "), &quiet),
            more: "More is warned of; all of it: handlamp parts",
        };
        facts.draw(view, frame, area);
    }

    fn renew(&mut self, book: &Book) -> bool {
        let here = self.here().map(|(part, field)| (part.clone(), field.name));
        self.parts = self.wanted.of(&book.condition(), book.history());
        self.rows = super::rows(&self.parts);
        self.look_at_photos(book);
        let same = |row: &Row| match (row, &here) {
            (Row::Field(at, field), Some((part, name))) => {
                let own = self.parts.get(*at);
                let same = own.is_some_and(|own| own.is_of(&part.part, part.machine.as_deref()));
                same && field.name == *name
            }
            _ => false,
        };
        let at = self.rows.iter().position(same);
        self.cursor = at.unwrap_or(self.cursor.min(self.rows.len().saturating_sub(1)));
        !self.parts.is_empty()
    }
}

impl PartsScreen {
    fn told(&self, row: &Row, book: &Book, habit: UnitHabit) -> FactRow {
        FactRow::of(self.words(row, book, habit), matches!(row, Row::Head(_)))
    }

    fn words(&self, row: &Row, book: &Book, habit: UnitHabit) -> (String, Option<String>) {
        match row {
            Row::Head(at) => {
                let Some(part) = self.parts.get(*at) else {
                    return (String::new(), None);
                };
                let several = self.wanted.needed_for.is_none() && book.boat().machines.len() > 1;
                let on = part.machine.as_ref().filter(|_| several);
                let on = on.map(|id| format!("{id}: ")).unwrap_or_default();
                (format!("{on}{} [{}]", part.title, part.part), None)
            }
            Row::Field(at, field) => {
                let known = self.parts.get(*at).and_then(|part| part.known.as_ref());
                let shown = known.and_then(|known| field.shown(known, habit));
                let unit = field.form.unit(habit);
                let value = shown.unwrap_or_else(|| match unit {
                    "" => NOT_KNOWN.to_owned(),
                    unit => format!("{NOT_KNOWN}, in {unit}"),
                });
                (field.words.to_owned(), Some(value))
            }
        }
    }

    fn quiet_words(&self) -> String {
        let told = self.here().and_then(|(part, _)| part.told);
        let told = told.map(|at| format!("Last said {}. ", at.date_naive()));
        format!(
            "{}The maker's handbook and parts book outrank this. On paper or a telephone: handlamp parts --page FILE.html",
            told.unwrap_or_default()
        )
    }
}
