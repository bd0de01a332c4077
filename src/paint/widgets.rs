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

/// Untrusted text as one span of exactly `columns`, the last of them empty, so that what stands next
/// to it never touches it.
pub fn cell(text: &str, columns: usize, style: Style) -> Span<'static> {
    Span::styled(pad(&column_text(text, columns), columns), style)
}

fn column_text(text: &str, columns: usize) -> String {
    fit(safe_line(text).trim_end(), columns.saturating_sub(1))
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

/// As many of these as fit whole side by side; the first stands in any case.
pub fn as_many(all: impl IntoIterator<Item = String>, columns: usize) -> String {
    let mut told = String::new();
    for part in all {
        let fits = width(&told) + 2 + width(&part) <= columns;
        match told.is_empty() {
            true => told = part,
            false if fits => told = format!("{told}  {part}"),
            false => break,
        }
    }
    told
}

/// As [`spread`], on as many lines as both parts take whole.
pub fn spread_whole(left: &str, right: &str, columns: usize, style: Style) -> Vec<Line<'static>> {
    match width(&safe_line(left)) + width(&safe_line(right)) < columns {
        true => vec![spread(left, right, columns, style)],
        false => [left, right]
            .into_iter()
            .filter(|part| !part.is_empty())
            .flat_map(|part| wrapped(part, columns, style))
            .collect(),
    }
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

/// As [`cell`], with the blanks in no style, so that no underline runs on.
pub fn word(text: &str, columns: usize, style: Style) -> [Span<'static>; 2] {
    let text = column_text(text, columns);
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

/// A risk as mark, word where there is room, and last its code, which looks like a rung.
pub fn risk(theme: &Theme, code: &str, risk: Risk, columns: usize) -> [Span<'static>; 2] {
    let mark = theme.glyphs.risk_mark(risk);
    let words = if columns < 8 {
        format!("{mark} {code}")
    } else {
        format!("{mark} {risk} {code}")
    };
    word(&words, columns, theme.risk(risk))
}

/// A row of a table: what stands before, a text that goes on beneath itself where its columns do not
/// hold it, and what stands behind it on the first line.
pub fn row(
    before: Vec<Span<'static>>,
    (text, columns, style): (&str, usize, Style),
    behind: Vec<Span<'static>>,
) -> Vec<Line<'static>> {
    let beside: usize = before.iter().map(|span| width(&span.content)).sum();
    let mut parts = wrap(&safe_line(text), columns.saturating_sub(1).max(1)).into_iter();
    let first = cell(&parts.next().unwrap_or_default(), columns, style);
    let first = before.into_iter().chain([first]).chain(behind);
    let more = parts.map(|part| {
        let part = Span::styled(part, style);
        Line::from(vec![Span::raw(" ".repeat(beside)), part])
    });
    [Line::from_iter(first)].into_iter().chain(more).collect()
}

/// As many of `count` rows as fit, that at `here` in sight, such a part of the height `down` at the
/// most. The terminal's cursor stands on it, unless something lies over the screen.
pub fn list<'a>(
    frame: &mut Frame<'_>,
    area: Rect,
    (count, here): (usize, usize),
    down: (usize, usize),
    covered: bool,
    mut row: impl FnMut(usize) -> Vec<Line<'a>>,
) {
    let visible = usize::from(area.height).max(1);
    let most = visible * down.0 / down.1;
    let mut beneath = Vec::new();
    for n in here..count {
        if beneath.len() >= visible {
            break;
        }
        beneath.extend(row(n));
    }
    // Towards the end of the list more of what stands above is in sight.
    let most = most.max(visible.saturating_sub(beneath.len()));
    let mut above: Vec<Line<'a>> = Vec::new();
    for n in (0..here).rev() {
        if above.len() >= most {
            break;
        }
        above.splice(0..0, row(n));
    }
    above.drain(..above.len().saturating_sub(most));
    let y = area.y + above.len() as u16;
    above.extend(beneath);
    above.truncate(visible);
    lines(frame, area, above);
    if !covered {
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
    fn what_stands_side_by_side_never_touches() {
        let style = Style::new();
        for columns in [1, 2, 5, 6, 7, 19, 20, 21] {
            let joined = [
                cell("pre-purchase survey", columns, style),
                cell("begun", 6, style),
            ];
            let joined: String = joined.iter().map(|s| s.content.as_ref()).collect();
            assert_eq!(width(&joined), columns + 6);
            assert!(joined.ends_with(" begun "), "{joined:?}");
            let joined: String = word("repaired", columns, style)
                .into_iter()
                .chain([Span::raw("renew")])
                .map(|s| s.content.into_owned())
                .collect();
            assert!(joined.ends_with(" renew"), "{joined:?}");
        }
        assert_eq!(cell("0 sound", 8, style).content, "0 sound ");
        assert_eq!(cell("0 sound", 7, style).content, "0 sou… ");
    }

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
