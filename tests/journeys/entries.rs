//! Entries taken back and put right by keys on a real terminal, the program killed before and after the
//! answer that counts: before it nothing is on record, after it all of it.

use std::path::Path;

use serde_json::Value;

use crate::boat::{json, new_boat, start};

/// What is asked in a walk is on record, the belt failing.
fn walked() -> (tempfile::TempDir, std::path::PathBuf) {
    let dir = new_boat();
    let book = dir.path().join("book");
    let sheet = serde_json::json!({
        "type": "walk", "id": "may", "checklist": "daily", "at": "2026-05-03T07:40:00+02:00",
        "looks": [{"item": "drive-belt", "phase": "cold", "grade": "failing"},
                  {"item": "raw-water-pump-seal", "phase": "cold", "grade": "early"}]
    });
    let file = dir.path().join("may.json");
    std::fs::write(&file, sheet.to_string()).expect("written");
    let file = file.to_string_lossy().into_owned();
    json(&book, &["record", &file]);
    (dir, book)
}

/// What became of every entry.
fn fates(book: &Path) -> Vec<(Value, Value, Value)> {
    let entries = json(book, &["entries"]);
    let rows = entries["rows"].as_array().cloned().unwrap_or_default();
    rows.into_iter()
        .map(|row| {
            (
                row["id"].clone(),
                row["state"].clone(),
                row["words"].clone(),
            )
        })
        .collect()
}

/// Types keys up to the last question, is killed there, types them again and answers, is killed again.
fn killed_before_and_after(book: &Path, keys: &str, asked: &str, told: &str) {
    let before = fates(book);
    let mut session = start(book);
    session.send(keys);
    session.wait_for_text(asked);
    session.kill_9();
    assert_eq!(fates(book), before, "not answered: {keys}");
    let mut session = start(book);
    session.send(keys);
    session.wait_for_text(asked);
    session.send("2");
    session.wait_for_text(told);
    let after = fates(book);
    assert_ne!(after, before, "{keys}");
    session.kill_9();
    assert_eq!(fates(book), after, "{keys}");
}

fn state(book: &Path, words: &str) -> String {
    let entries = json(book, &["entries"]);
    let rows = entries["rows"].as_array().cloned().unwrap_or_default();
    let is = |row: &&Value| row["words"].as_str().is_some_and(|w| w.contains(words));
    let row = rows.iter().find(is);
    row.and_then(|row| row["state"].as_str())
        .unwrap_or_default()
        .to_owned()
}

#[test]
fn a_wrong_grade_is_taken_back_and_counts_again() {
    let (_dir, book) = walked();
    let keys = "J/belt<Enter>uthe other belt<Enter>";
    killed_before_and_after(&book, keys, "Record it?", "taken back");
    assert_eq!(state(&book, "Drive belt"), "taken-back");
    assert_ne!(json(&book, &["verdict"])["now"], "clear-to-run");
    killed_before_and_after(&book, "J/belt<Enter>u", "Record it?", "counts again");
    assert_eq!(state(&book, "Drive belt"), "stands");
}

#[test]
fn a_walk_begun_by_mistake_is_set_aside() {
    let (_dir, book) = walked();
    let keys = "J/began<Enter>unever walked<Enter>";
    killed_before_and_after(&book, keys, "Record it?", "taken back");
    assert_eq!(state(&book, "Began a walk"), "set-aside");
}
