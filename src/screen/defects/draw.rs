//! Draws the defects screen: the list, the risk table beside it, why the row stands where it does.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::text::{Line, Span};

use crate::assess::words::{Level, Risk, Severity};
use crate::checklist::PhaseState;
use crate::defects::State;
use crate::defects::Subject;
use crate::defects::doubt::Doubt;
use crate::defects::list::Scenario;
use crate::defects::list::{Row, percent};
use crate::keys::Context;
use crate::logbook::book::Book;
use crate::paint::ladder_in_time::ladder_in_time;
use crate::paint::widgets::{self, age, cell, line, risk};
use crate::screen::defects::DefectsScreen;
use crate::screen::defects::belong::rule;
use crate::screen::kind::{Shown, View};

/// From this width on the risk table stands beside the list.
const BESIDE: u16 = 76;
/// From this height on the row under the arrow stands beneath the list as the ladder in time.
const LADDER: u16 = 34;
/// So many of its latest notes, marks and deeds are told there.
const LATEST: usize = 2;
/// Columns of a rung, and of where a defect stands.
const GRADE: usize = 10;
const STATE: usize = 10;
/// Columns of the risk table.
const TABLE: u16 = 25;

impl Shown for DefectsScreen {
    fn context(&self) -> Context {
        Context::Defects
    }

    /// Draws the screen.
    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let theme = view.setup.theme;
        let columns = usize::from(area.width);
        let e = self.scenario.exposure;
        let plan = self
            .plan
            .as_ref()
            .map(|p| format!(" ({p})"))
            .unwrap_or_default();
        let per_day = self.scenario.hours_per_day;
        let per_day = per_day.map(|hours| format!(", {hours:.0} h a day,"));
        let head = format!(
            "over {:.0} h and {:.0} d{} in {} waters{plan}",
            e.hours,
            e.days,
            per_day.unwrap_or_default(),
            self.scenario.waters
        );
        let filter = self.filter.words();
        let shown = if filter.is_empty() {
            String::new()
        } else {
            format!("only {filter}: ")
        };
        let count = format!(
            "{shown}{} of {} rows",
            self.shown.len(),
            self.list.rows.len()
        );
        let head = widgets::spread_whole(&head, &count, columns, theme.title());
        let reasons = reason_lines(view, self, columns);
        let reason_height = (reasons.len() as u16).min(area.height / 2);
        let ladder = ladder_lines(view, self, area);
        let rows = [
            Constraint::Length(head.len() as u16),
            Constraint::Fill(1),
            Constraint::Length(ladder.len() as u16),
            Constraint::Length(reason_height),
        ];
        let [above, middle, in_time, below] = Layout::vertical(rows).areas(area);
        widgets::lines(frame, above, head);
        widgets::lines(frame, in_time, ladder);
        widgets::lines(frame, below, reasons);
        if area.width < BESIDE {
            return draw_list(view, self, frame, middle);
        }
        let columns = [Constraint::Fill(1), Constraint::Length(TABLE)];
        let [list, table] = Layout::horizontal(columns).spacing(1).areas(middle);
        draw_list(view, self, frame, list);
        let lines = table_lines(view, self, usize::from(table.height));
        widgets::lines(frame, table, lines);
    }

    /// Exposure, plan, filters and the row under the arrow stay.
    fn renew(&mut self, book: &Book) -> bool {
        let now = DefectsScreen::new(book);
        (self.condition, self.plans) = (now.condition, now.plans);
        (self.ladder, self.behind) = (now.ladder, now.behind);
        let plan = |(name, _): &&(String, Scenario)| Some(name) == self.plan.as_ref();
        if let Some((_, scenario)) = self.all_plans().iter().find(plan) {
            self.scenario = *scenario;
        }
        self.rank();
        true
    }

    fn in_front(&self) -> (Option<Subject>, Option<PhaseState>) {
        (self.subject(), None)
    }

    /// That of the row under the arrow, else the one that is shown alone.
    fn machine(&self) -> Option<&str> {
        let row = self.row().and_then(|row| row.machine.as_deref());
        row.or(self.filter.machine.as_deref())
    }

    fn doubts(&self) -> Option<&[Doubt]> {
        Some(&self.condition.doubts)
    }
}

fn draw_list(view: &View<'_>, screen: &DefectsScreen, frame: &mut Frame<'_>, area: Rect) {
    let theme = view.setup.theme;
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
    let several = screen.condition.boat.machines.len() > 1;
    let named = several && screen.filter.machine.is_none();
    let row_at = |n: usize| {
        let row = &screen.list.rows[screen.shown[n]];
        let mark = screen.mark_of(row).map(|(mark, _)| mark);
        row_line(view, (row, mark), n == screen.cursor, columns, named)
    };
    let rows = (screen.shown.len(), screen.cursor);
    widgets::list(frame, area, rows, (2, 3), view.covered, row_at);
}

fn row_line(
    view: &View<'_>,
    (row, mark): (&Row, Option<char>),
    here: bool,
    columns: usize,
    named: bool,
) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let style = if here { theme.selected() } else { theme.text() };
    let pointer = if here { theme.glyphs.pointer() } else { " " };
    let state = match row.state {
        _ if row.stop => "STOP",
        State::Open if row.reopened > 0 => "again",
        State::Open => "",
        State::Deferred => "waits",
        State::Repaired => "repaired",
        State::Temporary => "temporary",
        State::Confirmed => "closed",
        State::Withdrawn => "none",
    };
    let machine = row
        .machine
        .as_deref()
        .filter(|_| named)
        .map(|m| format!(" [{m}]"))
        .unwrap_or_default();
    // The word stands in the reasons below; the mark and the code are enough where it is narrow.
    let risk_columns = if columns >= 66 { 15 } else { 5 };
    let free = columns.saturating_sub(5 + risk_columns + 1 + GRADE + STATE);
    // A wide screen has room for what puts it right.
    let title = if free > 70 { 40 } else { free };
    let remedy = cell(&row.remedy.action, free - title, theme.quiet());
    let state_style = if row.stop {
        theme.caution()
    } else {
        theme.mark()
    };
    let mut before = vec![Span::styled(format!("{pointer}{:>3} ", row.rank), style)];
    before.extend(risk(&theme, &row.code, row.risk, risk_columns));
    let mark = mark.map(|mark| format!(" ({mark})")).unwrap_or_default();
    let name = format!("{}{machine}{mark}", row.title);
    let mut behind = vec![Span::raw(" ")];
    // What is repaired has no rung before somebody looks at it.
    match row.state {
        State::Repaired => behind.push(Span::raw(" ".repeat(GRADE))),
        _ => behind.extend(widgets::grade(&theme, row.grade, GRADE)),
    }
    behind.extend(widgets::word(state, STATE, state_style));
    behind.push(remedy);
    widgets::row(before, (&name, title, style), behind)
}

/// Severity by probability with how many rows stand in each cell.
fn table_lines(view: &View<'_>, screen: &DefectsScreen, height: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
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

/// The row under the arrow as the ladder in time, where there is room for it beside the list.
fn ladder_lines(view: &View<'_>, screen: &DefectsScreen, area: Rect) -> Vec<Line<'static>> {
    if area.height < LADDER {
        return Vec::new();
    }
    let theme = &view.setup.theme;
    let columns = usize::from(area.width);
    let ladder = screen.ladder(view.book);
    ladder.map_or_else(Vec::new, |ladder| {
        ladder_in_time(ladder, columns, LATEST, theme)
    })
}

fn reason_lines(view: &View<'_>, screen: &DefectsScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let unseen = screen.list.unseen.len();
    let Some(row) = screen.row() else {
        return vec![line(
            &format!("{unseen} items not yet looked at"),
            columns,
            theme.quiet(),
        )];
    };
    let mut lines = vec![rule(view, screen, columns)];
    lines.extend(widgets::wrapped(
        &format!("{}: {}", row.title, row.why),
        columns,
        theme.text(),
    ));
    let wait = |wait: &Option<crate::defects::wait::Wait>| match wait {
        None => "no limit".to_owned(),
        Some(w) => {
            let hours = |hours: f64| match hours {
                h if h < 10.0 => format!("{h:.1} h"),
                h => format!("{h:.0} h"),
            };
            w.words(hours, |d| format!("about {}", d.format("%-d %b %Y")))
        }
    };
    let fix = match row.state {
        State::Repaired => "repaired".to_owned(),
        _ => format!("fix within {}", wait(&row.fix_within)),
    };
    let within = format!(
        "{fix} · look again within {} · chance {}",
        wait(&row.look_again_within),
        percent(row.chance)
    );
    lines.extend(widgets::wrapped(&within, columns, theme.title()));
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
        lines.extend(widgets::wrapped(&told, columns, theme.mark()));
    }
    let told = format!("{unseen} items not yet looked at have no row and could hide more");
    lines.push(line(&told, columns, theme.quiet()));
    lines
}
