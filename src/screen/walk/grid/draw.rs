//! Draws the grid of engine speeds: the cells, beneath them what the one in front says, what it is held
//! against, and its column over engine speed.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::checklist::{Band, Item};
use crate::defects::pass_lines::{PassLine, still_climbing};
use crate::keys::Action;
use crate::paint::chart::{Chart, Dot};
use crate::paint::scale::{bands_in, decimals_of};
use crate::paint::widgets::{self, cell, line};
use crate::screen::kind::View;
use crate::screen::walk::state::WalkScreen;
use crate::text::{figure, round_ticks, safe_line, width, wrap};
use crate::walk::{Cell, TimedLook, Trial, TrialRow};

/// Columns of a row's pointer, its step and its speed.
const HEAD: usize = 21;
/// Columns of one cell.
const CELL: usize = 12;
/// Lines that what the cell says has at the least.
const BENEATH: u16 = 7;
/// From so many columns, and lines beneath the grid, the column in front is drawn over engine speed.
const CHART: (u16, u16) = (76, 10);
/// Lines a title of a column may take.
const TITLE: usize = 2;

/// What is drawn, and where one is in it.
struct Seen<'a> {
    view: &'a View<'a>,
    screen: &'a WalkScreen,
    trial: Trial<'a>,
    at: (usize, usize),
}

/// Draws the grid below the head of the walk.
pub fn draw(view: &View<'_>, screen: &WalkScreen, frame: &mut Frame<'_>, area: Rect) {
    let Some(trial) = screen.trial(view.book) else {
        return;
    };
    let Some(at) = screen.in_front(&trial) else {
        return;
    };
    let seen = Seen {
        view,
        screen,
        trial,
        at,
    };
    let (first, last) = seen.shown(usize::from(area.width));
    let head = seen.titles(first, last);
    let rows = (head.len() + seen.trial.rows.len() + 1) as u16;
    let most = area.height.saturating_sub(BENEATH).max(4);
    let parts = [Constraint::Length(rows.min(most)), Constraint::Fill(1)];
    let [above, below] = Layout::vertical(parts).areas(area);
    let parts = [Constraint::Length(head.len() as u16), Constraint::Fill(1)];
    let [titles, body] = Layout::vertical(parts).areas(above);
    widgets::lines(frame, titles, head);
    let parts = [Constraint::Fill(1), Constraint::Length(1)];
    let [body, legend] = Layout::vertical(parts).areas(body);
    let legend_line = seen.legend(first, last, usize::from(legend.width));
    widgets::lines(frame, legend, vec![legend_line]);
    let row = |n: usize| vec![seen.row(n, first, last)];
    let rows = (seen.trial.rows.len(), at.0);
    widgets::list(frame, body, rows, (1, 2), true, row);
    seen.draw_beneath(frame, below);
    if !view.covered {
        let y = body.y + (at.0 as u16).min(body.height.saturating_sub(1));
        frame.set_cursor_position(Position { x: area.x, y });
    }
}

impl Seen<'_> {
    /// The columns in sight, always by the screenful, the one in front among them.
    fn shown(&self, columns: usize) -> (usize, usize) {
        let all = self.trial.columns.len();
        let room = (columns.saturating_sub(HEAD) / CELL).clamp(1, all);
        let first = (self.at.1 / room * room).min(all - room);
        (first, first + room)
    }

    fn item(&self, column: usize) -> Option<&Item> {
        let catalogue = &self.screen.before.library.catalogue;
        catalogue.item(self.trial.columns[column])
    }

    /// The titles above the columns, and the units beneath them.
    fn titles(&self, first: usize, last: usize) -> Vec<Line<'static>> {
        let theme = self.view.setup.theme;
        let titles: Vec<Vec<String>> = (first..last)
            .map(|column| {
                let item = self.item(column);
                let id = self.trial.columns[column];
                let title = item.map_or(id, |item| item.title.as_str());
                let mut lines = wrap(&safe_line(title), CELL - 2);
                lines.truncate(TITLE);
                lines.resize(TITLE, String::new());
                let unit = item.and_then(|item| self.screen.unit(item));
                lines.push(unit.map(|unit| unit.to_string()).unwrap_or_default());
                lines
            })
            .collect();
        let lines = (0..=TITLE).map(|n| {
            let style = |column: usize| match column == self.at.1 {
                true if n < TITLE => theme.title(),
                _ => theme.quiet(),
            };
            let mut spans = vec![cell("", HEAD, theme.quiet())];
            spans.extend(titles.iter().enumerate().map(|(column, title)| {
                cell(&format!(" {}", title[n]), CELL, style(first + column))
            }));
            Line::from(spans)
        });
        lines.collect()
    }

    fn row(&self, n: usize, first: usize, last: usize) -> Line<'static> {
        let theme = self.view.setup.theme;
        let row = &self.trial.rows[n];
        let here = n == self.at.0;
        let style = if here { theme.title() } else { theme.text() };
        let pointer = if here { theme.glyphs.pointer() } else { " " };
        let (step, speed) = named(row);
        let mut spans = vec![
            Span::styled(pointer.to_owned(), style),
            cell(&step, HEAD - 9, style),
            Span::styled(format!("{speed:<8}"), style),
        ];
        for column in first..last {
            let at = here && column == self.at.1;
            let (text, own) = self.cell(row, column);
            let pointer = if at { theme.glyphs.pointer() } else { " " };
            let text = format!("{pointer}{text}");
            let taken = width(&text).min(CELL);
            let style = if at { theme.selected() } else { own };
            spans.push(Span::styled(crate::text::fit(&text, CELL - 1), style));
            spans.push(Span::raw(" ".repeat(CELL - taken.min(CELL - 1))));
        }
        Line::from(spans)
    }

    /// What stands in a cell, and how.
    fn cell(&self, row: &TrialRow<'_>, column: usize) -> (String, Style) {
        let theme = self.view.setup.theme;
        match &row.cells[column] {
            Cell::NotAsked => ("-".to_owned(), theme.quiet()),
            Cell::Once => ("once".to_owned(), theme.quiet()),
            Cell::Unseen => match self.typed(row, column) {
                Some(value) => (format!("{value} (?)"), theme.caution()),
                None => (theme.glyphs.unseen().to_owned(), theme.quiet()),
            },
            Cell::Looks(looks) => {
                let last = looks.last();
                let grade = last.and_then(|t| t.look.grade());
                let Some((last, grade)) = last.zip(grade) else {
                    return ("x".to_owned(), theme.caution());
                };
                let text = match self.value(column, last) {
                    Some(value) => format!("{value} ({})", grade.rung()),
                    None => format!("{} {grade}", grade.rung()),
                };
                (text, theme.grade(grade))
            }
        }
    }

    /// The reading of a look in the unit of its column.
    fn value(&self, column: usize, timed: &TimedLook) -> Option<String> {
        let unit = self.screen.unit(self.item(column)?)?;
        let value = timed.look.reading?.value_in(unit)?;
        Some(format!("{value:.*}", decimals_of(value).min(2)))
    }

    /// A reading typed ahead of its look, at this speed.
    fn typed(&self, row: &TrialRow<'_>, column: usize) -> Option<String> {
        let item = self.item(column)?;
        let phase = &self.screen.plan.phases.get(row.phase?)?.id;
        let mut drafts = self.view.book.history().drafts.iter();
        let mine = drafts.find(|d| {
            d.walk == self.screen.started.walk
                && (&d.phase, &d.item) == (phase, &item.id)
                && d.details.at_rpm == row.rpm
        })?;
        let unit = self.screen.unit(item)?;
        let value = mine.details.reading?.value_in(unit)?;
        Some(format!("{value:.*}", decimals_of(value).min(2)))
    }

    /// What the signs mean, and which columns are out of sight.
    fn legend(&self, first: usize, last: usize, columns: usize) -> Line<'static> {
        let theme = self.view.setup.theme;
        let all = self.trial.columns.len();
        let (less, more) = (theme.glyphs.pick("‹", "<"), theme.glyphs.pick("›", ">"));
        let less = if first > 0 { less } else { " " };
        let more = if last < all { more } else { " " };
        let of = format!("{less} {} to {last} of {all} {more}", first + 1);
        let of = (last - first < all).then_some(of);
        let unseen = theme.glyphs.unseen();
        let has = |sort: fn(&Cell<'_>) -> bool| {
            let mut cells = self.trial.rows.iter().flat_map(|row| &row.cells);
            cells.any(sort)
        };
        let once = has(|cell| *cell == Cell::Once);
        let once = once.then(|| "once: seen at another speed".to_owned());
        let signs = [
            "(0) rung".to_owned(),
            format!("{unseen} not read"),
            "- not asked at this speed".to_owned(),
            "x not seen".to_owned(),
        ];
        let told = of.into_iter().chain(signs).chain(once);
        line(&widgets::as_many(told, columns), columns, theme.quiet())
    }

    fn draw_beneath(&self, frame: &mut Frame<'_>, area: Rect) {
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
    fn words(&self, area: Rect) -> Vec<Line<'static>> {
        let theme = self.view.setup.theme;
        let columns = usize::from(area.width);
        let (row, column) = (&self.trial.rows[self.at.0], self.at.1);
        let Some(item) = self.item(column) else {
            return Vec::new();
        };
        let phase = row.phase.and_then(|p| self.screen.plan.phases.get(p));
        let title = phase.map_or("", |phase| &phase.title);
        let held = row.step.and_then(|step| step.minutes);
        let held = held.map(|minutes| format!("; held {minutes} min"));
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
        lines.extend(climbing.flat_map(|said| widgets::wrapped(said, columns, theme.caution())));
        lines.extend(self.cautions(item, columns));
        for (n, PassLine { says, source }) in self.pass_lines(row, item).into_iter().enumerate() {
            let name = if n == 0 { "pass" } else { "published" };
            let told = format!("{name}: {says}");
            lines.extend(widgets::wrapped(&told, columns, theme.text()));
            let told = format!("source: {source}");
            lines.extend(widgets::wrapped(&told, columns, theme.quiet()));
        }
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
            return (told, theme.caution());
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

    /// What the cell is held against: the limits, then what is published of this step.
    fn pass_lines(&self, row: &TrialRow<'_>, item: &Item) -> Vec<PassLine> {
        let (before, machine) = (&self.screen.before, &self.screen.started.machine);
        let state = self.screen.state(self.screen.at);
        let own = before.pass_lines(item, machine, state, self.usual(item));
        let published = row.step.map(|step| before.published(item, step));
        [own]
            .into_iter()
            .chain(published.into_iter().flatten())
            .collect()
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
                    y: t.look.reading?.value_in(unit)?,
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
        let lines = chart.lines(columns.saturating_sub(2), height, &self.view.setup.theme);
        let title = format!("{}, {unit}, over rpm; digits: the rung given", item.title);
        Some((title, lines))
    }
}

/// The step of a row and its speed, as they stand before its cells.
fn named(row: &TrialRow<'_>) -> (String, String) {
    let share = row.of_rated.map(|share| format!("{share:.0} %"));
    let step = row.step.map(|step| step.title.clone());
    let speed = match (row.rpm, row.step) {
        (Some(rpm), _) => format!("{rpm} rpm"),
        (None, Some(step)) if step.of_rated.is_none() => String::new(),
        (None, _) => "no speed".to_owned(),
    };
    (step.or(share).unwrap_or_default(), speed)
}
