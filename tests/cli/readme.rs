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

/// What the README calls, word by word: the lines of its blocks, and the commands in its sentences
/// that name no stand-in such as `DIR`.
fn calls() -> Vec<Vec<String>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let text = fs::read_to_string(path).expect("the README");
    let mut calls = Vec::new();
    for (n, part) in text.split("```").enumerate() {
        match n % 2 {
            0 => calls.extend(part.split('`').skip(1).step_by(2)),
            _ => calls.extend(part.strip_prefix("sh\n").into_iter().flat_map(str::lines)),
        }
    }
    let stands_in = |word: &String| {
        word.contains("...")
            || word.contains("/path/")
            || word.chars().all(|c| c.is_ascii_uppercase())
    };
    calls
        .into_iter()
        .filter_map(|call| call.strip_prefix("handlamp "))
        .map(|call| {
            let quoted = call.split('"').enumerate();
            quoted
                .flat_map(|(n, part)| match n % 2 {
                    0 => part.split_whitespace().map(str::to_owned).collect(),
                    _ => vec![part.to_owned()],
                })
                .collect::<Vec<_>>()
        })
        .filter(|words| !words.iter().any(stands_in))
        .collect()
}

#[test]
fn the_commands_work_on_the_demo_boat() {
    let place = Place::empty();
    place.file("my-items.json", &block("\"catalogue\""));
    place.file("before-the-lock.json", &block("before-the-lock"));
    let logbook = place.logbook().display().to_string();
    let mut ran = 0;
    for call in calls() {
        // Those open the screens.
        if call[0] == "walk" {
            continue;
        }
        let words = call.iter().map(|word| match word.as_str() {
            "/tmp/greyplover" => logbook.as_str(),
            word => word,
        });
        let run = place.run(&words.collect::<Vec<_>>());
        assert_eq!(run.code, Some(0), "{}: {}", run.line, run.stderr);
        ran += 1;
    }
    assert!(ran > 15, "{ran} commands only");
}
