//! A count of drops in real time, and what it costs to keep a clock on the screen.

use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use crate::boat::{new_boat, start};
use crate::harness::cpu_ticks;

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

#[test]
fn drops_counted_in_real_time_land_in_the_record() {
    let dir = new_boat();
    let book = dir.path().join("book");
    let mut session = start(&book);
    session.begin_walk();
    session.send("/");
    session.wait_for_text("Find");
    session.send("stuffing<Enter>");
    session.wait_for_text("drop counter");
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

    // The figure moves by itself, and moving it costs next to nothing.
    let (before, from) = (cpu_ticks(session.pid()), Instant::now());
    let shown = session.contents();
    session.wait_for(|screen| screen.contents() != shown);
    thread::sleep(Duration::from_secs(3));
    let used = (cpu_ticks(session.pid()) - before) as f64 * 0.01;
    let share = used / from.elapsed().as_secs_f64();
    println!("share of a core while a count runs: {:.1} %", share * 100.0);
    assert!(share < 0.2, "{share} of a core to show a clock");

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
