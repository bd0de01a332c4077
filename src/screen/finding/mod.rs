//! Something is wrong, now: one key from any screen. First which item, by its digit or as its name is
//! typed; then its ladder, on a walk of its own kind, and what it orders.
//!
//! - `entry`: what such a walk does beside what every walk does
//! - [`mod@draw`]: the ladder, and what it orders

pub mod draw;
mod entry;
#[cfg(test)]
#[allow(clippy::expect_used, clippy::panic)]
mod tests;

use std::rc::Rc;

use ratatui::style::Style;

use crate::defects::Subject;
use crate::defects::condition::Condition;
use crate::logbook::book::Book;
use crate::screen::by_name::{ByName, Named, from_one};
use crate::screen::kind::{Cx, Finder, Go, To, View};

pub use entry::begin;

/// Which item is wrong.
pub struct Trouble {
    /// The boat as she is known.
    condition: Rc<Condition>,
    /// Whose items come first, and who found it.
    finder: Finder,
    /// What can be picked: what is offered, or what has the name typed.
    rows: Vec<Subject>,
}

impl Trouble {
    /// Of a boat, a machine in front.
    pub fn new(book: &Book, finder: Finder) -> Trouble {
        let condition = book.condition();
        Trouble {
            rows: condition.offered(&finder.machine, finder.blind),
            condition,
            finder,
        }
    }
}

impl Named for Trouble {
    const WORD: usize = 11;
    const NONE: &'static str = "nothing on this boat is spoken of with these words";

    fn asked(&self) -> &'static str {
        "Something is wrong. What is it?"
    }

    fn count(&self) -> usize {
        self.rows.len()
    }

    fn digit(&self, at: usize) -> Option<char> {
        from_one(at)
    }

    fn name(&self, at: usize) -> String {
        let subject = self.rows.get(at);
        subject.map_or_else(String::new, |subject| self.condition.name_of(subject))
    }

    /// The last rung of an item that is not sound, where it may be seen.
    fn word(&self, view: &View<'_>, at: usize) -> (String, Style) {
        let theme = view.setup.theme;
        let life = self.rows.get(at).and_then(|subject| {
            let machine = subject.machine.as_deref().unwrap_or(&self.finder.machine);
            self.condition.life(&subject.item, machine)
        });
        let grade = life.and_then(|life| life.status.grade);
        match grade.filter(|grade| grade.rung() > 0 && !self.finder.blind) {
            Some(grade) => (format!("{} {grade}", grade.rung()), theme.grade(grade)),
            None => (String::new(), theme.quiet()),
        }
    }

    fn look_up(&mut self, typed: &str) {
        self.rows = match typed {
            "" => self
                .condition
                .offered(&self.finder.machine, self.finder.blind),
            text => self.condition.spoken_of(text, &self.finder.machine),
        };
    }

    fn take(&mut self, at: usize, cx: &mut Cx<'_, ByName<Trouble>>) -> bool {
        if let Some(subject) = self.rows.get(at) {
            let mut finder = self.finder.clone();
            finder.machine = subject.machine.clone().unwrap_or(finder.machine);
            cx.go(Go::Instead(To::Finding(subject.item.clone(), finder)));
        }
        false
    }

    fn renew(&mut self, book: &Book) {
        self.condition = book.condition();
    }

    fn finder(&self) -> &Finder {
        &self.finder
    }

    fn is_finding(&self) -> bool {
        true
    }
}
