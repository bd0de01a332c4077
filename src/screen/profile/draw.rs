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
const VALUE: usize = 20;

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
        let told: Vec<Words> = self.rows.iter().map(|row| row.words(view.book)).collect();
        let facts = self.rows.iter().zip(&told);
        let facts = facts.filter(|(row, _)| matches!(row, Row::Fact(..) | Row::Last(_)));
        let known = facts
            .clone()
            .filter(|(_, words)| !is_unknown(words))
            .count();
        let right = format!("{known} of {} known", facts.count());
        let left = match self.ten {
            Some(_) => "What sharpens the answers most; Esc leaves it",
            None => &self.boat.name,
        };
        let mut lines = vec![widgets::spread(left, &right, columns, theme.title())];
        let (why, then) = self.row().map(Row::why).unwrap_or_default();
        let rooms = rooms(&told, columns);
        let cut = told.get(self.cursor).and_then(|words| cut(words, rooms));
        let cut = cut.map(|cut| widgets::wrapped(&cut, columns, theme.title()));
        let mut beneath = cut.unwrap_or_default();
        beneath.extend(widgets::wrapped(why, columns, theme.text()));
        beneath.extend(widgets::wrapped(then, columns, theme.quiet()));
        beneath.truncate(why_lines(height));
        let visible = height.saturating_sub(1 + why_lines(height)).max(1);
        // The heading above the first row stays in sight with it.
        let first = self
            .cursor
            .saturating_sub(visible * 2 / 3)
            .min(self.rows.len().saturating_sub(visible));
        let shown = self.rows.iter().zip(&told).enumerate();
        let shown = shown.skip(first).take(visible);
        lines.extend(shown.map(|(n, (row, words))| match row.can_be_answered() {
            false => line(&words.0, columns, theme.quiet()),
            true => row_line(view, words, n == self.cursor, rooms),
        }));
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

/// What a row is, and what is known of it.
type Words = (String, Option<String>);

fn is_unknown((_, value): &Words) -> bool {
    value
        .as_ref()
        .is_some_and(|value| value.starts_with(NOT_KNOWN))
}

/// Columns for the words of all rows, with a gap after them, and for what is known beside them.
fn rooms(told: &[Words], columns: usize) -> (usize, usize) {
    let beside = told.iter().filter(|(_, value)| value.is_some());
    let widest = beside.map(|(words, _)| width(words)).max().unwrap_or(0);
    let words = (widest + 2).min(columns.saturating_sub(VALUE));
    (words, columns.saturating_sub(2 + words))
}

/// What is known of a row, in full, where its line has no room for it.
fn cut((words, value): &Words, (room, rest): (usize, usize)) -> Option<String> {
    let value = value.as_ref()?;
    let fits = width(words) < room && width(value) <= rest;
    (!fits).then(|| format!("{words}: {value}"))
}

fn row_line(
    view: &View<'_>,
    told: &Words,
    here: bool,
    (room, rest): (usize, usize),
) -> Line<'static> {
    let theme = view.setup.theme;
    let style = if here { theme.selected() } else { theme.text() };
    let beside = match (here, is_unknown(told)) {
        (true, _) => theme.selected(),
        (_, true) => theme.quiet(),
        (_, false) => theme.text(),
    };
    let pointer = if here { theme.glyphs.pointer() } else { " " };
    let pointer = Span::styled(format!("{pointer} "), style);
    let (words, value) = told;
    match value {
        Some(value) => Line::from(vec![
            pointer,
            cell(words, room.saturating_sub(1), style),
            Span::styled(" ", style),
            cell(value, rest, beside),
        ]),
        None => Line::from(vec![pointer, text(words, room + rest, style)]),
    }
}
