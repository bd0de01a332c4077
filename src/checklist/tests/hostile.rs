use proptest::prelude::*;

use crate::checklist::library::{CATALOGUE, CHECKLISTS};
use crate::checklist::{Catalogue, check_file};

fn told(text: &str) {
    let Err(complaints) = check_file("x.json", text, Catalogue::built_in()) else {
        return;
    };
    assert!(!complaints.is_empty());
    assert!(complaints.len() <= 101);
    for complaint in complaints {
        assert!(complaint.line >= 1 && complaint.column >= 1);
        assert!(complaint.line <= text.split('\n').count());
        let said = complaint.to_string();
        assert!(!said.chars().any(char::is_control), "{said:?}");
        assert!(said.len() < 8000, "{said}");
    }
}

fn built_in() -> impl Strategy<Value = &'static str> {
    let files: Vec<_> = CATALOGUE
        .iter()
        .chain(CHECKLISTS)
        .map(|(_, text)| *text)
        .collect();
    prop::sample::select(files)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn any_text_is_answered(text in ".{0,200}") {
        told(&text);
    }

    #[test]
    fn anything_like_json_is_answered(text in r#"\{("type":"(catalogue|checklist)",)?["\[\]{}:,a-z0-9\\ \n\u{202e}é]{0,80}"#) {
        told(&text);
    }

    #[test]
    fn a_built_in_file_with_a_piece_changed_is_answered(
        text in built_in(),
        from in any::<prop::sample::Index>(),
        length in 0_usize..40,
        put in prop::sample::select(vec![
            "", "\"", "{", "]", ",", "1e999", "-1", "null", "\u{202e}", "\\u0000", "\\ud800", "é", "[[[[", "\"\"",
            "\"type\":\"checklist\",", "\n",
        ]),
    ) {
        let floor = |at: usize| (0..=at.min(text.len())).rev().find(|i| text.is_char_boundary(*i)).unwrap_or(0);
        let from = floor(from.index(text.len()));
        let to = floor(from + length).max(from);
        told(&format!("{}{put}{}", &text[..from], &text[to..]));
    }
}

#[test]
fn large_hostile_files_are_answered() {
    let mebibyte = 1 << 20;
    let fill = |head: &str, part: &str, tail: &str| {
        let parts = (mebibyte - head.len() - tail.len()) / part.len();
        format!("{head}{}{tail}", part.repeat(parts))
    };
    let row = r#"{"type":"checklist","id":"a","title":"a","purpose":"a","closes_with":"daily","phases":[{"id":"a","title":"a","state":"cold","rows":[{"title":"a","station":"hatch","items":["#;
    let bands = r#"{"type":"catalogue","items":[{"reading":{"bands":["#;
    for text in [
        fill("", "[", ""),
        fill("", "{\"a\":", ""),
        fill("{\"type\":\"catalogue\",\"items\":[", "{},", "{}]}"),
        fill(row, "\"raw-water-pump-sael\",", "\"x\"]}]}]}"),
        fill(bands, "{\"grade\":\"early\"},", "{}]}}]}"),
        fill("{\"type\":\"", "x", "\"}"),
        fill("{\"type\":\"catalogue\",\"", "\u{7f}", "\":[1,2,3]}"),
    ] {
        assert!(text.len() <= mebibyte);
        told(&text);
    }
}
