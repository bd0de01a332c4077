//! A list for who is in a hurry: a line is taken by its digit, or as its name is typed. What stands in it
//! is said by what it is [`Named`] for.

use std::convert::Infallible;

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::keys::key::Key;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::paint::widgets::{self, cell, line};
use crate::screen::kind::{Asks, Cx, Finder, Go, Screen, Shown, View, moved};
use crate::screen::layers::LineInput;

/// A page of the list.
const PAGE: usize = 10;
/// Columns of a digit that takes a line.
const DIGIT: usize = 3;

/// What can be named.
pub trait Named: Sized + 'static {
    /// Columns of the word behind the digit; 0 where there is none.
    const WORD: usize;
    /// Said where nothing has the name typed.
    const NONE: &'static str;

    /// What is asked.
    fn asked(&self) -> &'static str;
    /// How many lines there are.
    fn count(&self) -> usize;
    /// The digit that takes a line.
    fn digit(&self, at: usize) -> Option<char>;
    /// The name of a line.
    fn name(&self, at: usize) -> String;
    /// The word behind its digit.
    fn word(&self, view: &View<'_>, _at: usize) -> (String, Style) {
        (String::new(), view.setup.theme.quiet())
    }
    /// Finds anew what has the name typed.
    fn look_up(&mut self, typed: &str);
    /// A line was taken; true where another list stands there now.
    fn take(&mut self, at: usize, cx: &mut Cx<'_, ByName<Self>>) -> bool;
    /// Back to the list before; false where there was none.
    fn back(&mut self) -> bool {
        false
    }
    /// Takes in what the book says now.
    fn renew(&mut self, _book: &Book) {}
    /// On which machine something is found, and by whom.
    fn finder(&self) -> &Finder;
    /// It is which item is wrong.
    fn is_finding(&self) -> bool {
        false
    }
    /// It is what she does.
    fn is_symptoms(&self) -> bool {
        false
    }
}

/// The screen of such a list.
pub struct ByName<N> {
    of: N,
    /// The name as far as typed.
    typed: LineInput,
    /// Under the arrow.
    cursor: usize,
}

/// The digit of a line of which the first has 1: none after the ninth.
pub fn from_one(at: usize) -> Option<char> {
    let digit = u32::try_from(at + 1).ok()?;
    char::from_digit(digit, 10)
}

impl<N: Named> ByName<N> {
    /// With nothing typed.
    pub fn new(of: N) -> ByName<N> {
        ByName {
            of,
            typed: LineInput::default(),
            cursor: 0,
        }
    }

    /// Finds anew what has the name typed, the arrow on the first.
    fn look_up(&mut self) {
        self.of.look_up(self.typed.text().trim());
        self.cursor = 0;
    }

    fn take(&mut self, at: usize, cx: &mut Cx<'_, Self>) {
        if at >= self.of.count() {
            return cx.warn("nothing stands there");
        }
        if self.of.take(at, cx) {
            self.typed = LineInput::default();
            self.look_up();
        }
    }

    /// The line that a digit takes; a digit without a line is of no name.
    fn line_of(&self, digit: char) -> Option<usize> {
        let mut lines = 0..self.of.count();
        let line = lines.find(|at| self.of.digit(*at) == Some(digit));
        line.or_else(|| (digit.to_digit(10)? > 0).then_some(usize::MAX))
    }
}

impl<N: Named> Asks for ByName<N> {
    type Pick = Infallible;
    type Line = Infallible;
}

impl<N: Named> Shown for ByName<N> {
    fn context(&self) -> Context {
        Context::Pick
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let theme = view.setup.theme;
        let columns = usize::from(area.width);
        let (before, after) = self.typed.parts();
        let mark = if view.covered { "" } else { "▏" };
        let how = match self.typed.text().is_empty() {
            true => format!("{mark}a digit takes one; type a part of its name for any other"),
            false => format!("named: {before}{mark}{after}"),
        };
        let head = vec![
            line(self.of.asked(), columns, theme.title()),
            line(&how, columns, theme.text()),
            Line::default(),
        ];
        let rows = [Constraint::Length(head.len() as u16), Constraint::Fill(1)];
        let [above, body] = Layout::vertical(rows).areas(area);
        widgets::lines(frame, above, head);
        if self.of.count() == 0 {
            return widgets::lines(frame, body, vec![line(N::NONE, columns, theme.quiet())]);
        }
        let row_at = |at: usize| {
            let here = at == self.cursor;
            let style = if here { theme.selected() } else { theme.text() };
            let pointer = if here { theme.glyphs.pointer() } else { " " };
            let digit = self.of.digit(at).map_or_else(String::new, String::from);
            let (word, word_style) = self.of.word(view, at);
            let room = columns.saturating_sub(2 + DIGIT + N::WORD);
            let mut spans = vec![
                Span::styled(format!("{pointer} "), style),
                cell(&digit, DIGIT, theme.key()),
            ];
            spans.extend(widgets::word(&word, N::WORD, word_style));
            widgets::row(spans, (&self.of.name(at), room, style), Vec::new())
        };
        let rows = (self.of.count(), self.cursor);
        widgets::list(frame, body, rows, (1, 2), view.covered, row_at);
    }

    fn renew(&mut self, book: &Book) -> bool {
        self.of.renew(book);
        self.of.look_up(self.typed.text().trim());
        self.cursor = self.cursor.min(self.of.count().saturating_sub(1));
        true
    }

    fn offers(&self, action: Action) -> bool {
        action != Action::Symptoms || !self.of.is_symptoms()
    }

    fn machine(&self) -> Option<&str> {
        Some(&self.of.finder().machine)
    }

    fn is_finding(&self) -> bool {
        self.of.is_finding()
    }

    fn is_symptoms(&self) -> bool {
        self.of.is_symptoms()
    }

    fn is_blind(&self, _: &Book) -> bool {
        self.of.finder().blind
    }

    fn guest(&self) -> Option<String> {
        self.of.finder().guest.clone()
    }
}

impl<N: Named> Screen for ByName<N> {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::Pick => self.take(self.cursor, cx),
            Action::Back if !self.typed.text().is_empty() => {
                self.typed = LineInput::default();
                self.look_up();
            }
            Action::Back if self.of.back() => self.look_up(),
            Action::Back => cx.go(Go::Back),
            _ if self.typed.edit(action) => self.look_up(),
            _ => {
                let moved = moved(action, self.cursor, self.of.count(), PAGE);
                self.cursor = moved.unwrap_or(self.cursor);
            }
        }
    }

    /// A digit takes a line, and anything else is of a name.
    fn key(&mut self, key: &Key, cx: &mut Cx<'_, Self>) {
        let line = key.typed().and_then(|digit| self.line_of(digit));
        if let Some(line) = line {
            return self.take(line, cx);
        }
        self.typed.key(key);
        self.look_up();
    }

    fn paste(&mut self, text: &str, _: &mut Cx<'_, Self>) -> bool {
        self.typed.insert(text);
        self.look_up();
        true
    }
}
