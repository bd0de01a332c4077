//! Draws the item found: what it orders stands first.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::text::Line;

use crate::defects::finding::Answer;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::paint::widgets;
use crate::screen::causes::told::{one_line, short_lines};
use crate::screen::kind::View;
use crate::screen::walk::draw::WIDE;
use crate::screen::walk::item::{Part, draw_past, fitted, item_parts, title_line};
use crate::screen::walk::state::WalkScreen;

/// So many lines tell what is behind it, from this height on.
const BEHIND: usize = 3;
const LOW: u16 = 18;

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
