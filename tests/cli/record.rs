//! `record`.

use serde_json::{Value, json};

use super::harness::{Place, TWINS, session};

const WALK: &str = r#"{"type":"walk","id":"w1","checklist":"daily","at":"2026-05-03T07:40:00+02:00","by":"R. Quay","hours":1203.6,
 "looks":[{"item":"raw-water-pump-seal","phase":"cold","grade":"early","note":"damp below the hole","leak":"i"},
          {"item":"engine-oil-level","grade":"early","reading":{"value":20,"unit":"%"},"added":"0.6 L"},
          {"item":"bilge-alarm","not_seen":"no access","close_by":"lift the aft board"}]}
"#;

#[test]
fn a_walk_recorded_twice_counts_once() {
    let place = Place::with_boat();
    let file = place.file("walk.json", WALK);
    let runs = [
        place.run(&["record", &file]),
        place.run(&["record", &file]),
        place.run(&["walks"]),
        place.run(&["logbook", "check"]),
    ];
    insta::assert_snapshot!(session(&runs));
}

#[test]
fn recording_again_is_harmless_even_when_the_boat_has_moved_on() {
    let mut place = Place::with_boat();
    let early = json!({"type":"walk","id":"a","checklist":"daily","at":"2026-05-03T07:40:00+02:00","hours":1203.0,
                       "looks":[{"item":"drive-belt","grade":"sound"}]});
    let worse = json!({"type":"walk","id":"b","checklist":"daily","at":"2026-05-05T07:40:00+02:00","hours":1206.0,
                       "looks":[{"item":"drive-belt","grade":"worn"}]});
    place.at("2026-05-05T09:00:00+02:00");
    place.record(&early);
    place.record(&worse);
    let again = place.json(
        "recorded",
        &[
            "record",
            &place.file("again.json", &format!("{early}\n{worse}\n")),
        ],
    );
    assert_eq!(again["records"], 0);
    assert_eq!(again["known"], 2);
}

#[test]
fn a_walk_of_the_past_is_asked_about_its_own_time() {
    let mut place = Place::with_boat();
    place.at("2026-05-05T09:00:00+02:00");
    place.record(
        &json!({"type":"walk","checklist":"daily","at":"2026-05-05T07:40:00+02:00","hours":1206.0,
                         "looks":[{"item":"drive-belt","grade":"worn"}]}),
    );
    // Better than what was seen two days later; nobody knew that then.
    place.record(
        &json!({"type":"walk","checklist":"daily","at":"2026-05-03T07:40:00+02:00","hours":1203.0,
                         "looks":[{"item":"drive-belt","grade":"early"}]}),
    );
    let list = place.json("defects", &["defects"]);
    assert_eq!(list["rows"][0]["grade"], "worn");
    assert_eq!(list["rows"][0]["opened"], "2026-05-03T07:40:00+02:00");
}

#[test]
fn a_batch_with_one_bad_record_records_nothing() {
    let place = Place::with_boat();
    let batch = format!(
        "{WALK}{}\n{}\n",
        json!({"type":"repair","item":"drive-belt","done":"new belt"}),
        json!({"type":"repair","item":"drive-blet","done":"new belt"})
    );
    let runs = [
        place.run_with_input(&["record", "-"], &batch),
        place.run(&["walks"]),
        place.run(&["logbook", "check"]),
    ];
    insta::assert_snapshot!(session(&runs));
}

#[test]
fn every_type_of_record_is_taken() {
    let place = Place::with_findings();
    let batch = [
        json!({"type":"deferral","item":"drive-belt","why":"spare aboard","until":"2026-06-01"}),
        json!({"type":"override","item":"drive-belt","severity":3,"level":"c","why":"twin belts"}),
        json!({"type":"recheck","item":"drive-belt","due_hours":1210,"why":"after the passage"}),
        json!({"type":"fitted","item":"raw-water-impeller","at":"2026-04-27T10:00:00+02:00","hours":1200.5}),
        json!({"type":"removed","item":"water-heater-hoses","why":"no heater any more"}),
        json!({"type":"plan","name":"delivery","hours":60,"days":5,"waters":"offshore"}),
        json!({"type":"withdrawal","item":"raw-water-pump-seal","why":"spray from the strainer"}),
        json!({"type":"repair","item":"drive-belt","hours":1204,"done":"new belt","by":"R. Quay"}),
        json!({"type":"meter","machine":"main","at":"2026-05-03T08:30:00+02:00","old":1204.0,"new":0}),
    ];
    let list = serde_json::to_string_pretty(&batch).expect("JSON");
    let answer = place.json("recorded", &["record", &place.file("all.json", &list)]);
    assert_eq!(answer["records"], 9);
    let list = place.json("defects", &["defects", "--all"]);
    let states: Vec<_> = list["rows"]
        .as_array()
        .expect("rows")
        .iter()
        .map(|r| (r["item"].as_str(), r["state"].as_str()))
        .collect();
    assert_eq!(
        states,
        [
            (Some("drive-belt"), Some("repaired")),
            (Some("raw-water-pump-seal"), Some("withdrawn"))
        ]
    );
}

#[test]
fn faults_are_named_with_line_column_and_field() {
    let place = Place::with_findings();
    let mut runs = Vec::new();
    for (name, text) in [
        ("syntax", "{\"type\":\"walk\",\n \"checklist\": }".to_owned()),
        ("no type", "{\"item\":\"drive-belt\"}".to_owned()),
        ("type", "{\"type\":\"repairs\",\"item\":\"drive-belt\",\"done\":\"x\"}".to_owned()),
        ("task", "{\"type\":\"service\",\"task\":\"oil\"}".to_owned()),
        ("unknown field", "{\"type\":\"repair\",\"item\":\"drive-belt\",\n\"done\":\"x\",\"colour\":\"red\"}".to_owned()),
        ("unknown look field", WALK.replace("\"grade\":\"early\",\"note\"", "\"gradee\":\"early\",\"note\"").replace("w1", "w9")),
        ("item", "{\"type\":\"repair\",\"item\":\"drive-blet\",\"done\":\"x\"}".to_owned()),
        ("checklist", WALK.replace("daily", "dayly").replace("w1", "w9")),
        ("grade", WALK.replace("\"early\",\"note\"", "\"earlyy\",\"note\"").replace("w1", "w9")),
        ("future", WALK.replace("2026-05-03T07", "2036-05-03T07").replace("w1", "w9")),
        ("hours back", WALK.replace("1203.6", "1190").replace("w1", "w9")),
        ("hours leap", WALK.replace("1203.6", "9999").replace("w1", "w9")),
        ("better", "{\"type\":\"walk\",\"checklist\":\"daily\",\"at\":\"2026-05-03T08:40:00+02:00\",\"looks\":[{\"item\":\"drive-belt\",\"grade\":\"sound\"}]}".to_owned()),
        ("reading", WALK.replace("\"value\":20", "\"value\":90").replace(",\"added\":\"0.6 L\"", "").replace("w1", "w9")),
        ("unit", WALK.replace("\"unit\":\"%\"", "\"unit\":\"bar\"").replace("w1", "w9")),
        ("infinite", WALK.replace("1203.6", "1e400").replace("w1", "w9")),
        ("both", WALK.replace("\"not_seen\"", "\"grade\":\"sound\",\"not_seen\"").replace("w1", "w9")),
        ("no defect", "{\"type\":\"deferral\",\"item\":\"engine-oil-level\",\"why\":\"x\",\"until\":\"2026-06-01\"}".to_owned()),
        ("twice", "{\"type\":\"repair\",\"id\":\"r\",\"item\":\"drive-belt\",\"done\":\"x\"}\n{\"type\":\"repair\",\"id\":\"r\",\"item\":\"drive-belt\",\"done\":\"y\"}".to_owned()),
        ("id", "{\"type\":\"repair\",\"id\":\"a b\",\"item\":\"drive-belt\",\"done\":\"x\"}".to_owned()),
        ("empty", "\n".to_owned()),
    ] {
        let file = place.file(&format!("{}.json", name.replace(' ', "-")), &text);
        let run = place.run(&["record", &file]);
        assert_eq!(run.code, Some(2), "{name}: {}", run.stdout);
        assert_eq!(run.stdout, "", "{name}");
        runs.push(run);
    }
    insta::assert_snapshot!(session(&runs));
    assert_eq!(
        place.json("walks", &["walks"])["rows"]
            .as_array()
            .map(Vec::len),
        Some(1)
    );
}

#[test]
fn a_boat_with_two_engines_wants_the_machine_named() {
    let place = Place::with(TWINS);
    let look = json!({"item":"drive-belt","grade":"worn"});
    let walk = |machine: Option<&str>| json!({"type":"walk","checklist":"daily","machine":machine,"at":"2026-05-03T06:40:00Z","looks":[look]});
    let runs = [
        place.run_with_input(&["record", "-"], &walk(None).to_string()),
        place.run_with_input(&["record", "-"], &walk(Some("prt")).to_string()),
    ];
    place.record(&walk(Some("port")));
    let more = [
        place.run(&["verdict"]),
        place.run(&["verdict", "--machine", "starbord"]),
        place.run(&["explain", "drive-belt"]),
        place.run(&["defects", "--machine", "starboard"]),
        place.run(&["defects"]),
        place.run(&["walk", "daily"]),
    ];
    let all: Vec<_> = runs.into_iter().chain(more).collect();
    insta::assert_snapshot!(session(&all));
    let verdict = place.json("verdict", &["verdict", "--machine", "port"]);
    assert_eq!(verdict["now"], "run-with-care");
}

#[test]
fn an_unfinished_walk_has_no_verdict() {
    let place = Place::with_boat();
    place.record(&json!({"type":"walk","id":"cut-short","checklist":"daily","at":"2026-05-03T07:40:00+02:00","finished":false,
                         "looks":[{"item":"drive-belt","grade":"failed"}]}));
    let verdict = place.json("verdict", &["verdict"]);
    assert_eq!(verdict["at_walk"], json!(null));
    assert_eq!(verdict["now"], json!(null));
    let walks = place.json("walks", &["walks"]);
    assert_eq!(walks["rows"][0]["finished"], false);
}

#[test]
fn a_sheet_with_a_leak_a_mark_and_a_top_up_is_taken_as_it_is() {
    let place = Place::with_boat();
    place.record(
        &json!({"type":"walk","checklist":"daily","machine":"main","at":"2026-05-03T07:40:00+02:00","by":"R. Quay","hours":1203.6,
        "looks":[{"item":"raw-water-pump-seal","phase":"cold","grade":"early","note":"damp below the hole","leak":"i",
                  "wear":[{"mark":"contamination","where":"under the body","against":null}]},
                 {"item":"engine-oil-level","grade":"early","reading":{"value":40,"unit":"%"},"added":"0.6 L"},
                 {"item":"bilge-alarm","not_seen":"no access","close_by":"lift the aft board"}]}),
    );
    let list = place.json("defects", &["defects"]);
    assert_eq!(list["rows"].as_array().map(Vec::len), Some(2));
}

/// Each look of a sheet is judged against what the looks before it in the sheet left.
#[test]
fn a_sheet_that_tells_a_thing_twice_is_judged_look_by_look() {
    let sheet = |id: &str, at: &str, looks: &[Value]| {
        json!({"type":"walk","id":id,"checklist":"daily","at":at,"looks":looks}).to_string()
    };
    let hoses = |grade: &str| json!({"item":"coolant-hoses","phase":"cold","grade":grade});
    let better = |grade: &str, why: &str| json!({"item":"coolant-hoses","phase":"just-stopped","grade":grade,"better":why});
    let known = ["sound", "worn", "failing"];
    let cases: [(&str, &[Value], &str, bool); 7] = [
        // As it was left the last time; the looks; the rung that counts; said to be the worse.
        (
            "sound",
            &[hoses("worn"), better("sound", "adjusted")],
            "sound",
            false,
        ),
        (
            "worn",
            &[hoses("worn"), better("sound", "repaired")],
            "sound",
            false,
        ),
        (
            "worn",
            &[better("sound", "cleaned"), hoses("sound")],
            "sound",
            false,
        ),
        (
            "failing",
            &[better("sound", "cleaned"), hoses("worn")],
            "worn",
            false,
        ),
        ("sound", &[hoses("worn"), hoses("sound")], "worn", true),
        (
            "worn",
            &[hoses("failing"), hoses("worn"), hoses("sound")],
            "failing",
            true,
        ),
        (
            "failing",
            &[
                hoses("failing"),
                better("early", "adjusted"),
                hoses("sound"),
            ],
            "early",
            true,
        ),
    ];
    for (before, looks, counts, said) in cases {
        assert!(known.contains(&before));
        let place = Place::with_boat();
        place.record(
            &serde_json::from_str(&sheet("w0", "2026-05-02T07:40:00+02:00", &[hoses(before)]))
                .expect("JSON"),
        );
        let text = sheet("w1", "2026-05-03T07:40:00+02:00", looks);
        let run = place.run_with_input(&["record", "-"], &text);
        assert_eq!(run.code, Some(0), "{before} {looks:?}: {}", run.stderr);
        assert_eq!(
            run.stderr.contains("the worse counts"),
            said,
            "{}",
            run.stderr
        );
        let report = place.run(&["report", "now", "--to", "now.json"]);
        assert_eq!(report.code, Some(0), "{}", report.stderr);
        let report = std::fs::read_to_string(place.path().join("now.json")).expect("written");
        let report: Value = serde_json::from_str(&report).expect("JSON");
        let looks = report["looks"].as_array().expect("looks");
        let mut counted = looks.iter().filter(|l| l["item"] == "coolant-hoses");
        assert_eq!(
            counted.next().expect("seen")["grade"],
            counts,
            "{before} {looks:?}"
        );
    }
}

#[test]
fn the_first_look_of_a_sheet_still_says_why_it_is_better() {
    let place = Place::with_boat();
    let hoses = |grade: &str| json!({"item":"coolant-hoses","grade":grade});
    place.record(&json!({"type":"walk","checklist":"daily","at":"2026-05-02T07:40:00+02:00","looks":[hoses("worn")]}));
    let text = json!({"type":"walk","checklist":"daily","at":"2026-05-03T07:40:00+02:00",
        "looks":[{"item":"coolant-hoses","not_seen":"too hot"}, hoses("early"), hoses("sound")]});
    let run = place.run_with_input(&["record", "-"], &text.to_string());
    assert_eq!(run.code, Some(2));
    assert!(run.stderr.contains("looks[1].better"), "{}", run.stderr);
    assert!(!run.stderr.contains("looks[2]"), "{}", run.stderr);
}

#[test]
fn a_level_dipped_twice_is_taken_and_the_lower_mark_counts_unless_something_was_added() {
    let dip = |value: u32, grade: &str| json!({"item":"engine-oil-level","phase":"cold","grade":grade,"reading":{"value":value,"unit":"%"}});
    let place = Place::with_boat();
    let sheet = |id: &str, looks: &[Value]| json!({"type":"walk","id":id,"checklist":"daily","at":"2026-05-03T07:40:00+02:00","looks":looks});
    let file = place.file(
        "twice.json",
        &sheet("twice", &[dip(10, "early"), dip(60, "sound")]).to_string(),
    );
    let answer = place.json("recorded", &["record", &file]);
    let notes = answer["notes"].as_array().expect("notes");
    assert_eq!(notes.len(), 1);
    let note = notes[0].as_str().expect("text");
    assert!(
        note.contains("twice.json line 1") && note.contains("looks[1].grade"),
        "{note}"
    );
    assert!(
        note.contains("engine-oil-level is sound after early in the same walk"),
        "{note}"
    );
    let place = Place::with_boat();
    let mut low = dip(10, "early");
    low["added"] = json!("0.6 L");
    let file = place.file(
        "filled.json",
        &sheet("filled", &[low, dip(60, "sound")]).to_string(),
    );
    let answer = place.json("recorded", &["record", &file]);
    assert!(answer["notes"].is_null(), "{answer}");
}

/// A leak run told as a sheet, on an evening, with a look for the next morning.
fn evening(id: &str, morning: &Value) -> Value {
    json!({"type":"walk","id":id,"checklist":"leak-run","at":"2026-05-03T18:00:00+02:00","hours":1203.6,
        "disturbed":["oil-filter-seat"],
        "looks":[{"item":"oil-filter-seat","phase":"idle","grade":"sound","at":"2026-05-03T18:20:00+02:00"}, morning]})
}

fn morning(at: &str) -> Value {
    json!({"item":"drip-tray","phase":"next-morning","grade":"sound","at":at})
}

#[test]
fn a_look_of_a_sheet_carries_its_own_time_within_its_walk() {
    let mut place = Place::with_boat();
    place.at("2026-05-04T08:00:00+02:00");
    let sheet = evening("w", &morning("2026-05-04T07:30:00+02:00"));
    let answer = place.json(
        "recorded",
        &["record", &place.file("w.json", &sheet.to_string())],
    );
    assert!(answer["notes"].is_null(), "{answer}");
    for (at, why) in [
        ("2026-05-03T17:59:00+02:00", "none before its walk began"),
        ("2026-05-03T18:10:00+02:00", "in the order made"),
        ("2026-05-06T09:00:00+02:00", "lies in the future"),
    ] {
        let text = evening("v", &morning(at)).to_string();
        let run = place.run_with_input(&["record", "-"], &text);
        assert_eq!(run.code, Some(2));
        assert!(
            run.stderr.contains("looks[1].at") && run.stderr.contains(why),
            "{}",
            run.stderr
        );
    }
}

#[test]
fn a_next_mornings_look_before_its_time_is_taken_and_does_not_count() {
    let owed = |place: &Place| {
        let reasons = place.json("verdict", &["verdict", "--walk", "w"])["reasons"].clone();
        let due = place.json("due", &["due"])["rows"].clone();
        let tray = |r: &Value| r["item"] == "drip-tray";
        let said = |r: &Value| {
            r["rule"]
                .to_string()
                .contains("next morning's look is owed")
        };
        let dated = |r: &Value| r["what"] == "recheck" && r["due_date"] == "2026-05-04";
        let any = |rows: &Value, of: &dyn Fn(&Value) -> bool| {
            let mut rows = rows.as_array().expect("rows").iter();
            rows.any(|r| tray(r) && of(r))
        };
        any(&reasons, &said) || any(&due, &dated)
    };
    // Six hours from the stop, which was at twenty past six (judgement).
    for (at, now, soon) in [
        (
            "2026-05-04T00:19:00+02:00",
            "2026-05-04T08:00:00+02:00",
            true,
        ),
        (
            "2026-05-04T00:20:00+02:00",
            "2026-05-04T08:00:00+02:00",
            false,
        ),
    ] {
        let mut place = Place::with_boat();
        place.at(now);
        let file = place.file("w.json", &evening("w", &morning(at)).to_string());
        let answer = place.json("recorded", &["record", &file]);
        let told = answer["notes"].to_string();
        assert_eq!(
            told.contains("does not count as the next morning's"),
            soon,
            "{answer}"
        );
        let run = place.run(&["record", &file]);
        assert_eq!(run.code, Some(0), "known and left as it is: {}", run.stderr);
        assert_eq!(owed(&place), soon, "{at}");
    }
    // She ran meanwhile, by the meter.
    let mut place = Place::with_boat();
    place.at("2026-05-04T09:00:00+02:00");
    place.record(
        &json!({"type":"walk","checklist":"daily","at":"2026-05-04T02:00:00+02:00","hours":1205.0,
        "looks":[{"item":"drive-belt","grade":"sound"}]}),
    );
    let file = place.file(
        "w.json",
        &evening("w", &morning("2026-05-04T08:00:00+02:00")).to_string(),
    );
    let answer = place.json("recorded", &["record", &file]);
    assert!(
        answer["notes"].to_string().contains("she ran meanwhile"),
        "{answer}"
    );
    assert!(owed(&place));
}
