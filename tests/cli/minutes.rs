//! How long a job takes: the owner's own figure before what such jobs took, that before the table.

use serde_json::{Value, json};

use super::harness::{Place, flat, full_walk};

const PASSAGE: [&str; 7] = ["leaving", "--hours", "100", "--days", "30", "--work", "24h"];

/// A boat with a worn belt and a worn cable, both for the owner.
fn worn() -> Place {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    let looks = [
        json!({"item":"drive-belt","grade":"worn"}),
        json!({"item":"shift-cable","grade":"worn"}),
        json!({"item":"engine-mounts","grade":"worn"}),
    ];
    let sheet = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, &looks);
    let run = place.run(&["record", &place.file("w1.json", &sheet)]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    place.at("2026-05-03T09:00:00+02:00");
    place
}

fn ran(place: &Place, args: &[&str]) -> String {
    let run = place.run(args);
    assert_eq!(run.code, Some(0), "{run}");
    flat(&run.stdout)
}

fn all(answer: &Value) -> Vec<&Value> {
    let groups = ["must", "worth_doing", "can_wait"];
    groups
        .iter()
        .flat_map(|g| answer[*g].as_array().expect("rows"))
        .collect()
}

fn row<'a>(answer: &'a Value, item: &str) -> &'a Value {
    all(answer)
        .into_iter()
        .find(|row| row["item"] == item)
        .expect("the job")
}

/// Repairs of long ago, each with the minutes it took, before the belt was seen worn.
fn took(place: &Place, item: &str, minutes: &[u32]) {
    for (n, minutes) in minutes.iter().enumerate() {
        place.record(&json!({"type":"repair","item":item,"machine":"main","at":format!("2026-04-{:02}T10:00:00+02:00", n + 1),
            "done":"renewed","minutes":minutes}));
    }
}

#[test]
fn the_owners_figure_comes_before_what_was_learned_and_that_before_the_table() {
    let mut place = worn();
    let table = place.json("leaving", &PASSAGE);
    let judged = row(&table, "drive-belt")["minutes"]
        .as_u64()
        .expect("minutes");
    assert_eq!(row(&table, "drive-belt")["minutes_learned"], Value::Null);
    took(&place, "drive-belt", &[35]);
    let answer = place.json("leaving", &PASSAGE);
    let belt = row(&answer, "drive-belt");
    assert_eq!(
        (&belt["minutes"], &belt["minutes_learned"]),
        (&json!(35), &json!(1))
    );
    assert!(ran(&place, &PASSAGE).contains("Took 35 min, once"));
    assert_ne!(judged, 35);
    // The middle of three, whatever one of them was.
    took(&place, "drive-belt", &[35, 25, 600]);
    let answer = place.json("leaving", &PASSAGE);
    let belt = row(&answer, "drive-belt");
    assert_eq!(
        (&belt["minutes"], &belt["minutes_learned"]),
        (&json!(35), &json!(4))
    );
    assert!(ran(&place, &PASSAGE).contains("Took 35 min, 4 times"));
    // A temporary repair is no such job.
    place.record(&json!({"type":"repair","item":"shift-cable","machine":"main","at":"2026-04-09T10:00:00+02:00",
        "done":"tied up","temporary":"next harbour","minutes":5}));
    let answer = place.json("leaving", &PASSAGE);
    assert_eq!(row(&answer, "shift-cable")["minutes_learned"], Value::Null);
    // The owner's own, and taken back.
    ran(&place, &["minutes", "drive-belt", "2h30"]);
    let answer = place.json("leaving", &PASSAGE);
    let belt = row(&answer, "drive-belt");
    assert_eq!(
        (&belt["minutes"], &belt["minutes_told"]),
        (&json!(150), &json!(true))
    );
    assert!(ran(&place, &PASSAGE).contains("About 2 h 30 min by your own figure"));
    place.at("2026-05-03T09:05:00+02:00");
    ran(&place, &["minutes", "drive-belt", "none"]);
    let answer = place.json("leaving", &PASSAGE);
    assert_eq!(row(&answer, "drive-belt")["minutes"], 35);
}

#[test]
fn the_newer_of_an_estimates_hours_and_the_owners_figure_counts() {
    let mut place = worn();
    ran(&place, &["minutes", "drive-belt", "20"]);
    place.at("2026-05-03T09:10:00+02:00");
    let cost = [
        "cost",
        "drive-belt",
        "--low",
        "1",
        "--likely",
        "1",
        "--high",
        "1",
        "--labour",
        "2,2,2",
        "--rate",
        "0",
    ];
    ran(&place, &cost);
    assert_eq!(
        row(&place.json("leaving", &PASSAGE), "drive-belt")["minutes"],
        120
    );
    place.at("2026-05-03T09:20:00+02:00");
    ran(&place, &["minutes", "drive-belt", "25"]);
    assert_eq!(
        row(&place.json("leaving", &PASSAGE), "drive-belt")["minutes"],
        25
    );
}

#[test]
fn minutes_of_none_and_of_nothing_known_are_refused() {
    let place = worn();
    for (args, says) in [
        (
            ["minutes", "drive-belt", "0"],
            "expected 1 to 120000 minutes",
        ),
        (
            ["minutes", "drive-belt", "soon"],
            "expected minutes such as 50",
        ),
        (["minutes", "drive-bell", "50"], "drive-belt"),
    ] {
        let run = place.run(&args);
        assert_ne!(run.code, Some(0), "{run}");
        assert!(run.stderr.contains(says), "{says}: {}", run.stderr);
    }
    let run = place.run(&["repair", "drive-belt", "--done", "x", "--minutes", "0"]);
    assert_eq!(run.code, Some(2), "{run}");
    let refused = place.file(
        "r.json",
        &json!({"type":"repair","item":"drive-belt","machine":"main","done":"x","minutes":0})
            .to_string(),
    );
    let run = place.run(&["record", &refused]);
    assert_ne!(run.code, Some(0), "{run}");
    assert!(run.stderr.contains("minutes"), "{}", run.stderr);
}

#[test]
fn what_a_service_took_is_learned_for_its_task() {
    let mut place = Place::with_boat();
    place.at("2024-05-03T09:00:00+02:00");
    ran(
        &place,
        &[
            "service",
            "done",
            "oil-and-filter",
            "--hours",
            "900",
            "--minutes",
            "1h20",
        ],
    );
    place.at("2026-05-03T09:00:00+02:00");
    let answer = place.json("leaving", &PASSAGE);
    let due = answer["must"].as_array().expect("rows").iter();
    let due = due
        .into_iter()
        .find(|row| row["task"] == "oil-and-filter")
        .expect("the task is due");
    assert_eq!(
        (&due["minutes"], &due["minutes_learned"]),
        (&json!(80), &json!(1))
    );
    ran(&place, &["minutes", "oil-and-filter", "45"]);
    let answer = place.json("leaving", &PASSAGE);
    let due = answer["must"].as_array().expect("rows").iter();
    let due = due
        .into_iter()
        .find(|row| row["task"] == "oil-and-filter")
        .expect("the task is due");
    assert_eq!(
        (&due["minutes"], &due["minutes_told"]),
        (&json!(45), &json!(true))
    );
    let services = place.json("services", &["service", "list"]);
    assert_eq!(services["rows"][0]["minutes"], 80);
}

/// The law: a smaller learned figure hides no job. All that was told is told, and what was worth doing still is.
#[test]
fn a_smaller_learned_figure_hides_no_job() {
    for work in ["1h", "2h", "3h", "5h", "8h"] {
        for item in ["drive-belt", "shift-cable", "engine-mounts"] {
            let place = worn();
            let passage = ["leaving", "--hours", "100", "--days", "30", "--work", work];
            let before = place.json("leaving", &passage);
            let judged = row(&before, item)["minutes"].as_u64().expect("minutes") as u32;
            took(&place, item, &[1]);
            let after = place.json("leaving", &passage);
            let named = |answer: &Value| {
                let mut names: Vec<String> =
                    all(answer).iter().map(|r| r["item"].to_string()).collect();
                names.sort();
                names
            };
            assert_eq!(named(&before), named(&after), "{item} {work}");
            assert!(judged > 1);
            assert_eq!(
                row(&after, item)["minutes"],
                1,
                "said as it is, never as nothing"
            );
            let chosen = |answer: &Value| {
                let worth = answer["worth_doing"].as_array().expect("rows");
                worth.iter().any(|r| r["item"] == item)
            };
            assert!(!chosen(&before) || chosen(&after), "{item} {work}");
        }
    }
}
