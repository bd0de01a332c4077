//! A guest's walk: it can raise a stop, and lifts none and confirms no repair.

use serde_json::{Value, json};

use super::harness::{Place, full_walk};

/// A boat of known age that was walked and found sound.
fn place() -> Place {
    let place = Place::with_boat().of_known_age(&["main"]);
    walked(&place, "owner-1", "2026-05-01T07:40:00+02:00", &[], false);
    place
}

fn walked(place: &Place, id: &str, at: &str, looks: &[Value], guest: bool) {
    let hours = 1203.6 + f64::from(u32::try_from(id.len()).expect("short"));
    let mut walk: Value = serde_json::from_str(&full_walk(id, at, hours, looks)).expect("JSON");
    walk["guest"] = json!(guest);
    walk["by"] = json!(if guest { "Anna" } else { "R. Quay" });
    place.record(&walk);
}

fn belt(grade: &str) -> Value {
    json!({"item": "drive-belt", "phase": "cold", "grade": grade})
}

fn now(place: &Place) -> Value {
    place.json("verdict", &["verdict"])["now"].clone()
}

fn stands(place: &Place) -> Value {
    let list = place.json("defects", &["defects"]);
    let rows = list["rows"].as_array().expect("rows").clone();
    let belt = rows.into_iter().find(|row| row["item"] == "drive-belt");
    belt.map_or(Value::Null, |row| row["grade"].clone())
}

/// The newest look at the belt, by its id.
fn newest(place: &Place) -> String {
    let args = ["entries", "--item", "drive-belt", "--kind", "look"];
    let entries = place.json("entries", &args);
    entries["rows"][0]["id"].as_str().expect("an id").to_owned()
}

#[test]
fn a_guest_raises_a_stop_and_lifts_none() {
    let place = place();
    assert_eq!(now(&place), "clear-to-run");
    let failing = [belt("failing")];
    walked(
        &place,
        "guest-1",
        "2026-05-01T12:00:00+02:00",
        &failing,
        true,
    );
    assert_eq!(now(&place), "do-not-run");
    // Another guest sees it sound, and says that it was put right.
    let mended =
        [json!({"item": "drive-belt", "phase": "cold", "grade": "sound", "better": "repaired"})];
    walked(
        &place,
        "guest-22",
        "2026-05-01T18:00:00+02:00",
        &mended,
        true,
    );
    assert_eq!(now(&place), "do-not-run");
    assert_eq!(stands(&place), "failing");
    let told = place.run(&["verdict"]).stdout;
    assert!(
        told.contains("Walked by a guest, Anna: what was seen lifts nothing"),
        "{told}"
    );
    // The owner's look lifts it.
    walked(
        &place,
        "owner-333",
        "2026-05-02T07:40:00+02:00",
        &mended,
        false,
    );
    assert_eq!(now(&place), "clear-to-run");
}

#[test]
fn a_guest_confirms_no_repair_and_answers_for_no_look_owed() {
    let place = place();
    walked(
        &place,
        "owner-22",
        "2026-05-01T12:00:00+02:00",
        &[belt("failing")],
        false,
    );
    let at = "2026-05-01T13:00:00+02:00";
    place.record(
        &json!({"type":"repair","item":"drive-belt","machine":"main","at":at,"done":"new belt"}),
    );
    let before = now(&place);
    assert_ne!(before, "clear-to-run");
    walked(&place, "guest-333", "2026-05-02T08:00:00+02:00", &[], true);
    assert_ne!(
        now(&place),
        "clear-to-run",
        "a repair is confirmed by the owner's look"
    );
    walked(
        &place,
        "owner-4444",
        "2026-05-02T09:00:00+02:00",
        &[],
        false,
    );
    assert_eq!(now(&place), "clear-to-run");
}

#[test]
fn a_stop_taken_back_stays_owed_after_a_guests_look() {
    let place = place();
    walked(
        &place,
        "owner-22",
        "2026-05-01T12:00:00+02:00",
        &[belt("failing")],
        false,
    );
    let id = newest(&place);
    place.json(
        "entry-changed",
        &["entries", "take-back", &id, "--why", "the wrong belt"],
    );
    assert_ne!(now(&place), "clear-to-run");
    walked(&place, "guest-333", "2026-05-02T08:00:00+02:00", &[], true);
    assert_ne!(now(&place), "clear-to-run");
    walked(
        &place,
        "owner-4444",
        "2026-05-02T09:00:00+02:00",
        &[],
        false,
    );
    assert_eq!(now(&place), "clear-to-run");
}

#[test]
fn a_guest_signs_nothing_off_and_the_mark_cannot_be_typed_by_hand() {
    let place = place();
    for list in ["leak-run", "survey"] {
        let sheet = json!({"type":"walk","checklist":list,"at":"2026-05-02T08:00:00+02:00","guest":true,"looks":[]});
        let run = place.run(&["record", &place.file("sheet.json", &sheet.to_string())]);
        assert_eq!(run.code, Some(2), "{run}");
        assert!(
            run.stderr.contains("a guest walks a morning check"),
            "{run}"
        );
    }
    // A look that calls itself the owner's in a guest's sheet is the guest's.
    walked(
        &place,
        "owner-22",
        "2026-05-01T12:00:00+02:00",
        &[belt("failing")],
        false,
    );
    let look = json!({"item": "drive-belt", "phase": "cold", "grade": "sound", "guest": false});
    walked(
        &place,
        "guest-333",
        "2026-05-02T08:00:00+02:00",
        &[look],
        true,
    );
    assert_eq!(stands(&place), "failing");
    let walks = place.json("walks", &["walks"]);
    let guests: Vec<_> = walks["rows"]
        .as_array()
        .expect("rows")
        .iter()
        .map(|w| w["guest"].clone())
        .collect();
    assert_eq!(guests, [json!(false), json!(false), json!(true)]);
}

#[test]
fn putting_a_guests_look_right_makes_it_no_owners_look() {
    let place = place();
    walked(
        &place,
        "owner-22",
        "2026-05-01T12:00:00+02:00",
        &[belt("failing")],
        false,
    );
    walked(
        &place,
        "guest-333",
        "2026-05-02T08:00:00+02:00",
        &[belt("worn")],
        true,
    );
    let id = newest(&place);
    let run = place.run(&[
        "entries",
        "put-right",
        &id,
        "guest=false",
        "--why",
        "it was me",
    ]);
    assert_eq!(run.code, Some(2), "{run}");
    let args = [
        "entries",
        "put-right",
        &id,
        "grade=sound",
        "--why",
        "looked again",
    ];
    let run = place.run(&args);
    assert_eq!(run.code, Some(0), "{run}");
    assert_eq!(stands(&place), "failing");
}
