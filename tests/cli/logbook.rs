//! `logbook`.

use super::harness::{Place, TWINS, full_walk, record_files, session, without_counts};
use serde_json::Value;

#[test]
fn damage_is_told_and_nothing_is_changed() {
    let place = Place::with_findings();
    assert_eq!(place.run(&["logbook", "check"]).code, Some(0));
    let file = record_files(&place.logbook()).pop().expect("a file");
    let text = std::fs::read_to_string(&file).expect("read");
    let spoilt = text.replacen("\"worn\"", "\"sound\"", 1);
    assert_ne!(text, spoilt);
    std::fs::write(&file, &spoilt).expect("written");
    let run = place.run(&["logbook", "check"]);
    assert_eq!(run.code, Some(1));
    assert!(
        run.stdout.contains("changed outside the program"),
        "{}",
        run.stdout
    );
    let answer = place.json("logbook-check", &["logbook", "check"]);
    assert_eq!(answer["damaged"], true);
    assert_eq!(std::fs::read_to_string(&file).expect("read"), spoilt);
    let list = place.run(&["defects"]);
    assert!(
        list.stderr.contains("see: handlamp logbook check"),
        "{}",
        list.stderr
    );
    assert_eq!(list.code, Some(0));
}

#[test]
fn two_copies_become_one() {
    let place = Place::with_findings();
    let copy = place.path().join("copy");
    let copied = std::process::Command::new("cp")
        .arg("-r")
        .arg(place.logbook())
        .arg(&copy)
        .status();
    assert!(copied.expect("cp").success());
    let copy = copy.to_str().expect("UTF-8").to_owned();
    let sheet = full_walk(
        "w2",
        "2026-05-03T08:30:00+02:00",
        1204.0,
        &[
            serde_json::json!({"item":"drive-belt","grade":"worn"}),
            serde_json::json!({"item":"raw-water-pump-seal","grade":"early"}),
        ],
    );
    let on_copy = place.run(&["record", &place.file("w2.json", &sheet), "--logbook", &copy]);
    assert_eq!(on_copy.code, Some(0), "{}", on_copy.stderr);
    let here = place.run(&["repair", "drive-belt", "--done", "new belt"]);
    assert_eq!(here.code, Some(0));
    let merged = place.json("logbook-merge", &["logbook", "merge", &copy]);
    assert_eq!(merged["files"], 1);
    let again = place.json("logbook-merge", &["logbook", "merge", &copy]);
    assert_eq!((&again["files"], &again["records"]), (&0.into(), &0.into()));
    let walks = place.json("walks", &["walks"]);
    assert_eq!(walks["rows"].as_array().map(Vec::len), Some(2));
    assert_eq!(place.run(&["logbook", "check"]).code, Some(0));
}

#[test]
fn another_boat_or_no_logbook_is_not_merged() {
    let place = Place::with_boat();
    let other = Place::with(TWINS);
    let other = other.logbook();
    let own = place.logbook();
    let runs = [
        place.run(&["logbook", "merge", "nowhere"]),
        place.run(&["logbook", "merge", own.to_str().expect("UTF-8")]),
    ];
    insta::assert_snapshot!(session(&runs));
    let run = place.run(&["logbook", "merge", other.to_str().expect("UTF-8")]);
    assert_eq!(run.code, Some(2));
    assert!(run.stderr.contains("different boats"), "{}", run.stderr);
}

#[test]
fn tables_are_exported_with_every_column_documented() {
    let place = Place::with_findings();
    let run = place.run(&["repair", "drive-belt", "--done", "new belt"]);
    assert_eq!(run.code, Some(0));
    let answer = place.json("logbook-export", &["logbook", "export", "tables"]);
    let folder = place.path().join("tables");
    let readme = std::fs::read_to_string(folder.join("README.txt")).expect("a README");
    let mut rows = 0;
    for table in answer["rows"].as_array().expect("tables") {
        let file = table["file"].as_str().expect("a name");
        let text = std::fs::read_to_string(folder.join(file)).expect("a table");
        assert_eq!(table["rows"], text.lines().count());
        let about = readme
            .split(&format!("{file}: "))
            .nth(1)
            .expect("documented");
        let about = about.split("\n\n").next().expect("a part");
        for line in text.lines() {
            let row: Value = serde_json::from_str(line).expect("one object a line");
            for column in row.as_object().expect("an object").keys() {
                assert!(about.contains(&format!("  {column} ")), "{file}: {column}");
            }
            rows += 1;
        }
    }
    assert!(rows > 80, "{rows}");
    insta::assert_snapshot!(without_counts(&readme));
    assert_eq!(
        place.run(&["logbook", "export", "tables"]).code,
        Some(0),
        "an export is renewed"
    );
}

#[test]
fn logbooks_in_a_folder_are_listed_and_one_that_is_spoilt_is_told() {
    let place = Place::empty();
    place.file("fleet/plover/boat.json", super::harness::PROFILE);
    place.file("fleet/terns/boat.json", TWINS);
    place.file("fleet/wreck/boat.json", "{");
    place.file("fleet/notes/plan.txt", "none");
    insta::assert_snapshot!(session(&[
        place.run(&["logbook", "list", "fleet"]),
        place.run(&["logbook", "list", "fleet/notes"]),
        place.run(&["logbook", "list", "nowhere"]),
    ]));
    let answer = place.json("logbook-list", &["logbook", "list", "fleet"]);
    let names: Vec<_> = answer["rows"]
        .as_array()
        .expect("rows")
        .iter()
        .map(|r| &r["name"])
        .collect();
    assert_eq!(
        names,
        ["Grey Plover".into(), "Two Terns".into(), Value::Null]
            .iter()
            .collect::<Vec<&Value>>()
    );
}

#[test]
fn an_export_overwrites_nothing_else() {
    let place = Place::with_boat();
    place.file("mine/README.txt", "my notes");
    let inside = place.logbook().join("tables");
    let runs = [
        place.run(&["logbook", "export", "mine"]),
        place.run(&["logbook", "export", inside.to_str().expect("UTF-8")]),
        place.run(&["logbook", "export", "boat.json"]),
    ];
    insta::assert_snapshot!(session(&runs));
    let kept = std::fs::read_to_string(place.path().join("mine/README.txt")).expect("kept");
    assert_eq!(kept, "my notes");
}
