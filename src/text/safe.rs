//! Untrusted text for the terminal and the standard streams.
//!
//! Names, notes, file paths and whole imported records come from others. A terminal obeys escape
//! sequences in them (CWE-150), bidirectional controls reorder what is read (CVE-2021-42574), and
//! invisible characters hide text. Nothing of that reaches the terminal: what would act or hide
//! stands there as a visible mark with its name or code point, as in `⟪ESC⟫` and `⟪202E⟫`.

use std::borrow::Cow;

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;
use unicode_segmentation::UnicodeSegmentation;

use super::hidden::{is_hidden, is_variation_selector};
use super::width::width;
use crate::safety::{Safety, stands};

/// Combining marks kept on one base character; more than that climb over the lines above.
const MARKS_PER_BASE: usize = 4;

/// Columns between tab stops in [`safe_text`].
const TAB_STOP: usize = 8;

/// What becomes of line breaks and tabs.
#[derive(Clone, Copy, PartialEq)]
enum Layout {
    /// They are shown as marks.
    Shown,
    /// Each becomes one space.
    Spaces,
    /// Line breaks stay, tabs run to the next stop.
    Kept,
}

/// Text safe to print where nothing but one line may appear and every character counts, such as a
/// path or a value quoted in an error: line breaks and tabs are shown as `⟪LF⟫`, `⟪CR⟫` and `⟪TAB⟫`.
///
/// The result is in Unicode normalisation form C. Controls, bidirectional controls, zero-width and
/// other invisible characters, tags, U+2028, U+2029 and noncharacters are shown as marks; the
/// zero-width joiner stays between two emoji. Variation selectors are left out, for terminals
/// disagree on the width of what they choose. At most four combining marks stay on a base, and a
/// mark without a base gets a dotted circle. Clean text is borrowed; doing it twice changes nothing.
pub fn safe(text: &str) -> Cow<'_, str> {
    filter(text, Layout::Shown)
}

/// As [`safe`], for prose shown in one row, such as a note in a list: each line break or tab
/// becomes a space.
pub fn safe_line(text: &str) -> Cow<'_, str> {
    filter(text, Layout::Spaces)
}

/// As [`safe`], for prose shown over several rows: line breaks stay (CR LF becomes LF, a lone CR
/// is shown), tabs are expanded to every eighth column.
pub fn safe_text(text: &str) -> Cow<'_, str> {
    filter(text, Layout::Kept)
}

fn filter(text: &str, layout: Layout) -> Cow<'_, str> {
    let plain = |b: u8| (b' '..=b'~').contains(&b) || (b == b'\n' && layout == Layout::Kept);
    if text.bytes().all(plain) {
        return Cow::Borrowed(text);
    }
    // Selectors go before composing, because they stand between letters and their accents.
    let composed: String = text
        .chars()
        .filter(|c| !is_variation_selector(*c))
        .nfc()
        .collect();
    let shown = show(&composed, layout);
    if shown == text {
        Cow::Borrowed(text)
    } else {
        Cow::Owned(shown)
    }
}

/// Replaces what acts or hides in composed text.
fn show(text: &str, layout: Layout) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    let mut marks = 0;
    let mut has_base = false;
    // Where the latest tab or line break ended: a stop, from which columns are counted.
    let mut stop = 0;
    for cluster in text.graphemes(true) {
        let mut chars = cluster.chars().peekable();
        while let Some(c) = chars.next() {
            if is_combining_mark(c) && !is_hidden(c) {
                if !has_base {
                    out.push('\u{25CC}');
                    has_base = true;
                }
                marks += 1;
                if marks <= MARKS_PER_BASE {
                    out.push(c);
                }
                continue;
            }
            marks = 0;
            has_base = true;
            match c {
                '\r' if chars.peek() == Some(&'\n') && layout != Layout::Shown => {}
                '\n' if layout == Layout::Kept => {
                    out.push('\n');
                    has_base = false;
                    stop = out.len();
                }
                '\t' if layout == Layout::Kept => {
                    let column = width(&out[stop..]);
                    let fill = TAB_STOP - column % TAB_STOP;
                    out.extend(std::iter::repeat_n(' ', fill));
                    stop = out.len();
                }
                '\n' | '\r' | '\t' if layout == Layout::Spaces => out.push(' '),
                '\u{200D}' if chars.peek().is_some_and(|next| is_emoji(*next)) => out.push(c),
                _ if is_hidden(c) && stands(Safety::Filter) => mark(c, &mut out),
                _ => out.push(c),
            }
        }
    }
    out
}

/// True for an extended pictograph. A joiner ties two characters into one cluster only between
/// pictographs (UAX 29 rule GB11), so the segmentation tables answer the question.
fn is_emoji(c: char) -> bool {
    format!("{c}\u{200D}\u{1F600}").graphemes(true).count() == 1
}

/// Writes the visible mark of a hidden character. Brackets and digits are in every common terminal
/// font, the pictures Unicode has for the controls are not.
fn mark(c: char, out: &mut String) {
    let name = match c {
        '\0' => "NUL",
        '\x07' => "BEL",
        '\t' => "TAB",
        '\n' => "LF",
        '\r' => "CR",
        '\x1B' => "ESC",
        '\x7F' => "DEL",
        _ => &format!("{:04X}", c as u32),
    };
    out.push_str(&format!("⟪{name}⟫"));
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn clean_text_is_borrowed() {
        for text in ["", "raw-water pump", "Möwe, 漢字, עוגן", "👩🏽\u{200D}🚒"] {
            assert!(
                matches!(safe(text), Cow::Borrowed(same) if same == text),
                "{text}"
            );
        }
        assert!(matches!(safe_text("two\nlines"), Cow::Borrowed(_)));
    }

    #[test]
    fn what_acts_or_hides_is_shown() {
        for (raw, shown) in [
            ("\x1b]52;c;cm0=\x07", "⟪ESC⟫]52;c;cm0=⟪BEL⟫"),
            ("\u{9B}31m\x7F\0", "⟪009B⟫31m⟪DEL⟫⟪NUL⟫"),
            ("oil\u{202E}lio\u{2069}", "oil⟪202E⟫lio⟪2069⟫"),
            ("a\u{200B}b\u{FEFF}c\u{AD}", "a⟪200B⟫b⟪FEFF⟫c⟪00AD⟫"),
            ("a\u{200D}b 😀\u{200D}b", "a⟪200D⟫b 😀⟪200D⟫b"),
            (
                "\u{E0041}\u{2028}\u{FFFF}\u{10FFFE}",
                "⟪E0041⟫⟪2028⟫⟪FFFF⟫⟪10FFFE⟫",
            ),
            ("\u{301}x", "◌\u{301}x"),
            ("⚠\u{FE0F} 葛\u{E0100}", "⚠ 葛"),
            ("e\u{FE0F}\u{301}", "é"),
        ] {
            assert_eq!(safe(raw), shown);
        }
    }

    #[test]
    fn line_breaks_and_tabs_go_where_the_place_allows() {
        let raw = "a\tb\r\nc\rd\n";
        assert_eq!(safe(raw), "a⟪TAB⟫b⟪CR⟫⟪LF⟫c⟪CR⟫d⟪LF⟫");
        assert_eq!(safe_line(raw), "a b c d ");
        assert_eq!(safe_text(raw), "a       b\nc⟪CR⟫d\n");
        assert_eq!(safe_text("x\n漢\ty"), "x\n漢      y");
    }

    #[test]
    fn as_many_tabs_as_a_record_holds_are_expanded() {
        let shown = safe_text(&"\ta".repeat(30_000)).into_owned();
        assert_eq!(shown.len(), 30_000 * 8 + 1);
    }

    #[test]
    fn marks_are_capped_after_composing() {
        let raw = format!("a{}b", "\u{301}".repeat(50));
        assert_eq!(safe(&raw), format!("á{}b", "\u{301}".repeat(4)));
        // U+0344 is one character that composes to two marks.
        assert_eq!(safe("x\u{344}\u{344}\u{344}").chars().count(), 5);
    }

    fn hostile() -> impl Strategy<Value = String> {
        let odd = "[\\x00-\\x20\\x7F-\\x9F\u{AD}\u{300}-\u{34F}\u{600}-\u{605}\u{61C}\u{9C7}\u{9BE}\u{1100}-\u{1175}\u{11A8}\u{AC00}\
                   \u{180B}-\u{180F}\u{200B}-\u{200F}\u{2028}-\u{202E}\u{2060}-\u{206F}\u{FE0F}\u{FEFF}\u{FF76}\u{FF9E}\u{FFF9}-\u{FFFF}\
                   😀👩🏽🚒🇩a漢א\u{E0041}\u{E0100}\u{10FFFF}]";
        prop::collection::vec(
            prop_oneof![odd, "\\PC", any::<char>().prop_map(String::from)],
            0..24,
        )
        .prop_map(|parts| parts.concat())
    }

    proptest! {
        #[test]
        fn nothing_hidden_comes_through_and_twice_is_once(raw in hostile()) {
            for (filter, kept) in [(safe as fn(&str) -> Cow<'_, str>, None), (safe_line, None), (safe_text, Some('\n'))] {
                let once = filter(&raw);
                let mut chars = once.chars().peekable();
                let mut marks = 0;
                while let Some(c) = chars.next() {
                    let joins = c == '\u{200D}' && chars.peek().is_some_and(|next| is_emoji(*next));
                    prop_assert!(!is_hidden(c) || Some(c) == kept || joins, "U+{:04X} in {once:?}", c as u32);
                    marks = if is_combining_mark(c) { marks + 1 } else { 0 };
                    prop_assert!(marks <= MARKS_PER_BASE);
                }
                prop_assert!(unicode_normalization::is_nfc(&once));
                prop_assert_eq!(filter(&once), once.clone());
            }
        }
    }
}
