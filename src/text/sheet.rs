//! Text for cells that a spreadsheet opens, and JSON for whatever shows it.

use std::borrow::Cow;

use super::hidden::{is_hidden, is_variation_selector};

/// Free text that a spreadsheet must not take for a formula: an apostrophe goes before a cell
/// whose first character is `=`, `+`, `-`, `@` or one of their full-width forms, or a tab, CR or
/// LF (OWASP, "CSV Injection"). Spaces and invisible characters before such a sign do not hide it.
/// Quoting the field is left to the CSV writer.
pub fn csv_guard(text: &str) -> Cow<'_, str> {
    let signs = ['=', '+', '-', '@', '＝', '＋', '－', '＠'];
    let first = text.chars().next();
    let visible = text
        .chars()
        .find(|c| !c.is_whitespace() && !is_hidden(*c) && !is_variation_selector(*c));
    if visible.is_some_and(|c| signs.contains(&c)) || matches!(first, Some('\t' | '\r' | '\n')) {
        Cow::Owned(format!("'{text}"))
    } else {
        Cow::Borrowed(text)
    }
}

/// JSON text with the characters that could drive a terminal or reorder text written as `\uXXXX`:
/// the same value to every reader, and safe to show as it is. Line breaks between values stay.
pub fn json_guard(json: &str) -> Cow<'_, str> {
    let acts = |c: char| is_hidden(c) && c != '\n';
    if !json.contains(acts) {
        return Cow::Borrowed(json);
    }
    let mut out = String::with_capacity(json.len() + 16);
    for c in json.chars() {
        if acts(c) {
            for unit in c.encode_utf16(&mut [0; 2]) {
                out.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            out.push(c);
        }
    }
    Cow::Owned(out)
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    #[test]
    fn json_keeps_its_value_and_shows_nothing_that_acts() {
        let value = serde_json::json!({"note": "a\u{1b}\u{9b}2J\u{202e}\u{e0041}b"});
        let json = serde_json::to_string_pretty(&value).expect("json");
        let shown = json_guard(&json);
        assert!(
            !shown.contains(|c: char| c != '\n' && is_hidden(c)),
            "{shown}"
        );
        assert_eq!(
            serde_json::from_str::<serde_json::Value>(&shown).expect("json"),
            value
        );
        assert!(matches!(json_guard("{}\n"), Cow::Borrowed(_)));
    }

    #[test]
    fn formulas_are_guarded() {
        for text in [
            "=1+1",
            "+1",
            "-1",
            "@SUM(A1)",
            "\tx",
            "\rx",
            "\nx",
            "＝1",
            "＋1",
            "－1",
            "＠x",
            " =1",
            "\u{FEFF}=1",
        ] {
            assert_eq!(csv_guard(text), format!("'{text}"));
        }
    }

    #[test]
    fn other_text_is_borrowed() {
        for text in ["", " ", "oil", "a=b", "'=1", "3-4 drops", "é"] {
            assert!(matches!(csv_guard(text), Cow::Borrowed(same) if same == text));
        }
    }
}
