//! Past walks.

use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::checklist::Grade;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::paint::widgets::{self, cell, text};
use crate::screen::app::{App, Screen};
use crate::screen::verdict::VerdictScreen;

/// The list of past walks, newest first.
pub struct WalksScreen {
    /// What is shown of each.
    pub rows: Vec<WalkRow>,
    /// Under the arrow.
    pub cursor: usize,
}

/// One walk.
pub struct WalkRow {
    /// Its id.
    pub id: String,
    /// When, as shown.
    pub when: String,
    /// Its checklist.
    pub title: String,
    /// Its machine.
    pub machine: String,
    /// Meter, as shown.
    pub hours: String,
    /// Items graded.
    pub seen: usize,
    /// The worst grade in it.
    pub worst: Option<Grade>,
    /// Finished or not.
    pub finished: bool,
}

impl WalksScreen {
    /// All walks of the book.
    pub fn new(book: &Book) -> WalksScreen {
        let library = book.library();
        let machines = &book.boat().machines;
        let row = |w: &crate::walk::Walk| WalkRow {
            id: w.id.clone(),
            when: w.at.format("%Y-%m-%d %H:%M").to_string(),
            title: library
                .checklist(&w.checklist)
                .map_or(w.checklist.clone(), |c| c.title.clone()),
            machine: machines
                .iter()
                .find(|m| m.id == w.machine)
                .map_or(w.machine.clone(), |m| m.name.clone()),
            hours: w.hours.map_or("not read".into(), |h| format!("{h} h")),
            seen: w.looks.iter().filter(|t| t.look.grade().is_some()).count(),
            worst: w.looks.iter().filter_map(|t| t.look.grade()).max(),
            finished: w.finished.is_some(),
        };
        WalksScreen {
            rows: book.history().walks.iter().rev().map(row).collect(),
            cursor: 0,
        }
    }
}

impl App {
    pub(crate) fn walks_act(&mut self, action: Action) {
        let Screen::Walks(screen) = &mut self.screen else {
            return;
        };
        let last = screen.rows.len().saturating_sub(1);
        match action {
            Action::MoveUp => screen.cursor = screen.cursor.saturating_sub(1),
            Action::MoveDown => screen.cursor = (screen.cursor + 1).min(last),
            Action::PageUp => screen.cursor = screen.cursor.saturating_sub(10),
            Action::PageDown => screen.cursor = (screen.cursor + 10).min(last),
            Action::First => screen.cursor = 0,
            Action::Last => screen.cursor = last,
            Action::ShowWalk => {
                let id = screen.rows.get(screen.cursor).map(|r| r.id.clone());
                let shown = id
                    .zip(self.book.as_ref())
                    .and_then(|(id, book)| VerdictScreen::new(book, &id, None));
                if let Some(verdict) = shown {
                    self.screen = Screen::Verdict(Box::new(verdict));
                }
            }
            Action::OpenDefects => self.open_defects(),
            Action::Report => self.ask_report(),
            Action::Back => self.go_home(),
            _ => {}
        }
    }
}

/// Draws the list.
pub fn draw(app: &App, screen: &WalksScreen, frame: &mut Frame<'_>, area: Rect) {
    let theme = app.setup.theme;
    let columns = usize::from(area.width);
    let mut lines = vec![Line::from(text(
        &format!("{} walks", screen.rows.len()),
        columns,
        theme.title(),
    ))];
    if screen.rows.is_empty() {
        lines.push(Line::from(text(
            "none yet; Esc, then Enter starts the first",
            columns,
            theme.quiet(),
        )));
    }
    let visible = usize::from(area.height).saturating_sub(1).max(1);
    let first = screen
        .cursor
        .saturating_sub(visible * 2 / 3)
        .min(screen.rows.len().saturating_sub(visible));
    for (n, row) in screen.rows.iter().enumerate().skip(first).take(visible) {
        let here = n == screen.cursor;
        let style = if here { theme.selected() } else { theme.text() };
        let pointer = if here { theme.glyphs.pointer() } else { " " };
        let (worst, worst_style) = match row.worst {
            Some(g) => (format!("{} {g}", g.rung()), theme.grade(g)),
            None => (String::new(), theme.quiet()),
        };
        let rest = columns.saturating_sub(2 + 18 + 11 + 11);
        let end = if row.finished {
            String::new()
        } else {
            ", not finished".to_owned()
        };
        let about = format!("{} · {} · {} items{end}", row.title, row.machine, row.seen);
        let mut spans = vec![
            Span::styled(format!("{pointer} "), style),
            cell(&row.when, 18, style),
            cell(&row.hours, 11, style),
        ];
        spans.extend(widgets::word(&worst, 11, worst_style));
        spans.push(cell(&about, rest, style));
        lines.push(Line::from(spans));
    }
    widgets::lines(frame, area, lines);
    if app.layers.is_empty() && !screen.rows.is_empty() {
        let y = area.y + 1 + (screen.cursor - first) as u16;
        frame.set_cursor_position(Position { x: area.x, y });
    }
}
