//! Text for cells that a spreadsheet opens.

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

#[cfg(test)]
mod tests {
    use super::*;

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
