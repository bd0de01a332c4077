//! Draws the grid of engine speeds.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::checklist::Item;
use crate::paint::scale::decimals_of;
use crate::paint::widgets::{self, cell, line};
use crate::screen::kind::View;
use crate::screen::walk::state::WalkScreen;
use crate::text::{fit, safe_line, width, wrap};
use crate::walk::{Cell, TimedLook, Trial, TrialRow};

/// Columns of a row's pointer, its step and its speed.
const HEAD: usize = 21;
/// Columns of one cell.
const CELL: usize = 13;
/// Lines that what the cell says has at the least, where it is as long.
const BENEATH: u16 = 7;
/// Lines a title of a column may take.
const TITLE: usize = 3;

/// What is drawn, and where one is in it.
pub(super) struct Seen<'a> {
    pub(super) view: &'a View<'a>,
    pub(super) screen: &'a WalkScreen,
    pub(super) trial: Trial<'a>,
    pub(super) at: (usize, usize),
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
    let beneath = seen.words(area).len() as u16;
    let most = area.height.saturating_sub(beneath.min(BENEATH)).max(4);
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
    widgets::list(frame, body, rows, (1, 2), view.covered, row);
    seen.draw_beneath(frame, below);
}

impl Seen<'_> {
    /// The columns in sight, always by the screenful, the one in front among them.
    fn shown(&self, columns: usize) -> (usize, usize) {
        let all = self.trial.columns.len();
        let room = (columns.saturating_sub(HEAD) / CELL).clamp(1, all);
        let first = (self.at.1 / room * room).min(all - room);
        (first, first + room)
    }

    pub(super) fn item(&self, column: usize) -> Option<&Item> {
        self.screen.catalogue.item(self.trial.columns[column])
    }

    /// The titles above the columns, and the units beneath them.
    fn titles(&self, first: usize, last: usize) -> Vec<Line<'static>> {
        let theme = self.view.setup.theme;
        let titles: Vec<Vec<String>> = (first..last).map(|n| self.title(n)).collect();
        let most = titles.iter().map(Vec::len).max().unwrap_or_default();
        let unit = |column: usize| {
            let unit = self.screen.unit(self.item(column)?)?;
            Some(unit.to_string())
        };
        let lines = (0..=most).map(|n| {
            let style = |column: usize| match column == self.at.1 {
                true => theme.title(),
                false => theme.quiet(),
            };
            let mut spans = vec![cell("", HEAD, theme.quiet())];
            spans.extend((first..last).zip(&titles).map(|(column, title)| {
                let text = match n < most {
                    true => title.get(n).cloned(),
                    false => unit(column),
                };
                let text = format!(" {}", text.unwrap_or_default());
                cell(&text, CELL, style(column))
            }));
            Line::from(spans)
        });
        lines.collect()
    }

    /// The title of a column in lines; a long word goes on behind its hyphen.
    fn title(&self, column: usize) -> Vec<String> {
        let id = self.trial.columns[column];
        let title = self.item(column).map_or(id, |item| item.title.as_str());
        let title = safe_line(title);
        let words = title.split(' ').map(|word| match width(word) > CELL - 2 {
            true => word.replace('-', "- "),
            false => word.to_owned(),
        });
        let mut lines = wrap(&words.collect::<Vec<_>>().join(" "), CELL - 2);
        lines.truncate(TITLE);
        lines
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
            spans.push(Span::styled(fit(&text, CELL - 1), style));
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
            seen @ Cell::Looks(_) => {
                let last = seen.look();
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
        let item = self.item(column)?;
        let unit = self.screen.unit(item)?;
        let value = self.screen.value_in(item, timed.look.reading?, unit)?;
        Some(format!("{value:.*}", decimals_of(value).min(2)))
    }

    /// A reading typed ahead of its look, at this speed.
    pub(super) fn typed(&self, row: &TrialRow<'_>, column: usize) -> Option<String> {
        let item = self.item(column)?;
        let phase = &self.screen.plan.phases.get(row.phase?)?.id;
        let mut drafts = self.view.book.history().drafts.iter();
        let mine = drafts.find(|d| {
            d.walk == self.screen.started.walk
                && (&d.phase, &d.item) == (phase, &item.id)
                && d.details.at_rpm == row.rpm
        })?;
        let unit = self.screen.unit(item)?;
        let value = self.screen.value_in(item, mine.details.reading?, unit)?;
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
