//! `boat`.

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
