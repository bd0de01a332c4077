//! A guest's walk: it can raise a stop, and lifts none and confirms no repair.

use serde_json::{Value, json};

use super::harness::{Place, full_walk};

/// A boat of known age that was walked and found sound.
fn place() -> Place {
    let place = Place::with_boat().of_known_age(&["main"]);
    owner(&place, "owner-1", "01T07:40", &[]);
    place
}

/// A morning check by the owner; `at` is a time in May, such as 02T07:40.
fn owner(place: &Place, id: &str, at: &str, looks: &[Value]) {
    walked(place, id, at, looks, false);
}

/// The same by a guest.
fn guest(place: &Place, id: &str, at: &str, looks: &[Value]) {
    walked(place, id, at, looks, true);
}

fn walked(place: &Place, id: &str, at: &str, looks: &[Value], guest: bool) {
    let hours = 1203.6 + f64::from(u32::try_from(id.len()).expect("short"));
    let at = format!("2026-05-{at}:00+02:00");
    let walk = full_walk(id, &at, hours, looks);
    let mut walk: Value = serde_json::from_str(&walk).expect("JSON");
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
    guest(&place, "guest-1", "01T12:00", &failing);
    assert_eq!(now(&place), "do-not-run");
    // Another guest sees it sound, and says that it was put right.
    let mended =
        [json!({"item": "drive-belt", "phase": "cold", "grade": "sound", "better": "repaired"})];
    guest(&place, "guest-22", "01T18:00", &mended);
    assert_eq!(now(&place), "do-not-run");
    assert_eq!(stands(&place), "failing");
    let told = place.run(&["verdict"]).stdout;
    assert!(
        told.contains("Walked by a guest, Anna: what was seen lifts nothing"),
        "{told}"
    );
    // The owner's look lifts it.
    owner(&place, "owner-333", "02T07:40", &mended);
    assert_eq!(now(&place), "clear-to-run");
}

#[test]
fn a_guest_confirms_no_repair_and_answers_for_no_look_owed() {
    let place = place();
    owner(&place, "owner-22", "01T12:00", &[belt("failing")]);
    let at = "2026-05-01T13:00:00+02:00";
    place.record(
        &json!({"type":"repair","item":"drive-belt","machine":"main","at":at,"done":"new belt"}),
    );
    let before = now(&place);
    assert_ne!(before, "clear-to-run");
    guest(&place, "guest-333", "02T08:00", &[]);
    assert_ne!(
        now(&place),
        "clear-to-run",
        "a repair is confirmed by the owner's look"
    );
    owner(&place, "owner-4444", "02T09:00", &[]);
    assert_eq!(now(&place), "clear-to-run");
}

#[test]
fn a_stop_taken_back_stays_owed_after_a_guests_look() {
    let place = place();
    owner(&place, "owner-22", "01T12:00", &[belt("failing")]);
    let id = newest(&place);
    place.json(
        "entry-changed",
        &["entries", "take-back", &id, "--why", "the wrong belt"],
    );
    assert_ne!(now(&place), "clear-to-run");
    guest(&place, "guest-333", "02T08:00", &[]);
    assert_ne!(now(&place), "clear-to-run");
    owner(&place, "owner-4444", "02T09:00", &[]);
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
    owner(&place, "owner-22", "01T12:00", &[belt("failing")]);
    let look = json!({"item": "drive-belt", "phase": "cold", "grade": "sound", "guest": false});
    guest(&place, "guest-333", "02T08:00", &[look]);
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
    owner(&place, "owner-22", "01T12:00", &[belt("failing")]);
    guest(&place, "guest-333", "02T08:00", &[belt("worn")]);
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

/// The oil at a per cent of the way between the marks, with what was added.
fn oil(grade: &str, percent: f64, added: Option<&str>) -> Value {
    let reading = json!({"value": percent, "unit": "%"});
    let mut look =
        json!({"item": "engine-oil-level", "phase": "cold", "grade": grade, "reading": reading});
    if let Some(added) = added {
        look["added"] = json!(added);
    }
    look
}

#[test]
fn what_a_guest_fills_opens_no_gate_and_is_no_risen_oil_to_the_owner() {
    let place = place();
    let marks = place.run(&["boat", "put", "between_marks", "1 L"]);
    assert_eq!(marks.code, Some(0), "{marks}");
    let low = oil("failing", -20.0, None);
    owner(&place, "owner-22", "01T12:00", &[low]);
    let said = || {
        let answer = place.json("verdict", &["verdict"]);
        (answer["now"].clone(), answer["before_you_start"].clone())
    };
    let before = said();
    assert_eq!(before.0, "do-not-run");
    let filled = oil("sound", -20.0, Some("0.8 L"));
    guest(&place, "guest-333", "01T18:00", &[filled]);
    assert_eq!(said(), before, "a guest's filling opens the gate");
    let full = oil("sound", 60.0, None);
    owner(&place, "owner-4444", "02T07:40", &[full]);
    assert_eq!(said().0, "clear-to-run", "{:?}", said());
}

#[test]
fn a_look_marked_as_a_guests_stays_one_in_the_owners_sheet() {
    let place = place();
    let failing = [belt("failing")];
    owner(&place, "owner-22", "01T12:00", &failing);
    let look = json!({"item": "drive-belt", "phase": "cold", "grade": "sound", "better": "repaired", "guest": true});
    owner(&place, "owner-333", "02T08:00", &[look]);
    assert_eq!(stands(&place), "failing");
}

#[test]
fn a_guest_who_sees_worse_confirms_no_repair_beside_and_dries_no_leak() {
    let place = place();
    owner(&place, "owner-22", "01T12:00", &[belt("failing")]);
    let at = "2026-05-01T13:00:00+02:00";
    place.record(
        &json!({"type":"repair","item":"drive-belt","machine":"main","at":at,"done":"new belt"}),
    );
    guest(&place, "guest-333", "02T05:00", &[belt("early")]);
    let waits = |place: &Place| {
        let reasons = place.json("verdict", &["verdict"])["reasons"].to_string();
        reasons.contains("not yet looked at")
    };
    assert!(waits(&place));
    guest(&place, "guest-4444", "02T06:15", &[belt("failing")]);
    assert_eq!(
        now(&place),
        "do-not-run",
        "a repair hides no stop seen since"
    );
    owner(&place, "owner-55555", "02T07:40", &[belt("sound")]);
    assert!(!waits(&place));
    assert_eq!(now(&place), "clear-to-run");
    let seal = |grade: &str, leak: Option<&str>| {
        let why = "seen so, and looked again";
        json!({"item": "lift-pump-seal", "phase": "cold", "grade": grade, "leak": leak, "grade_reason": why})
    };
    let wet = [seal("early", Some("ii"))];
    owner(&place, "owner-666666", "02T09:00", &wet);
    assert_eq!(now(&place), "do-not-run");
    let dry = [seal("worn", None)];
    guest(&place, "guest-7777777", "02T10:30", &dry);
    assert_eq!(now(&place), "do-not-run", "a worse rung dries no fuel");
}

#[test]
fn a_guests_morning_check_is_no_full_check_of_the_owners() {
    let place = Place::with_boat().of_known_age(&["main"]);
    guest(&place, "guest-1", "02T07:40", &[]);
    let short = json!({"type": "walk", "checklist": "short", "at": "2026-05-02T09:00:00+02:00",
        "looks": [{"item": "drive-belt", "phase": "cold", "grade": "sound"}]});
    place.record(&short);
    let told = place.json("verdict", &["verdict"])["reasons"].to_string();
    assert!(told.contains("no full check is on record"), "{told}");
}

/// A boat with two tanks for fuel and one for water.
fn with_tanks() -> Place {
    let place = place();
    for (name, holds, capacity) in [
        ("Port tank", "fuel", Some("120 L")),
        ("Day tank", "fuel", None),
        ("Water", "fresh-water", Some("200 L")),
    ] {
        let added = place.run(&["boat", "add", "tank", name]);
        assert_eq!(added.code, Some(0), "{added}");
        let id = name.to_lowercase().replace(' ', "-");
        let facts = [Some(("holds", holds)), capacity.map(|c| ("capacity", c))];
        for (fact, value) in facts.into_iter().flatten() {
            let put = place.run(&["boat", "put", fact, value, "--tank", &id]);
            assert_eq!(put.code, Some(0), "{put}");
        }
    }
    place
}

fn fuel(tank: &str, value: f64, unit: &str) -> Value {
    json!({"tank": tank, "left": {"value": value, "unit": unit}})
}

/// A guest's short check with what fuel was left.
fn returned(id: &str, at: &str, fuel: &[Value]) -> Value {
    json!({"type": "walk", "id": id, "checklist": "short", "at": format!("2026-05-{at}:00+02:00"),
        "by": "Anna", "guest": true, "fuel": fuel,
        "looks": [{"item": "drive-belt", "phase": "cold", "grade": "sound"}]})
}

#[test]
fn a_guest_says_what_fuel_is_left_tank_by_tank() {
    let place = with_tanks();
    place.record(&returned("g1", "02T08:00", &[fuel("port-tank", 40.0, "L")]));
    place.record(&returned("g2", "02T18:00", &[fuel("day-tank", 50.0, "%")]));
    let entries = place.json("entries", &["entries", "--kind", "walk-noted"]);
    let words = |n: usize| entries["rows"][n]["words"].as_str().expect("words");
    assert_eq!(words(0), "Said what fuel is left: day-tank 50 %");
    assert_eq!(words(1), "Said what fuel is left: port-tank 40 L");
    let out = place.path().join("tables");
    let out = out.to_str().expect("UTF-8").to_owned();
    let run = place.run(&["logbook", "export", &out]);
    assert_eq!(run.code, Some(0), "{run}");
    let table = place.path().join("tables/fuel_left.ndjson");
    let table = std::fs::read_to_string(table).expect("a table");
    assert!(
        table.contains(r#""tank":"port-tank","value":40.0,"unit":"L""#),
        "{table}"
    );
    // It is put right, and taken back, like anything else.
    let id = entries["rows"][1]["id"].as_str().expect("an id").to_owned();
    let right = r#"fuel=[{"tank":"port-tank","left":{"value":30,"unit":"L"}}]"#;
    let run = place.run(&["entries", "put-right", &id, right, "--why", "misread"]);
    assert_eq!(run.code, Some(0), "{run}");
    let wrong = r#"fuel=[{"tank":"port-tank","left":{"value":900,"unit":"L"}}]"#;
    let run = place.run(&["entries", "put-right", &id, wrong, "--why", "misread"]);
    assert_eq!(run.code, Some(2), "{run}");
    let run = place.run(&["entries", "take-back", &id]);
    assert_eq!(run.code, Some(0), "{run}");
}

#[test]
fn fuel_that_cannot_be_left_is_refused_by_its_tank() {
    let place = with_tanks();
    let refused = |fuel: &[Value]| {
        let sheet = returned("g1", "02T08:00", fuel).to_string();
        let run = place.run(&["record", &place.file("sheet.json", &sheet)]);
        assert_eq!(run.code, Some(2), "{run}");
        run.stderr
    };
    for (fuel, why) in [
        (fuel("water", 40.0, "L"), "no tank for fuel"),
        (fuel("\u{1b}[2Jx", 40.0, "L"), "no tank for fuel"),
        (fuel("port-tank", 400.0, "L"), "cannot be left"),
        (fuel("port-tank", -1.0, "L"), "cannot be left"),
        (fuel("day-tank", 150.0, "%"), "cannot be left"),
        (fuel("day-tank", 3.0, "bar"), "no volume"),
    ] {
        let told = refused(&[fuel]);
        assert!(told.contains("fuel[0]") && told.contains(why), "{told}");
        assert!(!told.contains('\u{1b}'), "{told}");
    }
    let twice = refused(&[fuel("day-tank", 3.0, "L"), fuel("day-tank", 4.0, "L")]);
    assert!(
        twice.contains("fuel[1]") && twice.contains("twice"),
        "{twice}"
    );
    let mut owners = returned("g1", "02T08:00", &[fuel("day-tank", 3.0, "L")]);
    owners["guest"] = json!(false);
    let run = place.run(&["record", &place.file("sheet.json", &owners.to_string())]);
    assert_eq!(run.code, Some(2), "{run}");
    assert!(run.stderr.contains("a guest's walk"), "{run}");
}
