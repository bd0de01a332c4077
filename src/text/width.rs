//! Columns: measuring, cutting, padding and wrapping by grapheme cluster.
//!
//! Text is expected to have gone through [`safe_line`](super::safe_line) or a relative first;
//! clusters with control characters take no column here, as the screen library leaves them out.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// Stands for what did not fit; one column.
pub const ELLIPSIS: &str = "…";

/// Columns that text takes on the terminal, counted as ratatui counts them: cluster by cluster,
/// half-width sound marks one column each.
pub fn width(text: &str) -> usize {
    if text.bytes().all(|b| (b' '..=b'~').contains(&b)) {
        return text.len();
    }
    text.graphemes(true).map(cluster_width).sum()
}

fn cluster_width(cluster: &str) -> usize {
    if cluster.contains(char::is_control) {
        return 0;
    }
    let sound_marks = cluster
        .chars()
        .filter(|c| matches!(c, '\u{FF9E}' | '\u{FF9F}'));
    cluster.width() + sound_marks.count()
}

/// Text in at most `columns` columns: whole clusters, and an ellipsis where something is left out.
pub fn fit(text: &str, columns: usize) -> String {
    if width(text) <= columns {
        return text.to_owned();
    }
    let Some(room) = columns.checked_sub(1) else {
        return String::new();
    };
    let (head, _) = split_at(text, room);
    format!("{}{ELLIPSIS}", head.trim_end())
}

/// Text in exactly `columns` columns: cut as by [`fit`], or filled with spaces on the right.
pub fn pad(text: &str, columns: usize) -> String {
    let mut out = fit(text, columns);
    let fill = columns.saturating_sub(width(&out));
    out.extend(std::iter::repeat_n(' ', fill));
    out
}

/// The longest run of whole clusters that fits into `columns`, and the rest.
fn split_at(text: &str, columns: usize) -> (&str, &str) {
    let mut used = 0;
    for (at, cluster) in text.grapheme_indices(true) {
        used += cluster_width(cluster);
        if used > columns {
            return text.split_at(at);
        }
    }
    (text, "")
}

/// Lines of at most `columns` columns. Line breaks stay; runs of spaces within a paragraph count
/// as one; a word longer than a line is broken between clusters; a cluster wider than a line is
/// shown as an ellipsis. Empty text gives one empty line, no columns give no lines.
pub fn wrap(text: &str, columns: usize) -> Vec<String> {
    if columns == 0 {
        return Vec::new();
    }
    let mut lines = Vec::new();
    for paragraph in text.split('\n') {
        let mut line = String::new();
        for word in paragraph.split(' ').filter(|word| !word.is_empty()) {
            add_word(word, columns, &mut line, &mut lines);
        }
        lines.push(line);
    }
    lines
}

/// Puts a word on the current line, or on new ones.
fn add_word(word: &str, columns: usize, line: &mut String, lines: &mut Vec<String>) {
    if !line.is_empty() {
        if width(line) + 1 + width(word) <= columns {
            line.push(' ');
            line.push_str(word);
            return;
        }
        lines.push(std::mem::take(line));
    }
    // Each column is measured once: a word may be as long as a record.
    let mut rest = word;
    loop {
        let (mut head, mut tail) = split_at(rest, columns);
        if tail.is_empty() {
            break;
        }
        if head.is_empty() {
            let wide = rest.graphemes(true).next().unwrap_or_default();
            (head, tail) = (ELLIPSIS, &rest[wide.len()..]);
        }
        lines.push(head.to_owned());
        rest = tail;
    }
    line.push_str(rest);
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use ratatui::buffer::CellWidth;

    use super::super::safe_text;
    use super::*;

    #[test]
    fn cuts_between_clusters() {
        assert_eq!(fit("raw-water pump", 14), "raw-water pump");
        assert_eq!(fit("raw-water pump", 11), "raw-water…");
        assert_eq!(fit("漢字漢字", 6), "漢字…");
        assert_eq!(fit("e\u{308}e\u{308}e\u{308}", 2), "e\u{308}…");
        assert_eq!(fit("👩🏽\u{200D}🚒👩🏽\u{200D}🚒", 3), "👩🏽\u{200D}🚒…");
        assert_eq!(fit("oil", 0), "");
    }

    #[test]
    fn pads_to_columns() {
        assert_eq!(pad("漢", 4), "漢  ");
        assert_eq!(pad("漢字漢", 4), "漢… ");
    }

    #[test]
    fn wraps_words() {
        assert_eq!(
            wrap("wipe a finger under the hole", 12),
            ["wipe a", "finger under", "the hole"]
        );
        assert_eq!(wrap("one\n\ntwo", 9), ["one", "", "two"]);
        assert_eq!(wrap("oil 0123456789", 4), ["oil", "0123", "4567", "89"]);
        assert_eq!(wrap("a漢b", 1), ["a", "…", "b"]);
        assert_eq!(wrap("", 4), [""]);
        assert!(wrap("oil", 0).is_empty());
    }

    #[test]
    fn a_word_as_long_as_a_record_is_wrapped_whole() {
        let lines = wrap(&"é漢".repeat(20_000), 3);
        assert_eq!(lines.len(), 20_000);
    }

    fn text() -> impl Strategy<Value = String> {
        let odd = "[ \\na-c漢ｶﾞﾟאلاe\u{301}क्ष\u{600}\u{110BD}😀👩🏽🚒\u{200D}🇩\u{2026}]{1,8}";
        prop::collection::vec(prop_oneof![odd, "\\PC{1,6}"], 0..6)
            .prop_map(|parts| safe_text(&parts.concat()).into_owned())
    }

    proptest! {
        #[test]
        fn counts_as_the_screen_does(raw in text()) {
            let drawn: u16 = raw
                .graphemes(true)
                .filter(|cluster| !cluster.contains(char::is_control))
                .map(CellWidth::cell_width)
                .sum();
            prop_assert_eq!(width(&raw), usize::from(drawn));
        }

        #[test]
        fn fitted_text_fits(raw in text(), columns in 0usize..20) {
            prop_assert!(width(&fit(&raw, columns)) <= columns);
            prop_assert_eq!(width(&pad(&raw, columns)), columns);
        }

        #[test]
        fn wrapped_lines_fit_and_keep_the_text(raw in text(), columns in 1usize..20) {
            let lines = wrap(&raw, columns);
            for line in &lines {
                prop_assert!(width(line) <= columns, "{line:?}");
            }
            if raw.graphemes(true).all(|cluster| cluster_width(cluster) <= columns) {
                let ink = |text: &str| text.replace([' ', '\n'], "");
                prop_assert_eq!(ink(&lines.concat()), ink(&raw));
            }
        }
    }
}
