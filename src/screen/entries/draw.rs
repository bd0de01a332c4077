//! The list of entries as it is drawn, the one under the arrow in full beneath it.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::Modifier;
use ratatui::text::{Line, Span};

use super::EntriesScreen;
use super::mend::about;
use crate::logbook::entries::{Entry, Fate};
use crate::paint::widgets::{self, cell, line};
use crate::screen::kind::View;

/// Columns of the time.
const WHEN: usize = 17;
/// Lines for the entry in full.
const FOOT: u16 = 5;

pub fn draw(view: &View<'_>, screen: &EntriesScreen, frame: &mut Frame<'_>, area: Rect) {
    let theme = view.setup.theme;
    let columns = usize::from(area.width);
    let parts = [
        Constraint::Length(1),
        Constraint::Fill(1),
        Constraint::Length(FOOT),
    ];
    let [above, area, foot] = Layout::vertical(parts).areas(area);
    let head = line(&heading(view, screen), columns, theme.title());
    widgets::lines(frame, above, vec![head]);
    if screen.shown.is_empty() {
        let none = line("nothing such is on record", columns, theme.quiet());
        return widgets::lines(frame, area, vec![none]);
    }
    let row_at = |n: usize| {
        let Some(entry) = screen.row(n) else {
            return Vec::new();
        };
        let here = n == screen.cursor;
        let style = match (here, entry.counts()) {
            (true, _) => theme.selected(),
            (false, true) => theme.text(),
            (false, false) => theme.quiet().add_modifier(Modifier::CROSSED_OUT),
        };
        let pointer = if here { theme.glyphs.pointer() } else { " " };
        let when = entry.at.format("%Y-%m-%d %H:%M").to_string();
        let rest = columns.saturating_sub(2 + WHEN);
        let words = widgets::wrapped(&told(entry), rest, style);
        let rows = words.into_iter().enumerate().map(|(n, words)| {
            let (pointer, when) = if n == 0 {
                (pointer, when.as_str())
            } else {
                (" ", "")
            };
            let lead = [
                Span::styled(format!("{pointer} "), style),
                cell(when, WHEN, theme.quiet()),
            ];
            Line::from_iter(lead.into_iter().chain(words.spans))
        });
        rows.collect()
    };
    let rows = (screen.shown.len(), screen.cursor);
    widgets::list(frame, area, rows, (2, 3), view.covered, row_at);
    if let Some(entry) = screen.entry() {
        let mut lines = widgets::wrapped_to(&entry.words, columns, 2, theme.text());
        for about in about(entry, view.book) {
            lines.extend(widgets::wrapped(&about, columns, theme.quiet()));
        }
        lines.truncate(usize::from(FOOT));
        widgets::lines(frame, foot, lines);
    }
}

fn heading(view: &View<'_>, screen: &EntriesScreen) -> String {
    let machine = screen.machine.as_ref();
    let machine = machine.and_then(|id| view.book.boat().machines.iter().find(|m| m.id == *id));
    let machine = machine.map_or(String::new(), |m| format!(" · {}", m.name));
    let needle = match (screen.finding, screen.needle.text()) {
        (false, "") => String::new(),
        (typing, text) => format!(" · find: {text}{}", if typing { "_" } else { "" }),
    };
    format!(
        "{} of {} entries{machine}{needle}",
        screen.shown.len(),
        screen.all.len()
    )
}

/// What became of it in a word, then what it says.
fn told(entry: &Entry) -> String {
    let mark = match entry.fate {
        Fate::Stands => "",
        Fate::PutRight { .. } => "put right: ",
        Fate::TakenBack(_) => "taken back: ",
        Fate::SetAside(_) => "set aside: ",
    };
    format!("{mark}{}", entry.words)
}
