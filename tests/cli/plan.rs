//! `plan`.

use super::harness::{Place, session};

#[test]
fn plans_are_set_listed_used_and_compared() {
    let place = Place::with_findings();
    let runs = [
        place.run(&["plan", "list"]),
        place.run(&[
            "plan", "set", "delivery", "--hours", "60", "--days", "5", "--waters", "offshore",
        ]),
        place.run(&["plan", "set", "home", "--hours", "2"]),
        place.run(&["plan", "list"]),
        place.run(&["plan", "compare", "delivery", "home"]),
        place.run(&["defects", "--plan", "delivery"]),
        place.run(&["plan", "compare", "delivery", "hom"]),
        place.run(&["plan", "set", "empty"]),
        place.run(&["plan", "set", "", "--hours", "1"]),
    ];
    insta::assert_snapshot!(session(&runs));
    let plans = place.json("plans", &["plan", "list"]);
    assert_eq!(plans["rows"][0]["exposure"]["hours"], 60.0);
    let compared = place.json("plan-compare", &["plan", "compare", "delivery", "home"]);
    let (a, b) = (&compared["rows"][0]["a"], &compared["rows"][0]["b"]);
    assert!(a["chance"].as_f64() > b["chance"].as_f64());
    let set = place.json("recorded", &["plan", "set", "home", "--hours", "3"]);
    assert_eq!(set["records"], 1);
}

/// The span of a passage of 60 h in 3 days is told at its own 20 h a day, not at the usual use.
#[test]
fn hours_a_day_of_a_plan_change_its_days_and_the_dates_told_under_it() {
    let place = Place::with_findings();
    place.json(
        "recorded",
        &[
            "plan",
            "set",
            "fast",
            "--hours",
            "60",
            "--hours-per-day",
            "20",
        ],
    );
    place.json(
        "recorded",
        &[
            "plan",
            "set",
            "slow",
            "--hours",
            "60",
            "--hours-per-day",
            "2",
        ],
    );
    let plans = place.json("plans", &["plan", "list"]);
    let row = |name: &str| {
        let rows = plans["rows"].as_array().expect("rows").iter();
        rows.into_iter()
            .find(|row| row["name"] == name)
            .expect("a plan")
    };
    assert_eq!(row("fast")["exposure"]["days"], 3.0);
    assert_eq!(row("slow")["exposure"]["days"], 30.0);
    assert_eq!(row("fast")["hours_per_day"], 20.0);
    let dates = |plan: &str| -> Vec<String> {
        let list = place.json("defects", &["defects", "--plan", plan]);
        let rows = list["rows"].as_array().expect("rows").iter();
        let date = |row: &serde_json::Value| row["fix_within"]["date"].as_str().map(str::to_owned);
        rows.filter_map(date).collect()
    };
    let (fast, slow) = (dates("fast"), dates("slow"));
    assert!(!fast.is_empty() && fast.len() == slow.len());
    assert!(fast.iter().zip(&slow).all(|(fast, slow)| fast <= slow));
    assert!(
        fast.iter().zip(&slow).any(|(fast, slow)| fast < slow),
        "{fast:?}"
    );
}

/// What there is before a passage is typed once; an option of the moment counts first.
#[test]
fn what_there_is_before_a_passage_is_kept_with_its_plan() {
    let place = Place::with_findings();
    let runs = [
        place.run(&[
            "plan",
            "set",
            "crossing",
            "--days",
            "3",
            "--hours-per-day",
            "20",
            "--waters",
            "offshore",
            "--work",
            "6h",
            "--spend",
            "300",
            "--hands",
            "owner,mechanic=2h",
        ]),
        place.run(&["plan", "set", "crossing", "--work", "90min"]),
        place.run(&["plan", "list"]),
        place.run(&[
            "plan",
            "set",
            "wrong",
            "--hours",
            "60",
            "--days",
            "3",
            "--hours-per-day",
            "9",
        ]),
        place.run(&[
            "plan",
            "set",
            "still",
            "--hours",
            "60",
            "--hours-per-day",
            "0",
        ]),
        place.run(&[
            "plan",
            "set",
            "twice",
            "--days",
            "3",
            "--hands",
            "owner,owner=2h",
        ]),
    ];
    insta::assert_snapshot!(session(&runs));
    let kept = place.json("leaving", &["leaving", "--plan", "crossing"]);
    assert_eq!(kept["exposure"]["hours"], 60.0);
    assert_eq!(kept["minutes"]["given"], 90.0);
    assert_eq!(kept["money"]["given"], 300.0);
    assert_eq!(kept["hands"], serde_json::json!(["owner", "mechanic"]));
    let longer = place.json(
        "leaving",
        &["leaving", "--plan", "crossing", "--work", "10h"],
    );
    assert_eq!(longer["minutes"]["given"], 600.0);
}
