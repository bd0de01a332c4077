//! Past walks.

use std::convert::Infallible;

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::text::{Line, Span};

use crate::checklist::Grade;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::paint::widgets::{self, cell, line};
use crate::screen::kind::{Asks, Cx, Go, Screen, Shown, To, View, moved};

/// From so many columns on a walk stands on one line.
const WIDE: usize = 76;

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
    /// Id of that machine.
    pub machine_id: String,
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
            machine_id: w.machine.clone(),
            hours: w.hours.map_or("not read".into(), |h| format!("{h} h")),
            seen: w.looks.iter().filter(|t| t.look.grade().is_some()).count(),
            worst: w.looks.iter().filter_map(|t| t.look.grade()).max(),
            finished: w.finished.is_some(),
        };
        let history = book.history();
        let walks = history.walks.iter().filter(|w| !history.is_taken_back(w));
        WalksScreen {
            rows: walks.rev().map(row).collect(),
            cursor: 0,
        }
    }
}

impl Asks for WalksScreen {
    type Pick = Infallible;
    type Line = Infallible;
}

impl Shown for WalksScreen {
    fn context(&self) -> Context {
        Context::Walks
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        draw(view, self, frame, area);
    }

    fn machine(&self) -> Option<&str> {
        let row = self.rows.get(self.cursor);
        row.map(|row| row.machine_id.as_str())
    }

    /// The arrow stays on its walk.
    fn renew(&mut self, book: &Book) -> bool {
        let id = self.rows.get(self.cursor).map(|row| row.id.clone());
        let cursor = self.cursor;
        *self = WalksScreen::new(book);
        let same = |row: &WalkRow| Some(&row.id) == id.as_ref();
        let last = self.rows.len().saturating_sub(1);
        self.cursor = self.rows.iter().position(same).unwrap_or(cursor.min(last));
        true
    }
}

impl Screen for WalksScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        let id = self.rows.get(self.cursor).map(|row| row.id.clone());
        match action {
            Action::ShowWalk => cx.go = id.map(|id| Go::To(To::Verdict(id))),
            Action::Undo => cx.go = id.map(|id| Go::Over(To::TakeBack(id))),
            Action::OpenDefects => cx.go(Go::To(To::Defects)),
            Action::Report => cx.go = id.map(|id| Go::To(To::Report(id))),
            Action::Back => cx.go(Go::Home),
            _ => {
                let moved = moved(action, self.cursor, self.rows.len(), 10);
                self.cursor = moved.unwrap_or(self.cursor);
            }
        }
    }
}

/// Draws the list.
fn draw(view: &View<'_>, screen: &WalksScreen, frame: &mut Frame<'_>, area: Rect) {
    let theme = view.setup.theme;
    let columns = usize::from(area.width);
    let [above, area] = Layout::vertical([Constraint::Length(1), Constraint::Fill(1)]).areas(area);
    let head = format!("{} walks", screen.rows.len());
    let head = line(&head, columns, theme.title());
    widgets::lines(frame, above, vec![head]);
    if screen.rows.is_empty() {
        let none = "none yet; Esc, then Enter starts the first";
        let none = line(none, columns, theme.quiet());
        return widgets::lines(frame, area, vec![none]);
    }
    let row_at = |n: usize| {
        let (row, here) = (&screen.rows[n], n == screen.cursor);
        let style = if here { theme.selected() } else { theme.text() };
        let pointer = if here { theme.glyphs.pointer() } else { " " };
        let (worst, worst_style) = match row.worst {
            Some(g) => (format!("{} {g}", g.rung()), theme.grade(g)),
            None => (String::new(), theme.quiet()),
        };
        let used = 2 + 18 + 11 + 11;
        let end = if row.finished { "" } else { ", not finished" };
        let about = format!("{} · {} · {} items{end}", row.title, row.machine, row.seen);
        let mut spans = vec![
            Span::styled(format!("{pointer} "), style),
            cell(&row.when, 18, style),
            cell(&row.hours, 11, style),
        ];
        spans.extend(widgets::word(&worst, 11, worst_style));
        if columns >= WIDE {
            return widgets::row(
                spans,
                (&about, columns.saturating_sub(used), style),
                Vec::new(),
            );
        }
        // Where it is narrow, what it was stands beneath.
        let beneath = vec![Span::raw("    ")];
        let about = widgets::row(
            beneath,
            (&about, columns.saturating_sub(4), style),
            Vec::new(),
        );
        [Line::from(spans)].into_iter().chain(about).collect()
    };
    let rows = (screen.rows.len(), screen.cursor);
    widgets::list(frame, area, rows, (2, 3), view.covered, row_at);
}
