//! Draws a list of what is known of something, row by row, and beneath it why the row under the arrow
//! is asked and what follows.

use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::boat::facts::NOT_KNOWN;
use crate::keys::Action;
use crate::paint::widgets::{self, cell, line, text};
use crate::screen::kind::{View, moved};
use crate::text::width;

/// Beside the words of a row so many columns stay for what is known.
const VALUE: usize = 20;

/// So many lines stay for the list where much has to be said beneath it.
const ROWS: usize = 8;

/// Why the row under the arrow is asked takes so many lines at the most.
const fn why_lines(height: usize) -> usize {
    if height < 20 { 4 } else { 5 }
}

/// Where the arrow stands after an action that moves it, among the rows that can be answered.
pub fn stepped(action: Action, at: usize, open: impl Iterator<Item = usize>) -> usize {
    let open: Vec<usize> = open.collect();
    let here = open.iter().position(|n| *n >= at).unwrap_or(0);
    let next = moved(action, here, open.len(), 10).unwrap_or(here);
    open.get(next).copied().unwrap_or(0)
}

/// The next of so many rows of which something is true, from the arrow on and round again.
pub fn next_of(at: usize, count: usize, is: impl Fn(usize) -> bool) -> Option<usize> {
    let mut ahead = (1..=count).map(|step| (at + step) % count.max(1));
    ahead.find(|row| is(*row))
}

/// Said where a text is in no row.
pub const NOT_FOUND: &str = "nothing here has that in its words";

/// One row.
pub struct FactRow {
    /// What it is.
    pub words: String,
    /// What is known of it; none where nothing is to be known.
    pub value: Option<String>,
    /// What follows is under it.
    pub is_head: bool,
}

impl FactRow {
    /// Of a row's words with what is known of it.
    pub fn of((words, value): (String, Option<String>), is_head: bool) -> FactRow {
        FactRow {
            words,
            value,
            is_head,
        }
    }

    /// True where nobody knows it.
    pub fn is_unknown(&self) -> bool {
        let value = self.value.as_ref();
        value.is_some_and(|value| value.starts_with(NOT_KNOWN))
    }

    /// What is known of it, in full, where its line has no room for it.
    fn cut(&self, (room, rest): (usize, usize)) -> Option<String> {
        let value = self.value.as_ref()?;
        let fits = width(&self.words) < room && width(value) <= rest;
        (!fits).then(|| format!("{}: {value}", self.words))
    }
}

/// What is known of something.
pub struct Facts<'a> {
    /// In the head, on the left.
    pub left: &'a str,
    /// In the head, on the right.
    pub right: &'a str,
    /// Its rows.
    pub rows: Vec<FactRow>,
    /// The row under the arrow.
    pub cursor: usize,
    /// Why that row is asked, and what follows.
    pub why: (&'a str, &'a str),
    /// Where that has to be read whole: what is said where there is no room for it; else empty.
    pub more: &'a str,
}

impl Facts<'_> {
    /// Draws the list, and what stands beneath.
    pub fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let theme = view.setup.theme;
        let (columns, height) = (usize::from(area.width), usize::from(area.height));
        let mut lines = vec![widgets::spread(
            self.left,
            self.right,
            columns,
            theme.title(),
        )];
        let rooms = self.rooms(columns);
        let cut = self.rows.get(self.cursor).and_then(|row| row.cut(rooms));
        let cut = cut.map(|cut| widgets::wrapped(&cut, columns, theme.title()));
        let mut beneath = cut.unwrap_or_default();
        beneath.extend(widgets::wrapped(self.why.0, columns, theme.text()));
        beneath.extend(widgets::wrapped(self.why.1, columns, theme.quiet()));
        let room = self.room_beneath(beneath.len(), height);
        if !self.more.is_empty() && beneath.len() > room {
            beneath.truncate(room.saturating_sub(1));
            beneath.push(line(self.more, columns, theme.text()));
        }
        beneath.truncate(room);
        let visible = height.saturating_sub(1 + room).max(1);
        // The heading above the first row stays in sight with it.
        let first = self
            .cursor
            .saturating_sub(visible * 2 / 3)
            .min(self.rows.len().saturating_sub(visible));
        let shown = self.rows.iter().enumerate().skip(first).take(visible);
        lines.extend(shown.map(|(n, row)| match row.is_head {
            true => line(&row.words, columns, theme.quiet()),
            false => row_line(view, row, n == self.cursor, rooms),
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

    /// Lines for what stands beneath, of so many that it takes; what has to be read whole leaves a few
    /// rows of the list above it.
    fn room_beneath(&self, lines: usize, height: usize) -> usize {
        match self.more.is_empty() {
            true => why_lines(height),
            false => lines
                .min(height.saturating_sub(ROWS))
                .max(why_lines(height)),
        }
    }

    /// Columns for the words of all rows, with a gap after them, and for what is known beside them.
    fn rooms(&self, columns: usize) -> (usize, usize) {
        let beside = self.rows.iter().filter(|row| row.value.is_some());
        let widest = beside.map(|row| width(&row.words)).max().unwrap_or(0);
        let words = (widest + 2).min(columns.saturating_sub(VALUE));
        (words, columns.saturating_sub(2 + words))
    }
}

fn row_line(
    view: &View<'_>,
    row: &FactRow,
    here: bool,
    (room, rest): (usize, usize),
) -> Line<'static> {
    let theme = view.setup.theme;
    let style = if here { theme.selected() } else { theme.text() };
    let beside = match (here, row.is_unknown()) {
        (true, _) => theme.selected(),
        (_, true) => theme.quiet(),
        (_, false) => theme.text(),
    };
    let pointer = if here { theme.glyphs.pointer() } else { " " };
    let pointer = Span::styled(format!("{pointer} "), style);
    match &row.value {
        Some(value) => Line::from(vec![
            pointer,
            cell(&row.words, room.saturating_sub(1), style),
            Span::styled(" ", style),
            cell(value, rest, beside),
        ]),
        None => Line::from(vec![pointer, text(&row.words, room + rest, style)]),
    }
}
