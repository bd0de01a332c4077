//! `give-on`: the history of the boat for whoever owns her next.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};

use crate::harness::{Place, full_walk, record_files};

/// Every file of a folder as one text.
fn all_of(folder: &Path) -> String {
    let mut text = String::new();
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        text.push_str(&path.display().to_string());
        match path.is_dir() {
            true => text.push_str(&all_of(&path)),
            false => text.push_str(&String::from_utf8_lossy(&fs::read(&path).expect("a file"))),
        }
    }
    text
}

/// A boat with a word of each private kind in her book.
fn told() -> Place {
    let place = Place::with_boat().of_known_age(&["main"]);
    place.record(
        &json!({"type": "walk", "checklist": "daily", "machine": "main",
        "at": "2026-05-01T08:00:00+02:00", "by": "NAME-ONE", "hours": 1240.0, "looks": [
        {"item": "drive-belt", "phase": "cold", "grade": "failing", "note": "NOTE-ONE",
         "wear": [{"mark": "crack", "where": "ribs", "against": "pulley"}]},
        {"item": "coolant-hoses", "phase": "cold", "grade": "sound", "note": "NOTE-TWO"}]}),
    );
    place.record(
        &json!({"type": "repair", "item": "coolant-hoses", "machine": "main",
        "at": "2026-05-01T10:00:00+02:00", "done": "NOTE-THREE", "by": "NAME-TWO"}),
    );
    place.record(
        &json!({"type": "cost", "item": "drive-belt", "machine": "main",
        "low": 4711.0, "likely": 4712.0, "high": 4713.0, "currency": "EUR"}),
    );
    place.record(
        &json!({"type": "part", "part": "oil-filter", "machine": "main",
        "makers_number": "K 100", "bought": "PLACE-ONE"}),
    );
    place
}

/// The copy of a book, in a place of its own, with what goes along besides.
fn given(place: &Place, with: &[&str]) -> (Place, Value) {
    let hers = Place::empty();
    let to = hers.logbook();
    let mut args = vec!["give-on", to.to_str().expect("a name")];
    for what in with {
        args.extend(["--with", *what]);
    }
    let body = place.json("give-on", &args);
    (hers, body)
}

fn refused(place: &Place, args: &[&str]) -> String {
    let run = place.run(args);
    assert!(
        matches!(run.code, Some(2 | 3)),
        "{:?} {}",
        run.code,
        run.stdout
    );
    run.stderr
}

#[test]
fn what_stays_with_the_owner_is_in_no_byte_of_the_copy() {
    let place = told();
    let (hers, body) = given(&place, &[]);
    assert_eq!(body["left_out"], 1, "{body}");
    let copy = all_of(&hers.logbook());
    for word in ["NAME-", "NOTE-", "PLACE-", "4711", "4712"] {
        assert!(!copy.contains(word), "{word} went along");
    }
    assert!(copy.contains("K 100") && copy.contains("crack"));
    let all = ["names", "prices", "places", "notes", "photographs"];
    let (hers, body) = given(&place, &all);
    assert_eq!(
        (&body["left_out"], &body["shortened"]),
        (&json!(0), &json!(0))
    );
    let copy = all_of(&hers.logbook());
    for word in ["NAME-ONE", "NAME-TWO", "NOTE-THREE", "PLACE-ONE", "4711"] {
        assert!(copy.contains(word), "{word} stayed");
    }
}

#[test]
fn the_new_owners_book_stands_as_told_and_nothing_in_it_is_sound() {
    let (hers, _) = given(&told(), &[]);
    let verdict = hers.json("verdict", &["verdict"]);
    assert_eq!(verdict["now"], "do-not-run", "{verdict}");
    let unseen = || hers.json("defects", &["defects"])["not_yet_looked_at"].to_string();
    assert!(unseen().contains("coolant-hoses"), "{}", unseen());
    let list = hers.json("defects", &["defects"]);
    assert!(list["rows"].to_string().contains("drive-belt"), "{list}");
    let first = hers.json("entries", &["entries", "--kind", "given-on"]);
    let words = first["rows"][0]["words"].as_str().expect("words");
    assert!(
        words.contains("former owner") && words.contains("left out"),
        "{words}"
    );
    let id = first["rows"][0]["id"].as_str().expect("an id");
    let told = refused(&hers, &["entries", "take-back", id, "--why", "no"]);
    assert!(told.contains("told stays told"), "{told}");
    // A look of the new owner's is one.
    hers.record(
        &json!({"type": "walk", "checklist": "daily", "machine": "main",
        "at": "2026-05-03T08:40:00+02:00", "looks": [
        {"item": "coolant-hoses", "phase": "cold", "grade": "sound"}]}),
    );
    // It was made before she came to them, as the clock tells it.
    assert!(unseen().contains("coolant-hoses"));
    let mut hers = hers;
    hers.at("2026-05-04T09:00:00+02:00");
    hers.record(
        &json!({"type": "walk", "checklist": "daily", "machine": "main",
        "at": "2026-05-04T08:00:00+02:00", "looks": [
        {"item": "coolant-hoses", "phase": "cold", "grade": "sound"}]}),
    );
    let list = hers.json("defects", &["defects"]);
    assert!(
        !list["not_yet_looked_at"]
            .to_string()
            .contains("coolant-hoses")
    );
}

#[test]
fn no_walk_of_the_former_owner_is_clear() {
    let place = Place::with_boat().of_known_age(&["main"]);
    let sheet = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, &[]);
    let run = place.run(&["record", &place.file("w1.json", &sheet)]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    assert_eq!(place.json("verdict", &["verdict"])["now"], "clear-to-run");
    let (hers, _) = given(&place, &[]);
    let verdict = hers.json("verdict", &["verdict"]);
    assert_eq!(verdict["now"], "run-with-care", "{verdict}");
    assert_eq!(verdict["at_walk"], "clear-to-run", "{verdict}");
    let reasons = verdict["reasons"].to_string();
    assert!(reasons.contains("walked by the former owner"), "{reasons}");
}

#[test]
fn a_copy_given_on_is_joined_with_no_other_book() {
    let place = told();
    let (hers, _) = given(&place, &[]);
    let to = hers.logbook();
    let told = refused(&place, &["logbook", "merge", to.to_str().expect("a name")]);
    assert!(told.contains("different boats"), "{told}");
}

#[test]
fn nothing_is_written_over_and_nothing_half_is_left() {
    let place = told();
    let to = |name: &str| place.path().join(name).display().to_string();
    fs::create_dir(to("hers")).expect("a folder");
    let told = refused(&place, &["give-on", &to("hers")]);
    assert!(told.contains("is there already"), "{told}");
    let told = refused(&place, &["give-on", &to("no/such/folder")]);
    assert!(told.contains("cannot be written"), "{told}");
    let told = refused(&place, &["give-on", &to("logbook/hers")]);
    assert!(told.contains("inside each other"), "{told}");
    // What was cut short is taken away by the next attempt; a folder of somebody else's is not.
    let half = place.path().join(".theirs.given-on.half");
    fs::create_dir(&half).expect("a folder");
    fs::write(half.join("mine.txt"), "mine").expect("a file");
    let told = refused(&place, &["give-on", &to("theirs")]);
    assert!(told.contains("is there already"), "{told}");
    fs::write(half.join(".given-on.half"), "").expect("a file");
    assert_eq!(place.run(&["give-on", &to("theirs")]).code, Some(0));
    assert!(!half.exists() && !place.path().join("theirs/.given-on.half").exists());
    let names = fs::read_dir(place.path()).expect("the place");
    let half = names.filter(|e| {
        let name = e.as_ref().expect("an entry").file_name();
        name.to_string_lossy().contains("given-on")
    });
    assert_eq!(half.count(), 0);
}

/// Changes one line of the record on disk.
fn change(place: &Place, has: &[&str], how: impl Fn(&str) -> String) {
    for path in record_files(&place.logbook()) {
        let text = fs::read_to_string(&path).expect("a file");
        let is = |line: &&str| has.iter().all(|part| line.contains(part));
        let Some(line) = text.lines().find(is).map(str::to_owned) else {
            continue;
        };
        fs::write(&path, text.replace(&line, &how(&line))).expect("a file");
        return;
    }
    panic!("no line has {has:?}");
}

#[test]
fn a_loss_that_was_accepted_is_named_in_every_answer_of_the_copy() {
    let place = told();
    change(&place, &["coolant-hoses", "\"repair\""], |_| {
        "\0".repeat(60)
    });
    let args = ["logbook", "check", "--accept", "--why", "a drop of water"];
    let run = place.run(&args);
    assert!(run.stdout.contains("accepted"), "{}", run.stdout);
    let (hers, body) = given(&place, &[]);
    assert_eq!(body["not_counted"], 2, "{body}");
    for name in ["verdict", "defects", "due", "coverage"] {
        let answer = hers.json(name, &[name]);
        let said = answer["not_counted"].to_string();
        assert!(said.contains("former owner's book"), "{name}: {said}");
    }
    let run = hers.run(&["verdict"]);
    assert!(run.stdout.contains("NOT COUNTED: 1"), "{}", run.stdout);
}

#[test]
fn what_a_later_version_recorded_is_named_in_every_answer_of_the_copy() {
    let place = told();
    change(&place, &["\"ev\":\"cost\""], |line| {
        let later = line.replace("\"ev\":\"cost\"", "\"ev\":\"weather\"");
        let (body, _) = later.split_once(",\"sum\":").expect("a sum");
        let sum = crc32fast::hash(body.as_bytes());
        format!("{body},\"sum\":\"{sum:08x}\"}}")
    });
    let own = place.json("verdict", &["verdict"])["not_counted"].to_string();
    assert!(own.contains("later version"), "{own}");
    let (hers, body) = given(&place, &[]);
    assert_ne!(body["not_counted"], 0, "{body}");
    let said = hers.json("verdict", &["verdict"])["not_counted"].to_string();
    assert!(said.contains("former owner's book"), "{said}");
}

#[test]
fn what_puts_a_lost_entry_right_goes_along() {
    let place = told();
    let entries = place.json(
        "entries",
        &["entries", "--item", "drive-belt", "--kind", "look"],
    );
    let id = entries["rows"][0]["id"].as_str().expect("an id").to_owned();
    let put = [
        "entries",
        "put-right",
        &id,
        "grade=failed",
        "--why",
        "seen wrong",
    ];
    assert_eq!(place.run(&put).code, Some(0));
    change(&place, &["\"ev\":\"look\"", &id], |_| "\0".repeat(60));
    let args = ["logbook", "check", "--accept", "--why", "a drop of water"];
    let run = place.run(&args);
    assert!(run.stdout.contains("accepted"), "{}", run.stdout);
    let grade = |place: &Place| {
        let list = place.json("defects", &["defects"]);
        let rows = list["rows"].as_array().expect("rows").clone();
        let row = rows.into_iter().find(|row| row["item"] == "drive-belt");
        row.map(|row| row["grade"].clone())
    };
    let own = grade(&place);
    let (hers, _) = given(&place, &[]);
    assert_eq!(grade(&hers), own);
}
