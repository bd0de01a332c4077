//! Draws the boat screen.

use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::defects::doubt::Doubt;
use crate::defects::judged::lead;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::paint::widgets::{self, cell, line, risk, text};
use crate::screen::boat::BoatScreen;
use crate::screen::boat::Entry;
use crate::screen::kind::{Shown, View};

/// So many things to do before starting are shown there.
const CHORES_SHOWN: usize = 3;

impl Shown for BoatScreen {
    fn context(&self) -> Context {
        Context::Boat
    }

    fn machine(&self) -> Option<&str> {
        let machines = &self.condition.boat.machines;
        machines.get(self.machine).map(|m| m.id.as_str())
    }

    /// The boat, her machine, what to begin, how she stands.
    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let theme = view.setup.theme;
        let columns = usize::from(area.width);
        let boat = view.book.boat();
        let machine = boat.machines.get(self.machine);
        let id = machine.map(|m| m.id.as_str());
        let meter = self.condition.meter_now(id);
        let about = if meter.estimated { "≈" } else { "" };
        let rate = self.condition.rate(id).per_day * crate::assess::rate::DAYS_PER_MONTH;
        let name = machine.map_or("", |m| m.name.as_str());
        let several = if boat.machines.len() > 1 {
            format!(" ({} of {})", self.machine + 1, boat.machines.len())
        } else {
            String::new()
        };
        let date = self.condition.now.format("%a %-d %b %Y %H:%M").to_string();
        let mut lines = vec![
            widgets::spread(
                &boat.name,
                &format!("{} waters · {date}", boat.waters),
                columns,
                theme.title(),
            ),
            widgets::spread(
                &format!("{name}{several} · {about}{:.1} h", meter.hours),
                &format!("≈{rate:.0} h a month"),
                columns,
                theme.text(),
            ),
            // What is overdue takes the line that is empty else, so that it moves nothing.
            line(
                self.overdue.as_deref().unwrap_or_default(),
                columns,
                theme.mark(),
            ),
        ];
        let cursor_row = lines.len() + self.cursor;
        for (n, entry) in self.entries.iter().enumerate() {
            let here = n == self.cursor;
            let pointer = if here { theme.glyphs.pointer() } else { " " };
            let style = if here { theme.selected() } else { theme.text() };
            let beside = if here {
                theme.selected()
            } else {
                theme.quiet()
            };
            let title = 26.min(columns / 2);
            lines.push(Line::from(vec![
                Span::styled(format!("{pointer} "), style),
                cell(&entry.title, title, style),
                cell(&entry.beside, columns.saturating_sub(title + 2), beside),
            ]));
        }
        lines.push(Line::default());
        lines.extend(self.chore_lines(view, columns));
        lines.extend(verdict_lines(view, self, columns));
        lines.push(Line::default());
        let room = usize::from(area.height);
        let mut foot = owed_lines(view, self, columns);
        // The heading and four rows of what to fix first come before more than one next look.
        let spare = room.saturating_sub(lines.len() + 5 + foot.len());
        foot.extend(next_lines(view, self, columns, spare));
        lines.extend(defect_lines(view, self, columns));
        lines.truncate(room.saturating_sub(foot.len()));
        lines.extend(foot);
        widgets::lines(frame, area, lines);
        if !view.covered {
            frame.set_cursor_position(Position {
                x: area.x,
                y: area.y + cursor_row as u16,
            });
        }
    }

    /// The arrow stays on what it would begin.
    fn renew(&mut self, book: &Book) -> bool {
        let now = BoatScreen::new(book, self.machine);
        let here = self.entries.get(self.cursor);
        let same =
            |e: &Entry| here.is_some_and(|h| (&h.walk, &h.checklist) == (&e.walk, &e.checklist));
        let last = now.entries.len().saturating_sub(1);
        let place = now.entries.iter().position(same);
        let cursor = place.unwrap_or(self.cursor.min(last));
        let put_back = std::mem::take(&mut self.put_back);
        *self = BoatScreen {
            cursor,
            put_back,
            ..now
        };
        true
    }

    fn offers(&self, action: Action) -> bool {
        match action {
            Action::PutBack => self.chores.iter().any(|chore| chore.of.is_some()),
            Action::Undo => !self.put_back.is_empty(),
            _ => true,
        }
    }

    fn doubts(&self) -> Option<&[Doubt]> {
        Some(&self.condition.doubts)
    }
}

impl BoatScreen {
    /// What comes before starting, a line each; the verdict and the report say all of it.
    fn chore_lines(&self, view: &View<'_>, columns: usize) -> Vec<Line<'static>> {
        if self.chores.is_empty() {
            return Vec::new();
        }
        let theme = view.setup.theme;
        let mut lines = vec![line("Before you start", columns, theme.title())];
        let told = self.chores.iter().take(CHORES_SHOWN);
        let told = told.map(|c| line(&format!("  {}", c.words()), columns, theme.caution()));
        lines.extend(told);
        if let Some(more) = self
            .chores
            .len()
            .checked_sub(CHORES_SHOWN)
            .filter(|n| *n > 0)
        {
            lines.push(line(&format!("  and {more} more"), columns, theme.quiet()));
        }
        lines
    }
}

fn verdict_lines(view: &View<'_>, screen: &BoatScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let Some((verdict, reasons)) = &screen.verdict else {
        let told = "no finished morning check yet: no verdict";
        return vec![line(told, columns, theme.quiet())];
    };
    let words = verdict.spoken();
    let day = screen.condition.day_ahead();
    let mut lines = vec![Line::from(vec![
        Span::styled(format!(" {words} "), theme.verdict(*verdict)),
        text(
            &format!(
                "  as of now, over the day ahead ({:.0} h, {:.0} d)",
                day.hours, day.days
            ),
            columns.saturating_sub(words.len() + 2),
            theme.quiet(),
        ),
    ])];
    for ground in reasons.iter().take(3) {
        let item = screen.condition.library.catalogue.item(&ground.item);
        let title = item.map_or(ground.item.as_str(), |i| &i.title);
        let grade = ground
            .grade
            .map(|g| format!("{} {g}: ", g.rung()))
            .unwrap_or_default();
        lines.push(line(
            &format!("  {}{grade}{}", lead(title), ground.rule),
            columns,
            theme.text(),
        ));
    }
    if reasons.len() > 3 {
        let more = format!("  and {} more", reasons.len() - 3);
        lines.push(line(&more, columns, theme.quiet()));
    }
    lines
}

fn defect_lines(view: &View<'_>, screen: &BoatScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let rows = &screen.list.rows;
    let exposure = screen.list.scenario.exposure;
    let head = format!(
        "Fix first, over {:.0} h and {:.0} d: {} open, {} items unseen",
        exposure.hours,
        exposure.days,
        rows.len(),
        screen.list.unseen.len()
    );
    let mut lines = vec![line(&head, columns, theme.quiet())];
    if rows.is_empty() {
        lines.push(line("  nothing open", columns, theme.saved()));
    }
    // Until when is more than the word of a risk, whose mark and code stay where it is narrow.
    let risk_columns = if columns >= 66 { 14 } else { 5 };
    let until = "fix by 30 Nov ".len();
    for row in rows {
        let title = columns.saturating_sub(2 + risk_columns + 12 + until);
        let title = title.clamp(12, 34);
        let rest = columns.saturating_sub(2 + risk_columns + title + 12);
        let beside = row.fix_within.map(|w| match w.date {
            _ if w.over => "fix now".to_owned(),
            Some(date) => format!("fix by {}", date.format("%-d %b")),
            None => String::new(),
        });
        let mut spans = vec![Span::raw("  ")];
        spans.extend(risk(&theme, &row.code, row.risk, risk_columns));
        spans.push(cell(&row.title, title, theme.text()));
        spans.push(Span::raw(" "));
        spans.extend(widgets::grade(&theme, row.grade, 11));
        spans.push(text(&beside.unwrap_or_default(), rest, theme.quiet()));
        lines.push(Line::from(spans));
    }
    lines
}

/// What to look at next, one line at least where there is anything.
fn next_lines(
    view: &View<'_>,
    screen: &BoatScreen,
    columns: usize,
    spare: usize,
) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let rows = screen.next.iter().take(spare.max(1));
    let mut label = "look next: ";
    rows.map(|look| {
        let title = columns.saturating_sub(11 + 11 + 20).clamp(12, 34);
        let rest = columns.saturating_sub(11 + title + 12);
        let when = match (look.within.date, look.within.hours) {
            _ if look.due => "due now".to_owned(),
            (Some(date), _) => format!("by {}", date.format("%-d %b %Y")),
            (None, Some(hours)) => format!("within {hours:.0} h"),
            (None, None) => "no limit".to_owned(),
        };
        let mut spans = vec![cell(std::mem::take(&mut label), 11, theme.quiet())];
        spans.push(cell(&look.title, title, theme.text()));
        spans.push(Span::raw(" "));
        spans.extend(widgets::grade(&theme, look.grade, 11));
        let style = if look.due {
            theme.mark()
        } else {
            theme.quiet()
        };
        spans.push(text(&when, rest, style));
        Line::from(spans)
    })
    .collect()
}

fn owed_lines(view: &View<'_>, screen: &BoatScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let owed = screen.owed.iter().take(3);
    owed.map(|(title, why)| line(&format!("owed: {title}: {why}"), columns, theme.mark()))
        .collect()
}
