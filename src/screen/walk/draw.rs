//! Draws a walk: its head; the list of rows and the item in front of one stand in files of their own.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::text::{Line, Span};

use crate::keys::Action;
use crate::logbook::book::Book;
use crate::paint::widgets;
use crate::screen::kind::View;
use crate::screen::walk::drawing;
use crate::screen::walk::grid;
use crate::screen::walk::item::{draw_item, draw_parts, draw_past, parts, rows_wanted};
use crate::screen::walk::list::draw_list;
use crate::screen::walk::state::WalkScreen;
use crate::text::{fit, width};
use crate::walk::Plan;

/// From this width on the list stands beside the item.
const BESIDE: u16 = 72;
/// From this width on the past of the item has a column of its own.
pub const WIDE: u16 = 118;

/// Draws the walk screen.
pub fn draw(view: &View<'_>, screen: &WalkScreen, book: &Book, frame: &mut Frame<'_>, area: Rect) {
    let head = head_lines(view, screen, book, usize::from(area.width));
    let rows = [Constraint::Length(head.len() as u16), Constraint::Fill(1)];
    let [above, body] = Layout::vertical(rows).areas(area);
    widgets::lines(frame, above, head);
    if screen.grid.is_some() {
        return grid::draw::draw(view, screen, frame, body);
    }
    // On the drawing it takes the place of the list, unless it stands beside it.
    let beside = drawing::is_beside(screen, body);
    let on_drawing = screen.drawing.on.is_some() && !beside;
    let draw_list = |frame: &mut Frame<'_>, area| match on_drawing {
        true => drawing::draw(view, screen, frame, area),
        false => draw_list(view, screen, book, frame, area),
    };
    if area.width < BESIDE {
        let rows = match on_drawing {
            true => (body.height / 2).clamp(4, 9),
            false => (body.height / 4).clamp(2, 5),
        };
        let rows = [Constraint::Length(rows), Constraint::Fill(1)];
        let [list, item] = Layout::vertical(rows).areas(body);
        draw_list(frame, list);
        return draw_item(view, screen, book, frame, item, true);
    }
    let list = Constraint::Length((area.width * 19 / 40).clamp(34, 48));
    let columns = [list, Constraint::Fill(1)];
    let [list, right] = Layout::horizontal(columns).spacing(1).areas(body);
    draw_list(frame, list);
    let wide = area.width >= WIDE;
    let past = if wide { area.width / 4 - 1 } else { 0 };
    let columns = [Constraint::Fill(1), Constraint::Length(past)];
    let columns = Layout::horizontal(columns).spacing(u16::from(wide));
    let [item, _] = columns.areas(right);
    let parts = parts(view, screen, book, item, !wide);
    let mut above = right;
    if beside {
        let below;
        [above, below] = drawing::split(right, rows_wanted(&parts));
        drawing::draw(view, screen, frame, below);
    }
    let [item, past] = columns.areas(above);
    draw_parts(frame, item, parts);
    if wide {
        draw_past(view, screen, book, frame, past);
    }
}

/// Boat, machine, hours; checklist, progress, time; the phases as bars.
fn head_lines(
    view: &View<'_>,
    screen: &WalkScreen,
    book: &Book,
    columns: usize,
) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let walk = screen.walk(book);
    let boat = &screen.before.boat;
    let machine = boat
        .machines
        .iter()
        .find(|m| m.id == screen.started.machine);
    let hours = match screen.hours(book) {
        Some(hours) => format!("{hours} h"),
        None if !screen.before.knows_meter(&screen.started.machine) => "no meter read".to_owned(),
        None => format!(
            "≈{:.1} h, not read",
            screen.before.meter_now(Some(&screen.started.machine)).hours
        ),
    };
    let title = screen
        .before
        .library
        .checklist(&screen.started.checklist)
        .map_or("", |c| &c.title);
    let title = match screen.started.guest {
        true => format!("{title}, guest"),
        false => title.to_owned(),
    };
    let minutes = (book.now() - walk.at).num_minutes().clamp(0, 999);
    let done = screen.plan.rows_done(walk);
    let total = screen.plan.row_count();
    let begin = view.setup.keys.keys_of(Action::BeginPhase).first();
    let begin = begin.map(ToString::to_string).unwrap_or_default();
    let count = screen.count(book);
    let told = match count {
        Some(count) => count.words(&begin),
        None => format!("{minutes} min"),
    };
    let mut right = format!("{title}  {done}/{total}  {told}");
    let machine = machine.map_or("", |m| &m.name);
    let mut left = format!("{} · {machine} · {hours}", boat.name);
    // Which machine, and what she has run, are more than the boat's name.
    if width(&left) + width(&right) >= columns {
        left = format!("{machine} · {hours}");
    }
    // Where it is narrow the time counts for more than the name of the walk.
    if let Some(count) = count.filter(|_| width(&left) + width(&right) >= columns) {
        right = match columns < 76 {
            true => format!("{done}/{total}  {}", count.short(&begin)),
            false => format!("{title}  {done}/{total}  {}", count.short(&begin)),
        };
    }
    let mut phases: Vec<Span<'static>> = Vec::new();
    let bars = bar_widths(&screen.plan, columns);
    for (p, phase) in screen.plan.phases.iter().enumerate() {
        let here = p == screen.at.phase;
        let rows = phase.rows.len();
        let seen = (0..rows)
            .filter(|r| screen.plan.row_done(walk, p, *r))
            .count();
        let style = if here { theme.title() } else { theme.quiet() };
        // Where not all names fit, the phase one is in has its name and the others a bar.
        if here || bars.named {
            phases.push(Span::styled(fit(&phase.title, 24), style));
            phases.push(Span::raw(" "));
        }
        phases.push(Span::styled(
            theme.glyphs.bar(seen, rows, bars.columns(rows)),
            theme.progress(),
        ));
        phases.push(Span::raw(" "));
    }
    vec![
        widgets::spread(&left, &right, columns, theme.title()),
        Line::from(phases),
        screen.so_far_line(view, columns),
    ]
}

struct Bars {
    named: bool,
    per_row: f64,
}

impl Bars {
    fn columns(&self, rows: usize) -> usize {
        ((rows as f64 * self.per_row).round() as usize).max(1)
    }
}

fn bar_widths(plan: &Plan, columns: usize) -> Bars {
    let rows = plan.row_count().max(1);
    let names: usize = plan
        .phases
        .iter()
        .map(|p| width(&p.title).min(24) + 2)
        .sum();
    let gaps = plan.phases.len() * 2;
    let named = names + gaps + rows / 3 < columns;
    let taken = if named { names + gaps } else { 18 + gaps };
    let room = columns.saturating_sub(taken).max(plan.phases.len());
    Bars {
        named,
        per_row: (room as f64 / rows as f64).min(1.0) * 0.95,
    }
}
