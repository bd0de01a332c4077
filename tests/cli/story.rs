//! A whole story: a boat, five walks and what was done between them.

use serde_json::{Value, json};

use super::harness::{PROFILE, Place, Run, full_walk, session};

fn walk(place: &Place, id: &str, at: &str, hours: f64, looks: &[Value]) -> Run {
    let file = place.file(&format!("{id}.json"), &full_walk(id, at, hours, looks));
    place.run(&["record", &file])
}

#[test]
fn a_belt_and_a_seal() {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    let mut runs = Vec::new();
    let thrifty = PROFILE.replace(
        "\"usual_hours_per_month\":15",
        "\"usual_hours_per_month\":25",
    );
    place.at("2026-05-01T18:00:00+02:00");
    runs.push(place.run(&["boat", "set", &place.file("set.json", &thrifty)]));

    let seal = json!({"item":"raw-water-pump-seal","phase":"cold","grade":"early","leak":"i","note":"damp below the hole"});
    let belt = |grade: &str| json!({"item":"drive-belt","grade":grade});

    place.at("2026-05-03T09:00:00+02:00");
    runs.push(walk(
        &place,
        "first",
        "2026-05-03T07:40:00+02:00",
        1203.6,
        &[belt("worn"), seal.clone()],
    ));
    runs.push(place.run(&["verdict"]));
    runs.push(place.run(&["defects"]));

    place.at("2026-05-10T09:00:00+02:00");
    runs.push(walk(
        &place,
        "second",
        "2026-05-10T07:40:00+02:00",
        1212.0,
        &[belt("failing"), seal.clone()],
    ));
    runs.push(place.run(&["verdict"]));
    assert_eq!(
        runs.last().map(|r| r.code),
        Some(Some(1)),
        "it must not run"
    );
    runs.push(place.run(&[
        "defer",
        "drive-belt",
        "--why",
        "guests aboard",
        "--until",
        "2026-05-12",
    ]));
    runs.push(place.run(&[
        "defer",
        "raw-water-pump-seal",
        "--why",
        "kit ordered",
        "--until",
        "2026-06-15",
    ]));
    runs.push(place.run(&[
        "override",
        "raw-water-pump-seal",
        "--level",
        "c",
        "--why",
        "the drip grew in a week",
    ]));
    runs.push(place.run(&[
        "repair",
        "drive-belt",
        "--done",
        "new belt, tensioned",
        "--hours",
        "1212.2",
    ]));
    runs.push(place.run(&["verdict"]));

    place.at("2026-05-17T09:00:00+02:00");
    runs.push(walk(
        &place,
        "third",
        "2026-05-17T07:40:00+02:00",
        1220.0,
        std::slice::from_ref(&seal),
    ));
    runs.push(place.run(&["verdict"]));
    runs.push(place.run(&["defects", "--all"]));

    place.at("2026-05-31T09:00:00+02:00");
    runs.push(walk(
        &place,
        "fourth",
        "2026-05-31T07:40:00+02:00",
        1232.0,
        &[belt("worn"), seal],
    ));
    runs.push(place.run(&["defects"]));
    runs.push(place.run(&["explain", "drive-belt"]));
    runs.push(place.run(&["walks"]));
    runs.push(place.run(&["logbook", "check"]));
    insta::assert_snapshot!(session(&runs));

    let rows = place.json("defects", &["defects", "--all"]);
    let row = |item: &str| {
        rows["rows"]
            .as_array()
            .and_then(|r| r.iter().find(|r| r["item"] == item))
            .cloned()
    };
    let belt = row("drive-belt").expect("a row");
    assert_eq!(
        belt["opened"], "2026-05-03T07:40:00+02:00",
        "it was reopened, not begun anew"
    );
    assert_eq!(belt["state"], "open");
    assert_eq!(
        row("raw-water-pump-seal").expect("a row")["state"],
        "deferred"
    );
    let verdicts: Vec<Value> = place.json("walks", &["walks"])["rows"]
        .as_array()
        .expect("rows")
        .iter()
        .map(|r| r["verdict"].clone())
        .collect();
    assert_eq!(
        verdicts,
        [
            "run-with-care",
            "do-not-run",
            "clear-to-run",
            "run-with-care"
        ]
    );
}
