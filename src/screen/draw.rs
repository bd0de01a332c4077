//! The frame around every screen: the screen itself, what is told, the keys that work; layers above.

use ratatui::Frame;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::Buffer;
use ratatui::layout::{Constraint, Layout};
use ratatui::text::{Line, Span};

use crate::keys::Action;
use crate::logbook::LogbookError;
use crate::paint::glyphs::Glyphs;
use crate::paint::plain::in_ascii;
use crate::paint::widgets;
use crate::screen::app::App;
use crate::screen::behind::not_counted;
use crate::screen::routes::is_box;
use crate::terminal::bounded::bounded;
use crate::text::{safe_line, width};

/// Below this nothing useful fits.
const LEAST: (u16, u16) = (40, 12);

/// Draws everything.
pub fn screen(app: &App, frame: &mut Frame<'_>) {
    layers(app, frame);
    if app.base.shared.setup.theme.glyphs == Glyphs::Ascii {
        in_ascii(frame.buffer_mut());
    }
}

fn layers(app: &App, frame: &mut Frame<'_>) {
    let area = frame.area();
    let theme = app.base.shared.setup.theme;
    frame.buffer_mut().set_style(area, theme.text());
    if area.width < LEAST.0 || area.height < LEAST.1 {
        let least = format!("at least {}×{}, please; keys still work", LEAST.0, LEAST.1);
        let told = widgets::wrapped(&least, usize::from(area.width).max(1), theme.text());
        widgets::lines(frame, area, told);
        return;
    }
    let most = if area.height < 20 { 1 } else { 2 };
    let footer = footer_lines(app, usize::from(area.width), most);
    let told = told_lines(app, usize::from(area.width), most);
    let rows = [
        Constraint::Fill(1),
        Constraint::Length(told.len() as u16),
        Constraint::Length(footer.len() as u16),
    ];
    let [body, told_area, footer_area] = Layout::vertical(rows).areas(area);
    let boxes = app.stack.iter().rev().take_while(|f| is_box(f.as_ref()));
    let beneath = app.stack.len().saturating_sub(boxes.count() + 1);
    if let Some(screen) = app.stack.get(beneath) {
        screen.draw(&app.base, frame, body, beneath + 1 == app.stack.len());
    }
    for front in app.stack.iter().skip(beneath) {
        front.draw_over(&app.base, frame, body);
    }
    widgets::lines(frame, told_area, told);
    widgets::lines(frame, footer_area, footer);
}

/// The cells of the screen at a size.
pub fn buffer(app: &App, columns: u16, rows: u16) -> Buffer {
    let size = bounded((columns.max(1), rows.max(1)).into());
    let Ok(mut terminal) = Terminal::new(TestBackend::new(size.width, size.height));
    let Ok(frame) = terminal.draw(|frame| screen(app, frame));
    frame.buffer.clone()
}

/// The keys that work here and now.
fn footer_lines(app: &App, columns: usize, most: usize) -> Vec<Line<'static>> {
    let mut rows: Vec<Vec<Span<'static>>> = vec![Vec::new()];
    let mut used = 0;
    // Help and back are never pushed out by what comes before them.
    let offers = |action| app.stack.last().is_none_or(|top| top.offers(action));
    let keys = &app.base.shared.setup.keys;
    let mut all: Vec<(String, &str)> = keys.footer(app.context(), offers).collect();
    all.sort_by_key(|(_, label)| !matches!(*label, "keys" | "quit" | "back"));
    let (always, rest): (Vec<_>, Vec<_>) = all
        .into_iter()
        .partition(|(_, l)| matches!(*l, "keys" | "quit" | "back"));
    let tail: usize = always.iter().map(|(k, l)| width(k) + width(l) + 3).sum();
    for (key, label) in rest {
        let takes = width(&key) + width(label) + 3;
        let limit = if rows.len() == most {
            columns.saturating_sub(tail)
        } else {
            columns
        };
        if used + takes > limit {
            if rows.len() == most {
                break;
            }
            rows.push(Vec::new());
            used = 0;
        }
        used += takes;
        put_key(&mut rows, &key, label, app);
    }
    if used + tail > columns && rows.len() < most {
        rows.push(Vec::new());
    }
    for (key, label) in always {
        put_key(&mut rows, &key, label, app);
    }
    rows.into_iter().map(Line::from).collect()
}

fn put_key(rows: &mut [Vec<Span<'static>>], key: &str, label: &str, app: &App) {
    if let Some(row) = rows.last_mut() {
        row.push(Span::styled(
            key.to_owned(),
            app.base.shared.setup.theme.key(),
        ));
        row.push(Span::styled(
            format!(" {label}  "),
            app.base.shared.setup.theme.quiet(),
        ));
    }
}

/// What is told, each in so many lines at most: unsaved records before all else.
fn told_lines(app: &App, columns: usize, most: usize) -> Vec<Line<'static>> {
    let theme = app.base.shared.setup.theme;
    let mut told = Vec::new();
    if let Some(book) = &app.base.book
        && book.unsaved() > 0
    {
        let why = book.trouble().map(LogbookError::in_short);
        let keys = app.base.shared.setup.keys.keys_of(Action::SaveAgain);
        let again = keys.first().filter(|_| app.is_bare());
        let line = format!(
            "{} NOT SAVED ({} in memory){}{}",
            theme.glyphs.caution(),
            book.unsaved(),
            why.map_or_else(String::new, |why| format!(": {}", safe_line(&why))),
            again.map_or_else(String::new, |key| format!("; {key} saves again")),
        );
        told.extend(widgets::wrapped_to(&line, columns, most, theme.error()));
    }
    if let Some(book) = &app.base.book
        && let Some((line, blocks)) = {
            let mut shown = app.stack.iter().rev().filter_map(|front| front.shown());
            let own = shown.find_map(|screen| screen.doubts());
            let doubts = own.unwrap_or(&book.history().doubts);
            not_counted(&app.base.shared.setup, book, doubts, app.is_bare())
        }
    {
        let style = if blocks { theme.error() } else { theme.quiet() };
        let line = format!("{} {line}", theme.glyphs.caution());
        told.extend(widgets::wrapped_to(&safe_line(&line), columns, most, style));
    }
    if let Some(notice) = &app.base.shared.notice {
        let style = if notice.bad {
            theme.error()
        } else {
            theme.saved()
        };
        let line = safe_line(&notice.text);
        told.extend(widgets::wrapped_to(&line, columns, most, style));
    }
    told
}
