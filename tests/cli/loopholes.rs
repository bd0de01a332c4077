//! Ways by which a recorded stop could slip out of an answer: times typed wrong, files put away,
//! texts of one's own, ids used twice. Each case is tried on the whole program.

use std::fs;

use serde_json::{Value, json};

use super::harness::{Place, TWINS, copy, full_walk, record_files};
use super::law::{belt, change, failing, is_blocked, stops, walk};

/// Why something is not counted, of one answer.
fn told(place: &Place, command: &str) -> String {
    place.json(command, &[command])["not_counted"].to_string()
}

#[test]
fn what_is_dated_ahead_lifts_no_stop_that_is_seen_after_it_was_written() {
    let mut place = Place::with_boat();
    walk(&mut place, "w1", "2026-05-03T08:00:00+02:00", 1203.0, &[]);
    // A sheet whose day was typed one too high, taken in on the day before.
    place.at("2026-05-04T08:00:00+02:00");
    let ahead = full_walk("ahead", "2026-05-05T18:00:00+02:00", 1204.0, &[]);
    place.record(&serde_json::from_str(&ahead).expect("JSON"));
    let failing = [belt("failing")];
    walk(
        &mut place,
        "w2",
        "2026-05-04T09:00:00+02:00",
        1204.0,
        &failing,
    );
    for now in ["2026-05-04T10:00:00+02:00", "2026-05-06T08:00:00+02:00"] {
        place.at(now);
        assert_eq!(stops(&place), ["drive-belt"], "{now}");
        assert_eq!(
            place.json("verdict", &["verdict"])["now"],
            "do-not-run",
            "{now}"
        );
    }
}

#[test]
fn a_repair_dated_ahead_lifts_no_stop_that_is_seen_after_it_was_written() {
    let mut place = failing();
    place.at("2026-05-04T09:00:00+02:00");
    place.record(
        &json!({"type":"repair","item":"drive-belt","machine":"main","done":"new belt",
        "at":"2026-05-05T20:00:00+02:00"}),
    );
    walk(
        &mut place,
        "w3",
        "2026-05-04T10:00:00+02:00",
        1204.0,
        &[belt("failing")],
    );
    place.at("2026-05-06T08:00:00+02:00");
    assert_eq!(stops(&place), ["drive-belt"]);
}

#[test]
fn the_oldest_files_put_away_are_missed() {
    let mut place = Place::with_boat();
    walk(
        &mut place,
        "w1",
        "2026-05-03T08:00:00+02:00",
        1203.0,
        &[belt("failing")],
    );
    let old = record_files(&place.logbook());
    // What is looked at again daily does not have the belt in it.
    place.at("2026-05-04T08:00:00+02:00");
    place.record(
        &json!({"type":"walk","id":"w2","checklist":"daily","at":"2026-05-04T08:00:00+02:00",
        "looks":[{"item":"raw-water-pump-seal","phase":"cold","grade":"sound"}]}),
    );
    assert_eq!(stops(&place), ["drive-belt"]);
    for file in old {
        fs::remove_file(file).expect("put away");
    }
    assert!(stops(&place).is_empty());
    assert!(is_blocked(&place));
    for command in ["verdict", "defects", "due", "coverage"] {
        assert!(
            told(&place, command).contains("is in no file here"),
            "{command}"
        );
    }
}

#[test]
fn an_item_of_the_machine_stays_one_when_it_is_replaced_by_ones_own() {
    let mut place = Place::with(TWINS);
    let failing = json!({"type":"walk","id":"w1","checklist":"daily","machine":"port","at":"2026-05-03T08:00:00+02:00",
        "looks":[belt("failing")]});
    place.at("2026-05-03T08:00:00+02:00");
    place.record(&failing);
    let catalogue = handlamp::checklist::Catalogue::built_in();
    let mut item =
        serde_json::to_value(catalogue.item("drive-belt").expect("built in")).expect("JSON");
    item["scope"] = json!("boat");
    let file = place.file(
        "own.json",
        &json!({"type":"catalogue","items":[item]}).to_string(),
    );
    let refused = place.run(&["checklist", "add", &file]);
    assert_eq!(refused.code, Some(2), "{}", refused.stdout);
    assert!(refused.stderr.contains("scope"), "{}", refused.stderr);
    // Sound on the other engine, whatever a file in the settings folder says.
    place.file(
        "home/.config/handlamp/checklists/own.json",
        &fs::read_to_string(&file).expect("text"),
    );
    place.at("2026-05-04T08:00:00+02:00");
    let sound = json!({"type":"walk","id":"w2","checklist":"daily","machine":"starboard","at":"2026-05-04T08:00:00+02:00",
        "looks":[belt("sound")]});
    let _ = place.run_with_input(&["record", "-"], &sound.to_string());
    let run = place.run(&["defects", "--json", "--machine", "port"]);
    let answer: Value = serde_json::from_str(&run.stdout).unwrap_or_default();
    let rows = answer["rows"].as_array().cloned().unwrap_or_default();
    // Refused, or the stop stands: never an answer without it.
    assert!(
        run.code == Some(2)
            || rows
                .iter()
                .any(|r| r["item"] == "drive-belt" && r["stop"] == true),
        "{}{}",
        run.stdout,
        run.stderr
    );
}

#[test]
fn a_sheet_of_an_earlier_day_does_not_settle_a_look_that_is_lost_after_it() {
    let mut place = failing();
    change(&place, &["drive-belt", "\"failing\""], |l| {
        l.replacen('{', "(", 1)
    });
    assert!(is_blocked(&place));
    place.at("2026-05-05T07:00:00+02:00");
    let earlier = full_walk("sheet", "2026-05-03T18:00:00+02:00", 1203.5, &[]);
    place.record(&serde_json::from_str(&earlier).expect("JSON"));
    assert!(is_blocked(&place));
    walk(&mut place, "w3", "2026-05-06T08:00:00+02:00", 1205.0, &[]);
    assert!(!is_blocked(&place));
}

#[test]
fn a_report_as_csv_coverage_and_tables_say_what_is_not_counted() {
    let place = failing();
    change(&place, &["drive-belt", "\"failing\""], |l| {
        l.replacen('{', "(", 1)
    });
    let file = place.path().join("now.csv");
    let run = place.run(&["report", "now", "--to", file.to_str().expect("UTF-8")]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let text = fs::read_to_string(&file).expect("text");
    let row = text.lines().find(|l| l.contains("NOT COUNTED"));
    assert!(row.is_some_and(|l| l.contains("drive-belt")), "{text}");
    assert_eq!(told(&place, "coverage"), told(&place, "verdict"));
    let folder = place.path().join("tables");
    let run = place.run(&["logbook", "export", folder.to_str().expect("UTF-8")]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let rows = fs::read_to_string(folder.join("not_counted.ndjson")).expect("text");
    assert!(rows.contains("drive-belt"), "{rows}");
}

#[test]
fn what_is_due_says_that_the_clock_is_behind_the_newest_record() {
    let mut place = failing();
    assert_eq!(place.run(&["due"]).stderr, "");
    place.at("2026-05-03T07:00:00+02:00");
    let run = place.run(&["due"]);
    assert!(run.stderr.contains("set the clock"), "{}", run.stderr);
}

#[test]
fn the_report_of_an_earlier_walk_says_what_its_verdict_of_today_does_not_count() {
    let place = failing();
    change(&place, &["drive-belt", "\"failing\""], |l| {
        l.replacen('{', "(", 1)
    });
    let file = place.path().join("w1.json");
    let run = place.run(&["report", "w1", "--to", file.to_str().expect("UTF-8")]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let report: Value =
        serde_json::from_str(&fs::read_to_string(&file).expect("text")).expect("JSON");
    assert_eq!(report["not_counted"][0]["item"], "drive-belt", "{report}");
    let once = report["not_counted"].as_array().map(Vec::len);
    assert_eq!(once, Some(1), "each is said once");
}

#[test]
fn two_walks_under_one_id_are_said_and_keep_a_verdict_from_clear() {
    let mut one = Place::with(TWINS);
    one.at("2026-05-03T08:00:00+02:00");
    let two = Place::empty();
    copy(&one.logbook(), &two.logbook());
    let walk = |machine: &str| {
        json!({"type":"walk","id":"w1","checklist":"daily","machine":machine,
            "at":"2026-05-03T08:00:00+02:00","looks":[belt("sound")]})
    };
    one.record(&walk("port"));
    let sheet = two.file("w1.json", &walk("starboard").to_string());
    let run = two.run_at("2026-05-03T08:01:00+02:00", &["record", &sheet]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let known = record_files(&one.logbook());
    for file in record_files(&two.logbook()) {
        let name = file.strip_prefix(two.path()).expect("within");
        let into = one.path().join(name);
        if !known.contains(&into) {
            fs::copy(&file, into).expect("copied");
        }
    }
    let run = one.run(&["defects", "--json", "--machine", "port"]);
    let answer: Value = serde_json::from_str(&run.stdout).expect("JSON");
    let told = answer["not_counted"].to_string();
    assert!(told.contains("they begin walks"), "{answer}");
    let run = one.run(&["verdict", "--json", "--machine", "port"]);
    let verdict: Value = serde_json::from_str(&run.stdout).expect("JSON");
    assert_ne!(verdict["now"], "clear-to-run", "{verdict}");
    let reasons = verdict["reasons"].to_string();
    assert!(reasons.contains("they begin walks"), "{verdict}");
}

/// A copy of the logbook as it is, for another computer.
fn other_device(of: &Place) -> Place {
    let other = Place::empty();
    copy(&of.logbook(), &other.logbook());
    let _ = fs::remove_file(other.logbook().join("device.json"));
    other
}

fn merge(into: &Place, from: &Place) {
    let from = from.logbook();
    let run = into.run(&["logbook", "merge", from.to_str().expect("UTF-8")]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
}

/// A belt worn on the 3rd and failing on the 4th; the other computer knows only of the 3rd.
fn worn_elsewhere() -> (Place, Place) {
    let mut here = Place::with_boat();
    let worn = [belt("worn")];
    walk(&mut here, "w1", "2026-05-03T08:00:00+02:00", 1203.0, &worn);
    let other = other_device(&here);
    let failing = [belt("failing")];
    walk(
        &mut here,
        "w2",
        "2026-05-04T08:00:00+02:00",
        1204.0,
        &failing,
    );
    here.at("2026-05-05T07:00:00+02:00");
    assert_eq!(stops(&here), ["drive-belt"]);
    (here, other)
}

#[test]
fn what_was_withdrawn_without_knowing_of_the_stop_lifts_none() {
    for act in ["withdrawal", "removed"] {
        let (mut here, mut other) = worn_elsewhere();
        other.at("2026-05-04T12:00:00+02:00");
        let mut document =
            json!({"type":act,"item":"drive-belt","machine":"main","why":"a shadow"});
        other.record(&document);
        assert!(stops(&other).is_empty());
        merge(&here, &other);
        assert_eq!(stops(&here), ["drive-belt"], "{act}");
        let verdict = here.json("verdict", &["verdict"]);
        assert_eq!(verdict["now"], "do-not-run", "{act}");
        let reasons = verdict["reasons"].to_string();
        assert!(reasons.contains("lifts no stop"), "{reasons}");
        // Nor is it taken in where the stop is known.
        document["at"] = json!("2026-05-05T06:00:00+02:00");
        let run = here.run_with_input(&["record", "-"], &document.to_string());
        assert_eq!(run.code, Some(2), "{act}");
        assert!(
            run.stderr.contains("lifts only when it is looked at"),
            "{run}"
        );
        // Looking at it again does.
        let sound = [json!({"item":"drive-belt","grade":"sound","better":"misjudged"})];
        walk(&mut here, "w3", "2026-05-05T08:00:00+02:00", 1205.0, &sound);
        assert!(stops(&here).is_empty(), "{act}");
    }
}

#[test]
fn a_repair_after_a_withdrawal_that_lifts_nothing_still_asks_for_a_look() {
    let (mut here, mut other) = worn_elsewhere();
    other.at("2026-05-04T12:00:00+02:00");
    other.record(
        &json!({"type":"withdrawal","item":"drive-belt","machine":"main","why":"a shadow"}),
    );
    merge(&here, &other);
    here.at("2026-05-05T08:00:00+02:00");
    here.record(&json!({"type":"repair","item":"drive-belt","machine":"main","done":"new belt"}));
    let verdict = here.json("verdict", &["verdict"]);
    assert_eq!(verdict["now"], "run-with-care", "{verdict}");
}

#[test]
fn a_machine_that_left_the_boat_has_no_verdict_now() {
    let mut place = Place::with(TWINS);
    place.at("2026-05-04T08:00:00+02:00");
    place.record(
        &json!({"type":"walk","id":"w1","checklist":"daily","machine":"port",
        "at":"2026-05-04T08:00:00+02:00","looks":[belt("worn")]}),
    );
    let row = |place: &Place| place.json("walks", &["walks"])["rows"][0].clone();
    let before = row(&place);
    assert!(before["not_seen"].as_u64() > Some(10), "{before}");
    place.at("2026-05-05T08:00:00+02:00");
    place.record(&json!({"type":"retired","machine":"port","at":"2026-05-05T08:00:00+02:00"}));
    let run = place.run(&["verdict", "--walk", "w1", "--json"]);
    let verdict: Value = serde_json::from_str(&run.stdout).expect("JSON");
    assert_eq!(verdict["now"], Value::Null, "{verdict}");
    assert_eq!(verdict["at_walk"], "run-with-care");
    assert_eq!(run.code, Some(1), "a machine that is gone is not to be run");
    let run = place.run(&["verdict", "--walk", "w1"]);
    assert!(run.stdout.contains("has this machine no more"), "{run}");
    let file = place.path().join("w1.md");
    let run = place.run(&["report", "w1", "--to", file.to_str().expect("UTF-8")]);
    assert_eq!(run.code, Some(0), "{run}");
    let text = fs::read_to_string(&file).expect("text");
    assert!(text.contains("none as of now"), "{text}");
    assert_eq!(row(&place), before, "what it left unseen is of then");
}

#[test]
fn a_walk_that_two_records_begin_on_two_machines_is_said() {
    let mut place = Place::with(TWINS);
    place.at("2026-05-03T08:00:00+02:00");
    place.record(
        &json!({"type":"walk","id":"w1","checklist":"daily","machine":"port",
        "at":"2026-05-03T08:00:00+02:00","looks":[belt("failing")]}),
    );
    let file = record_files(&place.logbook()).pop().expect("a file");
    let text = fs::read_to_string(&file).expect("text");
    let line = text
        .lines()
        .find(|l| l.contains(r#""ev":"walk","#))
        .expect("begun");
    let line = line
        .replace(r#""port""#, r#""starboard""#)
        .replacen("08:00:00", "07:00:00", 9);
    let other = line.replacen(r#""id":"w1""#, r#""id":"another-1-1""#, 1);
    assert_ne!(other, line);
    fs::write(file.with_file_name("another.jsonl"), with_checksum(&other)).expect("written");
    place.at("2026-05-05T08:00:00+02:00");
    for machine in ["port", "starboard"] {
        let run = place.run(&["verdict", "--json", "--machine", machine]);
        let verdict: Value = serde_json::from_str(&run.stdout).unwrap_or_default();
        assert_ne!(verdict["now"], "clear-to-run", "{machine}");
    }
    let told =
        place.json("defects", &["defects", "--machine", "starboard"])["not_counted"].to_string();
    assert!(told.contains("on two machines"), "{told}");
}

/// A line of the log as the program would have written it: its checksum is that of its bytes.
fn with_checksum(line: &str) -> String {
    let body = line.rsplit_once(r#","sum""#).expect("a checksum").0;
    format!(
        "{body},\"sum\":\"{:08x}\"}}\n",
        crc32fast::hash(body.as_bytes())
    )
}

#[test]
fn a_beginning_changed_in_a_copy_takes_no_sound_ones_place() {
    let mut here = Place::with(TWINS);
    here.at("2026-05-03T08:00:00+02:00");
    here.record(
        &json!({"type":"walk","id":"w1","checklist":"daily","machine":"port",
        "at":"2026-05-03T08:00:00+02:00","looks":[belt("failing")]}),
    );
    let other = other_device(&here);
    change(&other, &[r#""ev":"walk""#], |l| {
        l.replacen(r#""machine":"port""#, r#""machine":"starboard""#, 1)
    });
    for (into, from) in [(&here, &other), (&other, &here)] {
        let copy_of = other_device(into);
        let run = copy_of.run(&["logbook", "merge", from.logbook().to_str().expect("UTF-8")]);
        assert!(run.code.is_some(), "{}", run.stderr);
        let run = copy_of.run_at(
            "2026-05-05T08:00:00+02:00",
            &["verdict", "--json", "--machine", "port"],
        );
        let verdict: Value = serde_json::from_str(&run.stdout).expect("JSON");
        assert_eq!(verdict["now"], "do-not-run", "{verdict}");
    }
}

#[test]
fn a_sheet_of_an_earlier_day_settles_nothing_by_a_clock_set_back() {
    let mut place = failing();
    change(&place, &["drive-belt", "\"failing\""], |l| {
        l.replacen('{', "(", 1)
    });
    place.at("2020-01-01T08:00:00+01:00");
    let mut earlier: Value = serde_json::from_str(&full_walk(
        "sheet",
        "2020-01-01T07:00:00+01:00",
        1203.5,
        &[],
    ))
    .expect("JSON");
    earlier.as_object_mut().expect("an object").remove("hours");
    let run = place.run_with_input(&["record", "-"], &earlier.to_string());
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    place.at("2026-05-05T09:00:00+02:00");
    assert!(is_blocked(&place));
}

#[test]
fn as_last_time_said_without_knowing_of_a_stop_lifts_none() {
    let (here, mut other) = worn_elsewhere();
    let same = [json!({"item":"drive-belt","grade":"worn","as_last_time":true})];
    walk(
        &mut other,
        "w2b",
        "2026-05-04T12:00:00+02:00",
        1204.0,
        &same,
    );
    merge(&here, &other);
    assert_eq!(stops(&here), ["drive-belt"]);
    assert_eq!(here.json("verdict", &["verdict"])["now"], "do-not-run");
}

#[test]
fn a_taped_fuel_hose_and_a_sound_look_lift_no_stop() {
    let mut place = Place::with_boat();
    let hose = |grade: &str| json!({"item":"fuel-hoses","grade":grade});
    let failing = [hose("failing")];
    walk(
        &mut place,
        "w1",
        "2026-05-03T08:00:00+02:00",
        1203.0,
        &failing,
    );
    place.at("2026-05-03T10:00:00+02:00");
    place.record(
        &json!({"type":"repair","item":"fuel-hoses","machine":"main","done":"taped",
        "temporary":"next harbour"}),
    );
    assert_eq!(stops(&place), ["fuel-hoses"]);
    walk(&mut place, "w2", "2026-05-04T08:00:00+02:00", 1204.0, &[]);
    assert_eq!(stops(&place), ["fuel-hoses"]);
    // Nor is it mended by the word of a look.
    let mended = [json!({"item":"fuel-hoses","grade":"sound","better":"repaired"})];
    walk(
        &mut place,
        "w3",
        "2026-05-05T08:00:00+02:00",
        1205.0,
        &mended,
    );
    assert_eq!(stops(&place), ["fuel-hoses"]);
    let verdict = place.json("verdict", &["verdict"]);
    assert_eq!(verdict["now"], "do-not-run");
    let reasons = verdict["reasons"].to_string();
    assert!(reasons.contains("run only to reach help"), "{reasons}");
}
