//! What the program reckoned from a reading of an hour meter names it, and follows it where that is put
//! right; what names none is asked about and stays.

use serde_json::{Value, json};

use super::entries::{done, entry};
use super::harness::{Place, full_walk};

/// A leak run at a figure of the meter, with a joint disturbed, which is owed a look five hours on.
fn leak_run(hours: f64, id: Option<&str>) -> Place {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    place.at("2026-05-04T12:00:00+02:00");
    place.record(&run(hours, id));
    place
}

fn run(hours: f64, id: Option<&str>) -> Value {
    let mut sheet = json!({"type":"walk","checklist":"leak-run","machine":"main",
        "at":"2026-05-03T18:00:00+02:00","hours":hours,"disturbed":["oil-filter-seat"],
        "looks":[{"item":"oil-filter-seat","phase":"idle","grade":"sound"}]});
    if let Some(id) = id {
        sheet["id"] = json!(id);
    }
    sheet
}

/// The meter readings at which looks are owed.
fn owed(place: &Place) -> Vec<f64> {
    let due = place.json("due", &["due"]);
    let rows = due["rows"].as_array().expect("rows").iter();
    let rows = rows.filter(|row| row["what"] == "recheck");
    rows.filter_map(|row| row["due_hours"].as_f64()).collect()
}

#[track_caller]
fn field(place: &Place, id: &str, name: &str) -> Value {
    let shown = place.json("entry", &["entries", "show", id]);
    let fields = shown["fields"].as_array().expect("fields");
    let found = fields.iter().find(|field| field["field"] == name);
    found.unwrap_or_else(|| panic!("{name}: {shown}"))["value"].clone()
}

fn owed_entry(place: &Place) -> String {
    entry(
        place,
        &["--kind", "recheck", "--find", "after the first 5 to 10"],
    )
}

#[test]
fn a_look_owed_after_a_leak_run_follows_its_reading() {
    for id in [None, Some("run")] {
        let right = leak_run(1203.6, id);
        let place = leak_run(1206.3, id);
        assert_eq!((owed(&right), owed(&place)), (vec![1208.6], vec![1211.3]));
        let read = entry(&place, &["--kind", "walk"]);
        assert_eq!(field(&place, &owed_entry(&place), "from"), json!(read));
        let told = done(
            &place,
            &["put-right", &read, "hours=1203.6", "--why", "misread"],
        );
        let follows = told["follows"].to_string();
        assert!(
            follows.contains("is due at 1208.6 h in place of 1211.3 h"),
            "{follows}"
        );
        assert_eq!(owed(&place), owed(&right));
        done(&place, &["put-back", &read]);
        assert_eq!(owed(&place), [1211.3], "as it was");
    }
}

#[test]
fn a_reading_of_the_same_batch_is_named_by_a_leak_run_that_read_none() {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    place.at("2026-05-04T12:00:00+02:00");
    let mut sheet = run(0.0, None);
    drop(sheet.as_object_mut().expect("a sheet").remove("hours"));
    let morning = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, &[]);
    let mut morning: Value = serde_json::from_str(&morning).expect("a sheet");
    drop(morning.as_object_mut().expect("a sheet").remove("id"));
    place.record(&json!([morning, sheet]));
    let before = owed(&place);
    let read = entry(
        &place,
        &["--kind", "walk", "--day", "2026-05-03", "--find", "daily"],
    );
    assert_eq!(field(&place, &owed_entry(&place), "from"), json!(read));
    done(
        &place,
        &["put-right", &read, "hours=1202.6", "--why", "misread"],
    );
    assert_eq!(owed(&place), [before[0] - 1.0]);
}

#[test]
fn a_look_reckoned_from_a_reading_put_right_before_follows_from_there() {
    let place = leak_run(1206.3, Some("run"));
    let read = entry(&place, &["--kind", "walk"]);
    done(
        &place,
        &["put-right", &read, "hours=1205.3", "--why", "misread"],
    );
    // Why it is owed is put right, and its figure goes on following.
    let look = owed_entry(&place);
    done(
        &place,
        &[
            "put-right",
            &look,
            "why=after the first 5 to 10 h",
            "--why",
            "x",
        ],
    );
    assert_eq!(owed(&place), [1210.3]);
    done(
        &place,
        &["put-right", &read, "hours=1203.6", "--why", "misread again"],
    );
    assert_eq!(owed(&place), [1208.6]);
    // What somebody gives stays.
    let look = owed_entry(&place);
    done(
        &place,
        &["put-right", &look, "due_hours=1212", "--why", "x"],
    );
    done(
        &place,
        &["put-right", &read, "hours=1204.6", "--why", "once more"],
    );
    assert_eq!(owed(&place), [1212.0]);
}

#[test]
fn a_look_that_names_no_reading_is_asked_about_and_stays() {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    place.at("2026-05-03T12:00:00+02:00");
    let morning = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, &[]);
    let morning: Value = serde_json::from_str(&morning).expect("a sheet");
    place.record(&morning);
    place
        .record(&json!({"type":"recheck","item":"drive-belt","due_hours":1208.6,"why":"new belt"}));
    let look = entry(&place, &["--kind", "recheck"]);
    let read = entry(&place, &["--kind", "walk"]);
    let only = [
        "put-right",
        &read,
        "hours=1202.6",
        "--why",
        "x",
        "--only-tell",
    ];
    let told = place.json("entry-changed", &[&["entries"], &only[..]].concat());
    let follows = told["follows"].to_string();
    assert!(
        follows.contains("stays due at 1208.6 h") && follows.contains(&look),
        "{follows}"
    );
    done(
        &place,
        &["put-right", &read, "hours=1202.6", "--why", "misread"],
    );
    assert_eq!(owed(&place), [1208.6]);
}

#[test]
fn a_reading_taken_away_leaves_what_was_reckoned_and_says_so() {
    let place = leak_run(1206.3, Some("run"));
    let read = entry(&place, &["--kind", "walk"]);
    let told = done(&place, &["put-right", &read, "hours=", "--why", "not read"]);
    let follows = told["follows"].to_string();
    assert!(
        follows.contains("stays due at 1211.3 h, reckoned from 1206.3 h"),
        "{follows}"
    );
    assert_eq!(owed(&place), [1211.3]);
}

#[test]
fn an_entry_shows_what_the_verdict_read_around_it_as_history() {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    place.at("2026-05-03T12:00:00+02:00");
    let belt = json!({"item":"drive-belt","phase":"cold","grade":"sound"});
    let morning = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, &[belt]);
    place.record(&serde_json::from_str(&morning).expect("a sheet"));
    place.at("2026-05-03T13:00:00+02:00");
    place.record(
        &json!({"type":"walk","id":"w2","checklist":"short","machine":"main",
        "at":"2026-05-03T12:30:00+02:00","finished":false,
        "looks":[{"item":"drive-belt","grade":"failed"}]}),
    );
    let id = entry(&place, &["--walk", "w2", "--kind", "look"]);
    let shown = |place: &Place| place.json("entry", &["entries", "show", &id])["read_then"].clone();
    let then = |now: &str| json!([{"machine":"main","before":"clear-to-run","after":"do-not-run","now":now}]);
    assert_eq!(shown(&place), then("do-not-run"));
    place.at("2026-05-04T14:00:00+02:00");
    done(&place, &["take-back", &id, "--why", "the other boat"]);
    assert_eq!(shown(&place), then("run-with-care"), "owed a look now");
    let text = place.run(&["entries", "show", &id]).stdout;
    assert!(
        text.contains("Just before this entry the last verdict read: clear to run.")
            && text.contains(
                "Just after it the last verdict read: do not run; now it reads: run with care."
            ),
        "{text}"
    );
    // What changed no verdict tells nothing.
    let first = entry(&place, &["--walk", "w1", "--kind", "look"]);
    let shown = place.json("entry", &["entries", "show", &first]);
    assert!(shown.get("read_then").is_none(), "{shown}");
    let end = entry(&place, &["--walk", "w1", "--kind", "walk-finished"]);
    let shown = place.json("entry", &["entries", "show", &end])["read_then"].clone();
    assert_eq!(
        (&shown[0]["before"], &shown[0]["after"]),
        (&Value::Null, &json!("clear-to-run"))
    );
}
