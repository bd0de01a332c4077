//! Draws the end of a walk.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::defects::before_start::BeforeStart;
use crate::defects::doubt::Doubt;
use crate::defects::verdict::{gone, lead, nothing_against};
use crate::keys::Context;
use crate::logbook::book::Book;
use crate::paint::widgets::{self, cell, line};
use crate::screen::causes::told::short_lines;
use crate::screen::kind::{Shown, View};
use crate::screen::verdict::VerdictScreen;
use crate::screen::verdict::survey::survey_lines;
use crate::walk::pace::Pace;

/// So many lines tell what is behind the findings.
const BEHIND: usize = 3;

impl Shown for VerdictScreen {
    fn context(&self) -> Context {
        Context::Verdict
    }

    fn machine(&self) -> Option<&str> {
        Some(&self.walk.machine)
    }

    /// Draws the verdict.
    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let all = all_lines(view, self, usize::from(area.width));
        let first = self
            .scroll
            .min(all.len().saturating_sub(usize::from(area.height)));
        widgets::lines(frame, area, all.into_iter().skip(first).collect());
    }

    fn renew(&mut self, book: &Book) -> bool {
        let now = VerdictScreen::new(book, &self.walk.id, self.pace);
        let (scroll, is_first) = (self.scroll, self.is_first);
        let now = now.map(|now| VerdictScreen {
            scroll,
            is_first,
            ..now
        });
        now.map(|now| *self = now).is_some()
    }

    fn doubts(&self) -> Option<&[Doubt]> {
        Some(&self.condition.doubts)
    }
}

/// What comes before starting, with its heading and a line after it; nothing where there is none.
pub fn chore_lines(view: &View<'_>, chores: &[BeforeStart], columns: usize) -> Vec<Line<'static>> {
    if chores.is_empty() {
        return Vec::new();
    }
    let theme = view.setup.theme;
    let mut lines = vec![line("Before you start", columns, theme.title())];
    for chore in chores {
        let wrapped = widgets::wrapped(&chore.words(), columns.saturating_sub(2), theme.caution());
        lines.extend(wrapped.into_iter().map(indented));
    }
    lines.push(Line::default());
    lines
}

fn all_lines(view: &View<'_>, screen: &VerdictScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let walk = &screen.walk;
    let hours = walk
        .hours
        .map_or("meter not read".to_owned(), |h| format!("{h} h"));
    let when = walk.at.format("%-d %b %Y %H:%M");
    let left = format!("{} · {when} · {hours}", screen.title);
    let right = format!("{} of {} rows seen", screen.seen.0, screen.seen.1);
    let mut lines = widgets::spread_whole(&left, &right, columns, theme.title());
    for told in &screen.issued {
        lines.extend(widgets::wrapped(told, columns, theme.quiet()));
    }
    lines.push(Line::default());
    lines.extend(chore_lines(view, &screen.chores, columns));
    match (walk.finished, screen.judged.now) {
        (None, _) => lines.push(line("not finished: no verdict", columns, theme.caution())),
        (Some(_), None) if screen.survey => lines.extend(survey_lines(view, screen, columns)),
        (Some(_), None) if screen.judged.at_walk.is_some() => lines.push(line(
            &format!("no verdict now: {}", gone(&screen.condition, walk)),
            columns,
            theme.caution(),
        )),
        (Some(_), None) => {
            let (told, style) = match nothing_against(&screen.condition, walk) {
                Some(told) => (told, theme.quiet()),
                None => ("its checklist is not known here any more", theme.caution()),
            };
            let told = format!("no verdict: {told}");
            lines.extend(widgets::wrapped(&told, columns, style));
        }
        (Some(_), Some(now)) => {
            let words = now.spoken();
            lines.push(Line::from(Span::styled(
                format!("  {words}  "),
                theme.verdict(now),
            )));
            let at_walk = screen.judged.at_walk.filter(|v| *v != now);
            if let Some(then) = at_walk {
                let told = format!("  at the walk: {}", then.spoken());
                lines.push(line(&told, columns, theme.quiet()));
            }
            for told in screen.judged.said_in_words() {
                let told = format!("  {told}");
                lines.extend(widgets::wrapped(&told, columns, theme.quiet()));
            }
            let day = screen.condition.day_ahead();
            let told = format!(
                "  over the day ahead: {:.0} h, {:.0} d, {} waters",
                day.hours, day.days, screen.condition.boat.waters
            );
            lines.push(line(&told, columns, theme.quiet()));
        }
    }
    if let Some(next) = &screen.next {
        lines.extend(widgets::wrapped(next, columns, theme.text()));
    }
    if let Some(told) = walk.of_a_guest() {
        lines.extend(widgets::wrapped(&told, columns, theme.mark()));
    }
    if let Some(spite) = &screen.judged.run_in_spite_of {
        let told = format!("  {} {}", theme.glyphs.caution(), spite.sentence());
        lines.extend(widgets::wrapped(&told, columns, theme.caution()));
    }
    let behind = short_lines(
        view,
        screen.behind.as_ref(),
        columns.saturating_sub(2),
        BEHIND,
    );
    lines.extend(behind.into_iter().map(indented));
    lines.push(Line::default());
    for ground in &screen.judged.reasons {
        let item = screen.condition.library.catalogue.item(&ground.item);
        let title = item.map_or(ground.item.as_str(), |i| &i.title);
        let (grade, style) = match ground.grade {
            Some(g) => (format!("{} {g}", g.rung()), theme.grade(g)),
            None => (theme.glyphs.unseen().to_owned(), theme.quiet()),
        };
        let words = format!("{}{}", lead(title), ground.rule);
        let wrapped = widgets::wrapped(&words, columns.saturating_sub(13), theme.text());
        for (n, line) in wrapped.into_iter().enumerate() {
            let shown = if n == 0 { grade.as_str() } else { "" };
            let mut spans = vec![Span::raw("  ")];
            spans.extend(widgets::word(shown, 11, style));
            spans.extend(line.spans.into_iter().map(|s| s.style(line.style)));
            lines.push(Line::from(spans));
        }
    }
    if screen.judged.now.is_some() && screen.judged.reasons.is_empty() {
        lines.push(line("  nothing stands against it", columns, theme.text()));
    }
    if !screen.levels.is_empty() {
        lines.push(Line::default());
        lines.push(line("Levels and quantities", columns, theme.title()));
        for (title, told) in &screen.levels {
            let words = format!("{title}: {told}");
            let wrapped = widgets::wrapped(&words, columns.saturating_sub(2), theme.text());
            lines.extend(wrapped.into_iter().map(indented));
        }
    }
    if !screen.survey || screen.walk.finished.is_none() {
        lines.extend(change_lines(view, screen, columns));
        lines.extend(unseen_lines(view, screen, columns));
    }
    if let Some(pace) = screen.pace.filter(Pace::hurried) {
        let told = format!(
            "Half the rows took under {} s; looking at them takes about {} s. The record keeps the pace.",
            pace.median_seconds.max(1),
            pace.looking_seconds
        );
        lines.push(Line::default());
        lines.extend(widgets::wrapped(&told, columns, theme.quiet()));
    }
    lines.push(Line::default());
    let honest = "This records what was seen and certifies nothing. The maker's handbook, local codes and licensed practice come first.";
    lines.extend(widgets::wrapped(honest, columns, theme.quiet()));
    lines
}

fn indented(line: Line<'static>) -> Line<'static> {
    let mut spans = vec![Span::raw("  ")];
    spans.extend(line.spans.into_iter().map(|s| s.style(line.style)));
    Line::from(spans)
}

fn change_lines(view: &View<'_>, screen: &VerdictScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let mut lines = Vec::new();
    if screen.changes.is_empty() && screen.added.is_empty() {
        return vec![
            Line::default(),
            line("Nothing changed since last time.", columns, theme.text()),
        ];
    }
    lines.push(Line::default());
    lines.push(line("Changed since last time", columns, theme.title()));
    for change in &screen.changes {
        let before = change
            .before
            .map_or(theme.glyphs.unseen().to_owned(), |g| g.rung().to_string());
        let note = change
            .note
            .as_ref()
            .map(|n| format!(" ({n})"))
            .unwrap_or_default();
        let mut spans = vec![cell(&format!("  {before} → "), 7, theme.quiet())];
        spans.extend(widgets::grade(&theme, change.after, 10));
        let what = format!("{}{note}", change.title);
        let room = columns.saturating_sub(17);
        lines.extend(widgets::row(spans, (&what, room, theme.text()), Vec::new()));
    }
    for (title, amount) in &screen.added {
        let told = format!("topped up  {title}: {amount}");
        let room = columns.saturating_sub(2);
        let told = (told.as_str(), room, theme.text());
        lines.extend(widgets::row(vec![Span::raw("  ")], told, Vec::new()));
    }
    lines
}

fn unseen_lines(view: &View<'_>, screen: &VerdictScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let not_seen = &screen.judged.not_seen;
    if not_seen.is_empty() {
        return Vec::new();
    }
    let mut lines = vec![
        Line::default(),
        line(
            &format!("Not seen: {}", not_seen.len()),
            columns,
            theme.title(),
        ),
    ];
    for n in not_seen {
        let title = screen
            .condition
            .library
            .catalogue
            .item(&n.item)
            .map_or(n.item.as_str(), |i| &i.title);
        let why = n.reason.as_deref().unwrap_or("no reason given");
        let told = format!("{title}: {why}");
        let told = (told.as_str(), columns.saturating_sub(2), theme.text());
        lines.extend(widgets::row(vec![Span::raw("  ")], told, Vec::new()));
    }
    lines
}
