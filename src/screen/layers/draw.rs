//! Draws the layers over a screen.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Span};

use crate::keys::Action;
use crate::paint::ladder_in_time::ladder_in_time;
use crate::paint::picture::picture;
use crate::paint::widgets::{self, cell, line, text};
use crate::screen::kind::Asks;
use crate::screen::layers::draw_files;
use crate::screen::layers::{Choice, Drawn, HelpView, Layer, LineInput, NoteInput, Page};
use crate::screen::shared::Setup;
use crate::text::{pad, safe_line, width, wrap};

/// Rows of a picture beside a line that has nothing else beneath it.
const PICTURE: usize = 9;
/// Columns of the keys in the help.
const KEYS: usize = 16;
/// So many of the latest notes, marks and deeds are told beneath a ladder in time.
const LATEST: usize = 6;
/// Rows of a page to read that are no text of it: its frame, an empty line, a line that says more.
const PAGE_FRAME: usize = 4;

/// Draws one layer over what lies beneath.
pub fn draw<A: Asks>(setup: &Setup, layer: &Layer<A>, frame: &mut Frame<'_>, area: Rect) {
    match layer {
        Layer::Choice(choice, _) => draw_choice(setup, choice, frame, area),
        Layer::Line(line, _) => draw_line(setup, line, frame, area),
        Layer::Note(note, _) => draw_note(setup, note, frame, area),
        Layer::Help(help) => draw_help(setup, help, frame, area),
        Layer::Page(page) => draw_page(setup, page, frame, area),
    }
}

/// A question for the edge of its box; where that does not hold it whole it stands in the box, in
/// lines of the same width.
fn heading<'a>(setup: &Setup, title: &'a str, columns: u16) -> (&'a str, Vec<Line<'static>>) {
    let room = usize::from(columns).saturating_sub(4);
    match width(&safe_line(title)) + 2 <= room {
        true => (title, Vec::new()),
        false => ("", widgets::wrapped(title, room, setup.theme.title())),
    }
}

fn draw_choice(setup: &Setup, choice: &Choice, frame: &mut Frame<'_>, area: Rect) {
    let theme = setup.theme;
    let loud = choice.loud;
    let widest = choice
        .options
        .iter()
        .map(|o| width(&safe_line(o)) + if choice.ticks.is_some() { 14 } else { 10 })
        .max()
        .unwrap_or(0);
    // What is said loudly takes the whole width.
    let columns = if loud {
        area.width
    } else if !choice.lead.is_empty() || !choice.words.is_empty() {
        area.width.min(76)
    } else {
        widest
            .max(width(&safe_line(&choice.title)) + 6)
            .clamp(36, 76) as u16
    };
    let columns = columns.min(area.width);
    let (title, mut lead) = heading(setup, &choice.title, columns);
    for line in &choice.lead {
        let room = usize::from(columns).saturating_sub(4);
        let style = if loud { theme.error() } else { theme.text() };
        lead.extend(widgets::wrapped(line, room, style));
    }
    let room = usize::from(columns).saturating_sub(4);
    let blocks: Vec<Vec<Line<'static>>> = (0..choice.options.len())
        .map(|n| option_lines(setup, choice, n, room))
        .collect();
    let foot = choice.foot.get(choice.cursor).map(String::as_str);
    let foot = foot.map_or_else(Vec::new, |f| widgets::wrapped(f, room, theme.text()));
    let tallest = choice.foot.iter();
    let tallest = tallest.map(|f| widgets::wrapped(f, room, theme.text()).len());
    let tallest = tallest.max().unwrap_or(0);
    let lines: usize = blocks.iter().map(Vec::len).sum();
    let height = (lines + lead.len() + tallest) as u16 + 2;
    let inside = widgets::panel(frame, area, &theme, title, (columns, height));
    // What is to be picked stays in sight; what is told above it says how much of it does not.
    let all = usize::from(inside.height);
    let kept = (lines + tallest).min((all / 2).max(1));
    let room_above = all.saturating_sub(kept);
    if lead.len() > room_above {
        let shown = room_above.saturating_sub(1);
        let more = format!("{} more lines", lead.len() - shown);
        lead.truncate(shown);
        lead.push(Line::from(text(&more, room, theme.quiet())));
        lead.truncate(room_above);
    }
    let above = lead.len();
    let visible = usize::from(inside.height).saturating_sub(above + foot.len());
    let visible = visible.max(1);
    // So many lines from the first shown to the end of the one under the arrow fit.
    let upto = |first: usize| -> usize {
        let shown = blocks.iter().take(choice.cursor + 1).skip(first);
        shown.map(Vec::len).sum()
    };
    let first = (0..=choice.cursor).find(|first| upto(*first) <= visible);
    let first = first.unwrap_or(choice.cursor);
    let before: usize = upto(first).saturating_sub(blocks.get(choice.cursor).map_or(0, Vec::len));
    lead.extend(blocks.into_iter().skip(first).flatten().take(visible));
    lead.extend(foot);
    widgets::lines(frame, inside, lead);
    frame.set_cursor_position(Position {
        x: inside.x,
        y: inside.y + (above + before) as u16,
    });
}

/// A line to pick, with what is said beneath it.
fn option_lines(setup: &Setup, choice: &Choice, n: usize, room: usize) -> Vec<Line<'static>> {
    let theme = setup.theme;
    let here = n == choice.cursor;
    let pointer = if here { theme.glyphs.pointer() } else { " " };
    let digit = choice
        .digit_of(n)
        .map_or_else(|| " ".to_owned(), |digit| digit.to_string());
    let tick = match choice.ticks.as_ref().and_then(|t| t.get(n)) {
        Some(_) if n == 0 => "",
        Some(true) => "[x] ",
        Some(false) => "[ ] ",
        None => "",
    };
    let style = if here { theme.selected() } else { theme.text() };
    let option = choice.options.get(n).map_or("", String::as_str);
    let head = format!("{pointer} {digit}  {tick}");
    let beside = width(&head);
    let mut heads = vec![head];
    let said = wrap(&safe_line(option), room.saturating_sub(beside));
    heads.resize_with(said.len(), || " ".repeat(beside));
    let mut lines: Vec<Line<'static>> = heads
        .iter()
        .zip(said)
        .map(|(head, said)| Line::styled(pad(&format!("{head}{said}"), room), style))
        .collect();
    let words = choice.words.get(n).filter(|w| !w.is_empty());
    let words = words.map(|w| widgets::wrapped(w, room.saturating_sub(5), theme.text()));
    lines.extend(words.into_iter().flatten().map(|line| {
        let mut spans = vec![Span::raw("     ")];
        spans.extend(line.spans);
        Line::from(spans)
    }));
    lines
}

fn draw_line(setup: &Setup, line: &LineInput, frame: &mut Frame<'_>, area: Rect) {
    let theme = setup.theme;
    let beside = draw_files::columns_beside(line, area);
    let columns = match beside {
        0 => area.width.min(72),
        _ => area.width.min(110),
    };
    let room = usize::from(columns).saturating_sub(4);
    let left = room.saturating_sub(beside);
    let (title, above) = heading(setup, &line.title, columns);
    let files = line.files();
    let (told, style) = match (&line.error, files) {
        (Some(error), _) => (error.as_str(), theme.error()),
        (None, Some(files)) => (draw_files::hint(files), theme.quiet()),
        (None, None) => (line.hint.as_str(), theme.quiet()),
    };
    let mut told = widgets::wrapped(told, left, style);
    if let Some(another) = &line.another {
        let key = setup.key(Action::Another);
        let words = format!("{key} takes the next one in too: {another}");
        told.extend(widgets::wrapped(&words, left, theme.text()));
    }
    // The box keeps its height while hint and error are short, and leaves in sight what is asked about.
    told.resize_with(told.len().max(3), Line::default);
    let most = usize::from(area.height).saturating_sub(above.len() + told.len() + 3);
    let most = most.min(draw_files::rows(area));
    if let Some(files) = files {
        let today = setup.clock.now().date_naive();
        told.extend(draw_files::list(files, today, (left, most), &theme));
    } else if beside > 0 {
        told.resize_with(told.len().max(most.min(PICTURE)), Line::default);
    }
    let height = above.len() + 1 + told.len() + 2;
    let inside = widgets::panel(frame, area, &theme, title, (columns, height as u16));
    let before = width(line.parts().0);
    // The text scrolls so that the cursor stays in sight.
    let skip = before.saturating_sub(room.saturating_sub(1));
    let mut shown = String::new();
    let mut column = 0;
    for cluster in unicode_segmentation::UnicodeSegmentation::graphemes(line.text(), true) {
        if column >= skip {
            shown.push_str(cluster);
        }
        column += width(cluster);
    }
    let x = inside.x + (before - skip).min(room.saturating_sub(1)) as u16;
    let y = inside.y + above.len() as u16;
    let mut rows = above;
    rows.push(Line::from(cell(&shown, room, theme.input())));
    if let Some(look) = line.look.as_ref().filter(|_| beside > 0) {
        let place = Rect {
            x: inside.x + left as u16 + 2,
            y: y + 1,
            width: beside as u16 - 2,
            height: inside.bottom().saturating_sub(y + 1),
        };
        let size = (usize::from(place.width), usize::from(place.height));
        widgets::lines(frame, place, draw_files::small(look, size, &theme));
    }
    rows.extend(told);
    widgets::lines(frame, inside, rows);
    frame.set_cursor_position(Position { x, y });
}

fn draw_note(setup: &Setup, note: &NoteInput, frame: &mut Frame<'_>, area: Rect) {
    let theme = setup.theme;
    let height =
        (note.area.lines().len() as u16 + 4).clamp(8, area.height.saturating_sub(1).max(8));
    let columns = area.width.min(72);
    let (title, above) = heading(setup, &note.title, columns);
    let inside = widgets::panel(frame, area, &theme, title, (columns, height));
    let rows = [Constraint::Length(above.len() as u16), Constraint::Fill(1)];
    let [head, inside] = Layout::vertical(rows).areas(inside);
    widgets::lines(frame, head, above);
    let mut editor = note.area.clone();
    editor.set_style(theme.input());
    editor.set_cursor_line_style(theme.input());
    editor.set_cursor_style(theme.selected());
    editor.set_wrap_mode(ratatui_textarea::WrapMode::Word);
    frame.render_widget(&editor, inside);
}

fn draw_help(setup: &Setup, help: &HelpView, frame: &mut Frame<'_>, area: Rect) {
    let theme = setup.theme;
    let columns = area.width.min(72);
    let room = usize::from(columns).saturating_sub(4 + KEYS);
    let keys: Vec<_> = setup.keys.help(help.context).collect();
    let mut rows: Vec<Line<'static>> = Vec::new();
    for section in crate::keys::Section::ALL {
        let mut of_section = keys.iter().filter(|l| l.section == *section).peekable();
        if of_section.peek().is_none() {
            continue;
        }
        rows.push(line(&section.to_string(), room, theme.title()));
        for of_key in of_section {
            let mut names = wrap(&of_key.keys, KEYS - 1).into_iter();
            let mut helps = wrap(of_key.help, room).into_iter();
            loop {
                let (name, words) = (names.next(), helps.next());
                if name.is_none() && words.is_none() {
                    break;
                }
                rows.push(Line::from(vec![
                    cell(&name.unwrap_or_default(), KEYS, theme.key()),
                    text(&words.unwrap_or_default(), room, theme.text()),
                ]));
            }
        }
    }
    reading(
        setup,
        frame,
        area,
        ("Keys that work here", columns),
        (rows, help.scroll),
    );
}

fn draw_page(setup: &Setup, page: &Page, frame: &mut Frame<'_>, area: Rect) {
    let theme = setup.theme;
    let columns = area.width.min(100);
    let room = usize::from(columns).saturating_sub(4);
    let mut rows: Vec<Line<'static>> = Vec::new();
    for (n, line) in page.lines.iter().enumerate() {
        let mut wrapped = widgets::wrapped(line, room.saturating_sub(2), theme.text()).into_iter();
        rows.extend(wrapped.next());
        rows.extend(wrapped.map(|l| {
            Line::from(vec![
                Span::raw("  "),
                Span::styled(l.to_string(), theme.text()),
            ])
        }));
        if let Some(drawn) = page.drawn.as_ref().filter(|_| n == 0) {
            rows.push(Line::default());
            rows.extend(match drawn {
                Drawn::Ladder(ladder) => ladder_in_time(ladder, room, LATEST, &theme),
                Drawn::Picture(pixels) => {
                    let left =
                        usize::from(area.height).saturating_sub(PAGE_FRAME + page.lines.len());
                    picture(pixels, room, left.max(1), &theme)
                }
            });
        }
    }
    reading(
        setup,
        frame,
        area,
        (&page.title, columns),
        (rows, page.scroll),
    );
}

/// Lines to read from one on, in a box of a title and a width; how many more there are stands on its
/// edge.
fn reading(
    setup: &Setup,
    frame: &mut Frame<'_>,
    area: Rect,
    (title, columns): (&str, u16),
    (rows, scroll): (Vec<Line<'static>>, usize),
) {
    let theme = setup.theme;
    let (title, mut above) = heading(setup, title, columns);
    above.extend(rows);
    let rows = above;
    let height = (rows.len() as u16 + 2).min(area.height);
    let inside = widgets::panel(frame, area, &theme, title, (columns, height));
    let visible = usize::from(inside.height);
    let last = rows.len().saturating_sub(visible);
    let first = scroll.min(last);
    if first < last {
        let edge = Rect {
            y: inside.bottom(),
            height: 1,
            ..inside
        };
        let more = format!(" {} more below ", last - first);
        let told = Line::from(text(&more, usize::from(edge.width), theme.quiet()));
        frame.render_widget(told.right_aligned(), edge);
    }
    widgets::lines(frame, inside, rows.into_iter().skip(first).collect());
}
