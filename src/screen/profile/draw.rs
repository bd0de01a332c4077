//! Draws the profile.

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::screen::facts::{FactRow, Facts};
use crate::screen::kind::{Shown, View};
use crate::screen::profile::{ProfileScreen, Row, rows};
use crate::service::parts::PHOTO_UNREAD;

impl Shown for ProfileScreen {
    fn context(&self) -> Context {
        Context::Profile
    }

    /// A photograph stands beside a place alone.
    fn offers(&self, action: Action) -> bool {
        action != Action::Photo || self.row().is_some_and(Row::is_place)
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let told = |row: &Row| FactRow::of(row.words(view.book), matches!(row, Row::Head(_)));
        let rows: Vec<FactRow> = self.rows.iter().map(told).collect();
        let facts = self.rows.iter().zip(&rows);
        let facts = facts.filter(|(row, _)| matches!(row, Row::Fact(..) | Row::Last(_)));
        let known = facts.clone().filter(|(_, told)| !told.is_unknown()).count();
        let right = format!("{known} of {} known", facts.count());
        let left = match self.ten {
            Some(_) => "What sharpens the answers most; Esc leaves it",
            None => &self.boat.name,
        };
        let facts = Facts {
            left,
            right: &right,
            rows,
            cursor: self.cursor,
            why: match self.has_lost_photo(view.book) {
                true => (PHOTO_UNREAD, ""),
                false => self.row().map(Row::why).unwrap_or_default(),
            },
            more: "",
        };
        facts.draw(view, frame, area);
    }

    /// The arrow stays on its row, or on the one that has its place.
    fn renew(&mut self, book: &Book) -> bool {
        let here = self.row().cloned();
        self.boat = book.profile().clone();
        self.readable.ask(book, rows::photos(book));
        if self.ten.is_none() {
            self.rows = rows::rows(&self.boat, book.library());
        }
        let same = |row: &Row| here.as_ref().is_some_and(|here| row.is_same(here));
        let at = self.rows.iter().position(same).unwrap_or(self.cursor);
        let after = self.rows.iter().enumerate().skip(at);
        let open = after.into_iter().find(|(_, row)| row.can_be_answered());
        self.cursor = open.map_or(at, |(n, _)| n);
        true
    }
}

impl ProfileScreen {
    /// True where the photograph of the row under the arrow can no longer be read.
    fn has_lost_photo(&self, book: &Book) -> bool {
        let Some(Row::Fact(place, fact)) = self.row() else {
            return false;
        };
        let photo = rows::photo(book, place, fact);
        photo.is_some_and(|photo| self.readable.is_lost(photo))
    }
}
