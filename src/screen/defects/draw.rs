//! Draws the defects screen: the list, the risk table beside it, why the row stands where it does.

use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::assess::words::{Level, Risk, Severity};
use crate::defects::State;
use crate::defects::list::{Row, percent};
use crate::paint::widgets::{self, age, cell, risk, text};
use crate::screen::app::App;
use crate::screen::defects::DefectsScreen;

/// From this width on the risk table stands beside the list.
const BESIDE: u16 = 76;
/// Columns of the risk table.
const TABLE: u16 = 25;

/// Draws the screen.
pub fn draw(app: &App, screen: &DefectsScreen, frame: &mut Frame<'_>, area: Rect) {
    let theme = app.setup.theme;
    let columns = usize::from(area.width);
    let e = screen.outset.exposure;
    let plan = screen
        .plan
        .as_ref()
        .map(|p| format!(" ({p})"))
        .unwrap_or_default();
    let head = format!(
        "over {:.0} h and {:.0} d in {} waters{plan}",
        e.hours, e.days, screen.outset.waters
    );
    let filter = screen.filter.words();
    let shown = if filter.is_empty() {
        String::new()
    } else {
        format!("only {filter}: ")
    };
    let count = format!(
        "{shown}{} of {} rows",
        screen.shown.len(),
        screen.list.rows.len()
    );
    let head = widgets::spread(&head, &count, columns, theme.title());
    widgets::lines(frame, Rect { height: 1, ..area }, vec![head]);
    let reasons = reason_lines(app, screen, columns);
    let reason_height = (reasons.len() as u16).min(area.height / 2);
    let middle = Rect {
        y: area.y + 1,
        height: area.height.saturating_sub(1 + reason_height),
        ..area
    };
    let list_width = if area.width >= BESIDE {
        area.width - TABLE - 1
    } else {
        area.width
    };
    draw_list(
        app,
        screen,
        frame,
        Rect {
            width: list_width,
            ..middle
        },
    );
    if area.width >= BESIDE {
        let table = Rect {
            x: area.x + list_width + 1,
            width: TABLE,
            ..middle
        };
        widgets::lines(
            frame,
            table,
            table_lines(app, screen, usize::from(middle.height)),
        );
    }
    let below = Rect {
        y: middle.bottom(),
        height: reason_height,
        ..area
    };
    widgets::lines(frame, below, reasons);
}

fn draw_list(app: &App, screen: &DefectsScreen, frame: &mut Frame<'_>, area: Rect) {
    let theme = app.setup.theme;
    let columns = usize::from(area.width);
    if screen.shown.is_empty() {
        let told = if screen.list.rows.is_empty() {
            "nothing open: no finding waits for work"
        } else {
            "no row passes the filter; clear it to see all"
        };
        widgets::lines(frame, area, widgets::wrapped(told, columns, theme.quiet()));
        return;
    }
    let visible = usize::from(area.height).max(1);
    let first = screen
        .cursor
        .saturating_sub(visible * 2 / 3)
        .min(screen.shown.len().saturating_sub(visible));
    // The first machine goes without saying.
    let first_machine = screen
        .condition
        .boat
        .machines
        .first()
        .map(|m| m.id.as_str());
    let rows = screen.shown.iter().enumerate().skip(first).take(visible);
    let lines = rows.map(|(n, i)| {
        row_line(
            app,
            &screen.list.rows[*i],
            n == screen.cursor,
            columns,
            first_machine,
        )
    });
    widgets::lines(frame, area, lines.collect());
    if app.layers.is_empty() {
        let y = area.y + (screen.cursor - first) as u16;
        frame.set_cursor_position(Position { x: area.x, y });
    }
}

fn row_line(
    app: &App,
    row: &Row,
    here: bool,
    columns: usize,
    first: Option<&str>,
) -> Line<'static> {
    let theme = app.setup.theme;
    let style = if here { theme.selected() } else { theme.text() };
    let pointer = if here { theme.glyphs.pointer() } else { " " };
    let state = match row.state {
        _ if row.stop => "STOP",
        State::Open if row.reopened > 0 => "again",
        State::Open => "",
        State::Deferred => "waits",
        State::Repaired => "repaired",
        State::Confirmed => "closed",
        State::Withdrawn => "none",
    };
    let machine = row
        .machine
        .as_deref()
        .filter(|m| first != Some(*m))
        .map(|m| format!(" [{m}]"))
        .unwrap_or_default();
    // The word stands in the reasons below; the mark and the code are enough where it is narrow.
    let risk_columns = if columns >= 66 { 15 } else { 5 };
    let free = columns.saturating_sub(5 + risk_columns + 11 + 8);
    // A wide screen has room for what puts it right.
    let title = if free > 70 { 40 } else { free };
    let remedy = cell(&row.remedy.action, free - title, theme.quiet());
    let state_style = if row.stop {
        theme.caution()
    } else {
        theme.mark()
    };
    let mut spans = vec![Span::styled(format!("{pointer}{:>3} ", row.rank), style)];
    spans.extend(risk(&theme, &row.code, row.risk, risk_columns));
    spans.push(cell(&format!("{}{machine}", row.title), title, style));
    spans.push(Span::raw(" "));
    spans.extend(widgets::grade(&theme, row.grade, 10));
    spans.extend(widgets::word(state, 8, state_style));
    spans.push(remedy);
    Line::from(spans)
}

/// Severity by probability with how many rows stand in each cell.
fn table_lines(app: &App, screen: &DefectsScreen, height: usize) -> Vec<Line<'static>> {
    let theme = app.setup.theme;
    let chosen = screen.row().map(|r| (r.severity, r.level));
    let count = |severity: Severity, level: Level| {
        let rows = screen.shown.iter().map(|i| &screen.list.rows[*i]);
        rows.filter(|r| r.severity == severity && r.level == level)
            .count()
    };
    let mut lines = vec![Line::from(cell("     1    2    3    4", 25, theme.quiet()))];
    for level in [Level::A, Level::B, Level::C, Level::D, Level::E] {
        let mut spans = vec![cell(&format!("{}  ", level.letter()), 3, theme.quiet())];
        for severity in Severity::ALL {
            let n = count(severity, level);
            let cell_risk = Risk::of(severity, level);
            let shown = if n == 0 {
                theme.glyphs.risk_mark(cell_risk).to_owned()
            } else {
                n.to_string()
            };
            let here = chosen == Some((severity, level));
            let (open, close) = if here { ("[", "]") } else { (" ", " ") };
            let style = if n == 0 {
                theme.quiet()
            } else {
                theme.risk(cell_risk)
            };
            spans.push(Span::raw(open));
            spans.push(Span::styled(format!("{shown:^3}"), style));
            spans.push(Span::raw(close));
        }
        lines.push(Line::from(spans));
    }
    let legend = [Risk::High, Risk::Serious, Risk::Medium, Risk::Low];
    lines.push(Line::default());
    for pair in legend {
        let rows = screen
            .shown
            .iter()
            .filter(|i| screen.list.rows[**i].risk == pair)
            .count();
        lines.push(Line::from(vec![
            Span::styled(
                format!(" {} ", theme.glyphs.risk_mark(pair)),
                theme.risk(pair),
            ),
            cell(&format!(" {pair}"), 10, theme.text()),
            cell(&format!("{rows:>3}"), 4, theme.text()),
        ]));
    }
    if height > lines.len() + 4 {
        lines.push(Line::default());
        lines.push(Line::from(cell("down: how likely, A-E", 25, theme.quiet())));
        lines.push(Line::from(cell("across: how bad, 1-4", 25, theme.quiet())));
        lines.push(Line::from(cell("numbers are judgement", 25, theme.quiet())));
    }
    lines
}

fn reason_lines(app: &App, screen: &DefectsScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = app.setup.theme;
    let unseen = screen.list.unseen.len();
    let Some(row) = screen.row() else {
        return vec![Line::from(text(
            &format!("{unseen} items not yet looked at"),
            columns,
            theme.quiet(),
        ))];
    };
    let mut lines = vec![Line::from(Span::styled("─".repeat(columns), theme.quiet()))];
    lines.extend(widgets::wrapped(
        &format!("{}: {}", row.title, row.why),
        columns,
        theme.text(),
    ));
    let wait = |wait: &Option<crate::defects::list::Wait>| match wait {
        None => "no limit".to_owned(),
        Some(w) => {
            let hours = |hours: f64| match hours {
                h if h < 10.0 => format!("{h:.1} h"),
                h => format!("{h:.0} h"),
            };
            w.words(hours, |d| format!("about {}", d.format("%-d %b %Y")))
        }
    };
    let line = format!(
        "fix within {} · look again within {} · chance {}",
        wait(&row.fix_within),
        wait(&row.look_again_within),
        percent(row.chance)
    );
    lines.extend(widgets::wrapped(&line, columns, theme.title()));
    let remedy = format!(
        "{} ({}, {}) · opened {}, looks since: {}",
        row.remedy.action,
        row.remedy.who,
        row.remedy.place,
        age(row.opened, screen.condition.now),
        row.looks
    );
    lines.extend(
        widgets::wrapped(&remedy, columns, theme.text())
            .into_iter()
            .take(2),
    );
    if let Some(deferred) = &row.deferred {
        let told = format!("waits until {}: {}", deferred.until, deferred.why);
        lines.push(Line::from(text(&told, columns, theme.mark())));
    }
    let told = format!("{unseen} items not yet looked at are no rows here; they could hide more");
    lines.push(Line::from(text(&told, columns, theme.quiet())));
    lines
}
