//! A count of drops in real time, and how often it is drawn.

use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use crate::boat::{new_boat, start};
use crate::harness::Session;

/// Readings of the record's looks and drafts in a unit, oldest first.
fn readings(folder: &Path, unit: &str) -> Vec<f64> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        if entry.path().is_dir() {
            found.extend(readings(&entry.path(), unit));
            continue;
        }
        let text = std::fs::read_to_string(entry.path()).expect("the record is text");
        for line in text.lines() {
            let line: serde_json::Value = serde_json::from_str(line).expect("JSON");
            let reading = &line["rec"]["look"]["reading"];
            if reading["unit"] == unit {
                found.push(reading["value"].as_f64().expect("a number"));
            }
        }
    }
    found
}

/// Tenths of a second that the drop counter shows.
fn tenths(session: &Session) -> usize {
    let screen = session.contents();
    let line = screen.lines().find(|line| line.contains(" drops/min"));
    let mut words = line.into_iter().flat_map(str::split_whitespace);
    let figure = words.find_map(|word| word.split_once('.'));
    let tenths = figure.and_then(|(whole, part)| format!("{whole}{part}").parse().ok());
    tenths.unwrap_or(0)
}

#[test]
fn drops_counted_in_real_time_land_in_the_record() {
    let dir = new_boat();
    let book = dir.path().join("book");
    let mut session = start(&book);
    session.begin_walk();
    session.send("/");
    session.wait_for_text("Find");
    session.send("stuffing<Enter>");
    session.wait_for_text("g gauge");
    session.send("g");
    session.wait_for_text("measure with");
    session.send("1");
    session.wait_for_text("the first starts the clock");
    let (mut first, mut last) = (Instant::now(), Instant::now());
    for drop in 1..=5 {
        last = Instant::now();
        if drop == 1 {
            first = last;
        }
        session.send("<Space>");
        session.wait_for_text(&format!("{drop} drop"));
        thread::sleep(Duration::from_millis(400));
    }
    let expected = 4.0 * 60.0 / (last - first).as_secs_f64();

    // The figure moves by itself, and is drawn about as often as it changes.
    let (from, drawn) = (tenths(&session), session.frames());
    session.wait_until("it counts on", |s| tenths(s) >= from + 20);
    let (to, drawn) = (tenths(&session), session.frames() - drawn);
    assert!(
        drawn <= 2 * (to - from),
        "{drawn} frames for {} figures",
        to - from
    );

    session.send("<Enter>");
    session.wait_for_text("Enter again takes it");
    session.send("<Enter>");
    session.wait_until("the reading is on disk", |_| {
        !readings(&book.join("log"), "drops/min").is_empty()
    });
    let value = readings(&book.join("log"), "drops/min")[0];
    let off = (value - expected).abs() / expected;
    assert!(off < 0.15, "{value} recorded, {expected} tapped");
}
