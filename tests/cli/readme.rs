//! The README's examples are true: what it shows as a file is taken as one.

use std::fs;
use std::path::Path;

use handlamp::paint::theme::ThemeName;
use handlamp::settings;

use crate::harness::Place;

/// The fenced JSON blocks of the README.
fn blocks() -> Vec<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let text = fs::read_to_string(path).expect("the README");
    let after = text.split("```json\n").skip(1);
    after
        .map(|rest| rest.split("```").next().expect("an end").to_owned())
        .collect()
}

fn block(having: &str) -> String {
    let all = blocks();
    all.into_iter()
        .find(|b| b.contains(having))
        .unwrap_or_else(|| panic!("no block with {having}"))
}

#[test]
fn the_settings_are_settings() {
    let names: Vec<_> = ThemeName::ALL.iter().map(|name| name.as_str()).collect();
    settings::parse(&block("\"theme\""), "config.json", &names).expect("settings");
}

#[test]
fn the_profile_begins_a_logbook() {
    let place = Place::empty();
    let run = place.run(&[
        "boat",
        "new",
        &place.file("boat.json", &block("\"machines\"")),
    ]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
}

#[test]
fn the_items_and_the_checklist_pass_together() {
    let place = Place::empty();
    let items = place.file("my-items.json", &block("\"catalogue\""));
    let list = place.file("before-the-lock.json", &block("before-the-lock"));
    let run = place.run(&["checklist", "check", &items, &list]);
    assert_eq!(run.code, Some(0), "{}{}", run.stdout, run.stderr);
}
