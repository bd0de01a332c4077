//! `verdict` and `walks`.

use serde_json::json;

use super::harness::{Place, full_walk, session};

#[test]
fn the_verdict_names_its_rows_and_what_nobody_saw() {
    let place = Place::with_boat();
    place.record(&json!({"type":"walk","id":"w1","checklist":"daily","at":"2026-05-03T07:40:00+02:00","by":"R. Quay","hours":1203.6,
        "looks":[{"item":"drive-belt","grade":"worn"},{"item":"bilge-alarm","not_seen":"no access","close_by":"lift the aft board"}]}));
    insta::assert_snapshot!(place.run(&["verdict"]));
}

#[test]
fn do_not_run_is_a_no() {
    let place = Place::with_boat();
    let looks = [json!({"item":"fuel-hoses","grade":"failing","leak":"i"})];
    let sheet = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, &looks);
    assert_eq!(place.run_with_input(&["record", "-"], &sheet).code, Some(0));
    let runs = [place.run(&["verdict"]), place.run(&["walks"])];
    assert_eq!(runs[0].code, Some(1));
    insta::assert_snapshot!(session(&runs));
    let answer = place.json("verdict", &["verdict"]);
    assert_eq!(answer["now"], "do-not-run");
    assert_eq!(answer["reasons"][0]["item"], "fuel-hoses");
    assert_eq!(
        answer["exposure"],
        json!({"hours":10.0,"days":2.0,"wear_hours":10.0})
    );
}

#[test]
fn a_leak_run_that_is_not_dry_is_a_no() {
    let place = Place::with_boat();
    place.record(
        &json!({"type":"walk","id":"leaks","checklist":"leak-run","at":"2026-05-03T07:40:00+02:00",
        "looks":[{"item":"oil-filter-seat","phase":"idle","grade":"worn","leak":"ii"}]}),
    );
    let run = place.run(&["verdict", "--walk", "leaks"]);
    assert_eq!(run.code, Some(1), "{}", run.stdout);
    assert!(run.stdout.contains("Now: not signed off"));
}

#[test]
fn the_last_walk_with_a_verdict_is_meant_unless_another_is_named() {
    let place = Place::with_findings();
    place.record(&json!({"type":"walk","id":"look-round","checklist":"survey","at":"2026-05-03T08:40:00+02:00",
        "looks":[{"item":"drive-belt","grade":"worn"}]}));
    assert_eq!(place.json("verdict", &["verdict"])["walk"], "w1");
    let runs = [
        place.run(&["verdict", "--walk", "look-round"]),
        place.run(&["verdict", "--walk", "w2"]),
        place.run(&["verdict", "--walk", "nowhere"]),
    ];
    assert!(
        runs[0]
            .stdout
            .contains("No verdict: this checklist gives none")
    );
    insta::assert_snapshot!(session(&runs[1..]));
}

#[test]
fn without_a_walk_there_is_nothing_to_tell() {
    let place = Place::with_boat();
    insta::assert_snapshot!(session(&[place.run(&["verdict"]), place.run(&["walks"])]));
    assert_eq!(place.json("walks", &["walks"])["rows"], json!([]));
}

#[test]
fn a_fixed_time_leaves_out_what_came_later() {
    let place = Place::with_findings();
    let before = place.run_at("2026-05-02T09:00:00+02:00", &["defects"]);
    assert!(
        before.stdout.contains("Nothing to put right"),
        "{}",
        before.stdout
    );
    assert_eq!(
        place.run_at("2026-05-02T09:00:00+02:00", &["verdict"]).code,
        Some(2)
    );
}
