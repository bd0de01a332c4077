//! The upright ladder of an item: sound is the top rung, failed the floor.
//!
//! ```text
//! ◦ ┣━0━┫ sound    dry, no crust  ◂ 2 d ago
//! ┊ ┠─1─┨ early    salt stain or damp
//! ▾ ┠─2─┨ worn     a drop forms and hangs
//!   ┠─3─┨ failing  drops fall, rust trail
//!   ┸─4─┸ failed   a stream, or seized
//! ```
//!
//! The heavy rung is where the item stood at the last look. The rung pressed now carries an arrow
//! that points the way the item went, with a dotted line from the rung it left.

use ratatui::style::{Modifier, Style};
use ratatui::text::{Line, Span};

use crate::checklist::words::Grade;
use crate::paint::theme::Theme;
use crate::text::{fit, pad, safe_line, width, wrap};

/// Narrower ladders than this show a rung as its rails and its digit.
const ROOMY: usize = 40;
/// Columns of the longest word, "failing".
const WORD: usize = 7;
/// A text is not cut below this for the sake of an age.
const LEAST_TEXT: usize = 14;

/// What a ladder shows.
#[derive(Clone, Copy, Debug)]
pub struct LadderView<'a> {
    /// How this item looks at each rung, sound first.
    pub texts: [&'a str; 5],
    /// The rung of the last look, and how long ago that was.
    pub last: Option<(Grade, &'a str)>,
    /// The rung that a reading or a leak class proposes.
    pub proposed: Option<Grade>,
    /// The rung pressed.
    pub chosen: Option<Grade>,
    /// Columns there are.
    pub width: u16,
    /// A text that does not fit beside its rung goes on below it, where there is the height.
    pub tall: bool,
}

/// The ladder as five lines (more where it is tall) of at most `view.width` columns. The chosen
/// line fills its width.
pub fn ladder_lines(view: &LadderView<'_>, theme: &Theme) -> Vec<Line<'static>> {
    let columns = usize::from(view.width);
    let texts = view.texts.map(safe_line);
    let longest = texts
        .iter()
        .map(|text| width(text))
        .max()
        .unwrap_or_default();
    Grade::ALL
        .iter()
        .zip(&texts)
        .flat_map(|(grade, text)| row(view, theme, *grade, text, longest, columns))
        .collect()
}

fn row(
    view: &LadderView<'_>,
    theme: &Theme,
    grade: Grade,
    text: &str,
    longest: usize,
    columns: usize,
) -> Vec<Line<'static>> {
    let roomy = columns >= ROOMY;
    let is_last = view.last.is_some_and(|(last, _)| last == grade);
    let chosen = view.chosen == Some(grade);
    let told = is_last || chosen || view.proposed == Some(grade);

    let sign = gutter(view, theme, grade);
    let gutter = if roomy {
        format!("{sign} ")
    } else {
        sign.to_owned()
    };
    let [left, right] = rails(theme, grade, is_last, roomy);
    let word = format!(" {}", pad(grade.as_str(), WORD));
    let space = if roomy { "  " } else { " " };
    let head = width(&gutter) + width(left) + 1 + width(right) + width(&word) + space.len();

    let room = columns.saturating_sub(head);
    let need = width(text);
    let tail = match view.last {
        Some((_, age)) if is_last => tail(
            theme.glyphs.last(),
            &safe_line(age),
            room,
            need.min(LEAST_TEXT),
        ),
        _ if view.proposed == Some(grade) => tail(theme.glyphs.proposed(), "proposed", room, need),
        _ => String::new(),
    };
    let text_room = room.saturating_sub(width(&tail));
    let (first, rest) = split(text, text_room, view.tall);
    let mut text = fit(&first, text_room);
    // The age stands close behind the texts, where the eye is, and clear of the longest.
    if !tail.is_empty() {
        text = pad(&text, text_room.min(longest));
    }

    // Only rungs that say something take a colour; five at once would say nothing.
    let rail = if is_last { theme.text() } else { theme.quiet() };
    let [digit_style, word_style] = if told {
        [
            theme.grade(grade).add_modifier(Modifier::BOLD),
            theme.grade(grade),
        ]
    } else {
        [theme.key(), theme.text()]
    };
    let digit = grade.rung().to_string();
    let spans = [
        (gutter, theme.mark()),
        (left.to_owned(), rail),
        (digit, digit_style),
        (right.to_owned(), rail),
        (" ".to_owned(), theme.text()),
        (word.trim().to_owned(), word_style),
        (
            " ".repeat(WORD - grade.as_str().len()) + space,
            theme.text(),
        ),
        (text, theme.text()),
        (tail, theme.quiet()),
    ];
    // The pressed rung is one bar in the colour of its grade.
    let bar = chosen.then(|| Style {
        fg: theme.grade(grade).fg,
        ..theme.selected()
    });
    let mut lines = vec![line(spans, columns, bar)];
    if !rest.is_empty() {
        let rails = if grade == Grade::Failed {
            ""
        } else {
            under(theme, roomy)
        };
        let spans = [
            (" ".repeat(width(sign_gutter(roomy))), theme.text()),
            (pad(rails, head - width(sign_gutter(roomy))), rail),
            (fit(&rest, columns.saturating_sub(head)), theme.text()),
        ];
        lines.push(line(spans, columns, bar));
    }
    lines
}

/// What stands beside the rung, and what goes on below it.
fn split(text: &str, columns: usize, tall: bool) -> (String, String) {
    if !tall || columns == 0 || width(text) <= columns {
        return (text.to_owned(), String::new());
    }
    let mut lines = wrap(text, columns).into_iter();
    let first = lines.next().unwrap_or_default();
    (first, lines.collect::<Vec<_>>().join(" "))
}

/// As wide as the sign before a rung.
fn sign_gutter(roomy: bool) -> &'static str {
    if roomy { "  " } else { " " }
}

/// The rails between two rungs.
fn under(theme: &Theme, roomy: bool) -> &'static str {
    let pick = |unicode, ascii| theme.glyphs.pick(unicode, ascii);
    if roomy {
        pick("┃   ┃", "|   |")
    } else {
        pick("┃ ┃", "| |")
    }
}

/// The sign before a rung: where the item stood, the way it went, where it stands now.
fn gutter(view: &LadderView<'_>, theme: &Theme, grade: Grade) -> &'static str {
    let pick = |unicode, ascii| theme.glyphs.pick(unicode, ascii);
    let from = view.last.map(|(last, _)| last);
    let to = view.chosen.or(view.proposed);
    if view.chosen == Some(grade) {
        return match from {
            Some(from) if from < grade => pick("▾", "v"),
            Some(from) if from > grade => pick("▴", "^"),
            _ => pick("▸", ">"),
        };
    }
    if view.proposed == Some(grade) {
        return pick("▹", "?");
    }
    match (from, to) {
        (Some(from), Some(to)) if from == grade && to != grade => pick("◦", "o"),
        (Some(from), Some(to)) if from.min(to) < grade && grade < from.max(to) => pick("┊", ":"),
        _ => " ",
    }
}

/// The rails and half rungs on either side of the digit. The floor carries the ladder.
fn rails(theme: &Theme, grade: Grade, heavy: bool, roomy: bool) -> [&'static str; 2] {
    let pick = |unicode, ascii| theme.glyphs.pick(unicode, ascii);
    let floor = grade == Grade::Failed;
    match (roomy, floor, heavy) {
        (true, false, false) => [pick("┠─", "|-"), pick("─┨", "-|")],
        (true, false, true) => [pick("┣━", "|="), pick("━┫", "=|")],
        (true, true, false) => [pick("┸─", "|_"), pick("─┸", "_|")],
        (true, true, true) => [pick("┻━", "|="), pick("━┻", "=|")],
        (false, false, false) => [pick("┠", "|"), pick("┨", "|")],
        (false, false, true) => [pick("┣", "["), pick("┫", "]")],
        (false, true, false) => [pick("┸", "|"), pick("┸", "|")],
        (false, true, true) => [pick("┻", "["), pick("┻", "]")],
    }
}

/// A sign with its words behind the text if the text keeps the columns it needs, the sign alone if
/// not, nothing where there is no room.
fn tail(sign: &str, words: &str, room: usize, need: usize) -> String {
    let whole = format!("  {sign} {words}");
    let whole = whole.trim_end().to_owned();
    if width(&whole) + need <= room {
        whole
    } else if room > 2 {
        format!(" {sign}")
    } else {
        String::new()
    }
}

/// The parts as one line, cut at its columns. A bar styles and fills the whole line.
fn line<const N: usize>(
    parts: [(String, Style); N],
    columns: usize,
    bar: Option<Style>,
) -> Line<'static> {
    let mut left = columns;
    let mut spans = Vec::with_capacity(N + 1);
    for (part, style) in parts {
        let part = if width(&part) > left {
            fit(&part, left)
        } else {
            part
        };
        left -= width(&part);
        if !part.is_empty() {
            spans.push(Span::styled(part, bar.unwrap_or(style)));
        }
    }
    if let Some(bar) = bar {
        spans.push(Span::styled(" ".repeat(left), bar));
    }
    Line::from(spans)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use ratatui::buffer::Buffer;
    use ratatui::layout::Rect;
    use ratatui::widgets::Widget;

    use super::*;
    use crate::paint::glyphs::Glyphs;
    use crate::paint::theme::ThemeName;

    const TEXTS: [&str; 5] = [
        "dry, no crust",
        "salt stain or damp",
        "a drop forms and hangs",
        "drops fall, rust trail",
        "a stream, or seized",
    ];

    fn theme(name: ThemeName, glyphs: Glyphs) -> Theme {
        Theme { name, glyphs }
    }

    fn shown(view: &LadderView<'_>, theme: &Theme) -> String {
        let lines = ladder_lines(view, theme);
        lines
            .iter()
            .map(|line| line.to_string().trim_end().to_owned() + "\n")
            .collect()
    }

    fn fallen(width: u16) -> LadderView<'static> {
        let last = Some((Grade::Sound, "2 d ago"));
        LadderView {
            texts: TEXTS,
            last,
            proposed: None,
            chosen: Some(Grade::Worn),
            width,
            tall: false,
        }
    }

    #[test]
    fn at_three_widths() {
        let theme = theme(ThemeName::Plain, Glyphs::Unicode);
        let all: String = [30, 46, 80]
            .map(|width| shown(&fallen(width), &theme))
            .join("\n");
        insta::assert_snapshot!(all);
    }

    #[test]
    fn proposed_risen_and_never_seen_in_both_sign_sets() {
        let mut all = String::new();
        for glyphs in [Glyphs::Unicode, Glyphs::Ascii] {
            let theme = theme(ThemeName::Plain, glyphs);
            let before = fallen(46);
            for view in [
                LadderView {
                    proposed: Some(Grade::Failing),
                    chosen: None,
                    ..before
                },
                LadderView {
                    proposed: Some(Grade::Failing),
                    ..before
                },
                LadderView {
                    last: Some((Grade::Failed, "9 h ago")),
                    chosen: Some(Grade::Early),
                    ..before
                },
                LadderView {
                    last: None,
                    chosen: None,
                    ..before
                },
            ] {
                all += &shown(&view, &theme);
                all.push('\n');
            }
        }
        insta::assert_snapshot!(all);
    }

    #[test]
    fn styles_of_the_plain_theme() {
        let area = Rect::new(0, 0, 46, 5);
        let mut buffer = Buffer::empty(area);
        for (line, row) in ladder_lines(&fallen(46), &theme(ThemeName::Plain, Glyphs::Unicode))
            .into_iter()
            .zip(area.rows())
        {
            line.render(row, &mut buffer);
        }
        insta::assert_debug_snapshot!(buffer);
    }

    fn grade() -> impl Strategy<Value = Option<Grade>> {
        prop::option::of(prop::sample::select(Grade::ALL))
    }

    proptest! {
        #[test]
        fn no_line_is_wider_than_its_columns(
            text in "[a-z 漢ﾞאe\u{301}\x1B\u{202E}]{0,60}",
            age in "[a-z0-9 漢]{0,20}",
            (last, proposed, chosen) in (grade(), grade(), grade()),
            columns in 0u16..110,
            glyphs in prop::sample::select(vec![Glyphs::Unicode, Glyphs::Ascii]),
        ) {
            let last = last.map(|grade| (grade, age.as_str()));
            let view = LadderView { texts: [&text, "dry", "", &text, "gone"], last, proposed, chosen, width: columns, tall: false };
            let lines = ladder_lines(&view, &theme(ThemeName::Mono, glyphs));
            prop_assert_eq!(lines.len(), 5);
            let tall = ladder_lines(&LadderView { tall: true, ..view }, &theme(ThemeName::Mono, glyphs));
            prop_assert!((5..=10).contains(&tall.len()));
            prop_assert!(tall.iter().all(|l| width(&l.to_string()) <= usize::from(columns)));
            for (line, grade) in lines.iter().zip(Grade::ALL) {
                let line = line.to_string();
                let wide = width(&line);
                prop_assert!(wide <= usize::from(columns), "{line:?}");
                prop_assert!(chosen != Some(*grade) || wide == usize::from(columns));
                if columns >= 30 {
                    prop_assert!(line.contains(grade.as_str()) && line.contains(&grade.rung().to_string()));
                }
            }
        }
    }
}
