//! An item of one's own made by commands, and where an item is asked.

use serde_json::{Value, json};

use super::harness::{Place, copy, full_walk};

fn add(place: &Place) {
    let args = ["item", "add", "Davit hydraulic hose", "--station", "back"];
    let args = [&args[..], &["--kind", "hose", "--effect", "pollution"]].concat();
    let answer = place.json("item", &args);
    assert_eq!(answer["item"]["item"], "davit-hydraulic-hose");
    assert_eq!(
        (&answer["own"], &answer["asked"]),
        (&json!(true), &json!([]))
    );
}

fn put(place: &Place, what: &str, answer: &str) -> Value {
    place.json(
        "item",
        &["item", "put", "davit-hydraulic-hose", what, answer],
    )
}

/// A boat whose morning check asks a hose of her own.
fn place() -> Place {
    let place = Place::with_boat().of_known_age(&["main"]);
    add(&place);
    put(&place, "effects", "fire probably; pollution certainly");
    put(&place, "stop_at", "failing");
    put(&place, "failing", "Oil at a fitting");
    place.json(
        "item",
        &["item", "ask", "davit-hydraulic-hose", "daily", "cold"],
    );
    place
}

fn verdict(place: &Place) -> String {
    place.json("verdict", &["verdict"])["now"].to_string()
}

/// A whole morning check that saw the hose at a rung.
fn walked(place: &Place, grade: &str, at: &str) {
    let look = json!({"item": "davit-hydraulic-hose", "phase": "cold", "grade": grade});
    let walk = full_walk(&format!("at-{grade}"), at, 1203.6, &[look]);
    place.record(&serde_json::from_str(&walk).expect("JSON"));
}

#[test]
fn it_is_asked_where_it_was_put_and_stops_where_it_says() {
    let place = place();
    let list = place.run(&["checklist", "show", "daily"]).stdout;
    assert!(list.contains("3 failing: Oil at a fitting"), "{list}");
    walked(&place, "sound", "2026-05-03T08:00:00+02:00");
    assert_eq!(verdict(&place), "\"clear-to-run\"");
    walked(&place, "failing", "2026-05-03T09:00:00+02:00");
    assert_eq!(verdict(&place), "\"do-not-run\"");
    let list = place.run(&["defects"]).stdout;
    assert!(list.contains("Davit hydraulic hose"), "{list}");
    // The logbook says so on any computer.
    let other = Place::empty();
    copy(&place.logbook(), &other.logbook());
    assert_eq!(verdict(&other), "\"do-not-run\"");
}

#[test]
fn milder_words_afterwards_lift_no_stop_before_it_is_looked_at_again() {
    let place = place();
    walked(&place, "failing", "2026-05-03T08:00:00+02:00");
    put(&place, "stop_at", "none");
    put(&place, "effects", "nuisance possibly");
    assert_eq!(verdict(&place), "\"do-not-run\"");
    place.json(
        "item",
        &[
            "item",
            "ask",
            "davit-hydraulic-hose",
            "daily",
            "cold",
            "--no-more",
        ],
    );
    assert_eq!(verdict(&place), "\"do-not-run\"");
    let asked = place.json("item", &["item", "show", "davit-hydraulic-hose"]);
    assert_eq!(asked["asked"], json!([]));
}

#[test]
fn a_row_of_ones_own_comes_and_goes_and_the_programs_rows_stay() {
    let place = Place::with_boat();
    let rows = |place: &Place| {
        let list = place.json("checklist-show", &["checklist", "show", "short"]);
        let phases = list["phases"].as_array().expect("phases");
        let rows = phases
            .iter()
            .map(|p| p["rows"].as_array().map_or(0, Vec::len));
        rows.sum::<usize>()
    };
    let before = rows(&place);
    let ask = ["item", "ask", "alternator", "short", "--cadence", "weekly"];
    let answer = place.json("item", &ask);
    let own: Vec<&Value> = answer["asked"]
        .as_array()
        .expect("rows")
        .iter()
        .filter(|row| row["own"] == true)
        .collect();
    assert_eq!(own.len(), 1, "{answer}");
    assert_eq!(
        (&own[0]["checklist"], &own[0]["cadence"]),
        (&json!("short"), &json!("weekly"))
    );
    assert_eq!(answer["own"], false);
    assert_eq!(rows(&place), before + 1);
    place.json("item", &["item", "ask", "alternator", "short", "--no-more"]);
    assert_eq!(rows(&place), before);
    for (args, told) in [
        (
            ["item", "ask", "drive-belt", "daily", "--no-more"],
            "boat lacks drive-belt",
        ),
        (
            ["item", "ask", "alternator", "short", "--no-more"],
            "does not ask it",
        ),
        (
            ["item", "ask", "alternator", "short", "dusk"],
            "no such phase",
        ),
        (
            ["item", "ask", "no-such-thing", "short", "cold"],
            "no item 'no-such-thing'",
        ),
        (
            ["item", "ask", "drive-belt", "finding", "found"],
            "asks nothing by itself",
        ),
    ] {
        let refused = place.run(&args);
        assert_eq!(refused.code, Some(2), "{refused}");
        assert!(refused.stderr.contains(told), "{told}\n{refused}");
    }
}

#[test]
fn what_is_wrong_with_an_answer_is_said_and_nothing_is_on_record() {
    let place = Place::with_boat();
    add(&place);
    let records = || place.json("logbook-check", &["logbook", "check"])["records"].clone();
    let before = records();
    for (args, told) in [
        (["drive-belt", "worn", "Frayed"], "stays as it is"),
        (
            ["davit-hydraulic-hoze", "worn", "Frayed"],
            "davit-hydraulic-hose",
        ),
        (["davit-hydraulic-hose", "station", "attic"], "station"),
        (["davit-hydraulic-hose", "effects", "fire 3"], "beta"),
        (
            ["davit-hydraulic-hose", "kind", "reading"],
            "needs bands or marks",
        ),
        (
            ["davit-hydraulic-hose", "look", "\u{1b}[2Jlook"],
            "hidden control character",
        ),
        (["davit-hydraulic-hose", "title", ""], "say it"),
        (["davit-hydraulic-hose", "colour", "red"], "colour"),
    ] {
        let refused = place.run(&[&["item", "put"][..], &args[..]].concat());
        assert_eq!(refused.code, Some(2), "{refused}");
        assert!(refused.stderr.contains(told), "{told}\n{refused}");
        assert!(!refused.stderr.contains('\u{1b}'), "{refused}");
    }
    assert_eq!(records(), before);
    let again = put(&place, "seconds", "20");
    assert_eq!(again["item"]["seconds"], 20);
    assert_eq!(records(), before, "the same again is no record");
}

#[test]
fn a_check_of_ones_own_is_put_away_and_its_walks_stay() {
    let place = Place::with_boat();
    let new = ["checklist", "new", "Before the lock", "throttle-cable"];
    place.json("checklist-add", &new);
    let walk = |id: &str| {
        json!({"type":"walk","id":id,"checklist":"before-the-lock","at":"2026-05-03T07:00:00+02:00",
        "looks":[{"item":"throttle-cable","phase":"cold","grade":"worn"}]})
    };
    place.record(&walk("w1"));
    let before = (
        place.json("verdict", &["verdict"]),
        place.json("defects", &["defects"])["rows"].clone(),
    );
    place.json(
        "checklist-add",
        &["checklist", "offered", "before-the-lock", "no"],
    );
    let after = (
        place.json("verdict", &["verdict"]),
        place.json("defects", &["defects"])["rows"].clone(),
    );
    assert_eq!(before, after);
    assert_eq!(
        place.json("walks", &["walks"])["rows"][0]["checklist"],
        "before-the-lock"
    );
    // The program's own checks stay where they are.
    let run = place.run(&["checklist", "offered", "daily", "no"]);
    assert_eq!(run.code, Some(2));
    assert!(run.stderr.contains("is always offered"), "{}", run.stderr);
}

#[test]
fn a_check_of_ones_own_is_made_without_a_file_and_never_says_clear() {
    let place = Place::with_boat().of_known_age(&["main"]);
    let new = ["checklist", "new", "Before the lock", "throttle-cable"];
    let answer = place.json("checklist-add", &new);
    assert_eq!(answer["rows"][0]["id"], "before-the-lock");
    place.json("item", &["item", "ask", "shift-cable", "before-the-lock"]);
    let idle = [
        "checklist",
        "phase",
        "before-the-lock",
        "idle",
        "oil-pressure",
    ];
    place.json(
        "checklist-add",
        &[&idle[..], &["--before", "All clear of belts."]].concat(),
    );
    let weekly = [
        "item",
        "ask",
        "shift-cable",
        "before-the-lock",
        "--cadence",
        "weekly",
    ];
    let row = place.json("item", &weekly)["asked"]
        .as_array()
        .expect("rows")
        .iter()
        .find(|row| row["checklist"] == "before-the-lock")
        .cloned();
    assert_eq!(row.expect("asked")["cadence"], "weekly");
    let shown = place.run(&["checklist", "show", "before-the-lock"]).stdout;
    assert!(shown.contains("All clear of belts."), "{shown}");
    let looks: Vec<Value> = [
        ("throttle-cable", "cold"),
        ("shift-cable", "cold"),
        ("oil-pressure", "idle"),
    ]
    .iter()
    .map(|(item, phase)| json!({"item": item, "phase": phase, "grade": "sound"}))
    .collect();
    place.record(&json!({"type":"walk","checklist":"before-the-lock","at":"2026-05-03T07:00:00+02:00","looks":looks}));
    let said = place.json("verdict", &["verdict"]);
    assert_ne!(said["now"], "clear-to-run", "{said}");
    place.json(
        "item",
        &[
            "item",
            "ask",
            "oil-pressure",
            "before-the-lock",
            "idle",
            "--no-more",
        ],
    );
    let shown = place.run(&["checklist", "show", "before-the-lock"]).stdout;
    assert!(!shown.contains("engine: idle"), "{shown}");
    for (args, told) in [
        (
            ["checklist", "phase", "daily", "idle", "oil-pressure"],
            "keeps its phases",
        ),
        (
            [
                "checklist",
                "phase",
                "before-the-lock",
                "dusk",
                "oil-pressure",
            ],
            "dusk",
        ),
        (
            ["checklist", "phase", "before-the-lock", "idle", "no-such"],
            "no item 'no-such'",
        ),
    ] {
        let refused = place.run(&args);
        assert_eq!(refused.code, Some(2), "{refused}");
        assert!(refused.stderr.contains(told), "{told}\n{refused}");
    }
}

#[test]
fn while_a_text_of_her_own_is_lost_no_word_is_changed_that_would_hide_it() {
    let place = place();
    walked(&place, "sound", "2026-05-03T08:00:00+02:00");
    assert_eq!(verdict(&place), "\"clear-to-run\"");
    let texts = std::fs::read_dir(place.logbook().join("texts")).expect("texts");
    for text in texts {
        let path = text.expect("a text").path();
        let own = std::fs::read_to_string(&path)
            .is_ok_and(|t| t.starts_with(r#"{"type":"own-items""#) && t.contains("stop_at"));
        if own {
            std::fs::remove_file(path).expect("removed");
        }
    }
    let other = [
        "item",
        "add",
        "Boom vang",
        "--station",
        "back",
        "--kind",
        "hose",
        "--effect",
        "nuisance",
    ];
    let refused = place.run(&other);
    assert_eq!(refused.code, Some(2), "{refused}");
    assert!(refused.stderr.contains("cannot all be read"), "{refused}");
    // The rows put in since do not make the loss go unsaid.
    assert_ne!(verdict(&place), "\"clear-to-run\"");
}
