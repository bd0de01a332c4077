//! Entries taken back by keys, and put back.

use crate::boat::json;
use crate::put_right::{Change, RECORD_IT, book_of, days_ago};

/// What is asked in a walk is on record, the belt failing.
fn walked() -> (tempfile::TempDir, std::path::PathBuf) {
    book_of(
        &["main"],
        &[
            serde_json::json!({"type": "walk", "id": "may", "checklist": "daily", "at": days_ago(2),
            "looks": [{"item": "drive-belt", "phase": "cold", "grade": "failing"},
                      {"item": "raw-water-pump-seal", "phase": "cold", "grade": "early"}]}),
        ],
    )
}

fn state(book: &std::path::Path, words: &str) -> String {
    let entries = json(book, &["entries", "--find", words]);
    entries["rows"][0]["state"]
        .as_str()
        .unwrap_or_default()
        .to_owned()
}

#[test]
fn a_wrong_grade_is_taken_back_and_counts_again() {
    let (_dir, book) = walked();
    let mut change = Change {
        keys: &["J/belt<Enter>u", "the other belt<Enter>"],
        told: "taken back",
        ..RECORD_IT
    };
    change.killed_before_and_after(&book, |_| ());
    assert_eq!(state(&book, "Drive belt"), "taken-back");
    assert_ne!(json(&book, &["verdict"])["now"], "clear-to-run");
    change = Change {
        keys: &["J/belt<Enter>u"],
        told: "counts again",
        ..change
    };
    change.killed_before_and_after(&book, |_| ());
    assert_eq!(state(&book, "Drive belt"), "stands");
}

#[test]
fn a_walk_begun_by_mistake_is_set_aside() {
    let (_dir, book) = walked();
    let change = Change {
        keys: &["J/began<Enter>u", "never walked<Enter>"],
        told: "taken back",
        ..RECORD_IT
    };
    change.killed_before_and_after(&book, |_| ());
    assert_eq!(state(&book, "Began a walk"), "set-aside");
}
