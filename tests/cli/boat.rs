//! `boat`.

use serde_json::{Value, json};

use super::harness::{PROFILE, Place, TWINS, session};

#[test]
fn a_profile_is_set_up_shown_and_replaced() {
    let place = Place::empty();
    let file = place.file("boat.json", PROFILE);
    let changed = place.file("changed.json", &PROFILE.replace("inshore", "offshore"));
    let runs = [
        place.run(&["boat", "show"]),
        place.run(&["boat", "new", &file]),
        place.run(&["boat", "new", &file]),
        place.run(&["boat", "set", &changed]),
        place.run(&["boat", "show"]),
    ];
    insta::assert_snapshot!(session(&runs));
    let answer = place.json("boat", &["boat", "show"]);
    assert_eq!(answer["boat"]["waters"], "offshore");
    assert_eq!(answer["boat"]["machines"][0]["sump"], "7 L");
}

#[test]
fn a_profile_comes_by_the_standard_input_too() {
    let place = Place::empty();
    let run = place.run_with_input(&["boat", "new", "-"], TWINS);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    assert!(run.stdout.contains("Machine starboard: Starboard engine"));
}

#[test]
fn questions_are_asked_on_a_terminal_alone() {
    let run = Place::empty().run(&["boat", "new"]);
    insta::assert_snapshot!(run);
}

#[test]
fn every_fault_of_a_profile_is_named_with_its_place() {
    let place = Place::empty();
    let faulty = r#"{"type":"boat","name":" ","waters":"inshore","units":"metric","usual_hours_per_month":900,
 "day_ahead":{"hours":-1,"days":2},
 "machines":[{"id":"Main","name":"Main engine","sump":"1 L","between_marks":"2 L","without":["stuffing-bx","bilge-water"],
   "handbook":[{"item":"oil-pressure","unit":"mm","source":"p. 3"},{"item":"drive-belt","unit":"mm","from":1,"source":"p. 4"},
               {"item":"oil-pressure","unit":"bar","from":5,"to":2,"source":"p. 3"}]},
  {"id":"aux","name":""},{"id":"aux","name":"Generator","gearbox":"900 L"}]}"#;
    let unknown = PROFILE.replace("\"units\"", "\"colour\":\"grey\",\"units\"");
    let mistyped = PROFILE.replace("inshore", "inshor");
    let negative = PROFILE.replace("1200.0", "-3");
    let mut runs = Vec::new();
    for (name, text) in [
        ("faulty.json", faulty),
        ("unknown.json", &unknown),
        ("mistyped.json", &mistyped),
        ("negative.json", &negative),
        ("cut.json", &PROFILE[..100]),
        (
            "none.json",
            r#"{"type":"boat","name":"x","waters":"inshore","units":"us","usual_hours_per_month":1,"machines":[]}"#,
        ),
    ] {
        let run = place.run(&["boat", "new", &place.file(name, text)]);
        assert_eq!(run.code, Some(2), "{name}");
        runs.push(run);
    }
    assert!(!place.logbook().exists(), "nothing was written");
    insta::assert_snapshot!(session(&runs));
}

#[test]
fn a_meter_does_not_run_backwards_in_a_profile_but_an_old_figure_may_stay() {
    let place = Place::with_findings();
    let same = place.run(&["boat", "set", &place.file("same.json", PROFILE)]);
    assert_eq!(same.code, Some(0), "{}", same.stderr);
    let rate = place.json("explain", &["explain", "drive-belt"]);
    assert_eq!(rate["grade"], "worn");
    let lower = PROFILE.replace("1200.0", "1100.0");
    let lower = place.run(&["boat", "set", &place.file("lower.json", &lower)]);
    insta::assert_snapshot!(lower);
    let hours = place.run(&["walks"]);
    assert!(hours.stdout.contains("1203.6"));
}

#[test]
fn a_meter_typed_wrong_in_the_profile_is_put_right_and_leaves_every_sum() {
    let place = Place::with(&PROFILE.replace("1200.0", "12000.0"));
    let refused = place.run(&["boat", "put", "hours", "1200"]);
    assert_eq!(refused.code, Some(2), "{}", refused.stdout);
    assert!(
        refused.stderr.contains("12000.0 h by the profile of")
            && refused.stderr.contains("--typed-wrong"),
        "{}",
        refused.stderr
    );
    let file = place.file("right.json", PROFILE);
    let refused = place.run(&["boat", "set", &file]);
    assert!(
        refused.stderr.contains("--typed-wrong"),
        "{}",
        refused.stderr
    );
    let put = place.run(&["boat", "put", "hours", "1200", "--typed-wrong"]);
    assert_eq!(put.code, Some(0), "{}", put.stderr);
    // As if it had never been said, and the meter read for the first time now.
    let mut silent: Value = serde_json::from_str(PROFILE).expect("a profile");
    let machine = silent["machines"][0].as_object_mut().expect("a machine");
    machine.remove("hours");
    let right = Place::with(&silent.to_string());
    let put = right.run(&["boat", "put", "hours", "1200"]);
    assert_eq!(put.code, Some(0), "{}", put.stderr);
    let walk = json!({"type": "walk", "checklist": "daily", "machine": "main",
        "at": "2026-05-06T08:00:00+02:00", "hours": 1204.0, "looks": [
        {"item": "drive-belt", "phase": "cold", "grade": "worn"}]});
    let mut answers = Vec::new();
    for mut place in [place, right] {
        place.at("2026-05-07T09:00:00+02:00");
        place.record(&walk);
        let row = place.json("defects", &["defects"])["rows"][0].clone();
        answers.push((
            row["hours_left"].clone(),
            row["chance"].clone(),
            row["grade"].clone(),
        ));
    }
    assert_eq!(answers[0], answers[1]);
    assert_eq!(answers[0].2, "worn");
}

#[test]
fn a_machine_that_leaves_is_told() {
    let place = Place::with(TWINS);
    let run = place.run(&["boat", "set", &place.file("one.json", PROFILE)]);
    assert_eq!(run.code, Some(0));
    assert!(
        run.stderr.contains("'port' is no longer in the profile"),
        "{}",
        run.stderr
    );
}

#[test]
fn three_questions_make_a_boat() {
    let place = Place::empty();
    let typed = "\nGrey Plover\ndeep\nOffshore\nmany\n1243,6 h\n";
    let (code, shown) = place.run_on_terminal("xterm", &["boat", "new"], typed);
    assert_eq!(code, 0, "{shown}");
    for said in [
        "she needs a name",
        "'deep' is no kind of waters",
        "a number of hours",
    ] {
        assert!(shown.contains(said), "{shown}");
    }
    let boat = place.json("boat", &["boat", "show"])["boat"].clone();
    assert_eq!(
        (&boat["name"], &boat["waters"]),
        (&"Grey Plover".into(), &"offshore".into())
    );
    assert_eq!(boat["machines"][0]["hours"], 1243.6);
}

#[test]
fn one_thing_at_a_time_is_said_and_taken_back() {
    let place = Place::with_boat();
    let runs = [
        place.run(&["boat", "put", "length_m", "32 ft"]),
        place.run(&["boat", "put", "fuel_per_hour", "2,5"]),
        place.run(&["boat", "add", "tank", "Port tank"]),
        place.run(&["boat", "put", "capacity", "120", "--tank", "port-tank"]),
        place.run(&["boat", "put", "sump", "not known"]),
        place.run(&[
            "boat",
            "limit",
            "coolant-temperature",
            "70 to 90 C",
            "handbook, page 41",
        ]),
    ];
    for run in &runs {
        assert_eq!(run.code, Some(0), "{run}");
    }
    insta::assert_snapshot!(place.run(&["boat", "show"]));
    let boat = place.json("boat", &["boat", "show"]);
    assert_eq!(boat["boat"]["length_m"], 9.7536);
    assert_eq!(boat["boat"]["tanks"][0]["capacity"], "120 L");
    assert!(boat["boat"]["machines"][0].get("sump").is_none());
    let facts = boat["facts"].as_array().expect("facts");
    let sump = facts
        .iter()
        .find(|row| row["fact"] == "sump")
        .expect("the sump");
    assert_eq!((&sump["shown"], &sump["unit"]), (&Value::Null, &"L".into()));
    let out = place.run(&["boat", "limit", "coolant-temperature", "none"]);
    assert_eq!(out.code, Some(0), "{out}");
    let out = place.run(&["boat", "retire", "tank", "port-tank"]);
    assert_eq!(out.code, Some(0), "{out}");
    let boat = place.json("boat", &["boat", "show"]);
    assert!(boat["boat"].get("tanks").is_none());
    assert!(boat["boat"]["machines"][0].get("handbook").is_none());
}

#[test]
fn what_cannot_be_said_is_refused_and_nothing_is_written() {
    let place = Place::with(TWINS);
    let before = place.json("boat", &["boat", "show"])["boat"].clone();
    let mut runs = Vec::new();
    for args in [
        &["boat", "put", "sumpp", "7 L"][..],
        &["boat", "put", "sump", "7 L"],
        &["boat", "put", "sump", "900 L", "--machine", "port"],
        &["boat", "put", "name", "not known"],
        &["boat", "put", "capacity", "12", "--tank", "fuel"],
        &["boat", "add", "machine", "Port", "--id", "port"],
        &["boat", "add", "machine", "Port", "--id", "Not An Id"],
        &["boat", "retire", "machine", "generator"],
        &["boat", "lacks", "drive-bolt", "--machine", "port"],
        &[
            "boat",
            "limit",
            "shift-cable",
            "from 1 mm",
            "page 4",
            "--machine",
            "port",
        ],
        &[
            "boat",
            "limit",
            "oil-pressure",
            "2 to 4 bar",
            "--machine",
            "port",
        ],
    ] {
        let run = place.run(args);
        assert_eq!(run.code, Some(2), "{run}");
        runs.push(run);
    }
    insta::assert_snapshot!(session(&runs));
    assert_eq!(place.json("boat", &["boat", "show"])["boat"], before);
}

#[test]
fn items_machines_and_waters_ask_for_a_reason_where_a_stop_would_go_out_of_sight() {
    let place = Place::with_findings();
    let belt = ["find", "drive-belt", "failing"];
    let found = place.run(&belt);
    assert_eq!(found.code, Some(0), "{found}");
    let refused = place.run(&["boat", "lacks", "drive-belt"]);
    assert_eq!(refused.code, Some(2), "{refused}");
    assert!(refused.stderr.contains("--even-so"), "{refused}");
    let done = place.run(&[
        "boat",
        "lacks",
        "drive-belt",
        "--even-so",
        "it is driven by gears",
    ]);
    assert_eq!(done.code, Some(0), "{done}");
    let back = place.run(&["boat", "has", "drive-belt"]);
    assert_eq!(back.code, Some(0), "{back}");
    let refused = place.run(&["boat", "retire", "machine", "main"]);
    assert!(refused.stderr.contains("at least one machine"), "{refused}");
}
