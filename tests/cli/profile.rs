//! The profile as its records give it: several devices, a file that is gone or another, machines and
//! stops that no change of it takes out of sight.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::harness::{PROFILE, Place, TWINS, copy, flat, full_walk, record_files};

/// The boat of [`PROFILE`] with a generator.
fn with_generator() -> String {
    PROFILE.replace(
        "}]}",
        r#"},{"id":"generator","name":"Generator","role":"generator"}]}"#,
    )
}

/// A copy of the logbook, under a name of its own.
fn copied(place: &Place, name: &str) -> String {
    let to = place.path().join(name);
    copy(&place.logbook(), &to);
    to.to_str().expect("UTF-8").to_owned()
}

/// Runs a command on another copy of the logbook; it has to be done.
fn on(place: &Place, logbook: &str, at: &str, args: &[&str]) {
    let run = place.run_at(at, &[args, &["--logbook", logbook]].concat());
    assert_eq!(run.code, Some(0), "{run}");
}

fn set(place: &Place, profile: &str) -> super::harness::Run {
    place.run(&["boat", "set", &place.file("set.json", profile)])
}

/// A finished morning check on a machine, of these looks alone.
fn walk(id: &str, machine: &str, at: &str, looks: &[Value]) -> Value {
    json!({"type":"walk","id":id,"checklist":"daily","machine":machine,"at":at,"looks":looks})
}

fn record(place: &Place, logbook: &str, at: &str, sheet: &Value) {
    let file = place.file("sheet.json", &sheet.to_string());
    on(place, logbook, at, &["record", &file]);
}

/// The logbook of another device, to which a generator was added whose belt then failed.
fn generator_fails(place: &Place) -> String {
    let other = copied(place, "other");
    let more = place.file("more.json", &with_generator());
    let set = ["boat", "set", &more];
    on(place, &other, "2026-05-03T10:00:00+02:00", &set);
    let stop = [json!({"item":"drive-belt","grade":"failing"})];
    let sheet = walk("g1", "generator", "2026-05-03T10:30:00+02:00", &stop);
    record(place, &other, "2026-05-03T10:40:00+02:00", &sheet);
    other
}

/// Items of the list that hold a stop, each with its machine.
fn stops(place: &Place) -> Vec<(String, Value)> {
    let list = place.json("defects", &["defects"]);
    let rows = list["rows"].as_array().expect("rows").iter();
    let stops = rows.filter(|row| row["stop"] == true);
    stops
        .map(|row| {
            let item = row["item"].as_str().expect("an item");
            (item.to_owned(), row["machine"].clone())
        })
        .collect()
}

/// The reasons in an answer why something is not counted.
fn not_counted(answer: &Value) -> Vec<String> {
    let all = answer["not_counted"].as_array().into_iter().flatten();
    all.map(|told| format!("{}: {}", told["item"], told["why"]))
        .collect()
}

/// The record file that holds a text.
fn file_with(logbook: &Path, text: &str) -> PathBuf {
    let holds = |path: &PathBuf| fs::read_to_string(path).expect("text").contains(text);
    record_files(logbook)
        .into_iter()
        .find(holds)
        .expect("such a file")
}

#[test]
fn two_devices_keep_what_each_changed_and_a_stop_on_the_machine_one_added() {
    let mut place = Place::with_findings();
    let other = generator_fails(&place);
    // Here, later and without knowing of it, the waters change.
    place.at("2026-05-03T11:00:00+02:00");
    assert_eq!(
        set(&place, &PROFILE.replace("inshore", "offshore")).code,
        Some(0)
    );
    let merged = place.json("logbook-merge", &["logbook", "merge", &other]);
    assert_eq!(merged["by_name"], false);
    assert!(stops(&place).contains(&("drive-belt".into(), json!("generator"))));
    let boat = place.json("boat", &["boat", "show"]);
    assert_eq!(boat["boat"]["waters"], "offshore");
    assert_eq!(boat["boat"]["machines"][1]["role"], "generator");
    // The file is that of the change made here, which lacks the machine.
    assert_eq!(boat["differs"][0]["field"], "machines.generator");
    let verdict = place.run(&["verdict", "--machine", "generator"]);
    assert_eq!(verdict.code, Some(1), "{verdict}");
    // The other way round the same comes of it.
    let own = place.logbook();
    on(
        &place,
        &other,
        "2026-05-03T11:00:00+02:00",
        &["logbook", "merge", own.to_str().expect("UTF-8")],
    );
    let there = place.run(&["boat", "show", "--json", "--logbook", &other]);
    let there: Value = serde_json::from_str(&there.stdout).expect("JSON");
    assert_eq!(there["boat"], boat["boat"]);
}

#[test]
fn a_machine_that_records_name_stands_though_no_profile_does() {
    let mut place = Place::with_findings();
    let other = generator_fails(&place);
    // The record that added the machine is lost on the way.
    fs::remove_file(file_with(Path::new(&other), r#""id":"generator""#)).expect("lost");
    place.at("2026-05-03T11:00:00+02:00");
    let run = place.run(&["logbook", "merge", &other]);
    assert_eq!(run.code, Some(0), "{run}");
    assert_eq!(
        stops(&place),
        [("drive-belt".to_owned(), json!("generator"))]
    );
    let verdict = place.run(&["verdict", "--machine", "generator"]);
    assert_eq!(verdict.code, Some(1), "{verdict}");
    assert!(
        verdict
            .stderr
            .contains("machine 'generator': records name it"),
        "{verdict}"
    );
    let report = place.run(&["report", "now", "--to", "boat.md"]);
    assert_eq!(report.code, Some(0), "{report}");
    let report = fs::read_to_string(place.path().join("boat.md")).expect("written");
    assert!(
        report.contains(r"generator \(not in the profile\)"),
        "{report}"
    );
    assert_eq!(
        place.json("boat", &["boat", "show"])["beside"],
        json!(["generator"])
    );
    // Named by the profile it stands as it is, and its looks with it.
    assert_eq!(set(&place, &with_generator()).code, Some(0));
    assert_eq!(place.json("boat", &["boat", "show"]).get("beside"), None);
    assert_eq!(stops(&place).len(), 1);
}

#[test]
fn the_records_hold_where_the_file_is_gone_spoilt_or_another() {
    let place = Place::with_boat();
    let file = place.logbook().join("boat.json");
    let whole = fs::read_to_string(&file).expect("there");
    assert_eq!(place.run(&["boat", "show"]).stderr, "", "they agree");
    let offshore = whole.replace("inshore", "offshore").replace("7 L", "9 L");
    let newer = whole.replacen('{', "{\"colour\":\"grey\",", 1);
    for (text, said) in [
        (None, "boat.json: it is missing; the records hold"),
        (Some("{"), "boat.json: it cannot be understood"),
        (
            Some(&*offshore),
            "differs from the records in machines.main.sump, waters; the records hold",
        ),
        (
            Some(&*newer),
            "fields not known here, which do not count: colour",
        ),
    ] {
        fs::remove_file(&file).expect("gone");
        text.into_iter()
            .for_each(|text| fs::write(&file, text).expect("written"));
        for args in [&["defects"][..], &["boat", "show"], &["logbook", "check"]] {
            let run = place.run(args);
            assert_eq!(run.code, Some(0), "{run}");
            assert!(flat(&run.to_string()).contains(said), "{run}");
        }
        let boat = place.json("boat", &["boat", "show"]);
        assert_eq!(boat["boat"]["waters"], "inshore");
        let left = fs::read_to_string(&file).ok();
        assert_eq!(left.as_deref(), text, "reading wrote it");
        fs::write(&file, text.unwrap_or(&whole)).expect("written");
    }
    // Only the difference is shown, and taken in on request.
    fs::write(&file, &offshore).expect("written");
    let shown = place.run(&["boat", "show"]).stdout;
    assert!(
        shown.contains(
            "Differs: waters: inshore in the records, set 2026-04-26, offshore in boat.json"
        ),
        "{shown}"
    );
    let path = file.to_str().expect("UTF-8");
    let taken = place.run(&["boat", "set", path]);
    assert_eq!(taken.code, Some(0), "{taken}");
    let boat = place.run(&["boat", "show"]);
    assert_eq!(boat.stderr, "");
    assert!(
        boat.stdout.contains("Waters: offshore") && !boat.stdout.contains("Differs"),
        "{boat}"
    );
}

#[test]
fn a_logbook_begins_once_though_its_file_is_gone() {
    let place = Place::with_boat();
    fs::remove_file(place.logbook().join("boat.json")).expect("gone");
    let again = place.run(&["boat", "new", &place.file("again.json", TWINS)]);
    assert_eq!(again.code, Some(2), "{again}");
    let listed = place.run(&["logbook", "list", "."]);
    assert!(listed.stdout.contains("Grey Plover"), "{listed}");
}

#[test]
fn a_logbook_without_a_record_of_its_profile_goes_by_the_file() {
    let place = Place::empty();
    place.file("logbook/boat.json", PROFILE);
    let shown = place.run(&["boat", "show"]);
    assert_eq!(
        (shown.code, shown.stderr.as_str()),
        (Some(0), ""),
        "{shown}"
    );
    assert_eq!(
        set(&place, &PROFILE.replace("inshore", "ocean")).code,
        Some(0)
    );
    fs::remove_file(place.logbook().join("boat.json")).expect("gone");
    assert!(
        place
            .run(&["boat", "show"])
            .stdout
            .contains("Waters: ocean")
    );
    // Records and nowhere a profile.
    fs::remove_file(file_with(&place.logbook(), "ocean")).expect("gone");
    fs::create_dir_all(place.logbook().join("log")).expect("there");
    assert_eq!(place.run(&["defects"]).code, Some(3));
}

#[test]
fn fields_of_a_later_version_in_a_record_of_the_profile_are_told_and_passed_over() {
    let place = Place::with_boat();
    let path = file_with(&place.logbook(), r#""ev":"boat""#);
    let text = fs::read_to_string(&path).expect("text");
    let lines = text.lines().map(|line| {
        if !line.contains(r#""ev":"boat""#) {
            return format!("{line}\n");
        }
        let line = line.replacen(r#""rec":{"#, r#""rec":{"hull":{"length":9},"#, 1);
        let body = line.split(r#","sum":"#).next().expect("a body");
        format!(
            "{body},\"sum\":\"{:08x}\"}}\n",
            crc32fast::hash(body.as_bytes())
        )
    });
    fs::write(&path, lines.collect::<String>()).expect("written");
    fs::remove_file(place.logbook().join("boat.json")).expect("gone");
    let check = place.run(&["logbook", "check"]);
    assert_eq!(check.code, Some(0), "{check}");
    assert!(
        check
            .stdout
            .contains("fields not known here, which do not count: hull"),
        "{check}"
    );
    assert!(place.run(&["boat", "show"]).stdout.contains("Grey Plover"));
}

#[test]
fn a_record_of_the_profile_that_was_changed_outside_does_not_count_and_is_said() {
    let place = Place::with_findings();
    assert_eq!(
        set(&place, &PROFILE.replace("inshore", "offshore")).code,
        Some(0)
    );
    let path = file_with(&place.logbook(), "offshore");
    let text = fs::read_to_string(&path).expect("text");
    fs::write(&path, text.replace("offshore", "sheltered")).expect("written");
    let boat = place.json("boat", &["boat", "show"]);
    assert_eq!(
        boat["boat"]["waters"], "inshore",
        "the last that can be believed"
    );
    let list = place.json("defects", &["defects"]);
    let told = not_counted(&list);
    assert!(
        told.len() == 1 && told[0].contains("was changed outside the program"),
        "{told:?}"
    );
    assert!(
        list["not_counted"][0]["file"]
            .as_str()
            .is_some_and(|f| f.starts_with("log/"))
    );
}

/// A boat whose morning check found everything sound but what is given.
fn checked(looks: &[Value]) -> Place {
    let place = Place::with_boat().of_known_age(&["main"]);
    let sheet = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, looks);
    place.record(&serde_json::from_str(&sheet).expect("JSON"));
    place
}

#[test]
fn waters_are_not_lowered_over_a_stop_without_a_reason() {
    let place = checked(&[json!({"item":"anti-siphon-valve","phase":"cold","grade":"failing"})]);
    assert_eq!(stops(&place).len(), 1);
    let lower = PROFILE.replace("inshore", "sheltered");
    let refused = set(&place, &lower);
    assert_eq!(refused.code, Some(2));
    assert!(
        refused
            .stderr
            .contains("anti-siphon-valve of 'main' holds a stop")
            && refused.stderr.contains("--even-so"),
        "{refused}"
    );
    assert_eq!(
        place.json("boat", &["boat", "show"])["boat"]["waters"],
        "inshore"
    );
    let file = place.file("lower.json", &lower);
    assert_eq!(
        place.run(&["boat", "set", &file, "--even-so", " "]).code,
        Some(2)
    );
    let done = place.run(&["boat", "set", &file, "--even-so", "laid up on the canal"]);
    assert_eq!(done.code, Some(0), "{done}");
    for (schema, args) in [("defects", &["defects"][..]), ("verdict", &["verdict"])] {
        let told = not_counted(&place.json(schema, args));
        assert!(
            told.len() == 1
                && told[0].contains("set aside by hand")
                && told[0].contains("laid up on the canal"),
            "{told:?}"
        );
    }
    assert!(
        place
            .run(&["defects"])
            .stdout
            .contains("laid up on the canal")
    );
    // Higher waters bring it back, and a look that finds it sound ends it.
    assert_eq!(set(&place, PROFILE).code, Some(0));
    assert_eq!(stops(&place).len(), 1);
}

#[test]
fn a_stop_found_while_another_device_lowers_the_waters_keeps_the_verdict_from_clear() {
    let mut place = checked(&[]);
    assert_eq!(place.json("verdict", &["verdict"])["now"], "clear-to-run");
    let other = copied(&place, "other");
    let found = [json!({"item":"anti-siphon-valve","grade":"failing"})];
    let sheet = walk("w2", "main", "2026-05-03T10:00:00+02:00", &found);
    record(&place, &other, "2026-05-03T10:10:00+02:00", &sheet);
    place.at("2026-05-03T11:00:00+02:00");
    assert_eq!(
        set(&place, &PROFILE.replace("inshore", "sheltered")).code,
        Some(0)
    );
    assert_eq!(place.run(&["logbook", "merge", &other]).code, Some(0));
    let verdict = place.json("verdict", &["verdict", "--walk", "w1"]);
    assert_ne!(verdict["now"], "clear-to-run");
    let told = not_counted(&verdict);
    assert!(
        told.len() == 1 && told[0].contains("it was a stop where she was"),
        "{told:?}"
    );
    // The reason can be given afterwards.
    let file = place.file("same.json", &PROFILE.replace("inshore", "sheltered"));
    let done = place.run(&["boat", "set", &file, "--even-so", "the valve is shut off"]);
    assert_eq!(done.code, Some(0), "{done}");
    let told = not_counted(&place.json("verdict", &["verdict"]));
    assert!(
        told.len() == 1 && told[0].contains("the valve is shut off"),
        "{told:?}"
    );
}

/// What is left of the record after a drive belt that forbids running is left out of the profile.
fn without_belt() -> String {
    PROFILE.replace(r#"["stuffing-box"]"#, r#"["stuffing-box","drive-belt"]"#)
}

#[test]
fn an_item_with_a_stop_is_not_left_out_without_a_reason() {
    let place = checked(&[json!({"item":"drive-belt","phase":"cold","grade":"failing"})]);
    let refused = set(&place, &without_belt());
    assert_eq!(refused.code, Some(2));
    assert!(
        refused.stderr.contains("says that 'main' is without it"),
        "{refused}"
    );
    let file = place.file("without.json", &without_belt());
    let done = place.run(&["boat", "set", &file, "--even-so", "it was never there"]);
    assert_eq!(done.code, Some(0), "{done}");
    assert_eq!(stops(&place), []);
    let verdict = place.json("verdict", &["verdict"]);
    assert_eq!(verdict["now"], "clear-to-run");
    assert!(
        not_counted(&verdict)[0].contains("it was never there"),
        "{verdict}"
    );
}

#[test]
fn a_stop_found_while_another_device_leaves_the_item_out_stays_until_it_is_looked_at() {
    let mut place = checked(&[]);
    let other = copied(&place, "other");
    let found = [json!({"item":"drive-belt","grade":"failing"})];
    let sheet = walk("w2", "main", "2026-05-03T10:00:00+02:00", &found);
    record(&place, &other, "2026-05-03T10:10:00+02:00", &sheet);
    place.at("2026-05-03T11:00:00+02:00");
    assert_eq!(set(&place, &without_belt()).code, Some(0));
    assert_eq!(place.run(&["logbook", "merge", &other]).code, Some(0));
    assert_eq!(stops(&place).len(), 1);
    assert_eq!(place.run(&["verdict"]).code, Some(1));
    // Another change of the profile does not ask again for what it does not change.
    let other = without_belt().replace("Grey Plover", "Kittiwake");
    assert_eq!(set(&place, &other).code, Some(0));
    assert_eq!(stops(&place).len(), 1);
    let sound = [json!({"item":"drive-belt","grade":"sound","better":"misjudged"})];
    let sheet = walk("w3", "main", "2026-05-03T11:10:00+02:00", &sound);
    place.at("2026-05-03T11:20:00+02:00");
    place.record(&sheet);
    assert_eq!(stops(&place), []);
    let explained = place.run(&["explain", "drive-belt"]);
    assert_eq!(
        explained.code,
        Some(2),
        "looked at, it is left out: {explained}"
    );
}

#[test]
fn a_machine_with_a_stop_leaves_or_is_renamed_only_with_a_reason() {
    let place = Place::with(TWINS);
    let stop = [json!({"item":"drive-belt","grade":"failing"})];
    let sheet = walk("p1", "port", "2026-05-03T08:00:00+02:00", &stop);
    place.record(&sheet);
    let renamed = TWINS.replace(r#""port","#, r#""larboard","#);
    let refused = set(&place, &renamed);
    assert_eq!(refused.code, Some(2));
    assert!(
        refused.stderr.contains("drive-belt of 'port'")
            && refused.stderr.contains("no machine 'port'"),
        "{refused}"
    );
    assert_eq!(stops(&place).len(), 1);
    let silent = place.run_with_input(&["record", "-"], r#"{"type":"retired","machine":"port"}"#);
    assert_eq!(silent.code, Some(2));
    assert!(silent.stderr.contains("say why"), "{silent}");
    let file = place.file("renamed.json", &renamed);
    let done = place.run(&["boat", "set", &file, "--even-so", "a new engine"]);
    assert_eq!(done.code, Some(0), "{done}");
    assert!(
        done.stderr.contains("'port' is no longer in the profile"),
        "{done}"
    );
    let list = place.json("defects", &["defects"]);
    assert!(
        not_counted(&list)[0].contains("'port' left the boat"),
        "{list}"
    );
    assert!(not_counted(&list)[0].contains("a new engine"), "{list}");
    assert_eq!(place.json("boat", &["boat", "show"]).get("beside"), None);
}

#[test]
fn a_machine_retired_here_with_a_stop_found_there_stands() {
    let mut place = Place::with(TWINS);
    let other = copied(&place, "other");
    let stop = [json!({"item":"drive-belt","grade":"failing"})];
    let sheet = walk("p1", "port", "2026-05-03T08:00:00+02:00", &stop);
    record(&place, &other, "2026-05-03T08:10:00+02:00", &sheet);
    place.at("2026-05-03T09:00:00+02:00");
    let sold = r#"{"type":"retired","machine":"port","why":"sold"}"#;
    let run = place.run_with_input(&["record", "-"], sold);
    assert_eq!(run.code, Some(0), "{run}");
    let boat = place.run(&["boat", "show"]);
    assert!(
        !boat.stdout.contains("port:") && boat.stderr.is_empty(),
        "{boat}"
    );
    assert_eq!(place.run(&["logbook", "merge", &other]).code, Some(0));
    assert_eq!(stops(&place), [("drive-belt".to_owned(), json!("port"))]);
    let verdict = place.run(&["verdict", "--machine", "port"]);
    assert_eq!(verdict.code, Some(1), "{verdict}");
    assert!(
        verdict
            .stderr
            .contains("machine 'port': it is retired, with an open stop"),
        "{verdict}"
    );
}

#[test]
fn the_last_machine_and_one_nobody_knows_do_not_leave() {
    let place = Place::with_boat();
    for (left, said) in [
        (r#""machine":"main""#, "her only machine"),
        (r#""machine":"port""#, "has no machine 'port'"),
        (r#""item":"drive-belt""#, "told as removed"),
        (r#""why":"x""#, "say which machine left"),
        (
            r#""machine":"main","engine":1"#,
            "there is no field 'engine' here",
        ),
    ] {
        let document = format!(r#"{{"type":"retired",{left}}}"#);
        let run = place.run_with_input(&["record", "-"], &document);
        assert!(run.code == Some(2) && run.stderr.contains(said), "{run}");
    }
}

#[test]
fn copies_are_told_apart_by_what_set_them_up_and_not_by_name() {
    let place = Place::with_findings();
    let renamed = copied(&place, "renamed");
    let file = place.file("renamed.json", &PROFILE.replace("Grey Plover", "Kittiwake"));
    on(
        &place,
        &renamed,
        "2026-05-03T10:00:00+02:00",
        &["boat", "set", &file],
    );
    let run = place.run(&["logbook", "merge", &renamed]);
    assert_eq!((run.code, run.stderr.as_str()), (Some(0), ""), "{run}");
    let namesake = Place::empty();
    let file = namesake.file("same.json", &PROFILE.replace("1200.0", "300.0"));
    assert_eq!(namesake.run(&["boat", "new", &file]).code, Some(0));
    let other = namesake.logbook();
    let run = place.run(&["logbook", "merge", other.to_str().expect("UTF-8")]);
    assert!(
        run.code == Some(2) && run.stderr.contains("different boats"),
        "{run}"
    );
    // With no record of its profile only the name is left to tell.
    for (name, code) in [("Grey Plover", 0), ("Two Terns", 2)] {
        let old = place.path().join("old");
        fs::create_dir_all(old.join("log")).expect("made");
        fs::write(old.join("boat.json"), PROFILE.replace("Grey Plover", name)).expect("written");
        let run = place.run(&["logbook", "merge", "old"]);
        assert_eq!(run.code, Some(code), "{run}");
        assert!(
            code == 2 || run.stderr.contains("nothing but her name"),
            "{run}"
        );
    }
}

#[test]
fn two_devices_with_the_file_of_one_lose_nothing() {
    let mut place = Place::with_boat();
    // A folder copied whole, the random name of the device with it.
    let other = copied(&place, "other");
    let device = |root: &Path| fs::read(root.join("device.json")).expect("a device");
    assert_eq!(device(&place.logbook()), device(Path::new(&other)));
    let own = place.logbook();
    let own = own.to_str().expect("UTF-8").to_owned();
    for n in 0..6 {
        // At the same moment on both: with ids fixed by the time, and with those of chance.
        let at = format!("2026-05-03T08:0{n}:00+02:00");
        for logbook in [&own, &other] {
            let item = if *logbook == own {
                "drive-belt"
            } else {
                "engine-oil-level"
            };
            let looks = [json!({"item": item, "grade": "early"})];
            let mut sheet = walk("x", "main", &at, &looks);
            sheet.as_object_mut().expect("an object").remove("id");
            let file = place.file("sheet.json", &sheet.to_string());
            if n % 2 == 0 {
                on(&place, logbook, &at, &["record", &file]);
            } else {
                let mut command = place.command();
                command.args(["record", &file, "--logbook", logbook]);
                assert!(command.status().expect("it runs").success());
            }
        }
    }
    place.at("2027-01-01T00:00:00Z");
    assert_eq!(place.run(&["logbook", "merge", &other]).code, Some(0));
    on(
        &place,
        &other,
        "2027-01-01T00:00:00Z",
        &["logbook", "merge", &own],
    );
    for logbook in [&own, &other] {
        let check = place.run(&["logbook", "check", "--logbook", logbook]);
        assert_eq!(check.code, Some(0), "{check}");
        let walks = place.run(&["walks", "--json", "--logbook", logbook]);
        let walks: Value = serde_json::from_str(&walks.stdout).expect("JSON");
        assert_eq!(walks["rows"].as_array().map(Vec::len), Some(12));
    }
}

#[test]
fn a_stop_on_one_machine_and_the_verdict_of_the_other() {
    let place = Place::with(TWINS).of_known_age(&["port", "starboard"]);
    let sound = |id: &str, machine: &str, looks: &[Value]| {
        let sheet = full_walk(id, "2026-05-03T08:00:00+02:00", 10.0, looks);
        let mut sheet: Value = serde_json::from_str(&sheet).expect("JSON");
        sheet["machine"] = json!(machine);
        sheet["looks"]
            .as_array_mut()
            .expect("looks")
            .push(json!({"item":"stuffing-box","grade":"sound"}));
        place.record(&sheet);
    };
    sound("p1", "port", &[]);
    let of_port = || place.json("verdict", &["verdict", "--machine", "port"])["now"].clone();
    assert_eq!(of_port(), "clear-to-run");
    // What only the other engine has stops that one; the list names it with its machine.
    sound(
        "s1",
        "starboard",
        &[json!({"item":"drive-belt","phase":"cold","grade":"failing"})],
    );
    assert_eq!(of_port(), "clear-to-run");
    assert_eq!(
        stops(&place),
        [("drive-belt".to_owned(), json!("starboard"))]
    );
    // What the boat has once stops both, whoever's walk found it.
    let found = [json!({"item":BOAT_ITEM,"grade":"failing"})];
    let sheet = walk("s2", "starboard", "2026-05-03T08:30:00+02:00", &found);
    place.record(&sheet);
    assert_eq!(of_port(), "do-not-run");
    assert!(stops(&place).contains(&(BOAT_ITEM.to_owned(), Value::Null)));
}

/// An item the boat has once, at which failing stops.
const BOAT_ITEM: &str = "engine-space-smell";
