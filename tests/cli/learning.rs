//! `learning`: what the looks taught, and the records that freeze, reset or stop it.

use serde_json::json;

use super::harness::{Place, session};

/// A seal seen sound, early and worn over a month.
fn watched() -> Place {
    let mut place = Place::with_boat();
    let looks = [
        ("2026-05-03", 1205.0, "sound"),
        ("2026-05-13", 1225.0, "sound"),
        ("2026-05-23", 1245.0, "early"),
        ("2026-05-31", 1265.0, "worn"),
    ];
    for (date, hours, grade) in looks {
        let at = format!("{date}T07:40:00+02:00");
        place.at(&format!("{date}T09:00:00+02:00"));
        place.record(
            &json!({"type":"walk","checklist":"daily","at":at,"hours":hours,
            "looks":[{"item":"raw-water-pump-seal","phase":"cold","grade":grade}]}),
        );
    }
    place.at("2026-06-02T09:00:00+02:00");
    place
}

#[test]
fn what_was_learned_is_shown_and_can_be_frozen_reset_and_stopped() {
    let mut place = watched();
    let mut runs = vec![
        Place::with_boat().run(&["learning"]),
        place.run(&["learning"]),
    ];
    let before = place.json("learning", &["learning"]);
    assert_eq!(before["state"], "running");
    let seal = |answer: &serde_json::Value, rung: usize| answer["rows"][rung].clone();
    assert_eq!(
        (
            seal(&before, 0)["kind"].clone(),
            seal(&before, 0)["moves"].clone()
        ),
        ("seal".into(), 1.into())
    );
    assert_eq!(before["items"][0]["item"], "raw-water-pump-seal");
    let means = |place: &Place| {
        place.json("explain", &["explain", "raw-water-pump-seal"])["dwell_means"].clone()
    };
    let learned = means(&place);
    assert_eq!(learned[0], seal(&before, 0)["learned"]);

    runs.push(place.run(&["learning", "freeze", "--why", "a stranger walks her"]));
    place.at("2026-06-10T09:00:00+02:00");
    place.record(
        &json!({"type":"walk","checklist":"daily","at":"2026-06-10T07:40:00+02:00","hours":1285.0,
        "looks":[{"item":"raw-water-pump-seal","phase":"cold","grade":"worn"}]}),
    );
    runs.push(place.run(&["learning"]));
    assert_eq!(means(&place), learned, "frozen");
    runs.push(place.run(&["learning", "resume"]));
    assert_ne!(means(&place), learned, "the look made meanwhile counts");
    runs.push(place.run(&["learning", "reset"]));
    runs.push(place.run(&["learning"]));
    assert_eq!(
        means(&place),
        json!([1500.0, 600.0, 250.0, 60.0]),
        "forgotten"
    );
    runs.push(place.run(&["learning", "off"]));
    runs.push(place.run(&["learning"]));
    assert_eq!(place.json("learning", &["learning"])["state"], "off");
    insta::assert_snapshot!(session(&runs));
    // What was known earlier is known by what had been seen by then.
    place.at("2026-06-02T09:00:00+02:00");
    assert_eq!(means(&place), learned);
}

#[test]
fn it_is_a_record_like_any_other() {
    let place = watched();
    place.record(&json!({"type":"learning","state":"frozen","at":"2026-05-20T12:00:00+02:00","why":"lent out"}));
    let answer = place.json("learning", &["learning"]);
    assert_eq!(answer["state"], "frozen");
    assert_eq!(
        answer["rows"][0]["moves"], 0,
        "the look of the 23rd does not count"
    );
    let bad = place.file("bad.json", r#"{"type":"learning","state":"paused"}"#);
    let early = place.file(
        "early.json",
        r#"{"type":"learning","state":"off","at":"2027-04-20T12:00:00+02:00"}"#,
    );
    let runs = [
        place.run(&["record", &bad]),
        place.run(&["record", &early]),
        place.run(&["learning", "thaw"]),
    ];
    assert!(runs.iter().all(|r| r.code == Some(2)));
    insta::assert_snapshot!(session(&runs));
}
