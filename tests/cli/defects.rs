//! `defects` and `explain`.

use handlamp::boat::Role;
use serde_json::{Value, json};

use super::harness::{Place, session};

#[test]
fn the_list_says_what_it_was_ranked_over() {
    let place = Place::with_findings();
    let runs = [
        place.run(&["defects"]),
        place.run(&["defects", "--hours", "5"]),
        place.run(&["defects", "--days", "200", "--waters", "ocean"]),
    ];
    insta::assert_snapshot!(session(&runs));
    let answer = place.json(
        "defects",
        &[
            "defects",
            "--hours",
            "5",
            "--days",
            "3",
            "--waters",
            "sheltered",
        ],
    );
    assert_eq!(
        answer["exposure"],
        json!({"hours":5.0,"days":3.0,"wear_hours":5.0})
    );
    assert_eq!(answer["waters"], "sheltered");
    assert_eq!(answer["rows"][1]["rank"], 2);
    assert_eq!(
        answer["not_yet_looked_at"].as_array().map(Vec::len),
        Some(17)
    );
}

#[test]
fn rows_are_grouped_by_place_or_person_and_their_parts_gathered() {
    let place = Place::with_findings();
    let runs = [
        place.run(&["defects", "--by", "place"]),
        place.run(&["defects", "--by", "person"]),
        place.run(&["defects", "--parts"]),
    ];
    insta::assert_snapshot!(session(&runs));
    let parts = place.json("parts", &["defects", "--parts"]);
    assert_eq!(parts["rows"][0]["items"], json!(["drive-belt"]));
}

#[test]
fn the_list_goes_into_a_spreadsheet() {
    let place = Place::with_findings();
    let run = place.run(&["defects", "--csv"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let mut reader = csv::Reader::from_reader(run.stdout.as_bytes());
    let head = reader.headers().expect("a head").clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(|r| r.expect("a row")).collect();
    let cell = |row: usize, column: &str| {
        let at = head.iter().position(|c| c == column).expect("a column");
        rows[row][at].to_owned()
    };
    assert_eq!(
        (rows.len(), cell(0, "item"), cell(0, "code")),
        (2, "drive-belt".into(), "2A".into())
    );
    assert_eq!(
        (cell(1, "exposure_hours"), cell(1, "waters")),
        ("50".into(), "inshore".into())
    );
    assert_eq!(cell(0, "title"), "Drive belt");
    insta::assert_snapshot!(run);
}

#[test]
fn exposures_that_cannot_be_meant_are_refused() {
    let place = Place::with_findings();
    let runs = [
        place.run(&["defects", "--hours", "nan"]),
        place.run(&["defects", "--days", "-1"]),
        place.run(&["defects", "--hours", "9000"]),
        place.run(&["defects", "--waters", "deep"]),
        place.run(&["defects", "--plan", "nowhere"]),
        place.run(&["defects", "--csv", "--json"]),
    ];
    assert!(
        runs.iter()
            .all(|r| r.code == Some(2) && r.stdout.is_empty())
    );
    insta::assert_snapshot!(session(&runs));
}

#[test]
fn one_row_is_explained_step_by_step() {
    let place = Place::with_findings();
    let runs = [
        place.run(&["explain", "drive-belt"]),
        place.run(&["explain", "bilge-alarm", "--hours", "10"]),
        place.run(&["explain", "drive-blet"]),
        place.run(&["explain", "stuffing-box"]),
    ];
    insta::assert_snapshot!(session(&runs));
    let answer = place.json("explain", &["explain", "drive-belt"]);
    let total: f64 = numbers(&answer["distribution"]).iter().sum();
    assert!((total - 1.0).abs() < 1e-9, "{total}");
    let row = &place.json("defects", &["defects"])["rows"][0];
    assert_eq!(
        row["chance"], answer["chance"],
        "the list and its explanation agree"
    );
    assert_eq!(row["fix_within"], answer["fix_within"]);
}

#[test]
fn explanations_of_every_item_keep_to_the_schema() {
    let place = Place::with_boat();
    for item in handlamp::checklist::Library::built_in().catalogue.items() {
        if item.id != "stuffing-box" && item.is_for(Role::Propulsion) {
            place.json("explain", &["explain", &item.id]);
        }
    }
}

fn numbers(value: &Value) -> Vec<f64> {
    let list = value.as_array().expect("a list");
    list.iter().map(|v| v.as_f64().expect("a number")).collect()
}
