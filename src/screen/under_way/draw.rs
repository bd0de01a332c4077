//! Draws being under way: what is left and when the next round is due, what is due at it, the day of a
//! figure against what is usual, the last rounds.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::Line;

use crate::checklist::watch_round::cautions;
use crate::defects::doubt::Doubt;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::paint::day_chart::DayChart;
use crate::paint::theme::Theme;
use crate::paint::widgets::{self, line};
use crate::screen::kind::{Shown, View};
use crate::screen::under_way::UnderWayScreen;
use crate::screen::under_way::afloat::Running;

/// From this width on the chart stands beside the rest.
const BESIDE: u16 = 118;
/// Columns of the chart there.
const CHART: u16 = 56;
/// Lines of the chart with its words at the least, and at the most.
const CHART_LINES: [usize; 2] = [6, 14];
/// Lines of the last rounds at the least.
const ROUNDS: usize = 3;
/// Said where she lies.
const LYING: &str = "She lies. Enter gets her under way: plan, meter, fuel, minutes between rounds. Before leaving: F8.";
/// Said beneath what is due.
const SHEET: &str =
    "r types figures, e types up the paper sheet, F3 tells what is not usual, f: she is in.";

impl Shown for UnderWayScreen {
    fn context(&self) -> Context {
        match self.now.running {
            Some(_) => Context::UnderWay,
            None => Context::Lying,
        }
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let theme = view.setup.theme;
        if area.width >= BESIDE {
            let columns = [Constraint::Fill(1), Constraint::Length(CHART)];
            let [left, right] = Layout::horizontal(columns).spacing(2).areas(area);
            let height = usize::from(right.height).min(2 * CHART_LINES[1]);
            let lines = self.chart(&theme, usize::from(right.width), height);
            widgets::lines(frame, right, lines);
            return self.draw_column(view, frame, left, 0);
        }
        self.draw_column(view, frame, area, CHART_LINES[1]);
    }

    fn renew(&mut self, book: &Book) -> bool {
        self.read(book);
        true
    }

    fn offers(&self, action: Action) -> bool {
        match action {
            Action::FilterMachine => self.now.condition.boat.machines.len() > 1,
            Action::Undo => self.now.last_at.is_some(),
            _ => true,
        }
    }

    fn machine(&self) -> Option<&str> {
        Some(&self.machine)
    }

    fn doubts(&self) -> Option<&[Doubt]> {
        Some(&self.now.condition.doubts)
    }
}

impl UnderWayScreen {
    /// Everything but the chart, which takes at most so many lines in it.
    fn draw_column(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect, chart: usize) {
        let theme = view.setup.theme;
        let (columns, height) = (usize::from(area.width), usize::from(area.height));
        let mut lines = self.head(&theme, columns);
        lines.truncate(height.saturating_sub(ROUNDS));
        let spare = (height - lines.len()).saturating_sub(ROUNDS + 1);
        let [least, _] = CHART_LINES;
        let unchanging = self.unchanging(&theme, columns);
        // What changes with every round comes before what stands there always.
        if chart == 0 || spare >= unchanging.len() + least {
            let most = spare.saturating_sub(unchanging.len());
            lines.extend(unchanging);
            if chart > 0 {
                lines.extend(self.chart(&theme, columns, chart.min(most)));
            }
        } else if spare >= least {
            lines.extend(self.chart(&theme, columns, chart.min(spare)));
        } else if spare > 0 {
            lines.extend(self.figure_words(&theme, columns));
        }
        lines.truncate(height.saturating_sub(ROUNDS));
        let rounds = height - lines.len();
        lines.extend(self.rounds(&theme, columns, rounds));
        let foot = lines.len().saturating_sub(1);
        widgets::lines(frame, area, lines);
        if !view.covered {
            let y = area.y + (foot as u16).min(area.height.saturating_sub(1));
            frame.set_cursor_position(Position { x: area.x, y });
        }
    }

    /// What is left, when the next round is due, what is said of the last one, what is due.
    fn head(&self, theme: &Theme, columns: usize) -> Vec<Line<'static>> {
        let machines = &self.now.condition.boat.machines;
        let machine = machines.iter().find(|m| m.id == self.machine);
        let name = machine.map_or(self.machine.as_str(), |m| &m.name);
        let notes = self.now.condition.notes();
        let notes = notes
            .iter()
            .flat_map(|note| widgets::wrapped(note, columns, theme.mark()));
        let Some(running) = &self.now.running else {
            let mut lines = vec![line(&format!("Under way: {name}"), columns, theme.title())];
            lines.extend(notes);
            lines.extend(widgets::wrapped(LYING, columns, theme.text()));
            if !self.now.missed.is_empty() {
                let told = format!(
                    "Missed rounds of the last time: {}; e types them up from the paper sheet.",
                    self.now.missed.len()
                );
                lines.extend(widgets::wrapped(&told, columns, theme.text()));
            }
            return lines;
        };
        let plan = running.plan.as_deref().unwrap_or("no plan");
        let (due, late) = self.next(running);
        let style = if late { theme.caution() } else { theme.title() };
        let left = format!("Under way: {plan}, {name}");
        let mut lines = widgets::spread_whole(&left, &due, columns, style);
        lines.extend(notes);
        let said = self.now.said.said.iter();
        for said in said {
            let style = match said.order {
                Some(_) => theme.error(),
                None => theme.caution(),
            };
            lines.extend(widgets::wrapped(&said.words.join(" "), columns, style));
        }
        lines.extend(widgets::wrapped(
            &running.left.words(),
            columns,
            theme.text(),
        ));
        let fuel = if running.left.is_short() {
            theme.caution()
        } else {
            theme.text()
        };
        lines.extend(widgets::wrapped(&running.left.fuel_words(), columns, fuel));
        if let Some(shaft) = &running.shaft {
            let style = if shaft.is_over() {
                theme.caution()
            } else {
                theme.text()
            };
            lines.extend(widgets::wrapped(&shaft.words(), columns, style));
        }
        if let Some(worst) = &running.worst {
            let orders = worst.order_words();
            let told = worst.words(&running.left);
            let all: Vec<String> = orders.into_iter().chain(told).collect();
            let style = if worst.stops_her() {
                theme.error()
            } else {
                theme.text()
            };
            lines.extend(widgets::wrapped(&all.join(" "), columns, style));
        }
        let looks = running.due.looks.iter().map(|look| look.look.as_str());
        let standing = running.due.standing.iter().map(|look| look.look.as_str());
        let looks: Vec<&str> = looks.chain(standing).collect();
        let due = format!("Due this round: {}.", looks.join("; "));
        lines.extend(widgets::wrapped(&due, columns, theme.text()));
        let found = running.due.found.iter();
        lines.extend(found.flat_map(|(look, found)| {
            let told = format!("Not as usual: {}: {found}", look.look);
            widgets::wrapped(&told, columns, theme.mark())
        }));
        lines
    }

    /// What is said at every round: of what no usual is known, the cautions, the keys.
    fn unchanging(&self, theme: &Theme, columns: usize) -> Vec<Line<'static>> {
        if self.now.running.is_none() {
            return Vec::new();
        }
        let unjudged = self.now.said.unjudged_words();
        let caution = format!("! {}", cautions().join(" "));
        let told = unjudged.into_iter().chain([caution, SHEET.to_owned()]);
        told.flat_map(|told| widgets::wrapped(&told, columns, theme.quiet()))
            .collect()
    }

    /// When the next round is due, and whether it is late.
    fn next(&self, running: &Running) -> (String, bool) {
        let Some(due) = running.next else {
            return (String::new(), false);
        };
        let clock = due.format("%H:%M");
        match (due - self.now.at).num_minutes() {
            minutes if minutes < 0 || due < self.now.at => (
                format!("LATE by {} min, due {clock}", running.late(self.now.at)),
                true,
            ),
            minutes => (format!("next round {clock}, in {minutes} min"), false),
        }
    }

    /// The figure whose day is drawn: what was read last, and what is usual.
    fn figure_words(&self, theme: &Theme, columns: usize) -> Vec<Line<'static>> {
        let Some(day) = self.now.figures.get(self.figure) else {
            return Vec::new();
        };
        vec![line(&day.words, columns, theme.title())]
    }

    /// Its chart, in exactly so many lines.
    fn chart(&self, theme: &Theme, columns: usize, height: usize) -> Vec<Line<'static>> {
        let Some(day) = self.now.figures.get(self.figure) else {
            return Vec::new();
        };
        let mut lines = self.figure_words(theme, columns);
        let hours = |at: &chrono::DateTime<chrono::FixedOffset>| {
            (*at - self.now.at).num_seconds() as f64 / 3600.0
        };
        let missed: Vec<f64> = self.now.missed.iter().map(hours).collect();
        let first = day
            .points
            .first()
            .map_or(-1.0, |(x, _)| x.floor())
            .min(-1.0);
        let label = |before: f64| {
            let at = self.now.at + chrono::Duration::minutes((before * 60.0) as i64);
            (before, at.format("%H:%M").to_string())
        };
        let ticks = [label(0.0), label(first), label(first / 2.0)];
        let chart = DayChart {
            points: &day.points,
            usual: day.usual,
            missed: &missed,
            span: (first, 0.0),
            ticks: &ticks,
        };
        if day.points.is_empty() {
            let told = "Not read today; r types figures, up and down choose another.";
            lines.extend(widgets::wrapped(told, columns, theme.quiet()));
        } else {
            lines.extend(chart.lines(columns, height.saturating_sub(1), theme));
        }
        lines.resize(height, Line::default());
        lines
    }

    /// The last rounds, the newest at the foot, in exactly so many lines.
    fn rounds(&self, theme: &Theme, columns: usize, height: usize) -> Vec<Line<'static>> {
        if height == 0 {
            return Vec::new();
        }
        let rows = &self.now.rows;
        let until = rows.len().saturating_sub(self.back);
        let from = until.saturating_sub(height - 1);
        let more = match self.back {
            0 => "",
            _ => "; pgdn to the last",
        };
        let head = match rows.is_empty() {
            true => "Nothing is on record of being under way.".to_owned(),
            false => format!("Rounds {} to {until} of {}{more}", from + 1, rows.len()),
        };
        let mut lines = vec![line(&head, columns, theme.quiet())];
        lines.extend(rows.get(from..until).unwrap_or_default().iter().map(|row| {
            let style = if row.missed {
                theme.mark()
            } else {
                theme.text()
            };
            line(&row.words, columns, style)
        }));
        lines.resize(height, Line::default());
        lines
    }
}
