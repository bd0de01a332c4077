//! Draws the boat screen.

use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::checklist::Grade;
use crate::defects::State;
use crate::defects::doubt::Doubt;
use crate::defects::verdict::lead;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::paint::widgets::{self, cell, line, risk, text};
use crate::screen::boat::BoatScreen;
use crate::screen::boat::Entry;
use crate::screen::causes::told::{long_lines, short_lines};
use crate::screen::kind::{Shown, View};
use crate::text::width;

/// From so many columns on what is behind findings stands beside how she stands, so far from it.
const BESIDE: usize = 120;
const GAP: usize = 3;
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
        let hours = match id.filter(|id| self.condition.knows_meter(id)) {
            Some(id) => {
                let meter = self.condition.meter_now(Some(id));
                let about = if meter.estimated { "≈" } else { "" };
                format!("{about}{:.1} h", meter.hours)
            }
            None => "no meter read".to_owned(),
        };
        let rate = self.condition.rate(id).per_day * crate::assess::rate::DAYS_PER_MONTH;
        let name = machine.map_or("", |m| m.name.as_str());
        let several = if boat.machines.len() > 1 {
            format!(" ({} of {})", self.machine + 1, boat.machines.len())
        } else {
            String::new()
        };
        // Nothing wakes at rest, and a clock that stands still tells the wrong time.
        let date = self.condition.now.format("%a %-d %b %Y").to_string();
        let mut lines = vec![
            widgets::spread(
                &boat.name,
                &format!("{} waters · {date}", boat.waters),
                columns,
                theme.title(),
            ),
            widgets::spread(
                &format!("{name}{several} · {hours}"),
                &format!("≈{rate:.0} h a month"),
                columns,
                theme.text(),
            ),
        ];
        // What is overdue takes the line that is empty else, so that it moves nothing.
        let overdue = self.overdue.as_deref().unwrap_or_default();
        lines.extend(widgets::wrapped(overdue, columns, theme.mark()));
        let behind = self.behind.as_ref().filter(|behind| behind.is_said());
        let beside = behind.filter(|_| columns >= BESIDE);
        let columns = match beside.is_some() {
            true => columns * 3 / 5,
            false => columns,
        };
        let mut cursor_row = lines.len();
        let low = area.height < 20;
        let mut hidden = 0;
        for (n, entry) in self.entries.iter().enumerate() {
            let here = n == self.cursor;
            if low && !here && entry.is_aside {
                hidden += 1;
                continue;
            }
            let pointer = if here { theme.glyphs.pointer() } else { " " };
            let style = if here { theme.selected() } else { theme.text() };
            let beside = if here {
                theme.selected()
            } else {
                theme.quiet()
            };
            if here {
                cursor_row = lines.len();
            }
            let title = 28.min(columns / 2);
            let pointer = vec![Span::styled(format!("{pointer} "), style)];
            let room = columns.saturating_sub(title + 2);
            let told = vec![cell(&entry.beside, room, beside)];
            lines.extend(widgets::row(pointer, (&entry.title, title, style), told));
        }
        // One that is hidden costs as little room as the words that it is.
        match hidden {
            0 | 1 => lines.push(Line::default()),
            more => lines.push(Line::styled(
                format!("  {more} more by the arrows"),
                theme.quiet(),
            )),
        }
        lines.extend(self.chore_lines(view, columns));
        let told_from = lines.len();
        let most = match (low, behind.is_some()) {
            (true, true) => 1,
            (true, false) => 3,
            (false, _) => 4,
        };
        lines.extend(verdict_lines(view, self, columns, most));
        if beside.is_none() {
            lines.extend(short_lines(view, behind, columns, if low { 2 } else { 3 }));
        }
        if !low {
            lines.push(Line::default());
        }
        let room = usize::from(area.height);
        let mut foot = owed_lines(view, self, columns, if low { 2 } else { 4 });
        // The heading and four rows of what to fix first come before more than one next look.
        let spare = room.saturating_sub(lines.len() + 5 + foot.len());
        foot.extend(next_lines(view, self, columns, spare));
        lines.extend(defect_lines(view, self, columns));
        lines.truncate(room.saturating_sub(foot.len()));
        lines.extend(foot);
        widgets::lines(frame, area, lines);
        if let Some(behind) = beside {
            let (x, y) = ((columns + GAP) as u16, (told_from as u16).min(area.height));
            let right = Rect {
                x: area.x + x,
                y: area.y + y,
                width: area.width - x,
                height: area.height - y,
            };
            let told = long_lines(view, behind, usize::from(right.width));
            widgets::lines(frame, right, told);
        }
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
        let told = told.map(|c| indented(&c.words(), columns, theme.caution()));
        lines.extend(told.flatten());
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

/// Wrapped words behind two blanks.
fn indented(words: &str, columns: usize, style: Style) -> Vec<Line<'static>> {
    widgets::row(
        vec![Span::raw("  ")],
        (words, columns.saturating_sub(2), style),
        Vec::new(),
    )
}

/// How she stands and what makes it so: reasons as far as so many lines hold them whole, one at
/// least.
fn verdict_lines(
    view: &View<'_>,
    screen: &BoatScreen,
    columns: usize,
    most: usize,
) -> Vec<Line<'static>> {
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
    let (mut named, mut used) = (0, 0);
    for ground in reasons.iter().take(3) {
        let item = screen.condition.library.catalogue.item(&ground.item);
        let title = item.map_or(ground.item.as_str(), |i| &i.title);
        // What is sound by its rung stands here for another reason.
        let grade = ground.grade.filter(|g| *g != Grade::Sound);
        let grade = grade.map(|g| format!("{} {g}: ", g.rung()));
        let words = format!(
            "{}{}{}",
            lead(title),
            grade.unwrap_or_default(),
            ground.rule
        );
        let told = indented(&words, columns, theme.text());
        if named > 0 && used + told.len() > most {
            break;
        }
        (named, used) = (named + 1, used + told.len());
        lines.extend(told);
    }
    if reasons.len() > named {
        let more = format!("  and {} more", reasons.len() - named);
        lines.push(line(&more, columns, theme.quiet()));
    }
    lines
}

fn defect_lines(view: &View<'_>, screen: &BoatScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let rows = &screen.list.rows;
    let exposure = screen.list.scenario.exposure;
    let repaired = rows.iter().filter(|r| r.state == State::Repaired).count();
    let to_look_at = match repaired {
        0 => String::new(),
        n => format!(", {n} repaired to look at"),
    };
    let counts = format!(
        "{} open{to_look_at}, {} items unseen",
        rows.len() - repaired,
        screen.list.unseen.len()
    );
    let (hours, days) = (exposure.hours, exposure.days);
    let mut head = format!("Fix first, over {hours:.0} h and {days:.0} d: {counts}");
    // How many are unseen is more than over what they are ranked.
    if width(&head) > columns {
        head = format!("Fix first: {counts}");
    }
    let mut lines = vec![line(&head, columns, theme.quiet())];
    if rows.is_empty() {
        lines.push(line("  nothing open", columns, theme.saved()));
    }
    // Until when is more than the word of a risk, whose mark and code stay where it is narrow.
    let risk_columns = if columns >= 66 { 14 } else { 5 };
    let until = "look by 30 Nov ".len();
    for row in rows {
        let title = columns.saturating_sub(2 + risk_columns + 12 + until);
        let title = title.clamp(12, 34);
        let rest = columns.saturating_sub(2 + risk_columns + title + 12);
        let repaired = row.state == State::Repaired;
        let (within, does) = match repaired {
            true => (row.look_again_within, "look"),
            false => (row.fix_within, "fix"),
        };
        let beside = within.map(|w| match w.date {
            _ if w.over => format!("{does} now"),
            Some(date) => format!("{does} by {}", date.format("%-d %b")),
            None => String::new(),
        });
        let mut spans = vec![Span::raw("  ")];
        spans.extend(risk(&theme, &row.code, row.risk, risk_columns));
        let mut behind = vec![Span::raw(" ")];
        behind.extend(match repaired {
            true => widgets::word(row.state.as_str(), 11, theme.mark()),
            false => widgets::grade(&theme, row.grade, 11),
        });
        behind.push(text(&beside.unwrap_or_default(), rest, theme.quiet()));
        lines.extend(widgets::row(
            spans,
            (&row.title, title, theme.text()),
            behind,
        ));
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
    rows.flat_map(|look| {
        // Which it is and until when is more than its rung, where it is narrow.
        let rung = if columns < 76 { 0 } else { 11 };
        let title = columns.saturating_sub(11 + rung + 20).clamp(12, 34);
        let rest = columns.saturating_sub(11 + title + 1 + rung);
        let when = match (look.within.date, look.within.hours) {
            _ if look.due => "due now".to_owned(),
            (Some(date), _) => format!("by {}", date.format("%-d %b %Y")),
            (None, Some(hours)) => format!("within {hours:.0} h"),
            (None, None) => "no limit".to_owned(),
        };
        let label = vec![cell(std::mem::take(&mut label), 11, theme.quiet())];
        let mut spans = vec![Span::raw(" ")];
        spans.extend(widgets::grade(&theme, look.grade, rung));
        let style = if look.due {
            theme.mark()
        } else {
            theme.quiet()
        };
        spans.push(text(&when, rest, style));
        widgets::row(label, (&look.title, title, theme.text()), spans)
    })
    .collect()
}

/// Looks owed now, as far as so many lines hold them whole, one at least.
fn owed_lines(
    view: &View<'_>,
    screen: &BoatScreen,
    columns: usize,
    most: usize,
) -> Vec<Line<'static>> {
    let style = view.setup.theme.mark();
    let told = |(title, why): &(String, String), more: &str| {
        widgets::wrapped(&format!("owed: {title}: {why}{more}"), columns, style)
    };
    let all = screen.owed.len();
    let whole = |count: &usize| {
        let shown = screen.owed.iter().take(*count);
        shown.map(|owed| told(owed, "").len()).sum::<usize>() <= most
    };
    let count = (1..=all.min(3)).rev().find(whole).unwrap_or(1);
    let shown = screen.owed.iter().take(count).enumerate();
    shown
        .flat_map(|(n, owed)| {
            let more = match all - count {
                left if left > 0 && n + 1 == count => format!("; and {left} more"),
                _ => String::new(),
            };
            told(owed, &more)
        })
        .collect()
}
