//! Which of several answers a rung is, said with the look: taken, held against the questions, shown, put
//! right, carried along.

use serde_json::{Value, json};

use super::entries::{done, entry};
use super::harness::{Place, copy};

const SWEET: &str = "exhaust plume: White and smelling sweet";

fn walk(looks: &[Value]) -> Value {
    json!({"type": "walk", "id": "w1", "checklist": "daily", "machine": "main",
        "at": "2026-05-03T07:40:00+02:00", "by": "R. Quay", "hours": 1203.6, "looks": looks})
}

fn smoke() -> Value {
    json!({"item": "exhaust-smoke", "phase": "idle", "grade": "failing", "signs": {"plume": "sweet"}})
}

/// A boat in whose last walk the smoke was white and sweet.
fn walked() -> Place {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    place.record(&walk(&[smoke()]));
    place.at("2026-05-03T12:00:00+02:00");
    place
}

/// The signs of the newest look at an item, as its entry tells them.
fn signs_of(place: &Place, item: &str) -> Value {
    let id = entry(place, &["--item", item, "--kind", "look"]);
    let shown = place.json("entry", &["entries", "show", &id]);
    let fields = shown["fields"].as_array().expect("fields").clone();
    let signs = fields.into_iter().find(|field| field["field"] == "signs");
    signs.map_or(Value::Null, |field| field["value"].clone())
}

#[test]
fn an_answer_that_cannot_be_is_named_by_its_field() {
    let place = Place::with_boat();
    let refused = [
        (
            json!({"item": "exhaust-smoke", "grade": "failing", "signs": {"plum": "sweet"}}),
            "signs.plum`: no such question; at exhaust-smoke is asked plume",
        ),
        (
            json!({"item": "exhaust-smoke", "grade": "failing", "signs": {"plume": "green"}}),
            "signs.plume`: 'green' is no answer to it; known are ok, steam, sweet",
        ),
        (
            json!({"item": "exhaust-smoke", "grade": "sound", "signs": {"plume": "sweet"}}),
            "signs.plume`: it was graded sound, and 'sweet' is not normal",
        ),
        (
            json!({"item": "exhaust-smoke", "not_seen": "dark", "signs": {"plume": "sweet"}}),
            "signs belong to a grade",
        ),
        (
            json!({"item": "drive-belt", "grade": "worn", "signs": {"plume": "sweet"}}),
            "signs.plume`: no such question; at drive-belt is asked belt",
        ),
    ];
    for (look, says) in refused {
        let file = place.file("walk.json", &walk(std::slice::from_ref(&look)).to_string());
        let run = place.run(&["record", &file]);
        assert_eq!(run.code, Some(2), "{look}: {}", run.stdout);
        assert!(run.stderr.contains(says), "{look}: {}", run.stderr);
    }
    assert_eq!(place.json("walks", &["walks"])["rows"], json!([]));
}

#[test]
fn what_was_answered_stands_wherever_its_look_does() {
    let place = walked();
    assert_eq!(signs_of(&place, "exhaust-smoke"), "plume: sweet");
    let row = &place.json("entries", &["entries", "--item", "exhaust-smoke"])["rows"][0];
    assert!(
        row["words"].as_str().expect("words").contains(SWEET),
        "{row}"
    );
    let explained = place.run(&["explain", "exhaust-smoke", "--machine", "main"]);
    assert!(
        explained.stdout.contains("White and smelling sweet"),
        "{}",
        explained.stdout
    );
    let written = |name: &str| {
        let run = place.run(&["report", "w1", "--to", name]);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
        std::fs::read_to_string(place.path().join(name)).expect("a report")
    };
    let report: Value = serde_json::from_str(&written("report.json")).expect("JSON");
    let looks = report["looks"].as_array().expect("looks").iter();
    let told: Vec<&Value> = looks.map(|look| &look["signs"]).collect();
    assert_eq!(told, [&json!([SWEET])]);
    for page in [written("report.md"), written("report.html")] {
        assert!(page.contains("White and smelling sweet"), "{page}");
    }
    let table = written("report.csv");
    let head = table.lines().next().expect("a head");
    assert!(head.trim_end().ends_with(",signs"), "{head}");
    assert!(table.contains(SWEET), "{table}");
    place.json("logbook-export", &["logbook", "export", "tables"]);
    let rows = std::fs::read_to_string(place.path().join("tables/signs.ndjson")).expect("a table");
    let row: Value = serde_json::from_str(&rows).expect("one row");
    assert_eq!(
        (
            &row["item"],
            &row["question"],
            &row["answer"],
            &row["machine"]
        ),
        (
            &json!("exhaust-smoke"),
            &json!("plume"),
            &json!("sweet"),
            &json!("main")
        )
    );
}

#[test]
fn what_is_found_says_which_it_is_in_one_command() {
    let place = Place::with_boat();
    place.json(
        "finding",
        &["find", "exhaust-smoke", "3", "--sign", "plume=sweet"],
    );
    assert_eq!(signs_of(&place, "exhaust-smoke"), "plume: sweet");
    let wrong = place.run(&["find", "exhaust-smoke", "3", "--sign", "plume=green"]);
    assert_eq!(wrong.code, Some(2));
    let says = "--sign: plume: 'green' is no answer to it";
    assert!(wrong.stderr.contains(says), "{}", wrong.stderr);
    let wrong = place.run(&["find", "exhaust-smoke", "3", "--sign", "sweet"]);
    assert_eq!(wrong.code, Some(2));
    assert!(
        wrong.stderr.contains("a question and its answer"),
        "{}",
        wrong.stderr
    );
}

#[test]
fn an_entry_put_right_keeps_what_goes_with_it_and_says_what_does_not() {
    let place = walked();
    let id = entry(&place, &["--item", "exhaust-smoke", "--kind", "look"]);
    let why = ["--why", "looked at again in the light"];
    let right = |fields: &str| done(&place, &[&["put-right", &id, fields], &why[..]].concat());
    right("grade=worn");
    assert_eq!(signs_of(&place, "exhaust-smoke"), "plume: sweet");
    right("signs=plume: black");
    assert_eq!(signs_of(&place, "exhaust-smoke"), "plume: black");
    let told = right("item=engine-oil-condition");
    let gone = told["follows"][0].as_str().expect("a sentence");
    assert!(
        gone.starts_with("it is said no more that exhaust plume: "),
        "{gone}"
    );
    assert_eq!(signs_of(&place, "engine-oil-condition"), "");
    right("signs=olook: milky");
    let told = right("grade=sound");
    let gone = told["follows"][0].as_str().expect("a sentence");
    assert!(gone.contains("Milky"), "{gone}");
    assert_eq!(signs_of(&place, "engine-oil-condition"), Value::Null);
    // What is said in the same breath is meant, and held against the rung.
    let args = [
        "entries",
        "put-right",
        &id,
        "signs=olook: milky",
        "--why",
        "x",
    ];
    let run = place.run(&args);
    assert_eq!(run.code, Some(2));
    assert!(run.stderr.contains("it was graded sound"), "{}", run.stderr);
}

#[test]
fn a_merge_and_a_history_given_on_keep_it() {
    let place = walked();
    let hers = Place::empty();
    let to = hers.logbook();
    place.json("give-on", &["give-on", to.to_str().expect("a name")]);
    assert_eq!(signs_of(&hers, "exhaust-smoke"), "plume: sweet");

    let other = Place::empty();
    copy(&place.logbook(), &other.logbook());
    let oil = json!({"item": "engine-oil-condition", "grade": "worn", "signs": {"olook": "fuel"}});
    let mut later = walk(&[oil]);
    (later["id"], later["at"]) = (json!("w2"), json!("2026-05-03T09:00:00+02:00"));
    let file = other.file("w2.json", &later.to_string());
    let taken = other.run_at("2026-05-03T12:00:00+02:00", &["record", &file]);
    assert_eq!(taken.code, Some(0), "{}", taken.stderr);
    let from = other.logbook();
    place.json(
        "logbook-merge",
        &["logbook", "merge", from.to_str().expect("a name")],
    );
    assert_eq!(signs_of(&place, "engine-oil-condition"), "olook: fuel");
    assert_eq!(signs_of(&place, "exhaust-smoke"), "plume: sweet");
}
