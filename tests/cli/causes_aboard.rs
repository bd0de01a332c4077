//! `causes` of a logbook: looks on record as answers, what they point to, and that nothing else changes.

use serde_json::{Value, json};

use super::harness::{Place, Run, flat, record_files};

/// Three findings of one matter, each saying which of several answers it is.
fn milky(signs: bool) -> Vec<Value> {
    let mut looks = vec![
        json!({"item":"coolant-level","phase":"cold","grade":"failing","signs":{"clevel":"falls"}}),
        json!({"item":"engine-oil-condition","phase":"cold","grade":"failing","signs":{"olook":"milky"}}),
        json!({"item":"exhaust-smoke","phase":"idle","grade":"failing","signs":{"plume":"sweet"}}),
    ];
    if !signs {
        for look in &mut looks {
            look.as_object_mut().expect("a look").remove("signs");
        }
    }
    looks
}

fn walk(looks: &[Value]) -> Value {
    json!({"type":"walk","id":"w1","checklist":"daily","machine":"main","at":"2026-05-03T07:40:00+02:00",
        "by":"R. Quay","hours":1203.6,"looks":looks})
}

fn place(looks: &[Value]) -> Place {
    let place = Place::with_boat();
    place.record(&walk(looks));
    place
}

fn chances(answer: &Value) -> Vec<(String, f64)> {
    let rows = answer["candidates"].as_array().expect("candidates").iter();
    let row = |row: &Value| {
        let cause = row["cause"].as_str().expect("an id").to_owned();
        (cause, row["probability"].as_f64().expect("a number"))
    };
    rows.map(row).collect()
}

#[test]
fn looks_on_record_say_what_the_same_answers_say_by_themselves() {
    let place = place(&milky(true));
    let aboard = place.json("causes", &["causes"]);
    let answers = place.file(
        "looks.json",
        r#"{"clevel": "falls", "olook": "milky", "plume": "sweet"}"#,
    );
    let alone = place.json("causes", &["causes", "--looks", &answers]);
    let (aboard, alone) = (chances(&aboard), chances(&alone));
    assert_eq!(aboard.len(), alone.len());
    for ((cause, chance), (other, by_itself)) in aboard.iter().zip(&alone) {
        assert_eq!(cause, other);
        assert!(
            (chance - by_itself).abs() < 1e-9,
            "{cause}: {chance} {by_itself}"
        );
    }
    assert_eq!(aboard[0].0, "head-gasket");
    let cold = place.json("causes", &["causes", "--now-she-is", "cold"]);
    let next = cold["next"].as_array().expect("next");
    assert!(
        next.iter().all(|row| row["question"] != "bubbles"),
        "{next:?}"
    );
    let held = cold["withheld"].as_array().expect("withheld");
    let held = held.iter().find(|row| row["question"] == "bubbles");
    assert_eq!(
        held.expect("held back")["why"],
        "she is not cranked or started while a stop holds her: Coolant level"
    );
    let said = flat(&place.run(&["causes"]).stdout);
    assert!(
        said.contains("- Exhaust plume (2026-05-03): White and smelling sweet."),
        "{said}"
    );
}

#[test]
fn what_is_put_right_or_seen_sound_counts_no_more() {
    let mut place = place(&milky(true));
    let count = |place: &Place, looks: &str| {
        let answer = place.json("causes", &["causes", "--why"]);
        let factors = answer["why"][0]["factors"].as_array().expect("factors");
        factors.iter().filter(|row| row["look"] == looks).count()
    };
    assert_eq!(count(&place, "exhaust plume"), 1);
    place.at("2026-05-04T09:00:00+02:00");
    place.record(&json!({"type":"repair","item":"exhaust-smoke","machine":"main","at":"2026-05-04T08:00:00+02:00","done":"injectors cleaned"}));
    assert_eq!(
        count(&place, "exhaust plume"),
        0,
        "put right since, and not looked at"
    );
    place.at("2026-05-05T09:00:00+02:00");
    let sound = json!({"item":"exhaust-smoke","phase":"idle","grade":"sound"});
    let mut again = walk(&[sound]);
    again["id"] = json!("w2");
    again["at"] = json!("2026-05-05T08:00:00+02:00");
    again["hours"] = json!(1204.0);
    place.record(&again);
    let answer = place.json("causes", &["causes"]);
    let rows = answer["candidates"].as_array().expect("candidates");
    let gasket = rows
        .iter()
        .find(|row| row["cause"] == "head-gasket")
        .expect("known");
    let against = gasket["speaks_against"].as_array().expect("looks");
    assert!(
        against.iter().any(|look| look == "exhaust plume"),
        "{gasket}"
    );
    // A sound look holds for its time, and then says nothing.
    place.at("2026-09-05T09:00:00+02:00");
    assert_eq!(count(&place, "exhaust plume"), 0);
}

#[test]
fn which_answer_it_is_changes_no_grade_rank_stop_or_verdict() {
    let (with, without) = (place(&milky(true)), place(&milky(false)));
    for args in [
        &["defects"][..],
        &["verdict"],
        &["due"],
        &["coverage"],
        &["walks"],
    ] {
        let name = args[0];
        let (mut with, mut without) = (with.json(name, args), without.json(name, args));
        for answer in [&mut with, &mut without] {
            // What may be behind it stands beside the verdict, and is all that differs.
            answer
                .as_object_mut()
                .expect("an answer")
                .remove("not_ruled_out");
        }
        assert_eq!(with, without, "{name}");
    }
}

#[test]
fn what_is_dangerous_stands_beside_the_verdict_and_one_everyday_sign_does_not() {
    let place = place(&milky(true));
    let verdict = place.json("verdict", &["verdict"]);
    let told = verdict["not_ruled_out"].as_array().expect("told");
    let gasket = told.iter().map(|row| row.as_str().expect("words"));
    let gasket: Vec<_> = gasket.filter(|row| row.contains("head gasket")).collect();
    assert_eq!(gasket.len(), 1, "{told:?}");
    assert!(
        gasket[0].starts_with("Not ruled out, and dangerous: "),
        "{gasket:?}"
    );
    let damp = Place::with_boat();
    let look = json!({"item":"raw-water-pump-seal","phase":"cold","grade":"worn","signs":{"weep":"water"}});
    damp.record(&walk(&[look]));
    let asked = damp.json("causes", &["causes"]);
    assert!(!asked["dangers"].as_array().expect("dangers").is_empty());
    assert!(
        damp.json("verdict", &["verdict"])
            .get("not_ruled_out")
            .is_none()
    );
}

#[test]
fn a_look_that_is_lost_is_told_beside_the_causes() {
    let place = place(&milky(true));
    for file in record_files(&place.logbook()) {
        let text = std::fs::read_to_string(&file).expect("read");
        std::fs::write(
            &file,
            text.replace("\"plume\":\"sweet\"", "\"plume\":\"steam\""),
        )
        .expect("written");
    }
    let answer = place.json("causes", &["causes"]);
    let lost = answer["not_counted"].as_array().expect("told");
    assert!(
        lost.iter().any(|row| row["item"] == "exhaust-smoke"),
        "{lost:?}"
    );
    let said = flat(&place.run(&["causes"]).stdout);
    assert!(said.contains("NOT COUNTED: 1 thing(s) on record"), "{said}");
}

#[test]
fn without_findings_it_says_so() {
    let bare = Place::with_boat();
    let run = bare.run(&["causes"]);
    assert_eq!(run.code, Some(0), "{run}");
    assert!(
        run.stdout.contains("Nothing here asks for a cause."),
        "{run}"
    );
    let none = Place::empty().run(&["causes"]);
    assert_eq!(none.code, Some(3), "{none}");
    assert!(none.stderr.contains("holds no logbook yet"), "{none}");
}

#[test]
fn a_sign_that_does_not_fit_its_look_is_refused_by_field() {
    let place = Place::with_boat();
    let tried =
        |look: Value| -> Run { place.run_with_input(&["record", "-"], &walk(&[look]).to_string()) };
    for (look, field, why) in [
        (
            json!({"item":"exhaust-smoke","phase":"idle","grade":"failing","signs":{"temp":"load"}}),
            "looks[0].signs.temp",
            "no such question; at exhaust-smoke is asked plume",
        ),
        (
            json!({"item":"exhaust-smoke","phase":"idle","grade":"failing","signs":{"plume":"green"}}),
            "looks[0].signs.plume",
            "'green' is no answer to it; known are ok, steam, sweet",
        ),
        (
            json!({"item":"exhaust-smoke","phase":"idle","grade":"sound","signs":{"plume":"sweet"}}),
            "looks[0].signs.plume",
            "it was graded sound",
        ),
        (
            json!({"item":"exhaust-smoke","phase":"idle","not_seen":"dark","signs":{"plume":"sweet"}}),
            "field `looks`",
            "signs belong to a grade",
        ),
    ] {
        let run = tried(look);
        assert_eq!(run.code, Some(2), "{run}");
        assert!(
            run.stderr.contains(field) && run.stderr.contains(why),
            "{field}: {run}"
        );
    }
}

#[test]
fn a_report_says_what_may_be_behind_it_apart_from_what_was_found() {
    let place = place(&milky(true));
    let page = place.path().join("r.html");
    let run = place.run(&["report", "w1", "--to", page.to_str().expect("UTF-8")]);
    assert_eq!(run.code, Some(0), "{run}");
    let text = flat(&std::fs::read_to_string(&page).expect("a page"));
    let at = |words: &str| {
        text.find(words)
            .unwrap_or_else(|| panic!("{words} in {text}"))
    };
    assert!(at("What may be behind it") < at("An opinion on what was seen, and no finding"));
    assert!(
        at("These belong together:") < at("Exhaust plume (2026-05-03): White and smelling sweet.")
    );
    let json = place.path().join("r.json");
    let run = place.run(&["report", "w1", "--to", json.to_str().expect("UTF-8")]);
    assert_eq!(run.code, Some(0), "{run}");
    let report: Value = serde_json::from_slice(&std::fs::read(&json).expect("read")).expect("JSON");
    assert_eq!(report["behind"][0]["machine"], "main");
    let lines = report["behind"][0]["lines"].as_array().expect("lines");
    assert!(
        lines
            .iter()
            .all(|line| !line["text"].as_str().expect("text").contains('%'))
    );
}
