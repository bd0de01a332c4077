//! `causes`: answers in, what they point to out; without a logbook.

use serde_json::Value;

use super::harness::{Place, Run};

fn looks(place: &Place, text: &str, more: &[&str]) -> Run {
    let file = place.file("looks.json", text);
    place.run(&[&["causes", "--looks", &file], more].concat())
}

fn json(place: &Place, text: &str, more: &[&str]) -> Value {
    let file = place.file("looks.json", text);
    place.json("causes", &[&["causes", "--looks", &file], more].concat())
}

fn flat(run: &Run) -> String {
    assert_eq!(run.code, Some(0), "{run}");
    run.stdout.split_whitespace().collect::<Vec<_>>().join(" ")
}

const SWEET: &str = r#"{"plume": "sweet", "clevel": "falls", "cwet": "ok", "olook": "ok"}"#;

#[test]
fn findings_are_told_with_what_they_point_to_and_the_look_that_tells() {
    let place = Place::empty();
    let run = looks(&place, SWEET, &[]);
    let said = flat(&run);
    let order = [
        "Not ruled out, and dangerous: The head gasket or the head leaks between cylinder and coolant.",
        "Make this look before you start: Take the cap off cold only, and stop before it gets hot. Started cold with the cap off: do bubbles rise? (120 s, first minute of running)",
        "These belong together:",
        "- Exhaust plume: White and smelling sweet.",
        "Most likely, of the causes on the list: The heat exchanger or a water-cooled manifold is holed",
        "Caution: Open the cap only when the engine is cold.",
        "Look next: What does the coolant look like? (20 s, engine still)",
        "- A drop of it dries with a crust of salt. Then the heat exchanger",
        "Or look: Take the cap off cold only, and stop before it gets hot. Started cold with the cap off",
        "is judgement",
    ];
    let mut from = 0;
    for words in order {
        let at = said[from..].find(words);
        from += at.unwrap_or_else(|| panic!("{words} after byte {from} in {said}"));
    }
    for figure in ["%", "0.5", "0.6"] {
        assert!(!said.contains(figure), "{said}");
    }
    assert!(!place.logbook().exists(), "nothing is recorded");
}

#[test]
fn programs_get_every_cause_and_the_looks_in_order() {
    let place = Place::empty();
    let answer = json(&place, SWEET, &[]);
    let rows = answer["candidates"].as_array().expect("candidates");
    assert!(rows.len() >= 60);
    assert_eq!(rows[0]["cause"], "coolant-overboard");
    assert_eq!(rows[1]["cause"], "head-gasket");
    assert_eq!(rows[1]["stop"], "Do not run the engine.");
    let chances: Vec<f64> = rows
        .iter()
        .map(|row| row["probability"].as_f64().expect("a number"))
        .collect();
    assert!(chances.is_sorted_by(|a, b| a >= b));
    // Alone, not on the list and the causes cover everything; pairs count twice.
    let all = chances.iter().sum::<f64>()
        + answer["alone"].as_f64().expect("a number")
        + answer["unlisted"].as_f64().expect("a number");
    assert!((1.0..1.5).contains(&all), "{all}");
    let next: Vec<&str> = answer["next"]
        .as_array()
        .expect("next")
        .iter()
        .map(|row| row["question"].as_str().expect("an id"))
        .collect();
    assert_eq!(next[..2], ["clook", "bubbles"]);
    assert!(answer["next"][0]["bits"].as_f64().expect("bits") > 0.2);
    assert_eq!(answer["next"][0]["seconds"], 20);
    assert!(answer.get("why").is_none());
    let why = json(&place, SWEET, &["--why"]);
    let row = &why["why"][0];
    assert_eq!(row["causes"][0], "coolant-overboard");
    assert_eq!(row["factors"].as_array().expect("factors").len(), 4);
    let text = flat(&looks(&place, SWEET, &["--why"]));
    assert!(
        text.contains("- Coolant-overboard: 0.0") && text.contains(" coolant level"),
        "{text}"
    );
}

#[test]
fn how_she_lies_decides_which_looks_are_named() {
    let place = Place::empty();
    let warm = json(&place, SWEET, &["--now-she-is", "warm"]);
    let held = warm["withheld"].as_array().expect("withheld");
    assert!(
        held.iter().any(|row| row["question"] == "bubbles"),
        "{held:?}"
    );
    let next = warm["next"].as_array().expect("next");
    assert!(
        next.iter()
            .all(|row| row["question"] != "clook" && row["question"] != "bubbles")
    );
    let typed = looks(&place, SWEET, &["--now-she-is", "hot"]);
    assert_eq!(typed.code, Some(2), "{typed}");
    assert!(
        typed.stderr.contains("cold, warm, running, under-way"),
        "{typed}"
    );
}

#[test]
fn what_stops_by_itself_is_said_first() {
    let place = Place::empty();
    let run = looks(&place, r#"{"olevel": "risen", "olook": "fuel"}"#, &[]);
    assert!(run.stdout.starts_with("STOP: The oil has risen"), "{run}");
}

#[test]
fn answers_come_from_the_standard_input_too() {
    let place = Place::empty();
    let run = place.run_with_input(&["causes", "--looks", "-"], r#"{"weep": "oil"}"#);
    assert!(
        flat(&run).contains("the raw-water pump leaks at its engine-side seal")
            || flat(&run).contains("The raw-water pump leaks at its engine-side seal"),
        "{run}"
    );
    let run = place.run_with_input(&["causes", "--looks", "-"], "[]");
    assert_eq!(run.code, Some(2));
    assert!(
        run.stderr
            .contains("standard input line 1, column 1: a list stands where"),
        "{run}"
    );
}

#[test]
fn bad_answers_are_refused_in_words() {
    let place = Place::empty();
    for (text, message) in [
        (
            r#"{"tmep": "load"}"#,
            "line 1, column 10: field `tmep`: 'tmep' is no question known here; nearest is 'temp'",
        ),
        (
            r#"{"temp": "hot"}"#,
            "'hot' is no answer to it; known are ok, abnormal, load",
        ),
        (
            "{\"temp\": \"ok\",\n\"temp\": \"load\"}",
            "line 2, column 9: field `temp`: the question 'temp' is answered twice",
        ),
        ("{}", "no look is told"),
        ("\"temp\"", "an object in braces belongs"),
        ("", "the file ends too early"),
    ] {
        let run = looks(&place, text, &[]);
        assert_eq!(run.code, Some(2), "{run}");
        assert!(
            run.stdout.is_empty() && run.stderr.contains(message),
            "{message}: {run}"
        );
    }
    let none = place.run(&["causes", "--looks", "nowhere.json"]);
    assert_eq!(none.code, Some(2), "{none}");
}

#[test]
fn causes_of_ones_own_count_beside_ours() {
    let place = Place::empty();
    let own = r#"{"type": "causes", "causes": [{"id": "shower", "title": "the shower sump runs into the bilge", "weight": 60,
        "signs": [{"question": "bkind", "answer": "fresh", "strength": "almost-always"}],
        "apart": "Close it.", "ignored": "Wet feet.", "source": "own"}]}"#;
    let file = place.file("own.json", own);
    let answer = json(&place, r#"{"bkind": "fresh"}"#, &["--with", &file]);
    assert_eq!(answer["candidates"][0]["cause"], "shower");
    let wrong = place.file("wrong.json", &own.replace("\"fresh\"", "\"frehs\""));
    let looks = place.file("looks.json", r#"{"bkind": "fresh"}"#);
    let run = place.run(&["causes", "--looks", &looks, "--with", &wrong]);
    assert_eq!(run.code, Some(2), "{run}");
    assert!(run.stderr.contains("wrong.json line 2, column 51: field `causes[0].signs[0].answer`: 'frehs' is no answer to 'bkind' known here; nearest is 'fresh'"), "{run}");
}
