//! Draws the document of a walk: its rows, and how far it is while it is made.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::{DocumentScreen, Row};
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::screen::facts::{FactRow, Facts};
use crate::screen::kind::{Shown, View};
use crate::screen::report::draw_progress;

impl Shown for DocumentScreen {
    fn context(&self) -> Context {
        match self.making {
            Some(_) => Context::Wait,
            None => Context::Profile,
        }
    }

    /// No picture stands beside words.
    fn offers(&self, action: Action) -> bool {
        action != Action::Photo
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let told = |row: &Row| FactRow::of(self.words(row), !row.is_open());
        let missing = self.rows.iter();
        let missing =
            missing.filter(|row| matches!(row, Row::Fact(f) if self.front.get(*f).is_none()));
        let right = format!("{} not entered", missing.count());
        let (why, known) = self.why();
        let facts = Facts {
            left: &self.title,
            right: &right,
            rows: self.rows.iter().map(told).collect(),
            cursor: self.cursor,
            why: (&why, &known),
            more: "",
        };
        facts.draw(view, frame, area);
    }

    fn draw_over(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        if let Some((making, _)) = &self.making {
            let title = format!("Report to {}", self.file);
            draw_progress(
                view,
                frame,
                area,
                (&title, making.stage(), making.is_stopped()),
            );
        }
    }

    fn renew(&mut self, book: &Book) -> bool {
        self.read(book)
    }
}
