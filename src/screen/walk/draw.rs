//! Draws a walk: its head; the list of rows and the item in front of one stand in files of their own.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::keys::Action;
use crate::logbook::book::Book;
use crate::paint::widgets;
use crate::screen::app::App;
use crate::screen::walk::WalkScreen;
use crate::screen::walk::item::{draw_item, draw_past};
use crate::screen::walk::list::draw_list;
use crate::text::{fit, width};
use crate::walk::Plan;

/// From this width on the list stands beside the item.
const BESIDE: u16 = 72;
/// From this width on the past of the item has a column of its own.
const WIDE: u16 = 118;

/// Draws the walk screen.
pub fn draw(app: &App, screen: &WalkScreen, book: &Book, frame: &mut Frame<'_>, area: Rect) {
    let head = head_lines(app, screen, book, usize::from(area.width));
    let head_height = head.len() as u16;
    widgets::lines(
        frame,
        Rect {
            height: head_height.min(area.height),
            ..area
        },
        head,
    );
    let body = Rect {
        y: area.y + head_height,
        height: area.height.saturating_sub(head_height),
        ..area
    };
    if area.width >= BESIDE {
        let list_width = (area.width * 19 / 40).clamp(34, 48);
        let list = Rect {
            width: list_width,
            ..body
        };
        let past_width = if area.width >= WIDE {
            area.width / 4
        } else {
            0
        };
        let item = Rect {
            x: body.x + list_width + 1,
            width: body.width.saturating_sub(list_width + 1 + past_width),
            ..body
        };
        draw_list(app, screen, book, frame, list);
        draw_item(app, screen, book, frame, item, past_width == 0);
        if past_width > 0 {
            let past = Rect {
                x: item.right() + 1,
                width: past_width.saturating_sub(1),
                ..body
            };
            draw_past(app, screen, book, frame, past);
        }
    } else {
        let list_height = (body.height / 4).clamp(2, 5);
        draw_list(
            app,
            screen,
            book,
            frame,
            Rect {
                height: list_height,
                ..body
            },
        );
        let item = Rect {
            y: body.y + list_height,
            height: body.height.saturating_sub(list_height),
            ..body
        };
        draw_item(app, screen, book, frame, item, true);
    }
}

/// Boat, machine, hours; checklist, progress, time; the phases as bars.
fn head_lines(app: &App, screen: &WalkScreen, book: &Book, columns: usize) -> Vec<Line<'static>> {
    let theme = app.setup.theme;
    let walk = screen.walk(book);
    let boat = &screen.before.boat;
    let machine = boat
        .machines
        .iter()
        .find(|m| m.id == screen.started.machine);
    let hours = match screen.hours(book) {
        Some(hours) => format!("{hours} h"),
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
    let minutes = (book.now() - walk.at).num_minutes().clamp(0, 999);
    let done = screen.plan.rows_done(walk);
    let total = screen.plan.row_count();
    let begin = app.setup.keys.keys_of(Action::BeginPhase).first();
    let begin = begin.map(ToString::to_string).unwrap_or_default();
    let right = match screen.count(book) {
        // Where it is narrow the time counts for more than the name of the walk.
        Some(count) if columns < 76 => format!("{done}/{total}  {}", count.words(&begin)),
        Some(count) => format!("{title}  {done}/{total}  {}", count.words(&begin)),
        None => format!("{title}  {done}/{total}  {minutes} min"),
    };
    let left = format!(
        "{} · {} · {hours}",
        boat.name,
        machine.map_or("", |m| &m.name)
    );
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
