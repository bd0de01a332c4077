//! Pieces the screens share: lines of text that fit, ages, risk tags.

use chrono::{DateTime, FixedOffset};
use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};
use ratatui::widgets::{Block, Clear, Padding, Paragraph};

use crate::assess::words::Risk;
use crate::checklist::Grade;
use crate::paint::theme::Theme;
use crate::text::{fit, pad, safe_line, width, wrap};

/// Draws lines from the top of an area, as far as they fit.
pub fn lines(frame: &mut Frame<'_>, area: Rect, lines: Vec<Line<'_>>) {
    if area.width > 0 && area.height > 0 {
        frame.render_widget(Paragraph::new(lines), area.intersection(frame.area()));
    }
}

/// Untrusted text as one span of at most `columns`.
pub fn text(text: &str, columns: usize, style: Style) -> Span<'static> {
    Span::styled(fit(&safe_line(text), columns), style)
}

/// Untrusted text as a line of at most `columns`.
pub fn line(words: &str, columns: usize, style: Style) -> Line<'static> {
    Line::from(text(words, columns, style))
}

/// Untrusted text as one span of exactly `columns`.
pub fn cell(text: &str, columns: usize, style: Style) -> Span<'static> {
    Span::styled(pad(&fit(&safe_line(text), columns), columns), style)
}

/// Untrusted text wrapped to a width, each line in a style.
pub fn wrapped(text: &str, columns: usize, style: Style) -> Vec<Line<'static>> {
    wrap(&crate::text::safe_text(text), columns.max(1))
        .into_iter()
        .map(|l| Line::styled(l, style))
        .collect()
}

/// Untrusted text wrapped to a width, cut with a mark after so many lines.
pub fn wrapped_to(text: &str, columns: usize, most: usize, style: Style) -> Vec<Line<'static>> {
    let mut lines = wrapped(text, columns, style);
    if lines.len() > most {
        let rest: Vec<String> = lines
            .drain(most.saturating_sub(1)..)
            .map(|l| l.to_string())
            .collect();
        lines.push(line(&rest.join(" "), columns, style));
    }
    lines
}

/// Left and right parts on one line, the right one kept, the left one cut.
pub fn spread(left: &str, right: &str, columns: usize, style: Style) -> Line<'static> {
    let right = fit(&safe_line(right), columns);
    let room = columns.saturating_sub(width(&right) + 1);
    let left = pad(&fit(&safe_line(left), room), room);
    Line::styled(format!("{left} {right}"), style)
}

/// How long ago, in the largest unit that says enough.
pub fn age(since: DateTime<FixedOffset>, now: DateTime<FixedOffset>) -> String {
    let minutes = (now - since).num_minutes();
    match minutes {
        m if m < 0 => "later".to_owned(),
        m if m < 60 => format!("{m} min ago"),
        m if m < 36 * 60 => format!("{} h ago", m / 60),
        m if m < 60 * 24 * 60 => format!("{} d ago", (m + 720) / 1440),
        m => format!("{} mo ago", m / 43_830),
    }
}

/// A word in its style and blanks up to `columns` in none, so that no underline runs on.
pub fn word(text: &str, columns: usize, style: Style) -> [Span<'static>; 2] {
    let text = fit(&safe_line(text), columns);
    let blanks = columns.saturating_sub(width(&text));
    [Span::styled(text, style), Span::raw(" ".repeat(blanks))]
}

/// A grade as digit and word.
pub fn grade(theme: &Theme, grade: Grade, columns: usize) -> [Span<'static>; 2] {
    word(
        &format!("{} {grade}", grade.rung()),
        columns,
        theme.grade(grade),
    )
}

/// A risk as mark, code and, where there is room, word.
pub fn risk(theme: &Theme, code: &str, risk: Risk, columns: usize) -> [Span<'static>; 2] {
    let mark = theme.glyphs.risk_mark(risk);
    let words = if columns < 8 {
        format!("{mark} {code}")
    } else {
        format!("{mark} {code} {risk}")
    };
    word(&words, columns, theme.risk(risk))
}

/// As many of `count` lines as fit, that at `here` in sight, such a part of the rows `down` at the
/// most. The terminal's cursor stands on it, unless something lies over the screen.
pub fn list<'a>(
    frame: &mut Frame<'_>,
    area: Rect,
    (count, here): (usize, usize),
    down: (usize, usize),
    covered: bool,
    row: impl FnMut(usize) -> Line<'a>,
) {
    let visible = usize::from(area.height).max(1);
    let first = here.saturating_sub(visible * down.0 / down.1);
    let first = first.min(count.saturating_sub(visible));
    let shown = (first..count).take(visible).map(row).collect();
    lines(frame, area, shown);
    if !covered {
        let y = area.y + (here - first) as u16;
        frame.set_cursor_position(Position { x: area.x, y });
    }
}

/// A box for a question at the foot of an area, so that what is asked about stays in sight above it;
/// cleared beneath; the area inside it.
pub fn panel(
    frame: &mut Frame<'_>,
    whole: Rect,
    theme: &Theme,
    title: &str,
    wanted: (u16, u16),
) -> Rect {
    let (width, height) = (wanted.0.min(whole.width), wanted.1.min(whole.height));
    let area = Rect {
        x: whole.x + (whole.width - width) / 2,
        y: whole.y + whole.height - height,
        width,
        height,
    };
    let room = usize::from(width).saturating_sub(4);
    let block = Block::bordered()
        .border_style(theme.quiet())
        .style(theme.text())
        .padding(Padding::horizontal(1))
        .title(text(&format!(" {title} "), room, theme.title()));
    let inside = block.inner(area);
    frame.render_widget(Clear, area);
    frame.render_widget(block, area);
    inside
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    #[test]
    fn ages_are_said_in_the_largest_unit_that_says_enough() {
        let at = |text: &str| DateTime::parse_from_rfc3339(text).expect("a time");
        let now = at("2026-05-03T08:00:00Z");
        assert_eq!(age(at("2026-05-03T07:31:00Z"), now), "29 min ago");
        assert_eq!(age(at("2026-05-02T08:00:00Z"), now), "24 h ago");
        assert_eq!(age(at("2026-05-01T08:00:00Z"), now), "2 d ago");
        assert_eq!(age(at("2025-11-03T08:00:00Z"), now), "5 mo ago");
        assert_eq!(age(at("2026-05-04T08:00:00Z"), now), "later");
    }
}
