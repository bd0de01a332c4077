//! Draws which item is wrong, and the one found: what it orders stands first.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::defects::Subject;
use crate::defects::finding::Answer;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::paint::widgets::{self, cell, line};
use crate::screen::causes::told::{one_line, short_lines};
use crate::screen::finding::TroubleScreen;
use crate::screen::kind::View;
use crate::screen::walk::draw::WIDE;
use crate::screen::walk::item::{Part, draw_past, fitted, item_parts, title_line};
use crate::screen::walk::state::WalkScreen;

/// Columns of a digit that picks, and of a rung.
const DIGIT: usize = 3;
const RUNG: usize = 11;
/// So many rows can be picked by a digit.
const DIGITS: usize = 9;

/// So many lines tell what is behind it, from this height on.
const BEHIND: usize = 3;
const LOW: u16 = 18;

/// Which item is wrong.
pub fn draw_trouble(view: &View<'_>, screen: &TroubleScreen, frame: &mut Frame<'_>, area: Rect) {
    let theme = view.setup.theme;
    let columns = usize::from(area.width);
    let (before, after) = screen.typed.parts();
    let mark = if view.covered { "" } else { "▏" };
    let how = match screen.typed.text().is_empty() {
        true => format!("{mark}a digit takes one; type a part of its name for any other"),
        false => format!("named: {before}{mark}{after}"),
    };
    let head = vec![
        line("Something is wrong. What is it?", columns, theme.title()),
        line(&how, columns, theme.text()),
        Line::default(),
    ];
    let rows = [Constraint::Length(head.len() as u16), Constraint::Fill(1)];
    let [above, body] = Layout::vertical(rows).areas(area);
    widgets::lines(frame, above, head);
    if screen.rows.is_empty() {
        let none = "nothing on this boat is spoken of with these words";
        return widgets::lines(frame, body, vec![line(none, columns, theme.quiet())]);
    }
    let row_at = |n: usize| {
        let here = n == screen.cursor;
        let style = if here { theme.selected() } else { theme.text() };
        let pointer = if here { theme.glyphs.pointer() } else { " " };
        let digit = if n < DIGITS {
            (n + 1).to_string()
        } else {
            String::new()
        };
        let subject = &screen.rows[n];
        let (rung, rung_style) = rung(view, screen, subject);
        let room = columns.saturating_sub(2 + DIGIT + RUNG);
        let mut spans = vec![
            Span::styled(format!("{pointer} "), style),
            cell(&digit, DIGIT, theme.key()),
        ];
        spans.extend(widgets::word(&rung, RUNG, rung_style));
        let name = screen.condition.name_of(subject);
        widgets::row(spans, (&name, room, style), Vec::new())
    };
    let rows = (screen.rows.len(), screen.cursor);
    widgets::list(frame, body, rows, (1, 2), view.covered, row_at);
}

/// The last rung of an item that is not sound, where it may be seen.
fn rung(view: &View<'_>, screen: &TroubleScreen, subject: &Subject) -> (String, Style) {
    let theme = view.setup.theme;
    let machine = subject.machine.as_deref().unwrap_or(&screen.finder.machine);
    let life = screen.condition.life(&subject.item, machine);
    let grade = life.and_then(|life| life.status.grade);
    match grade.filter(|grade| grade.rung() > 0 && !screen.finder.blind) {
        Some(grade) => (format!("{} {grade}", grade.rung()), theme.grade(grade)),
        None => (String::new(), theme.quiet()),
    }
}

/// The item found: its ladder, and once it has its rung what that orders, above it.
pub fn draw_found(
    view: &View<'_>,
    screen: &WalkScreen,
    book: &Book,
    frame: &mut Frame<'_>,
    area: Rect,
) {
    let [head, body] = Layout::vertical([Constraint::Length(1), Constraint::Fill(1)]).areas(area);
    widgets::lines(frame, head, vec![head_line(view, screen, book, area)]);
    let Some(item) = screen.item(screen.at) else {
        return;
    };
    let wide = area.width >= WIDE;
    let past = Constraint::Length(if wide { area.width / 3 } else { 0 });
    let columns = Layout::horizontal([Constraint::Fill(1), past]).spacing(u16::from(wide));
    let [body, past] = columns.areas(body);
    if wide {
        draw_past(view, screen, book, frame, past);
    }
    let columns = usize::from(body.width);
    let title = title_line(view, screen, book, item, "", columns);
    let mut parts: Vec<Part> = vec![(9, 1, vec![title])];
    if let Some(answer) = &screen.answer {
        parts.extend(answer_parts(view, screen, answer, body));
    }
    item_parts(view, screen, book, item, body, &mut parts);
    widgets::lines(frame, body, fitted(parts, usize::from(body.height)));
}

fn head_line(view: &View<'_>, screen: &WalkScreen, book: &Book, area: Rect) -> Line<'static> {
    let boat = &screen.before.boat;
    let mut machines = boat.machines.iter();
    let machine = machines.find(|m| m.id == screen.started.machine);
    let machine = machine.map_or("", |m| &m.name);
    let hours = screen.hours(book).map(|h| format!(" · {h} h"));
    let left = format!(
        "Found on {} · {machine}{}",
        boat.name,
        hours.unwrap_or_default()
    );
    let when = match screen.started.entered_after {
        true => screen.started.at.format("%-d %b %H:%M").to_string(),
        false => format!("now; {} another time", view.setup.key(Action::EnteredAfter)),
    };
    widgets::spread(
        &left,
        &when,
        usize::from(area.width),
        view.setup.theme.quiet(),
    )
}

/// What it orders, what was answered first, how long it can wait, when to look again; then what to do.
fn answer_parts(view: &View<'_>, screen: &WalkScreen, answer: &Answer, area: Rect) -> Vec<Part> {
    let theme = view.setup.theme;
    let columns = usize::from(area.width);
    let ordered = answer.orders.is_some();
    let order = answer.order_words().into_iter().map(|told| match ordered {
        true => {
            let told = format!("{} {told}", theme.glyphs.caution());
            widgets::wrapped(&told, columns, theme.error())
        }
        false => widgets::wrapped(&told, columns, theme.title()),
    });
    let why = answer.stands_by.iter();
    let why = why.map(|why| widgets::wrapped(&format!("{why}."), columns, theme.caution()));
    let waits = answer.wait_words().into_iter();
    let waits = waits.map(|told| widgets::wrapped(&told, columns, theme.text()));
    let signs = screen.details(view.book, screen.at).signs;
    let stops = screen.sign_stops(&signs);
    // That the rung stops nothing is not said beneath what an answer orders.
    let says = ordered || stops.is_empty();
    let order = order.filter(move |_| says);
    let stops = stops.into_iter().map(|stop| {
        let told = format!("{} {stop}", theme.glyphs.caution());
        widgets::wrapped(&told, columns, theme.error())
    });
    let mut parts: Vec<Part> = stops
        .chain(order)
        .chain(why)
        .chain(waits)
        .map(|lines| (9, lines.len(), lines))
        .collect();
    if let Some(remedy) = answer.remedy_words() {
        let lines = widgets::wrapped(&format!("To do: {remedy}."), columns, theme.text());
        parts.push((8, lines.len(), lines));
    }
    // Where it is low, the order and the rungs come before it.
    let behind = answer.behind.as_ref();
    if area.height < LOW {
        parts.push((7, 0, one_line(view, behind, columns)));
    } else {
        let lines = short_lines(view, behind, columns, BEHIND);
        parts.push((7, lines.len(), lines));
    }
    parts.push((0, 0, vec![Line::default()]));
    parts
}
