//! Draws the profile.

use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::boat::facts::NOT_KNOWN;
use crate::keys::Context;
use crate::logbook::book::Book;
use crate::paint::widgets::{self, cell, line, text};
use crate::screen::kind::{Shown, View};
use crate::screen::profile::{ProfileScreen, Row, rows};
use crate::text::width;

/// Beside the words of a row so many columns stay for what is known.
const VALUE: usize = 22;

/// Why the row under the arrow is asked takes so many lines at the most.
const fn why_lines(height: usize) -> usize {
    if height < 20 { 4 } else { 5 }
}

impl Shown for ProfileScreen {
    fn context(&self) -> Context {
        Context::Profile
    }

    /// The list, and beneath it why the row under the arrow is asked and what follows.
    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let theme = view.setup.theme;
        let (columns, height) = (usize::from(area.width), usize::from(area.height));
        let facts = self.rows.iter();
        let facts = facts.filter(|row| matches!(row, Row::Fact(..) | Row::Last(_)));
        let (book, all) = (view.book, facts.clone().count());
        let open = |row: &&Row| rows::is_open(row, book.profile(), book.history());
        let right = format!("{} of {all} known", all - facts.filter(open).count());
        let left = match self.ten {
            Some(_) => "What sharpens the answers most; Esc leaves it",
            None => &self.boat.name,
        };
        let mut lines = vec![widgets::spread(left, &right, columns, theme.title())];
        let (why, then) = self.row().map(Row::why).unwrap_or_default();
        let mut beneath = widgets::wrapped(why, columns, theme.text());
        beneath.extend(widgets::wrapped(then, columns, theme.quiet()));
        beneath.truncate(why_lines(height));
        let visible = height.saturating_sub(1 + why_lines(height)).max(1);
        // The heading above the first row stays in sight with it.
        let first = self
            .cursor
            .saturating_sub(visible * 2 / 3)
            .min(self.rows.len().saturating_sub(visible));
        let shown = self.rows.iter().enumerate().skip(first).take(visible);
        let widths = (self.words_width(book), columns);
        lines.extend(shown.map(|(n, row)| self.line(view, row, n == self.cursor, widths)));
        lines.resize(1 + visible, Line::default());
        lines.extend(beneath);
        widgets::lines(frame, area, lines);
        if !view.covered {
            let y = (1 + self.cursor - first).min(height.saturating_sub(1));
            frame.set_cursor_position(Position {
                x: area.x,
                y: area.y + y as u16,
            });
        }
    }

    /// The arrow stays on its row, or on the one that has its place.
    fn renew(&mut self, book: &Book) -> bool {
        let here = self.row().cloned();
        self.boat = book.profile().clone();
        if self.ten.is_none() {
            self.rows = rows::rows(&self.boat);
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
    /// Columns for the words of the rows, with a gap after them.
    fn words_width(&self, book: &Book) -> usize {
        let rows = self.rows.iter().map(|row| row.words(book));
        let words = rows.filter_map(|(words, value)| value.map(|_| width(&words)));
        words.max().unwrap_or(0) + 2
    }

    fn line(
        &self,
        view: &View<'_>,
        row: &Row,
        here: bool,
        (words_width, columns): (usize, usize),
    ) -> Line<'static> {
        let theme = view.setup.theme;
        let (words, value) = row.words(view.book);
        if !row.can_be_answered() {
            return line(&words, columns, theme.quiet());
        }
        let style = if here { theme.selected() } else { theme.text() };
        let unknown = value
            .as_ref()
            .is_some_and(|value| value.starts_with(NOT_KNOWN));
        let beside = match (here, unknown) {
            (true, _) => theme.selected(),
            (_, true) => theme.quiet(),
            (_, false) => theme.text(),
        };
        let pointer = if here { theme.glyphs.pointer() } else { " " };
        let width = words_width.min(columns.saturating_sub(VALUE));
        let rest = columns.saturating_sub(2 + width);
        let pointer = Span::styled(format!("{pointer} "), style);
        match value {
            Some(value) => Line::from(vec![
                pointer,
                cell(&words, width.saturating_sub(1), style),
                Span::styled(" ", style),
                cell(&value, rest, beside),
            ]),
            None => Line::from(vec![
                pointer,
                text(&words, columns.saturating_sub(2), style),
            ]),
        }
    }
}
