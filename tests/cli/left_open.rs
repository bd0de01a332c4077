//! What was left so that she must not be started, and that she was started all the same.

use serde_json::{Value, json};

use super::harness::{Place, flat, full_walk, record_files};

const SHUT: &str = "seacock shut";

/// A whole morning check with everything sound.
fn walked() -> Place {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    let walk = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, &[]);
    let file = place.file("walk.json", &walk);
    let run = place.run(&["record", &file]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    place.at("2026-05-03T12:00:00+02:00");
    place
}

fn verdict(place: &Place) -> Value {
    place.json("verdict", &["verdict"])
}

#[test]
fn what_is_left_open_forbids_clear_and_stands_before_the_start_until_it_is_put_back() {
    let mut place = walked();
    assert_eq!(verdict(&place)["now"], "clear-to-run");
    let run = place.run(&["opened", "engine-seacock", SHUT, "--why", "off to lunch"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    assert!(
        run.stdout.contains("left open (seacock shut)"),
        "{}",
        run.stdout
    );
    let told = verdict(&place);
    assert_eq!(told["now"], "run-with-care");
    let rule = &told["reasons"][0]["rule"];
    assert_eq!(
        rule,
        "left open: seacock shut, since 3 May 2026 (off to lunch)"
    );
    let chore = &told["before_you_start"][0];
    assert_eq!(
        (&chore["do"], &chore["item"]),
        (&json!("put-back"), &json!("engine-seacock"))
    );
    let run = place.run(&["verdict"]);
    assert!(
        flat(&run.stdout).contains("put back; left open: seacock shut"),
        "{}",
        run.stdout
    );
    let list = place.json("defects", &["defects"]);
    assert_eq!(list["rows"], json!([]), "it is no defect");
    place.at("2026-05-03T14:00:00+02:00");
    let run = place.run(&["closed", "engine-seacock"]);
    assert!(
        flat(&run.stdout).contains("put back. It was left open"),
        "{}",
        run.stdout
    );
    assert_eq!(verdict(&place)["now"], "clear-to-run");
    let again = place.run(&["closed", "engine-seacock"]);
    assert_eq!(again.code, Some(2));
    assert!(
        again.stderr.contains("nothing of it is left open"),
        "{}",
        again.stderr
    );
}

#[test]
fn what_makes_no_sense_is_refused() {
    let place = walked();
    for (args, says) in [
        (vec!["opened", "engine-seacok", SHUT], "engine-seacock"),
        (
            vec!["opened", "engine-seacock", " "],
            "say what was left how",
        ),
        (
            vec!["closed", "engine-seacock", "--of", "nobody"],
            "nothing of it",
        ),
        (vec!["started", "--why", " "], "say why she was started"),
        (
            vec![
                "started",
                "--why",
                "a lee shore",
                "--at",
                "2026-05-03 07:00",
            ],
            "no walk is on record before",
        ),
        (
            vec![
                "started",
                "--why",
                "x",
                "--walk",
                "w1",
                "--at",
                "2026-05-03 07:00",
            ],
            "the walk began after that",
        ),
        (
            vec!["started", "--why", "x", "--at", "2026-06-04 07:00"],
            "in the future",
        ),
    ] {
        let run = place.run(&args);
        assert_eq!(run.code, Some(2), "{args:?}: {}", run.stdout);
        assert!(run.stderr.contains(says), "{args:?}: {}", run.stderr);
    }
    let closed = place.file("c.json", r#"{"type":"closed","of":"nobody"}"#);
    let run = place.run(&["record", &closed]);
    assert!(run.stderr.contains("no record 'nobody'"), "{}", run.stderr);
}

#[test]
fn a_service_that_left_a_part_out_holds_her_until_each_is_put_back() {
    let mut place = walked();
    let done = [
        "service",
        "done",
        "oil-and-filter",
        "--open",
        "oil-filter-seat",
    ];
    let run = place.run(&[&done[..], &["--note", "no filter aboard"]].concat());
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let told = verdict(&place);
    let chore = told["before_you_start"].to_string();
    assert!(
        chore.contains("put-back") && chore.contains("no filter aboard"),
        "{chore}"
    );
    let id = told["before_you_start"][0]["of"]
        .as_str()
        .expect("an id")
        .to_owned();
    assert!(id.ends_with(".open.1"), "{id}");
    place.at("2026-05-03T13:00:00+02:00");
    place.record(&json!({"type":"closed","of":id}));
    assert_eq!(verdict(&place)["before_you_start"], json!([]));
    let twice = place.file("c.json", &json!({"type":"closed","of":id}).to_string());
    let run = place.run(&["record", &twice]);
    assert!(run.stderr.contains("is put back"), "{}", run.stderr);
    let wrong = place.run(&[
        "service",
        "done",
        "oil-and-filter",
        "--open",
        "oil-filter-set",
    ]);
    assert!(wrong.stderr.contains("--open"), "{}", wrong.stderr);
}

/// No answer is better for a line that is lost or altered.
#[test]
fn a_line_of_it_that_is_altered_leaves_nothing_clear() {
    for (from, to) in [
        (SHUT, "seacock open"),
        ("\"ev\":\"opened\"", "\"ev\":\"closed\""),
    ] {
        let place = walked();
        let run = place.run(&["opened", "engine-seacock", SHUT]);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
        let file = record_files(&place.logbook())
            .into_iter()
            .find(|file| std::fs::read_to_string(file).expect("text").contains(from));
        let file = file.expect("its file");
        let text = std::fs::read_to_string(&file).expect("text");
        std::fs::write(&file, text.replace(from, to)).expect("written");
        let told = verdict(&place);
        assert_eq!(told["now"], "run-with-care", "{told}");
        assert!(told.to_string().contains("not counted"), "{told}");
    }
}

#[test]
fn she_was_started_over_a_stop_and_that_is_told_afterwards() {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    let looks = [json!({"item":"drive-belt","phase":"cold","grade":"failing"})];
    let walk = json!({"type":"walk","id":"w1","checklist":"daily","machine":"main",
        "at":"2026-05-03T07:40:00+02:00","looks":looks});
    place.record(&walk);
    place.at("2026-05-03T12:00:00+02:00");
    assert_eq!(verdict(&place)["run_in_spite_of"], Value::Null);
    let args = ["started", "--at", "08:10", "--why", "a lee shore"];
    let told = place.json("started", &args);
    assert_eq!(told["walk"], "w1");
    assert_eq!(told["at"], "2026-05-03T08:10:00+02:00");
    let spite = &verdict(&place)["run_in_spite_of"];
    assert_eq!(spite["rows"][0]["item"], "drive-belt", "{spite}");
    assert_eq!(spite["why"], "a lee shore");
    let report = place.path().join("r.json");
    let to = report.to_str().expect("a path");
    let run = place.run(&["report", "w1", "--to", to]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let text = std::fs::read_to_string(&report).expect("the report");
    assert!(text.contains("a lee shore"), "{text}");
    // Before it was found nothing spoke against it.
    let sound = walked();
    let told = sound.json(
        "started",
        &["started", "--at", "08:10", "--why", "to the berth"],
    );
    assert_eq!(told["run_in_spite_of"], Value::Null);
}

#[test]
fn what_it_forbids_is_told_by_the_three_answers_and_told_back_is_not_seen() {
    let mut place = walked();
    let answers = |place: &Place| {
        let run = place.run(&["ready", "--json"]);
        let told: Value = serde_json::from_str(&run.stdout).expect("JSON");
        let rows = told["ready"].as_array().expect("three answers").clone();
        let word = |row: &Value| row["answer"].as_str().expect("a word").to_owned();
        rows.iter().map(word).collect::<Vec<_>>()
    };
    let nothing = "nothing-on-record";
    assert_eq!(answers(&place), [nothing, nothing, nothing]);
    assert_eq!(place.run(&["ready"]).code, Some(0));
    let open = |place: &Place, item: &str, what: &str, forbids: &str| {
        let run = place.run(&["opened", item, what, "--forbids", forbids]);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
    };
    open(&place, "throttle-cable", "cable off", "leave");
    assert_eq!(answers(&place), [nothing, nothing, "no"]);
    assert_eq!(verdict(&place)["now"], "do-not-leave");
    open(&place, "raw-water-impeller", "impeller out", "start");
    assert_eq!(answers(&place), [nothing, "no", "no"]);
    assert_eq!(verdict(&place)["now"], "do-not-run");
    open(&place, "raw-water-inlet-hose", "hose off", "float");
    assert_eq!(answers(&place), ["no", "no", "no"]);
    let run = place.run(&["ready"]);
    assert_eq!(run.code, Some(1), "{}", run.stdout);
    let text = flat(&run.stdout);
    assert!(
        text.contains("Ready to float: no, 1 on record forbid it"),
        "{text}"
    );
    assert!(
        text.contains("hose off, since 3 May 2026; forbids to float"),
        "{text}"
    );
    place.at("2026-05-03T14:00:00+02:00");
    let run = place.run(&["closed", "raw-water-inlet-hose", "--told", "the yard"]);
    let told = flat(&run.stdout);
    assert!(told.contains("as told by the yard, and not seen"), "{told}");
    assert_eq!(answers(&place), ["see-first", "no", "no"]);
    place.at("2026-05-03T15:00:00+02:00");
    for item in [
        "raw-water-inlet-hose",
        "raw-water-impeller",
        "throttle-cable",
    ] {
        assert_eq!(place.run(&["closed", item]).code, Some(0), "{item}");
    }
    assert_eq!(answers(&place), [nothing, nothing, nothing]);
    assert_eq!(verdict(&place)["now"], "clear-to-run");
}

#[test]
fn hostile_words_of_what_is_open_are_shown_as_text_and_nonsense_is_refused() {
    let mut place = walked();
    let hostile = "out\u{1b}[2J\u{202e}";
    let run = place.run(&["opened", "drive-belt", hostile, "--forbids", "start"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    place.at("2026-05-03T14:00:00+02:00");
    let by = "yard\u{1b}]0;x\u{7}";
    assert_eq!(
        place.run(&["closed", "drive-belt", "--told", by]).code,
        Some(0)
    );
    let shown = place.run(&["ready"]).stdout + &place.run(&["verdict"]).stdout;
    assert!(
        !shown.contains(['\u{1b}', '\u{202e}', '\u{7}']),
        "{shown:?}"
    );
    for (args, says) in [
        (
            vec!["opened", "drive-belt", "off", "--forbids", "swim"],
            "'swim' is no thing it forbids",
        ),
        (
            vec!["closed", "drive-belt", "--told", " "],
            "say who told it",
        ),
        (vec!["ready", "--machine", "nobody"], "nobody"),
    ] {
        let run = place.run(&args);
        assert_eq!(run.code, Some(2), "{args:?}: {}", run.stdout);
        assert!(run.stderr.contains(says), "{args:?}: {}", run.stderr);
    }
    let long = "x".repeat(100_000);
    let run = place.run(&["closed", "drive-belt", "--told", &long]);
    assert_eq!(run.code, Some(2), "{}", run.stdout);
    let line = r#"{"type":"opened","item":"drive-belt","what":"off","forbids":"swim"}"#;
    let file = place.file("o.json", line);
    let run = place.run(&["record", &file]);
    assert_eq!(run.code, Some(2), "{}", run.stdout);
    assert!(
        run.stderr.contains("forbids") || run.stderr.contains("swim"),
        "{}",
        run.stderr
    );
}
