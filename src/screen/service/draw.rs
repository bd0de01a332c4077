//! Draws what is due.

use chrono::{Datelike, Months, NaiveDate, Weekday};
use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::checklist::UnknownAge;
use crate::defects::doubt::Doubt;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::paint::widgets::{self, cell, line};
use crate::screen::kind::{Shown, View};
use crate::screen::service::{ServiceScreen, rows};
use crate::service::calendar::{MONTH_WIDTH, Month, first_of, months_from};
use crate::service::{DueRow, Group, What};

/// Between two months.
const GAP: usize = 2;
/// Lines of a month at the most, with the empty one beneath.
const MONTH_HEIGHT: usize = 9;
/// So many lines of the list stay below the months.
const LEAST_LIST: usize = 7;
/// Ranks of months at the most: a year where six stand abreast.
const MOST_RANKS: usize = 2;

/// Why the row under the arrow is due takes so many lines at the most.
const fn why_lines(height: usize) -> usize {
    if height < 20 { 2 } else { 3 }
}

impl Shown for ServiceScreen {
    fn context(&self) -> Context {
        Context::Service
    }

    fn doubts(&self) -> Option<&[Doubt]> {
        Some(&self.condition.doubts)
    }

    /// Pictures stand in the help alone: few tasks have one, and the footer holds no more.
    fn offers(&self, action: Action) -> bool {
        action != Action::Photo
    }

    /// The list, or the months with the list of the one chosen, and why the chosen row is due.
    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let theme = view.setup.theme;
        let columns = usize::from(area.width);
        let height = usize::from(area.height);
        let mut lines = title(view, self, columns);
        if self.calendar {
            lines.extend(calendar(view, self, columns, height));
        }
        let why = self.row().map(|row| format!("{}.", row.why));
        let mut why = widgets::wrapped(&why.unwrap_or_default(), columns, theme.quiet());
        let beneath = why_lines(height);
        why.truncate(beneath);
        let visible = height.saturating_sub(lines.len() + beneath).max(1);
        let (list, here) = list(view, self, columns);
        // The heading above the first row stays in sight with it.
        let first = here
            .saturating_sub(visible * 2 / 3)
            .min(list.len().saturating_sub(visible));
        let above = lines.len();
        lines.extend(list.into_iter().skip(first).take(visible));
        lines.resize(
            height.saturating_sub(beneath).max(lines.len()),
            Line::default(),
        );
        lines.extend(why);
        widgets::lines(frame, area, lines);
        if !view.covered && !self.shown.is_empty() {
            let y = (above + here - first).min(height.saturating_sub(1));
            frame.set_cursor_position(Position {
                x: area.x,
                y: area.y + y as u16,
            });
        }
    }

    /// The row under the arrow stays under it.
    fn renew(&mut self, book: &Book) -> bool {
        let here = self.row().cloned();
        self.condition = book.condition();
        self.rows = rows(&self.condition, book);
        self.show();
        self.go_to(here.as_ref());
        true
    }
}

fn title(view: &View<'_>, screen: &ServiceScreen, columns: usize) -> Vec<Line<'static>> {
    let count = |of: Group| {
        let rows = screen.shown.iter().map(|n| &screen.rows[*n]);
        rows.filter(|(group, _)| *group == of).count()
    };
    let now = count(Group::Now);
    let left = match screen.calendar {
        true => format!("What is due: {now} now · * due  < today  ! today or overdue"),
        false => {
            let told = |group: Group, words: &str| match count(group) {
                0 => String::new(),
                rows => format!(", {rows} {words}"),
            };
            let launch = told(Group::AtLaunch, "at launch");
            let first = told(Group::FirstSeason, "of unknown age");
            let rows = screen.shown.len();
            format!("What is due: {now} now{launch}{first}, {rows} rows")
        }
    };
    let right = match &screen.machine {
        Some(machine) => machine.clone(),
        None if screen.condition.boat.machines.len() > 1 => "all machines".to_owned(),
        None => String::new(),
    };
    widgets::spread_whole(&left, &right, columns, view.setup.theme.title())
}

/// The lines of the list, and which of them is under the arrow.
fn list(view: &View<'_>, screen: &ServiceScreen, columns: usize) -> (Vec<Line<'static>>, usize) {
    let theme = view.setup.theme;
    let today = screen.today();
    let month = screen.month();
    let mut lines = Vec::new();
    let mut here = 0;
    let mut told = None;
    for (place, at) in screen.shown.iter().enumerate() {
        let (group, row) = &screen.rows[*at];
        let of = row.calendar_day(today).map(first_of);
        // The chosen month comes first, those after it where there is room.
        if screen.calendar && of < Some(month) {
            continue;
        }
        let heading = match of.filter(|_| screen.calendar) {
            Some(of) => of.format("%B %Y").to_string(),
            None => group.title().to_owned(),
        };
        if told.as_ref() != Some(&heading) {
            lines.push(line(&heading, columns, theme.quiet()));
            told = Some(heading);
        }
        let selected = place == screen.cursor;
        if selected {
            here = lines.len();
        }
        lines.extend(row_lines(view, screen, row, selected, columns));
    }
    if lines.is_empty() {
        let none = match screen.calendar {
            true => "nothing has a date",
            false => "nothing is due",
        };
        lines.push(line(none, columns, theme.quiet()));
    }
    (lines, here)
}

/// A row; its title goes on beneath itself where one line does not hold it.
fn row_lines(
    view: &View<'_>,
    screen: &ServiceScreen,
    row: &DueRow,
    here: bool,
    columns: usize,
) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let style = if here { theme.selected() } else { theme.text() };
    let quiet = if here {
        theme.selected()
    } else {
        theme.quiet()
    };
    let late = if here { theme.selected() } else { theme.mark() };
    let pointer = if here { theme.glyphs.pointer() } else { " " };
    // What is due by its age being unknown, or by the time she is launched, is no alarm.
    let left = match row.due && !row.at_launch && row.unknown_age.is_none() {
        true => late,
        false => style,
    };
    let hours = row.hours_left.filter(|_| row.unknown_age.is_none());
    let hours = hours.map(|h| over(h, "h", row.due)).unwrap_or_default();
    // What follows from the rate of use is a day, and no part of one.
    let days = row.due_date.map(|d| (d - screen.today()).num_days() as f64);
    let days = match row.unknown_age {
        Some(UnknownAge::Due) => "do".to_owned(),
        Some(UnknownAge::Look) => "look".to_owned(),
        None => days.map(|d| over(d, "d", row.due)).unwrap_or_default(),
    };
    let about = if row.about { "≈" } else { "" };
    let date = row.due_date.map(|d| format!("{about}{d}"));
    let kind = match row.what {
        What::Task => "service",
        What::Standing => "look",
        other => other.as_str(),
    };
    let mut spans = vec![
        Span::styled(format!("{pointer} "), style),
        cell(&format!("{hours:>11}"), 12, left),
        cell(&format!("{days:>11}"), 12, left),
        cell(&format!("{:>11}", date.unwrap_or_default()), 12, style),
    ];
    let mut used = 38;
    if columns >= 76 {
        spans.push(cell(kind, 8, quiet));
        used += 8;
    }
    if columns >= 110 {
        let at = row
            .due_hours
            .map(|h| format!("at {h} h"))
            .unwrap_or_default();
        spans.push(cell(&at, 14, quiet));
        used += 14;
    }
    let mut what = row.title.clone();
    if let Some(machine) = &row.machine
        && screen.condition.boat.machines.len() > 1
        && screen.machine.is_none()
    {
        what = format!("{what} [{machine}]");
    }
    let room = columns.saturating_sub(used);
    widgets::row(spans, (&what, room, style), Vec::new())
}

/// How much is left, or how much it is over. What is still to come is never said to be now.
fn over(left: f64, unit: &str, due: bool) -> String {
    match left {
        l if l <= -1.0 => format!("{:.0} {unit} over", -l),
        l if l <= 0.0 && due => "now".to_owned(),
        l if l < 1.0 => format!("<1 {unit}"),
        l => format!("{l:.0} {unit}"),
    }
}

/// Months side by side, those around the chosen one.
fn calendar(
    view: &View<'_>,
    screen: &ServiceScreen,
    columns: usize,
    height: usize,
) -> Vec<Line<'static>> {
    let today = screen.today();
    let abreast = ((columns + GAP) / (MONTH_WIDTH + GAP)).max(1);
    let ranks = height.saturating_sub(1 + LEAST_LIST + why_lines(height)) / MONTH_HEIGHT;
    let count = abreast * ranks.clamp(1, MOST_RANKS);
    let chosen = screen.month();
    let ahead = (chosen.year() - today.year()) * 12 + chosen.month() as i32 - today.month() as i32;
    let skipped = ahead.max(0) as usize / count * count;
    let start = first_of(today).checked_add_months(Months::new(skipped as u32));
    let rows = screen.shown.iter().map(|n| &screen.rows[*n].1);
    let dates: Vec<Option<NaiveDate>> = rows.map(|row| row.calendar_day(today)).collect();
    let months = months_from(start.unwrap_or(today), today, count as u32, &dates);
    let day = screen.row().and_then(|row| row.calendar_day(today));
    let mut lines = Vec::new();
    for rank in months.chunks(abreast) {
        let drawn: Vec<Vec<Vec<Span<'static>>>> = rank
            .iter()
            .map(|month| month_lines(view, month, chosen, day))
            .collect();
        for n in 0..MONTH_HEIGHT - 1 {
            let mut spans = Vec::new();
            for month in &drawn {
                if !spans.is_empty() {
                    spans.push(Span::raw(" ".repeat(GAP)));
                }
                spans.extend(month.get(n).cloned().unwrap_or_default());
            }
            lines.push(Line::from(spans));
        }
        if months.len() > abreast {
            lines.push(Line::default());
        }
    }
    // A month of five weeks leaves an empty line at its end already.
    while lines
        .last()
        .is_some_and(|l| l.to_string().trim().is_empty())
    {
        lines.pop();
    }
    lines.push(Line::default());
    lines
}

/// The lines of one month: its name with how many things fall in it, the days of the week, then its
/// weeks with the day of the chosen row under the arrow.
fn month_lines(
    view: &View<'_>,
    month: &Month,
    chosen: NaiveDate,
    day: Option<NaiveDate>,
) -> Vec<Vec<Span<'static>>> {
    let theme = view.setup.theme;
    let name = month.first.format("%B %Y").to_string();
    let count = match month.rows.len() {
        0 => String::new(),
        n => format!("{n} due"),
    };
    let room = MONTH_WIDTH.saturating_sub(name.len());
    let heading = if month.first == chosen {
        theme.selected()
    } else {
        theme.title()
    };
    let mut lines = vec![vec![Span::styled(format!("{name}{count:>room$}"), heading)]];
    let monday = month.first.week(Weekday::Mon).first_day();
    let here = day.filter(|d| first_of(*d) == month.first).map(|d| {
        let days = (d - monday).num_days();
        ((days / 7) as usize, (days % 7) as usize)
    });
    for (n, line) in month.lines.iter().enumerate().skip(1) {
        let cells = line.as_bytes().chunks(3).enumerate();
        let spans = cells.map(|(weekday, three)| {
            let three = String::from_utf8_lossy(three).into_owned();
            let style: Style = match three.chars().nth(2) {
                _ if n == 1 => theme.quiet(),
                _ if here == Some((n - 2, weekday)) => theme.selected(),
                Some('*' | '!') => theme.mark(),
                _ => theme.text(),
            };
            Span::styled(three, style)
        });
        lines.push(spans.collect());
    }
    lines
}
