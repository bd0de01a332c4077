//! `find`: one thing found at any time, and what becomes of it.

use serde_json::{Value, json};

use super::harness::{Place, TWINS};

fn found(place: &Place, args: &[&str]) -> Value {
    place.json("finding", &[&["find"], args].concat())
}

/// What a stop orders of an engine that runs and of one that stands is common practice, no single
/// source.
#[test]
fn a_burst_hose_is_answered_at_once_and_holds_the_verdict() {
    let place = Place::with_findings();
    let before = place.json("verdict", &["verdict"]);
    let found = found(
        &place,
        &["coolant-hoses", "4", "--note", "split under the clip"],
    );
    let answer = &found["answer"];
    assert_eq!(answer["orders"]["running"], "when-safe", "{found}");
    assert_eq!(answer["orders"]["still"], "do-not-start");
    assert_eq!(answer["how_long"], "now");
    assert!(answer["remedy"]["do"].is_string());
    let words = found["words"].to_string();
    assert!(words.contains("the boat first"), "{words}");
    assert!(words.contains("To be put right: now."), "{words}");
    // The last walk is still that of this morning, and counts what was found since.
    let verdict = place.json("verdict", &["verdict"]);
    assert_eq!(verdict["walk"], before["walk"]);
    assert_eq!(verdict["at_walk"], before["at_walk"]);
    assert_eq!(verdict["now"], "do-not-run");
    assert_eq!(place.run(&["verdict"]).code, Some(1));
    let own = place.json(
        "verdict",
        &["verdict", "--walk", found["walk"].as_str().expect("id")],
    );
    assert_eq!(own["at_walk"], "do-not-run");
    assert_eq!(own["not_seen"], json!([]));
}

#[test]
fn how_long_it_can_wait_is_one_of_four_words_and_a_worse_rung_never_waits_longer() {
    let four = ["now", "before-leaving", "this-week", "other-work"];
    for item in [
        "drive-belt",
        "fire-extinguisher",
        "water-heater-hoses",
        "fuel-hoses",
    ] {
        let mut last = None;
        for rung in ["1", "2", "3", "4"] {
            let place = Place::with_boat();
            let answer = found(&place, &[item, rung])["answer"].clone();
            let word = answer["how_long"].as_str().expect("a word").to_owned();
            let place = four.iter().position(|w| *w == word).expect("one of four");
            assert!(
                last.is_none_or(|last| place <= last),
                "{item} {rung}: {word}"
            );
            last = Some(place);
        }
    }
}

/// A finding is never clear: of nothing wrong it says nothing, and after it is put right its own
/// verdict is none.
/// What holds a start is no rung: the answer to a sound one says it all the same.
#[test]
fn what_was_left_open_is_said_at_any_rung() {
    let place = Place::with_boat();
    let run = place.run(&["opened", "engine-seacock", "seacock shut"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let sound = found(&place, &["engine-seacock", "0"]);
    let orders = &sound["answer"]["orders"];
    assert_eq!(orders["still"], "do-not-start", "{sound}");
    assert_eq!(
        (&orders["running"], &orders["rule"]),
        (&Value::Null, &Value::Null)
    );
    assert_eq!(sound["answer"]["how_long"], "now");
    let words = sound["words"].to_string();
    assert!(words.contains("left open: seacock shut"), "{words}");
    assert!(!words.contains("Nothing wrong"), "{words}");
    // A stop besides keeps its own order for an engine that runs.
    let failed = found(&place, &["engine-seacock", "4"]);
    assert_eq!(failed["answer"]["orders"]["still"], "do-not-start");
    assert!(
        failed["words"].to_string().contains("seacock shut"),
        "{failed}"
    );
}

#[test]
fn a_finding_closes_with_a_stop_with_care_or_with_nothing() {
    let mut place = Place::with_boat();
    let verdict = |place: &Place, found: &Value| {
        let walk = found["walk"].as_str().expect("an id");
        place.json("verdict", &["verdict", "--walk", walk])
    };
    let sound = found(&place, &["drive-belt", "sound"]);
    assert_eq!(sound["answer"]["how_long"], Value::Null);
    assert_eq!(verdict(&place, &sound)["at_walk"], Value::Null);
    let stop = found(&place, &["fuel-hoses", "failed"]);
    assert_eq!(verdict(&place, &stop)["at_walk"], "do-not-run");
    let away = found(&place, &["fire-extinguisher", "4"]);
    assert_eq!(verdict(&place, &away)["at_walk"], "do-not-leave");
    place.at("2026-05-03T12:00:00+02:00");
    place.record(&json!({"type":"repair","item":"fuel-hoses","done":"new hose"}));
    let mended = found(&place, &["fuel-hoses", "0"]);
    assert_eq!(verdict(&place, &mended)["at_walk"], Value::Null);
    let then = verdict(&place, &stop);
    assert_eq!(
        (&then["at_walk"], &then["now"]),
        (&json!("do-not-run"), &Value::Null)
    );
    let run = place.run(&["verdict", "--walk", stop["walk"].as_str().expect("an id")]);
    assert_eq!(run.code, Some(0), "{}", run.stdout);
    assert!(
        run.stdout.contains("speaks against running no more"),
        "{}",
        run.stdout
    );
}

/// Weekly, monthly and never-asked items too.
#[test]
fn every_item_of_the_boat_can_be_found() {
    let place = Place::with_boat();
    let library = handlamp::checklist::Library::built_in();
    let fitted = place.json("checklist-show", &["checklist", "show", "survey"]);
    let fitted = fitted.to_string();
    let items = library.catalogue.items().iter();
    let looks: Vec<Value> = items
        .filter(|item| fitted.contains(&format!("\"{}\"", item.id)))
        .filter(|item| item.id != "stuffing-box")
        .enumerate()
        .map(|(n, item)| {
            json!({"type":"walk","id":format!("f{n}"),"checklist":"finding","machine":"main",
                "at":"2026-05-03T07:40:00+02:00","looks":[{"item":item.id,"grade":"worn"}]})
        })
        .collect();
    assert!(looks.len() > 50);
    let run = place.run_with_input(&["record", "-"], &json!(looks).to_string());
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let rows = place.json("walks", &["walks"]);
    let rows = rows["rows"].as_array().expect("rows");
    assert_eq!(rows.len(), looks.len());
    assert!(
        rows.iter()
            .all(|row| row["seen"] == 1 && row["not_seen"] == 0)
    );
}

/// Told afterwards it stands at its own time: what was seen since counts, and the answer says so.
#[test]
fn what_is_told_afterwards_stands_where_it_happened() {
    let mut place = Place::with_boat();
    place.at("2026-05-03T16:00:00+02:00");
    let late = found(
        &place,
        &["coolant-hoses", "3", "--at", "14:10", "--hours", "1208.5"],
    );
    assert_eq!(late["at"], "2026-05-03T14:10:00+02:00");
    let walks = place.json("walks", &["walks"]);
    assert_eq!(walks["rows"][0]["hours"], 1208.5);
    assert_eq!(walks["rows"][0]["at"], "2026-05-03T14:10:00+02:00");
    place.at("2026-05-03T17:00:00+02:00");
    place.record(
        &json!({"type":"walk","checklist":"daily","at":"2026-05-03T16:50:00+02:00",
        "looks":[{"item":"drive-belt","grade":"sound"}]}),
    );
    let told = found(&place, &["drive-belt", "4", "--at", "2026-05-03 15:00"]);
    assert_eq!(told["answer"]["grade"], "sound", "{told}");
    let why = told["answer"]["stands_by"].as_str().expect("why");
    assert!(why.contains("looked at since"), "{why}");
}

#[test]
fn what_cannot_be_is_said_by_its_option_and_nothing_is_recorded() {
    let place = Place::with_findings();
    for (args, wanted) in [
        (&["find", "drive-bolt", "4"][..], "drive-belt"),
        (&["find", "hose", "4"], "fits several"),
        (&["find", "drive-belt", "5"], "5"),
        (
            &["find", "drive-belt", "4", "--at", "25:10"],
            "--at: expected a time",
        ),
        (
            &["find", "drive-belt", "4", "--at", "2031-01-01 10:00"],
            "--at: ",
        ),
        (&["find", "drive-belt", "4", "--hours", "3"], "--hours: "),
        (&["find", "drive-belt", "0"], "--better: "),
        (
            &["find", "drive-belt", "4", "--leak", "ii"],
            "--leak: nothing leaks",
        ),
        (&["find", "\u{1b}[2Jbelt", "4"], "no item"),
    ] {
        let run = place.run(args);
        assert_eq!(run.code, Some(2), "{args:?}: {}", run.stderr);
        assert!(run.stderr.contains(wanted), "{args:?}: {}", run.stderr);
        assert!(!run.stderr.contains('\u{1b}'), "{:?}", run.stderr);
    }
    let walks = place.json("walks", &["walks"]);
    assert_eq!(walks["rows"].as_array().expect("rows").len(), 1);
    let twins = Place::with(TWINS);
    let run = twins.run(&["find", "drive-belt", "4"]);
    assert!(
        run.stderr.contains("name one of port, starboard"),
        "{}",
        run.stderr
    );
    let named = found(&twins, &["drive belt", "4", "--machine", "starboard"]);
    assert_eq!(named["answer"]["machine"], "starboard");
}

/// Coverage and the walk that is named go on with walks; report, export and calendar take a finding
/// as any walk.
#[test]
fn reports_coverage_and_export_take_a_finding_right() {
    let place = Place::with_findings();
    let before = place.json("coverage", &["coverage"]);
    let found = found(
        &place,
        &["exhaust-hose", "3", "--note", "soot <b>streak</b>"],
    );
    let walk = found["walk"].as_str().expect("an id");
    assert_eq!(
        place.json("coverage", &["coverage"])["walk"],
        before["walk"]
    );
    let own = place.json("coverage", &["coverage", "--walk", walk]);
    assert_eq!((&own["asked"], &own["seen"]), (&json!(1), &json!(1)));
    let file = place.path().join("finding.md");
    let file = file.to_str().expect("UTF-8");
    let run = place.run(&["report", walk, "--to", file]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let text = std::fs::read_to_string(file).expect("written");
    assert!(
        text.contains("Exhaust hose") && !text.contains("<b>"),
        "{text}"
    );
    let defects = place.json("defects", &["defects"]).to_string();
    assert!(defects.contains("exhaust-hose"));
}

/// What a finding stops it stops after a merge of two devices too.
#[test]
fn a_stop_found_on_another_device_holds_after_a_merge() {
    let here = Place::with_findings();
    let there = here.path().join("there");
    let there = there.to_str().expect("UTF-8");
    let copied = here.run(&[
        "--logbook",
        there,
        "logbook",
        "merge",
        here.logbook().to_str().expect("UTF-8"),
    ]);
    assert_eq!(copied.code, Some(0), "{}", copied.stderr);
    let run = here.run(&["--logbook", there, "find", "fuel-hoses", "4"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let before = place_now(&here);
    let run = here.run(&["logbook", "merge", there]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let after = place_now(&here);
    assert_eq!(after.0, before.0);
    assert_eq!(
        (before.1, after.1),
        (json!("run-with-care"), json!("do-not-run"))
    );
}

/// The walk that the verdict names, and what it says now.
fn place_now(place: &Place) -> (Value, Value) {
    let verdict = place.json("verdict", &["verdict"]);
    (verdict["walk"].clone(), verdict["now"].clone())
}
