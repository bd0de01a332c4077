//! Draws what stands beneath the grid of engine speeds: what the cell in front says, what it is held
//! against, and its column over engine speed.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::Style;
use ratatui::text::Line;

use crate::checklist::{Band, Item};
use crate::defects::pass_lines::{PassLine, still_climbing};
use crate::keys::Action;
use crate::paint::chart::{Chart, Dot};
use crate::paint::scale::bands_in;
use crate::paint::widgets::{self, line};
use crate::screen::walk::grid::draw::Seen;
use crate::text::{capital, figure, round_ticks};
use crate::walk::{Cell, TrialRow};

/// From so many columns, and lines beneath the grid, the column in front is drawn over engine speed.
const CHART: (u16, u16) = (76, 10);

impl Seen<'_> {
    pub(super) fn draw_beneath(&self, frame: &mut Frame<'_>, area: Rect) {
        let wide = area.width >= CHART.0 && area.height >= CHART.1;
        let chart = self.chart(usize::from(area.width / 2), area.height);
        let Some((title, chart)) = chart.filter(|_| wide) else {
            return widgets::lines(frame, area, self.words(area));
        };
        let parts = [Constraint::Fill(1), Constraint::Percentage(50)];
        let [left, right] = Layout::horizontal(parts).spacing(2).areas(area);
        widgets::lines(frame, left, self.words(left));
        let theme = self.view.setup.theme;
        let mut lines = vec![line(&title, usize::from(right.width), theme.title())];
        lines.extend(chart);
        widgets::lines(frame, right, lines);
    }

    /// What the cell in front says, its cautions, and what it is held against.
    pub(super) fn words(&self, area: Rect) -> Vec<Line<'static>> {
        let theme = self.view.setup.theme;
        let columns = usize::from(area.width);
        let (row, column) = (&self.trial.rows[self.at.0], self.at.1);
        let Some(item) = self.item(column) else {
            return Vec::new();
        };
        let phase = row.phase.and_then(|p| self.screen.plan.phases.get(p));
        let title = phase.map_or("", |phase| &phase.title);
        let held = row.step.and_then(|step| step.minutes);
        let held = held.map(|minutes| format!("; to hold {minutes} min"));
        let head = format!(
            "{} at {}{}",
            item.title,
            row.named(title),
            held.unwrap_or_default()
        );
        let mut lines = vec![line(&head, columns, theme.title())];
        let (said, style) = self.said(row, column, item);
        lines.extend(widgets::wrapped(&said, columns, style));
        let climbing = self.screen.unit(item);
        let climbing = climbing.and_then(|unit| still_climbing(item, &row.cells[column], unit));
        let climbing = climbing.iter();
        lines.extend(
            climbing.flat_map(|said| widgets::wrapped(&capital(said), columns, theme.caution())),
        );
        lines.extend(self.cautions(item, columns));
        lines.extend(self.not_rated(columns));
        lines.extend(self.held_against(row, item, columns));
        lines
    }

    /// What was seen, or why there is nothing.
    fn said(&self, row: &TrialRow<'_>, column: usize, item: &Item) -> (String, Style) {
        let theme = self.view.setup.theme;
        let cell = &row.cells[column];
        if let (Cell::Unseen, Some(value)) = (cell, self.typed(row, column)) {
            let told = format!("{value} typed, not graded: a digit gives its rung");
            return (told, theme.caution());
        }
        let look = cell.look().map(|t| (t, t.look.grade()));
        let Some((timed, Some(grade))) = look else {
            let empty = cell.empty().unwrap_or_default();
            let key = self.view.setup.key(Action::FillCell);
            let told = match (cell, &item.reading) {
                (Cell::Unseen, Some(_)) => format!("{empty}; {key} types it"),
                (Cell::Unseen, None) => format!("{empty}; a digit gives its rung"),
                _ => empty,
            };
            let style = match cell {
                Cell::Looks(_) => theme.caution(),
                _ => theme.text(),
            };
            return (told, style);
        };
        let read = timed.look.reading.map(|r| format!("{r}, "));
        let rung = &item.ladder[grade.rung()];
        let note = timed.look.note.as_ref().map(|note| format!("; {note}"));
        let when = timed.at.format("%H:%M");
        let told = format!(
            "{}{} {grade}: {rung}; {when}{}",
            read.unwrap_or_default(),
            grade.rung(),
            note.unwrap_or_default()
        );
        (told, theme.grade(grade))
    }

    /// What to heed at this step: whole until something was seen in its phase, then its beginning.
    fn cautions(&self, item: &Item, columns: usize) -> Vec<Line<'static>> {
        let (theme, screen) = (self.view.setup.theme, self.screen);
        let phase = screen.plan.phases.get(screen.at.phase);
        let before = phase.and_then(|phase| phase.before.clone());
        let walk = screen.walk(self.view.book);
        let id = screen.phase_id(screen.at);
        let said = walk
            .looks
            .iter()
            .any(|t| t.look.phase.as_deref() == Some(id));
        let most = if said { 1 } else { usize::MAX };
        let all = before.into_iter().chain(item.cautions.iter().cloned());
        let key = self.view.setup.key(Action::Cautions);
        let sign = theme.glyphs.caution();
        let all: Vec<String> = all.collect();
        let told = match said {
            true => format!("{sign} ({key} shows all) {}", all.join(" ")),
            false => format!("{sign} {}", all.join(" ")),
        };
        match all.is_empty() {
            true => Vec::new(),
            false => widgets::wrapped_to(&told, columns, most, theme.caution()),
        }
    }

    /// Said where the steps of the phase in front have no speeds.
    fn not_rated(&self, columns: usize) -> Vec<Line<'static>> {
        let phase = self.screen.plan.phases.get(self.screen.at.phase);
        let steps = phase.map_or(&[][..], |phase| &phase.steps);
        let shares = steps.iter().filter(|step| step.of_rated.is_some());
        let shares: Vec<&str> = shares.map(|step| step.title.as_str()).collect();
        if shares.is_empty() || self.screen.rated().is_some() {
            return Vec::new();
        }
        let theme = self.view.setup.theme;
        let key = self.view.setup.key(Action::Speed);
        let told = format!(
            "asked at {}: her rated speed is not told, so {key} says the speed of a step",
            shares.join(", ")
        );
        widgets::wrapped(&told, columns, theme.caution())
    }

    /// What the cell is held against: the limits, what is published of this step, and where the limits
    /// come from.
    fn held_against(&self, row: &TrialRow<'_>, item: &Item, columns: usize) -> Vec<Line<'static>> {
        let theme = self.view.setup.theme;
        let (before, machine) = (&self.screen.before, &self.screen.started.machine);
        let state = self.screen.state(self.screen.at);
        let own = before.pass_lines(item, machine, state, self.usual(item));
        let mut lines = widgets::wrapped(&format!("pass: {}", own.says), columns, theme.text());
        let published = row.step.map(|step| before.published(item, step));
        for PassLine { says, source } in published.into_iter().flatten() {
            let told = format!("published: {says} ({source})");
            lines.extend(widgets::wrapped(&told, columns, theme.text()));
        }
        let told = format!("pass lines from: {}", own.source);
        lines.extend(widgets::wrapped(&told, columns, theme.quiet()));
        lines
    }

    /// Her own usual value in the phase in front, where it may be seen.
    fn usual(&self, item: &Item) -> Option<f64> {
        let (screen, phase) = (self.screen, self.screen.phase_id(self.screen.at));
        let usual = screen
            .before
            .usual(item, &screen.started.machine, Some(phase));
        usual.filter(|_| !screen.hides_past(self.view.book, screen.at))
    }

    /// The column in front over engine speed, with its title; none where nothing of it was read at one.
    fn chart(&self, columns: usize, rows: u16) -> Option<(String, Vec<Line<'static>>)> {
        let (screen, column) = (self.screen, self.at.1);
        let item = self.item(column)?;
        let (own, unit) = (item.reading.as_ref()?.unit, screen.unit(item)?);
        let mut dots: Vec<Dot> = Vec::new();
        for row in &self.trial.rows {
            let Cell::Looks(looks) = &row.cells[column] else {
                continue;
            };
            dots.extend(looks.iter().filter_map(|t| {
                Some(Dot {
                    x: f64::from(row.rpm?),
                    y: screen.value_in(item, t.look.reading?, unit)?,
                    grade: t.look.grade()?,
                    stray: false,
                })
            }));
        }
        let speeds = || self.trial.rows.iter().filter_map(|row| row.rpm);
        let (low, high) = (speeds().min()?, speeds().max()?);
        if dots.is_empty() {
            return None;
        }
        dots.sort_by(|a, b| a.x.total_cmp(&b.x));
        let machine = &screen.started.machine;
        let state = screen.state(screen.at);
        let limits = screen.before.limits(item, machine, state, self.usual(item));
        let bands: Vec<Band> = bands_in(&limits, own, unit);
        let about = (f64::from(high - low) / 20.0).max(50.0);
        let span = (f64::from(low) - about, f64::from(high) + about);
        let ticks: Vec<(f64, String)> = round_ticks(span.0, span.1, 5)
            .into_iter()
            .map(|x| (x, figure(x)))
            .collect();
        let chart = Chart {
            dots: &dots,
            bands: &bands,
            span,
            ticks: &ticks,
            ..Chart::default()
        };
        let height = usize::from(rows.saturating_sub(1)).min(16);
        let drawn = chart.drawn(columns.saturating_sub(2), height, &self.view.setup.theme);
        let title = format!("{}, {unit}, over rpm; digits: the rung given", item.title);
        Some((title, drawn.lines))
    }
}
