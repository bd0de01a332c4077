//! The ladder lying along time in one row: what each look found, oldest first, with repairs as steps
//! back up.

use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::checklist::words::Grade;
use crate::paint::theme::Theme;
use crate::text::ELLIPSIS;

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

    proptest! {
        #[test]
        fn a_strip_is_no_wider_than_its_columns(digits in "[0-4-]{0,40}", repair in 0usize..42, width in 0u16..60) {
            let looks = looks(&digits);
            for theme in [PLAIN, ASCII] {
                let strip = history_strip(&looks, &[repair], width, &theme);
                prop_assert!(columns(&strip.to_string()) <= usize::from(width));
            }
        }
    }
}
