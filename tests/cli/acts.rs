//! `defer`, `override`, `repair`, `withdraw`.

use super::harness::{Place, session};

#[test]
fn a_defect_may_wait_for_a_reason() {
    let mut place = Place::with_findings();
    let done = [
        place.run(&[
            "defer",
            "drive-belt",
            "--why",
            "spare aboard",
            "--until",
            "2026-05-20",
        ]),
        place.run(&[
            "defer",
            "raw-water-pump-seal",
            "--why",
            "kit ordered",
            "--until",
            "1230h",
        ]),
        place.run(&["defects"]),
    ];
    insta::assert_snapshot!(session(&done));
    let rows = place.json("defects", &["defects"]);
    assert_eq!(rows["rows"][0]["deferred"]["until"], "2026-05-20");
    assert_eq!(rows["rows"][1]["deferred"]["until"], 1230.0);
    place.at("2026-05-21T09:00:00+02:00");
    let later = place.json("defects", &["defects"]);
    assert_eq!(later["rows"][0]["state"], "open", "it has run out");
}

#[test]
fn a_rating_is_set_by_hand_and_lifted() {
    let place = Place::with_findings();
    let runs = [
        place.run(&[
            "override",
            "drive-belt",
            "--severity",
            "3",
            "--level",
            "C",
            "--why",
            "twin belts",
        ]),
        place.run(&["defects"]),
        place.run(&["override", "drive-belt", "--why", "one belt after all"]),
    ];
    insta::assert_snapshot!(session(&runs));
    assert_eq!(place.json("defects", &["defects"])["rows"][0]["code"], "2A");
}

#[test]
fn a_repair_waits_for_a_look_and_a_withdrawal_does_not() {
    let place = Place::with_findings().of_known_age(&["main"]);
    let runs = [
        place.run(&[
            "repair",
            "drive-belt",
            "--done",
            "new belt",
            "--hours",
            "1204",
            "--by",
            "R. Quay",
        ]),
        place.run(&[
            "withdraw",
            "raw-water-pump-seal",
            "--why",
            "spray from the strainer",
        ]),
        place.run(&["defects"]),
        place.run(&["defects", "--all"]),
        place.run(&["verdict"]),
    ];
    insta::assert_snapshot!(session(&runs));
}

#[test]
fn acts_that_make_no_sense_are_refused() {
    let place = Place::with_findings();
    let runs = [
        place.run(&["defer", "drive-belt", "--why", "x", "--until", "2026-05-01"]),
        place.run(&["defer", "drive-blet", "--why", "x", "--until", "2026-06-01"]),
        place.run(&["defer", "oil-hoses", "--why", "x", "--until", "2026-06-01"]),
        place.run(&["defer", "drive-belt", "--why", " ", "--until", "2026-06-01"]),
        place.run(&["defer", "drive-belt", "--why", "x", "--until", "soon"]),
        place.run(&["defer", "drive-belt", "--why", "x"]),
        place.run(&["override", "drive-belt", "--severity", "5", "--why", "x"]),
        place.run(&["override", "drive-belt", "--level", "f", "--why", "x"]),
        place.run(&["repair", "drive-belt", "--done", ""]),
        place.run(&["repair", "drive-belt", "--done", "x", "--hours", "90"]),
        place.run(&["repair", "drive-belt", "--done", "x", "--machine", "mian"]),
        place.run(&["withdraw", "oil-hoses", "--why", "x"]),
    ];
    assert!(
        runs.iter()
            .all(|r| r.code == Some(2) && r.stdout.is_empty())
    );
    insta::assert_snapshot!(session(&runs));
    let answer = place.json(
        "recorded",
        &["repair", "oil-hoses", "--done", "tightened a clip"],
    );
    assert_eq!(answer["records"], 1);
}

#[test]
fn a_stop_rule_cannot_wait() {
    let place = Place::with_boat();
    place.record(
        &serde_json::json!({"type":"walk","checklist":"daily","at":"2026-05-03T07:40:00+02:00",
        "looks":[{"item":"drive-belt","grade":"failing"}]}),
    );
    let run = place.run(&[
        "defer",
        "drive-belt",
        "--why",
        "in a hurry",
        "--until",
        "2026-06-01",
    ]);
    insta::assert_snapshot!(run);
}
