//! No answer is better than the record: clocks that stand wrong, lines that are damaged, walks whose
//! beginning is lost, words of a later version. What holds for many more cases is in `tests/law`.

use std::fs;

use serde_json::{Value, json};

use super::harness::{Place, full_walk, record_files};

/// A morning check with everything sound but these looks, recorded by a clock that shows `now`.
pub fn walk(place: &mut Place, id: &str, now: &str, hours: f64, looks: &[Value]) {
    place.at(now);
    let sheet = full_walk(id, now, hours, looks);
    let run = place.run_with_input(&["record", "-"], &sheet);
    assert_eq!(run.code, Some(0), "{id}: {}", run.stderr);
}

pub fn belt(grade: &str) -> Value {
    json!({"item":"drive-belt","grade":grade})
}

pub fn stops(place: &Place) -> Vec<String> {
    let answer = place.json("defects", &["defects"]);
    let rows = answer["rows"].as_array().expect("rows");
    let rows = rows.iter().filter(|row| row["stop"] == true);
    rows.map(|row| row["item"].as_str().expect("an item").to_owned())
        .collect()
}

/// True where what is not counted keeps the verdict from being clear.
pub fn is_blocked(place: &Place) -> bool {
    let verdict = place.json("verdict", &["verdict"]);
    let reasons = verdict["reasons"].as_array().expect("reasons");
    let told = |r: &Value| {
        r["rule"]
            .as_str()
            .is_some_and(|rule| rule.starts_with("not counted"))
    };
    let blocked = reasons.iter().any(told);
    assert!(!blocked || verdict["now"] != "clear-to-run");
    blocked
}

/// Changes the one line of the log that holds all of these words.
pub fn change(place: &Place, words: &[&str], how: impl Fn(&str) -> String) {
    for file in record_files(&place.logbook()) {
        let text = fs::read_to_string(&file).expect("text");
        let Some(line) = text.lines().find(|l| words.iter().all(|w| l.contains(w))) else {
            continue;
        };
        fs::write(&file, text.replace(line, &how(line))).expect("written");
        return;
    }
    panic!("no line has {words:?}");
}

/// A boat with a sound morning and a day later a belt that fails.
pub fn failing() -> Place {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    walk(&mut place, "w1", "2026-05-03T08:00:00+02:00", 1203.0, &[]);
    walk(
        &mut place,
        "w2",
        "2026-05-04T08:00:00+02:00",
        1204.0,
        &[belt("failing")],
    );
    place.at("2026-05-05T07:00:00+02:00");
    assert_eq!(stops(&place), ["drive-belt"]);
    place
}

#[test]
fn a_clock_that_stands_behind_hides_no_later_look() {
    for behind in [
        "2026-05-03T07:46:00+02:00",
        "2026-05-03T05:00:00+02:00",
        "2011-01-01T00:00:00+01:00",
        "1970-01-01T00:10:00+00:00",
    ] {
        let mut place = Place::with_boat().of_known_age(&["main"]);
        walk(&mut place, "w1", "2026-05-03T08:00:00+02:00", 1203.0, &[]);
        place.at(behind);
        let mut sheet: Value =
            serde_json::from_str(&full_walk("w2", behind, 1203.0, &[belt("failing")]))
                .expect("JSON");
        sheet.as_object_mut().expect("an object").remove("hours");
        let run = place.run_with_input(&["record", "-"], &sheet.to_string());
        assert_eq!(run.code, Some(0), "{behind}: {}", run.stderr);
        place.at("2026-05-04T08:00:00+02:00");
        let verdict = place.json("verdict", &["verdict"]);
        assert_eq!(verdict["walk"], "w2", "{behind}");
        assert_eq!(verdict["now"], "do-not-run", "{behind}");
        assert_eq!(verdict["at_walk"], "do-not-run", "{behind}");
        assert_eq!(verdict.get("not_counted"), None, "nothing is missing");
        assert_eq!(stops(&place), ["drive-belt"], "{behind}");
    }
}

#[test]
fn a_clock_that_stood_years_ahead_outvotes_nothing() {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    walk(&mut place, "w1", "2026-05-03T08:00:00+02:00", 1203.0, &[]);
    walk(&mut place, "w2", "2036-05-04T08:00:00+02:00", 1204.0, &[]);
    for (n, day) in (5..9).enumerate() {
        let looks = [belt(if n == 0 { "sound" } else { "failing" })];
        let at = format!("2026-05-{day:02}T08:00:00+02:00");
        walk(&mut place, &format!("w{}", n + 3), &at, 1205.0, &looks);
    }
    place.at("2026-05-08T09:00:00+02:00");
    assert_eq!(stops(&place), ["drive-belt"]);
    // When that date comes the order stays: it was recorded that the clock was wrong.
    for now in ["2036-05-06T08:00:00+02:00", "2037-01-01T08:00:00+01:00"] {
        place.at(now);
        let verdict = place.json("verdict", &["verdict"]);
        assert_eq!(verdict["walk"], "w6", "{now}");
        assert_eq!(verdict["now"], "do-not-run", "{now}");
    }
}

#[test]
fn a_sound_line_changed_by_hand_lifts_no_stop() {
    let place = failing();
    change(&place, &["drive-belt", "\"failing\""], |l| {
        l.replace("failing", "sound")
    });
    let verdict = place.json("verdict", &["verdict"]);
    assert_eq!(verdict["now"], "run-with-care");
    let told = &verdict["not_counted"][0];
    assert_eq!(told["item"], "drive-belt");
    assert!(told["line"].as_u64().is_some_and(|n| n > 1), "{told}");
    let run = place.run(&["defects"]);
    assert!(run.stdout.contains("NOT COUNTED: 1"), "{}", run.stdout);
    // Changed for the worse it holds.
    let place = failing();
    change(&place, &["w1", "drive-belt", "\"sound\""], |l| {
        l.replace("\"sound\"", "\"failed\"")
    });
    assert_eq!(stops(&place), ["drive-belt"]);
}

#[test]
fn a_damaged_line_is_said_and_forbids_clear_until_the_item_is_looked_at_again() {
    let mut place = failing();
    change(&place, &["drive-belt", "\"failing\""], |l| {
        l.replacen('{', "(", 1)
    });
    assert!(is_blocked(&place));
    for args in [
        &["defects"][..],
        &["explain", "drive-belt"],
        &["due"],
        &["coverage"],
        &["leaving"],
        &["causes"],
    ] {
        let name = args[0];
        let answer = place.json(name, args);
        assert_eq!(answer["not_counted"][0]["item"], "drive-belt", "{name}");
    }
    let report = place.path().join("now.json");
    let run = place.run(&["report", "now", "--to", report.to_str().expect("UTF-8")]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let report: Value =
        serde_json::from_str(&fs::read_to_string(&report).expect("text")).expect("JSON");
    assert_eq!(report["not_counted"][0]["item"], "drive-belt");
    walk(&mut place, "w3", "2026-05-06T08:00:00+02:00", 1205.0, &[]);
    let verdict = place.json("verdict", &["verdict"]);
    assert_eq!(verdict["now"], "clear-to-run");
    assert_eq!(
        verdict["not_counted"][0]["item"], "drive-belt",
        "it stays named"
    );
}

#[test]
fn a_lost_line_forbids_clear_until_somebody_says_that_it_is_known() {
    let place = failing();
    change(&place, &["drive-belt", "\"failing\""], |_| "\0".repeat(60));
    assert!(is_blocked(&place));
    let run = place.run(&["logbook", "check", "--accept"]);
    assert_eq!(run.code, Some(2), "a reason is asked");
    let run = place.run(&[
        "logbook",
        "check",
        "--accept",
        "--why",
        "a drop of water",
        "--by",
        "R. Quay",
    ]);
    assert!(
        run.stdout.contains("accepted"),
        "{}{}",
        run.stdout,
        run.stderr
    );
    assert!(!is_blocked(&place));
    let verdict = place.json("verdict", &["verdict"]);
    assert!(verdict["not_counted"][0]["line"].is_u64(), "it stays named");
    let again = place.run(&["logbook", "check", "--accept", "--why", "the same"]);
    assert!(
        again.stdout.contains("Nothing that forbids"),
        "{}",
        again.stdout
    );
}

#[test]
fn looks_whose_walk_is_lost_still_count() {
    for how in [
        |l: &str| l.replacen('{', "(", 1),
        |l: &str| l.replacen("\"walk\":\"w2\"", "\"walk\":\"w9\"", 1),
    ] {
        let place = failing();
        change(&place, &["\"ev\":\"walk\"", "w2"], how);
        assert_eq!(stops(&place), ["drive-belt"]);
        let verdict = place.json("verdict", &["verdict"]);
        assert_eq!(verdict["now"], "do-not-run");
        let told = verdict["not_counted"].as_array().expect("said");
        assert!(
            told.iter().any(|t| t["why"]
                .as_str()
                .is_some_and(|w| w.contains("the beginning of the walk w2"))),
            "{told:?}"
        );
    }
}

#[test]
fn words_of_a_later_version_drop_no_look() {
    let sum = |line: &str| {
        let body = &line[..line.rfind(",\"sum\":\"").expect("a sum")];
        format!(
            "{body},\"sum\":\"{:08x}\"}}",
            crc32fast::hash(body.as_bytes())
        )
    };
    let place = failing();
    change(&place, &["drive-belt", "\"failing\""], |l| {
        sum(&l.replace("\"failing\"", "\"seized\""))
    });
    let verdict = place.json("verdict", &["verdict"]);
    assert_eq!(verdict["now"], "run-with-care");
    let told = &verdict["not_counted"][0];
    assert_eq!(told["item"], "drive-belt");
    assert!(
        told["why"].as_str().is_some_and(|w| w.contains("seized")),
        "{told}"
    );
    // A mark that is not known leaves the grade.
    let place = failing();
    change(&place, &["drive-belt", "\"failing\""], |l| {
        sum(&l.replace("\"grade\":\"failing\"", "\"grade\":\"failing\",\"wear\":[{\"mark\":\"pitting\",\"where\":null,\"against\":null}]"))
    });
    assert_eq!(stops(&place), ["drive-belt"]);
}

#[test]
fn a_repair_changed_outside_lifts_nothing() {
    let mut place = failing();
    place.at("2026-05-04T09:00:00+02:00");
    let run = place.run(&["repair", "drive-belt", "--done", "new belt"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    place.at("2026-05-05T07:00:00+02:00");
    assert!(stops(&place).is_empty());
    change(&place, &["\"ev\":\"repair\""], |l| {
        l.replace("new belt", "old belt")
    });
    assert_eq!(stops(&place), ["drive-belt"]);
}

#[cfg(unix)]
#[test]
fn a_folder_that_cannot_be_read_ends_with_three_and_is_named() {
    use std::os::unix::fs::PermissionsExt;
    let place = failing();
    let year = place.logbook().join("log/2026");
    fs::set_permissions(&year, fs::Permissions::from_mode(0o000)).expect("set");
    if fs::read_dir(&year).is_ok() {
        // Root reads all the same; a folder that is none does as well.
        fs::set_permissions(&year, fs::Permissions::from_mode(0o755)).expect("set");
        return;
    }
    let run = place.run(&["verdict"]);
    fs::set_permissions(&year, fs::Permissions::from_mode(0o755)).expect("set");
    assert_eq!(run.code, Some(3), "{}{}", run.stdout, run.stderr);
}

#[test]
fn a_look_told_late_says_that_later_ones_count() {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    walk(&mut place, "w1", "2026-05-10T08:00:00+02:00", 1203.0, &[]);
    let late = json!({"type":"walk","id":"late","checklist":"daily","at":"2026-05-08T08:00:00+02:00",
        "looks":[{"item":"drive-belt","grade":"failing"}]});
    place.record(&late);
    let answer = place.json("defects", &["defects"]);
    assert!(stops(&place).is_empty(), "it was seen sound since");
    let told = &answer["not_counted"][0];
    assert_eq!(told["item"], "drive-belt");
    assert!(
        told["why"]
            .as_str()
            .is_some_and(|w| w.contains("what was seen later counts")),
        "{told}"
    );
    assert_eq!(
        place.json("verdict", &["verdict", "--walk", "w1"])["now"],
        "clear-to-run"
    );
    walk(&mut place, "w2", "2026-05-11T08:00:00+02:00", 1204.0, &[]);
    assert_eq!(place.json("defects", &["defects"]).get("not_counted"), None);
}

/// Every line a watch rests on, damaged one after another: what is asked over the rest of the plan is never
/// better than with all of them, or says what is missing.
#[test]
fn no_answer_over_what_is_left_is_better_with_a_line_of_the_watch_lost() {
    let begun = || {
        let mut place = failing();
        let put = |place: &Place, args: &[&str]| {
            let run = place.run(args);
            assert_eq!(run.code, Some(0), "{args:?}: {}", run.stderr);
        };
        put(
            &place,
            &["plan", "set", "crossing", "--hours", "30", "--days", "2"],
        );
        put(
            &place,
            &[
                "underway", "begin", "--plan", "crossing", "--meter", "1205", "--fuel", "100",
            ],
        );
        place.at("2026-05-05T08:00:00+02:00");
        put(
            &place,
            &[
                "underway",
                "round",
                "--meter",
                "1206",
                "--fuel",
                "97",
                "--temperature",
                "80",
            ],
        );
        place.at("2026-05-05T09:00:00+02:00");
        put(&place, &["underway", "round", "--all-usual"]);
        place
    };
    let whole = begun();
    let stops = |place: &Place| {
        let answer = place.json("defects", &["defects", "--under-way"]);
        answer["rows"].as_array().map_or(0, Vec::len)
    };
    let rows = stops(&whole);
    assert!(rows > 0);
    for lost in [
        vec![r#""ev":"under-way""#, r#""kind":"begins""#],
        vec![r#""ev":"under-way""#, r#""temperature""#],
        vec![r#""ev":"under-way""#, r#""usual":"#],
        vec![r#""ev":"plan""#],
        vec![r#""ev":"look""#, r#""grade":"failing""#],
    ] {
        let place = begun();
        change(&place, &lost, |line| {
            line.replacen("\"rec\":{", "\"rec\":{ ", 1)
        });
        for asked in [["defects", "--under-way"], ["leaving", "--under-way"]] {
            let run = place.run(&[&asked[..], &["--json"]].concat());
            if run.code == Some(2) {
                // Nothing is answered where nobody knows what is left.
                continue;
            }
            let answer: Value = serde_json::from_str(&run.stdout).expect("JSON");
            let said = answer["not_counted"]
                .as_array()
                .is_some_and(|told| !told.is_empty());
            assert!(said, "{lost:?} {asked:?}: {}", run.stdout);
        }
        let round = place.run(&["underway", "round", "--temperature", "95", "--json"]);
        if round.code == Some(0) {
            let answer: Value = serde_json::from_str(&round.stdout).expect("JSON");
            assert!(
                answer["not_counted"].is_array(),
                "{lost:?}: {}",
                round.stdout
            );
        }
    }
}
