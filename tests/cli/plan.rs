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
