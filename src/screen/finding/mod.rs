//! Something is wrong, now: one key from any screen. First which item, by its digit or as its name is
//! typed; then its ladder, on a walk of its own kind, and what it orders.
//!
//! - `entry`: what such a walk does beside what every walk does
//! - [`mod@draw`]: both screens

pub mod draw;
mod entry;
#[cfg(test)]
#[allow(clippy::expect_used, clippy::panic)]
mod tests;

use std::convert::Infallible;
use std::rc::Rc;

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::defects::Subject;
use crate::defects::condition::Condition;
use crate::keys::key::Key;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::screen::kind::{Asks, Cx, Finder, Go, Screen, Shown, To, View, moved};
use crate::screen::layers::LineInput;

pub use entry::begin;

/// A page of the list.
const PAGE: usize = 10;

/// Which item is wrong.
pub struct TroubleScreen {
    /// The boat as she is known.
    condition: Rc<Condition>,
    /// Whose items come first, and who found it.
    finder: Finder,
    /// The name as far as typed.
    typed: LineInput,
    /// What can be picked: what is offered, or what has the name typed.
    rows: Vec<Subject>,
    /// Under the arrow.
    cursor: usize,
}

impl TroubleScreen {
    /// Of a boat, a machine in front.
    pub fn new(book: &Book, finder: Finder) -> TroubleScreen {
        let condition = book.condition();
        TroubleScreen {
            rows: condition.offered(&finder.machine, finder.blind),
            condition,
            finder,
            typed: LineInput::default(),
            cursor: 0,
        }
    }

    /// Finds anew what can be picked.
    fn look_up(&mut self) {
        self.rows = match self.typed.text().trim() {
            "" => self
                .condition
                .offered(&self.finder.machine, self.finder.blind),
            text => self.condition.spoken_of(text, &self.finder.machine),
        };
    }

    /// The row that a digit picks.
    fn row_of(digit: char) -> Option<usize> {
        (digit.to_digit(10)? as usize).checked_sub(1)
    }

    fn pick(&self, at: usize, cx: &mut Cx<'_, Self>) {
        let Some(subject) = self.rows.get(at) else {
            return cx.warn("no item stands there");
        };
        let mut finder = self.finder.clone();
        finder.machine = subject.machine.clone().unwrap_or(finder.machine);
        cx.go(Go::Instead(To::Finding(subject.item.clone(), finder)));
    }
}

impl Asks for TroubleScreen {
    type Pick = Infallible;
    type Line = Infallible;
}

impl Shown for TroubleScreen {
    fn context(&self) -> Context {
        Context::Pick
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        draw::draw_trouble(view, self, frame, area);
    }

    fn renew(&mut self, book: &Book) -> bool {
        self.condition = book.condition();
        self.look_up();
        self.cursor = self.cursor.min(self.rows.len().saturating_sub(1));
        true
    }

    fn machine(&self) -> Option<&str> {
        Some(&self.finder.machine)
    }

    fn is_finding(&self) -> bool {
        true
    }

    fn is_blind(&self, _: &Book) -> bool {
        self.finder.blind
    }

    fn guest(&self) -> Option<String> {
        self.finder.guest.clone()
    }
}

impl Screen for TroubleScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::Pick => self.pick(self.cursor, cx),
            Action::Back if !self.typed.text().is_empty() => {
                self.typed = LineInput::default();
                self.look_up();
                self.cursor = 0;
            }
            Action::Back => cx.go(Go::Back),
            _ if self.typed.edit(action) => {
                self.look_up();
                self.cursor = 0;
            }
            _ => {
                let moved = moved(action, self.cursor, self.rows.len(), PAGE);
                self.cursor = moved.unwrap_or(self.cursor);
            }
        }
    }

    /// A digit picks, and anything else is of a name.
    fn key(&mut self, key: &Key, cx: &mut Cx<'_, Self>) {
        let row = key.typed().and_then(TroubleScreen::row_of);
        if let Some(row) = row {
            return self.pick(row, cx);
        }
        self.typed.key(key);
        self.look_up();
        self.cursor = 0;
    }

    fn paste(&mut self, text: &str, _: &mut Cx<'_, Self>) -> bool {
        self.typed.insert(text);
        self.look_up();
        self.cursor = 0;
        true
    }
}
