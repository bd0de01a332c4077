//! The ladder lying along time: what each look found, oldest first, with repairs as steps back up.

use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::checklist::words::Grade;
use crate::paint::theme::Theme;
use crate::text::{ELLIPSIS, pad};

/// One row: a mark at the height of its rung for each look, a dot for an item not seen, a slanted
/// stroke for each repair. A repair at `n` stands before look `n`; one at the number of looks
/// stands behind the last. Where there is no room the oldest give way to an ellipsis.
pub fn history_strip(
    looks: &[Option<Grade>],
    repairs: &[usize],
    width: u16,
    theme: &Theme,
) -> Line<'static> {
    let mut signs: Vec<(&'static str, Style)> = Vec::new();
    for at in 0..=looks.len() {
        if repairs.contains(&at) {
            signs.push((theme.glyphs.repair(), theme.saved()));
        }
        match looks.get(at) {
            Some(Some(grade)) => {
                signs.push((theme.glyphs.grade_mark(*grade), theme.grade_mark(*grade)))
            }
            Some(None) => signs.push((theme.glyphs.unseen(), theme.quiet())),
            None => {}
        }
    }
    let width = usize::from(width);
    if signs.len() > width {
        let cut = signs.len() - width;
        signs.drain(..cut);
        if let Some(first) = signs.first_mut() {
            *first = (theme.glyphs.pick(ELLIPSIS, "~"), theme.quiet());
        }
    }
    Line::from_iter(
        signs
            .into_iter()
            .map(|(sign, style)| Span::styled(sign, style)),
    )
}

/// Five rows, one for each rung with its word: every look is its digit at the height of its rung,
/// joined by steps; a step that crosses a repair is heavy. A look that was not made is dots on every rung,
/// for the item may have stood on any. Takes
/// `looks` and `repairs` as [`history_strip`] does. Shows the latest looks that fit into `width`.
pub fn history_ladder(
    looks: &[Option<Grade>],
    repairs: &[usize],
    width: u16,
    theme: &Theme,
) -> Vec<Line<'static>> {
    let room = usize::from(width).saturating_sub(WORD_COLUMNS);
    let first = looks.len().saturating_sub(room.div_ceil(2));
    let mut lines: Vec<Vec<Span<'static>>> = Grade::ALL
        .iter()
        .map(|grade| {
            vec![Span::styled(
                pad(grade.as_str(), WORD_COLUMNS.min(usize::from(width))),
                theme.quiet(),
            )]
        })
        .collect();
    if room == 0 {
        return lines.into_iter().map(Line::from).collect();
    }
    for at in first..looks.len() {
        for (grade, line) in Grade::ALL.iter().zip(&mut lines) {
            if at > first {
                let heavy = repairs.contains(&at);
                let style = if heavy { theme.saved() } else { theme.quiet() };
                line.push(Span::styled(
                    step(looks[at - 1], looks[at], *grade, heavy, theme),
                    style,
                ));
            }
            line.push(match looks[at] {
                Some(seen) if seen == *grade => {
                    Span::styled(grade.rung().to_string(), theme.grade(seen))
                }
                None => Span::styled(theme.glyphs.unseen(), theme.quiet()),
                _ => Span::styled(" ", theme.text()),
            });
        }
    }
    lines.into_iter().map(Line::from).collect()
}

/// Columns of a rung's word and the space behind it.
const WORD_COLUMNS: usize = 8;

/// What stands on the row of `row` between two looks.
fn step(
    before: Option<Grade>,
    after: Option<Grade>,
    row: Grade,
    heavy: bool,
    theme: &Theme,
) -> &'static str {
    let pick = |light, bold, ascii, ascii_bold| match heavy {
        false => theme.glyphs.pick(light, ascii),
        true => theme.glyphs.pick(bold, ascii_bold),
    };
    let (Some(before), Some(after)) = (before, after) else {
        // A repair beside a look that was not made still has to show.
        return if heavy && row == Grade::Sound {
            theme.glyphs.repair()
        } else {
            " "
        };
    };
    let (top, foot) = (before.min(after), before.max(after));
    match row {
        _ if row < top || row > foot => " ",
        _ if before == after => pick("─", "━", "-", "="),
        _ if row > top && row < foot => pick("│", "┃", "|", "#"),
        _ if row == before && after > before => pick("╮", "┓", ".", "="),
        _ if row == before => pick("╯", "┛", "'", "="),
        _ if after > before => pick("╰", "┗", "'", "="),
        _ => pick("╭", "┏", ".", "="),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use ratatui::style::Modifier;

    use super::*;
    use crate::paint::theme::tests::{ASCII, PLAIN};
    use crate::text::width as columns;

    fn looks(digits: &str) -> Vec<Option<Grade>> {
        digits
            .chars()
            .map(|c| c.to_digit(10).and_then(|d| Grade::from_rung(d as usize)))
            .collect()
    }

    fn ladder(digits: &str, repairs: &[usize], width: u16, theme: &Theme) -> String {
        let lines = history_ladder(&looks(digits), repairs, width, theme);
        lines
            .iter()
            .map(|line| line.to_string().trim_end().to_owned() + "\n")
            .collect()
    }

    #[test]
    fn a_strip_falls_and_climbs() {
        let strip =
            |width, theme| history_strip(&looks("0012-340"), &[7], width, theme).to_string();
        assert_eq!(strip(20, &PLAIN), "▔▔▀━·▄▁╱▔");
        assert_eq!(strip(9, &ASCII), "^^'-.,_/^");
        assert_eq!(strip(5, &PLAIN), "…▄▁╱▔");
        assert_eq!(strip(0, &PLAIN), "");
        assert_eq!(history_strip(&[], &[0], 4, &PLAIN).to_string(), "╱");
    }

    #[test]
    fn marks_of_a_strip_keep_their_height() {
        for theme in [PLAIN, ASCII] {
            for span in history_strip(&looks("01234"), &[], 9, &theme).spans {
                let hides = Modifier::REVERSED | Modifier::UNDERLINED;
                assert!(!span.style.add_modifier.intersects(hides), "{span:?}");
            }
        }
    }

    #[test]
    fn a_ladder_lies_along_time() {
        let long = "000112-33012244000";
        let all = [
            ladder(long, &[9, 15], 60, &PLAIN),
            ladder(long, &[9, 15], 22, &PLAIN),
            ladder(long, &[9, 15], 60, &ASCII),
            ladder("-0-", &[1], 12, &PLAIN),
        ];
        insta::assert_snapshot!(all.join("\n"));
    }

    proptest! {
        #[test]
        fn neither_is_wider_than_its_columns(digits in "[0-4-]{0,40}", repair in 0usize..42, width in 0u16..60) {
            let looks = looks(&digits);
            for theme in [PLAIN, ASCII] {
                let strip = history_strip(&looks, &[repair], width, &theme);
                prop_assert!(columns(&strip.to_string()) <= usize::from(width));
                let lines = history_ladder(&looks, &[repair], width, &theme);
                prop_assert_eq!(lines.len(), 5);
                for line in lines {
                    prop_assert!(columns(&line.to_string()) <= usize::from(width));
                }
            }
        }
    }
}
