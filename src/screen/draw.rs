//! The frame around every screen: the screen itself, what is told, the keys that work; layers above.

use ratatui::Frame;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};
use ratatui::widgets::Clear;

use crate::keys::Action;
use crate::logbook::LogbookError;
use crate::paint::glyphs::Glyphs;
use crate::paint::plain::in_ascii;
use crate::paint::widgets::{self, cell, text};
use crate::screen::app::{App, Screen};
use crate::screen::layers::{Choice, HelpView, Layer, LineInput, NoteInput, Page};
use crate::terminal::bounded::bounded;
use crate::text::{safe_line, width};

/// Below this nothing useful fits.
const LEAST: (u16, u16) = (40, 12);

/// Draws everything.
pub fn screen(app: &App, frame: &mut Frame<'_>) {
    layers(app, frame);
    if app.setup.theme.glyphs == Glyphs::Ascii {
        in_ascii(frame.buffer_mut());
    }
}

fn layers(app: &App, frame: &mut Frame<'_>) {
    let area = frame.area();
    let theme = app.setup.theme;
    frame.buffer_mut().set_style(area, theme.text());
    if area.width < LEAST.0 || area.height < LEAST.1 {
        let least = format!("at least {}×{}, please; keys still work", LEAST.0, LEAST.1);
        let told = widgets::wrapped(&least, usize::from(area.width).max(1), theme.text());
        widgets::lines(frame, area, told);
        return;
    }
    let footer = footer(app, area);
    let told = told_lines(app, usize::from(area.width));
    let below = (footer.len() + told.len()) as u16;
    let body = Rect {
        height: area.height.saturating_sub(below),
        ..area
    };
    match (&app.screen, &app.book) {
        (Screen::Boat(boat), Some(book)) => super::boat::draw::draw(app, boat, book, frame, body),
        (Screen::Walk(walk), Some(book)) => super::walk::draw::draw(app, walk, book, frame, body),
        (Screen::Verdict(verdict), Some(_)) => super::verdict::draw(app, verdict, frame, body),
        (Screen::Defects(defects), Some(_)) => {
            super::defects::draw::draw(app, defects, frame, body)
        }
        (Screen::Walks(walks), Some(_)) => super::walks::draw(app, walks, frame, body),
        (Screen::Readings(readings), Some(_)) => {
            super::readings::draw::draw(app, readings, frame, body)
        }
        (Screen::Service(service), Some(_)) => {
            super::service::draw::draw(app, service, frame, body)
        }
        _ => super::boat::draw::draw_start(app, frame, body),
    }
    let told_area = Rect {
        y: body.bottom(),
        height: told.len() as u16,
        ..area
    };
    let footer_area = Rect {
        y: told_area.bottom(),
        height: footer.len() as u16,
        ..area
    };
    widgets::lines(frame, footer_area, footer);
    for layer in &app.layers {
        draw_layer(app, layer, frame);
    }
    // Above the layers: a long note must not hide that nothing is being saved.
    frame.render_widget(Clear, told_area);
    frame.buffer_mut().set_style(told_area, theme.text());
    widgets::lines(frame, told_area, told);
}

/// The cells of the screen at a size.
pub fn buffer(app: &App, columns: u16, rows: u16) -> Buffer {
    let size = bounded((columns.max(1), rows.max(1)).into());
    let Ok(mut terminal) = Terminal::new(TestBackend::new(size.width, size.height));
    let Ok(frame) = terminal.draw(|frame| screen(app, frame));
    frame.buffer.clone()
}

fn footer(app: &App, area: Rect) -> Vec<Line<'static>> {
    let most = if area.height < 20 { 1 } else { 2 };
    footer_lines(app, usize::from(area.width), most)
}

/// Rows of the footer, which a box over the screen leaves free.
pub fn footer_rows(app: &App, area: Rect) -> u16 {
    footer(app, area).len() as u16
}

/// The keys that work here and now.
fn footer_lines(app: &App, columns: usize, most: usize) -> Vec<Line<'static>> {
    let mut rows: Vec<Vec<Span<'static>>> = vec![Vec::new()];
    let mut used = 0;
    // Help and back are never pushed out by what comes before them.
    let mut all: Vec<(String, &str)> = app.setup.keys.footer(app.context()).collect();
    // Only where it fits: most items have nothing to count or to time.
    all.retain(|(_, label)| *label != "gauge" || app.can_measure());
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
        row.push(Span::styled(key.to_owned(), app.setup.theme.key()));
        row.push(Span::styled(format!(" {label}  "), app.setup.theme.quiet()));
    }
}

/// What is told: unsaved records before all else.
fn told_lines(app: &App, columns: usize) -> Vec<Line<'static>> {
    let theme = app.setup.theme;
    let mut told = Vec::new();
    if let Some(book) = &app.book
        && book.unsaved() > 0
    {
        let why = book.trouble().map(LogbookError::in_short);
        let keys = app.setup.keys.keys_of(Action::SaveAgain);
        let again = keys.first().filter(|_| app.layers.is_empty());
        let line = format!(
            "{} NOT SAVED ({} in memory){}{}",
            theme.glyphs.caution(),
            book.unsaved(),
            why.map_or_else(String::new, |why| format!(": {}", safe_line(&why))),
            again.map_or_else(String::new, |key| format!("; {key} saves again")),
        );
        told.extend(
            widgets::wrapped(&line, columns, theme.error())
                .into_iter()
                .take(2),
        );
    }
    if let Some((line, blocks)) = app.not_counted() {
        let style = if blocks { theme.error() } else { theme.quiet() };
        let line = format!("{} {line}", theme.glyphs.caution());
        let lines = widgets::wrapped(&safe_line(&line), columns, style);
        told.extend(lines.into_iter().take(2));
    }
    if let Some(notice) = &app.notice {
        let style = if notice.bad {
            theme.error()
        } else {
            theme.saved()
        };
        told.extend(
            widgets::wrapped(&safe_line(&notice.text), columns, style)
                .into_iter()
                .take(2),
        );
    }
    told
}

fn draw_layer(app: &App, layer: &Layer, frame: &mut Frame<'_>) {
    match layer {
        Layer::Choice(choice) => draw_choice(app, choice, frame),
        Layer::Line(line) => draw_line(app, line, frame),
        Layer::Note(note) => draw_note(app, note, frame),
        Layer::Help(help) => draw_help(app, help, frame),
        Layer::Page(page) => draw_page(app, page, frame),
        Layer::Measure(measuring) => super::measure::draw::draw(app, measuring, frame),
        Layer::Report(waiting) => super::report::wait::draw(app, waiting, frame),
    }
}

fn draw_choice(app: &App, choice: &Choice, frame: &mut Frame<'_>) {
    let theme = app.setup.theme;
    let loud = choice.loud;
    let widest = choice
        .options
        .iter()
        .map(|o| width(&safe_line(o)) + if choice.ticks.is_some() { 14 } else { 10 })
        .max()
        .unwrap_or(0);
    // What is said loudly takes the whole width.
    let columns = if loud {
        frame.area().width
    } else if !choice.lead.is_empty() {
        frame.area().width.min(76)
    } else {
        widest
            .max(width(&safe_line(&choice.title)) + 6)
            .clamp(36, 76) as u16
    };
    let mut lead: Vec<Line<'static>> = Vec::new();
    for line in &choice.lead {
        let room = usize::from(columns).saturating_sub(4);
        let style = if loud { theme.error() } else { theme.text() };
        lead.extend(widgets::wrapped(line, room, style));
    }
    let height = (choice.options.len() + lead.len()) as u16 + 2;
    let inside = widgets::panel(frame, &theme, &choice.title, (columns, height));
    let room = usize::from(inside.width);
    lead.truncate(usize::from(inside.height).saturating_sub(1));
    let above = lead.len();
    let visible = usize::from(inside.height).saturating_sub(above).max(1);
    let first = choice.cursor.saturating_sub(visible - 1);
    let rows = choice
        .options
        .iter()
        .enumerate()
        .skip(first)
        .take(visible)
        .map(|(n, option)| {
            let here = n == choice.cursor;
            let pointer = if here { theme.glyphs.pointer() } else { " " };
            let digit = if n < 9 {
                format!("{}", n + 1)
            } else {
                " ".to_owned()
            };
            let tick = match choice.ticks.as_ref().and_then(|t| t.get(n)) {
                Some(_) if n == 0 => "",
                Some(true) => "[x] ",
                Some(false) => "[ ] ",
                None => "",
            };
            let style = if here { theme.selected() } else { theme.text() };
            let line = format!("{pointer} {digit}  {tick}{option}");
            Line::from(cell(&line, room, style))
        });
    lead.extend(rows);
    widgets::lines(frame, inside, lead);
    frame.set_cursor_position(Position {
        x: inside.x,
        y: inside.y + (above + choice.cursor - first) as u16,
    });
}

fn draw_line(app: &App, line: &LineInput, frame: &mut Frame<'_>) {
    let theme = app.setup.theme;
    let inside = widgets::panel(frame, &theme, &line.title, (72, 6));
    let room = usize::from(inside.width);
    let before = width(&line.text[..line.cursor]);
    // The text scrolls so that the cursor stays in sight.
    let skip = before.saturating_sub(room.saturating_sub(1));
    let mut shown = String::new();
    let mut column = 0;
    for cluster in unicode_segmentation::UnicodeSegmentation::graphemes(line.text.as_str(), true) {
        if column >= skip {
            shown.push_str(cluster);
        }
        column += width(cluster);
    }
    let mut rows = vec![Line::from(cell(&shown, room, theme.input()))];
    match &line.error {
        Some(error) => rows.extend(
            widgets::wrapped(error, room, theme.error())
                .into_iter()
                .take(3),
        ),
        None => rows.extend(
            widgets::wrapped(&line.hint, room, theme.quiet())
                .into_iter()
                .take(3),
        ),
    }
    widgets::lines(frame, inside, rows);
    let x = inside.x + (before - skip).min(room.saturating_sub(1)) as u16;
    frame.set_cursor_position(Position { x, y: inside.y });
}

fn draw_note(app: &App, note: &NoteInput, frame: &mut Frame<'_>) {
    let theme = app.setup.theme;
    let height =
        (note.area.lines().len() as u16 + 4).clamp(8, frame.area().height.saturating_sub(2).max(8));
    let inside = widgets::panel(frame, &theme, &note.title, (72, height));
    let mut area = note.area.clone();
    area.set_style(theme.input());
    area.set_cursor_line_style(theme.input());
    area.set_cursor_style(theme.selected());
    area.set_wrap_mode(ratatui_textarea::WrapMode::Word);
    frame.render_widget(&area, inside);
}

fn draw_help(app: &App, help: &HelpView, frame: &mut Frame<'_>) {
    let theme = app.setup.theme;
    let keys: Vec<_> = app.setup.keys.help(help.context).collect();
    let mut rows = Vec::new();
    for section in crate::keys::Section::ALL {
        let mut of_section = keys.iter().filter(|l| l.section == *section).peekable();
        if of_section.peek().is_none() {
            continue;
        }
        rows.push((section.to_string(), String::new()));
        rows.extend(of_section.map(|l| (l.keys.clone(), l.help.to_owned())));
    }
    let height = (rows.len() as u16 + 2).min(frame.area().height);
    let inside = widgets::panel(frame, &theme, "Keys that work here", (72, height));
    let visible = usize::from(inside.height);
    let first = help.scroll.min(rows.len().saturating_sub(visible));
    let lines = rows.iter().skip(first).take(visible).map(|(keys, words)| {
        if words.is_empty() {
            Line::from(text(keys, usize::from(inside.width), theme.title()))
        } else {
            let room = usize::from(inside.width).saturating_sub(15);
            Line::from(vec![
                cell(keys, 14, theme.key()),
                Span::raw(" "),
                text(words, room, theme.text()),
            ])
        }
    });
    widgets::lines(frame, inside, lines.collect());
}

fn draw_page(app: &App, page: &Page, frame: &mut Frame<'_>) {
    let theme = app.setup.theme;
    let whole = frame.area();
    let columns = whole.width.min(100);
    let room = usize::from(columns).saturating_sub(4);
    let mut rows: Vec<Line<'static>> = Vec::new();
    for line in &page.lines {
        let mut wrapped = widgets::wrapped(line, room.saturating_sub(2), theme.text()).into_iter();
        rows.extend(wrapped.next());
        rows.extend(wrapped.map(|l| {
            Line::from(vec![
                Span::raw("  "),
                Span::styled(l.to_string(), theme.text()),
            ])
        }));
    }
    let height = (rows.len() as u16 + 2).min(whole.height);
    let inside = widgets::panel(frame, &theme, &page.title, (columns, height));
    let first = page
        .scroll
        .min(rows.len().saturating_sub(usize::from(inside.height)));
    widgets::lines(frame, inside, rows.into_iter().skip(first).collect());
}
