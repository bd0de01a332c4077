//! A folder that lacks records this computer had seen: an older copy brought back, the newest file
//! deleted, lines cut from its end. Said in every answer until somebody goes on with it.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::harness::{Place, flat, full_walk, record_files};

const MISSING: &str = "that are not here: this may be an older copy";

/// The record files, the one written last at the end.
fn files(logbook: &Path) -> Vec<PathBuf> {
    let mut files = record_files(logbook);
    files.sort_by_key(|file| {
        fs::metadata(file)
            .and_then(|m| m.modified())
            .expect("a time")
    });
    files
}

/// A boat found sound on Friday whose belt was failing on Saturday; the file of Saturday.
fn belt_failed() -> (Place, PathBuf) {
    let place = Place::with_boat().of_known_age(&["main"]);
    let friday = full_walk("w1", "2026-05-01T07:40:00+02:00", 1203.6, &[]);
    let run = place.run_at(
        "2026-05-01T08:00:00+02:00",
        &["record", &place.file("w1.json", &friday)],
    );
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    assert!(place.run(&["verdict"]).stdout.contains("clear to run"));
    let belt = json!({"item":"drive-belt","grade":"failing"});
    let saturday = full_walk("w2", "2026-05-02T07:40:00+02:00", 1204.6, &[belt]);
    let before = files(&place.logbook());
    let run = place.run_at(
        "2026-05-02T08:00:00+02:00",
        &["record", &place.file("w2.json", &saturday)],
    );
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let new = files(&place.logbook())
        .into_iter()
        .find(|file| !before.contains(file));
    assert_eq!(place.run(&["verdict"]).code, Some(1));
    (place, new.expect("a new file"))
}

fn is_told(body: &Value) -> bool {
    let told = body["not_counted"].as_array().cloned().unwrap_or_default();
    told.iter().any(|one| {
        one["why"]
            .as_str()
            .is_some_and(|why| why.contains("2026-05-02 08:00"))
    })
}

/// Every answer says that something is missing; none is clear.
fn told_everywhere(place: &Place) {
    let verdict = place.run(&["verdict", "--walk", "w1"]);
    assert!(
        flat(&verdict.stdout).contains(MISSING),
        "{}",
        verdict.stdout
    );
    assert!(
        !verdict.stdout.contains("clear to run"),
        "{}",
        verdict.stdout
    );
    let verdict = place.json("verdict", &["verdict", "--walk", "w1"]);
    assert!(is_told(&verdict), "{verdict}");
    assert_ne!(verdict["now"], "clear-to-run");
    assert_ne!(verdict["at_walk"], "clear-to-run");
    let defects = place.run(&["defects"]);
    assert!(
        flat(&defects.stdout).contains(MISSING),
        "{}",
        defects.stdout
    );
    assert!(is_told(&place.json("defects", &["defects"])));
    for of in ["w1", "now"] {
        for (name, form) in [
            ("page.html", MISSING),
            ("page.md", "are not here\\: this may be an older copy"),
        ] {
            let to = place.path().join(name);
            let run = place.run(&["report", of, "--to", to.to_str().expect("UTF-8")]);
            assert_eq!(run.code, Some(0), "{}", run.stderr);
            let page = fs::read_to_string(&to).expect("written");
            assert!(page.contains(form), "{of} {name}: {page}");
            assert!(!page.contains("clear to run"), "{of} {name}");
        }
        let to = place.path().join("page.json");
        let run = place.run(&["report", of, "--to", to.to_str().expect("UTF-8")]);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
        let page = fs::read_to_string(&to).expect("written");
        assert!(
            is_told(&serde_json::from_str(&page).expect("JSON")),
            "{page}"
        );
    }
    let check = place.run(&["logbook", "check"]);
    assert_eq!(check.code, Some(1), "{}", check.stdout);
    assert!(flat(&check.stdout).contains(MISSING), "{}", check.stdout);
    assert!(!check.stdout.contains("No record"), "{}", check.stdout);
    assert!(
        flat(&check.stdout).contains("check --go-on --why"),
        "{}",
        check.stdout
    );
}

fn cut(file: &Path, lines: usize) {
    let text = fs::read_to_string(file).expect("read");
    let keep = text.lines().count() - lines;
    let kept: String = text.lines().take(keep).map(|l| format!("{l}\n")).collect();
    fs::write(file, kept).expect("written");
}

#[test]
fn a_newest_file_that_is_gone_is_told_and_lifted_by_the_same_records() {
    let (place, newest) = belt_failed();
    let kept = fs::read(&newest).expect("read");
    fs::remove_file(&newest).expect("removed");
    told_everywhere(&place);
    // Reading says it again and again, and recording something else forgets nothing.
    let run = place.run(&["repair", "drive-belt", "--done", "new belt"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    told_everywhere(&place);
    // A merge, or the file put back under any name, lifts it.
    let elsewhere = newest.with_file_name("20260502-copy.jsonl");
    fs::write(elsewhere, kept).expect("written");
    assert_eq!(place.run(&["logbook", "check"]).code, Some(0));
    assert!(!place.run(&["defects"]).stdout.contains("NOT COUNTED"));
}

#[test]
fn forty_lines_cut_from_the_end_are_told_and_so_is_an_older_copy() {
    let (place, newest) = belt_failed();
    cut(&newest, 40);
    told_everywhere(&place);

    let (place, _) = belt_failed();
    let older = place.path().join("older");
    fs::create_dir_all(older.join("log/2026")).expect("a folder");
    let mut all = files(&place.logbook());
    all.pop();
    for file in &all {
        let name = file.file_name().expect("a name");
        fs::copy(file, older.join("log/2026").join(name)).expect("copied");
    }
    fs::copy(place.logbook().join("boat.json"), older.join("boat.json")).expect("copied");
    fs::remove_dir_all(place.logbook()).expect("removed");
    fs::rename(&older, place.logbook()).expect("moved");
    told_everywhere(&place);
}

#[test]
fn going_on_needs_a_reason_is_recorded_and_stays_named() {
    let (place, newest) = belt_failed();
    let run = place.run(&["logbook", "check", "--go-on", "--why", "as a test"]);
    assert!(
        flat(&run.stdout).contains("nothing to go on without"),
        "{}",
        run.stdout
    );
    fs::remove_file(&newest).expect("removed");
    assert_eq!(place.run(&["logbook", "check", "--go-on"]).code, Some(2));
    assert_eq!(
        place
            .run(&["logbook", "check", "--go-on", "--why", " "])
            .code,
        Some(2)
    );
    told_everywhere(&place);
    let run = place.run(&[
        "logbook",
        "check",
        "--go-on",
        "--why",
        "the old computer drowned",
    ]);
    assert_eq!(run.code, Some(0), "{}{}", run.stdout, run.stderr);
    for _ in 0..2 {
        let verdict = place.run(&["verdict", "--walk", "w1"]);
        assert!(
            verdict.stdout.contains("clear to run"),
            "{}",
            verdict.stdout
        );
        assert!(
            verdict.stdout.replace("\n", " ").contains("drowned"),
            "{}",
            verdict.stdout
        );
        let check = place.run(&["logbook", "check"]);
        assert_eq!(check.code, Some(0), "{}", check.stdout);
        assert!(
            check.stdout.replace("\n", " ").contains("drowned"),
            "{}",
            check.stdout
        );
        // From here on what comes last is minded anew.
        let run = place.run(&["repair", "drive-belt", "--done", "new belt"]);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
    }
    let last = files(&place.logbook()).pop().expect("a file");
    fs::remove_file(last).expect("removed");
    let verdict = place.run(&["verdict", "--walk", "w1"]);
    assert!(
        !verdict.stdout.contains("clear to run"),
        "{}",
        verdict.stdout
    );
}

#[test]
fn a_mark_is_private_outside_the_folder_and_nothing_where_it_cannot_be_kept() {
    let (place, newest) = belt_failed();
    let marks = place.path().join("home/.local/state/handlamp/seen");
    let kept: Vec<_> = fs::read_dir(&marks)
        .expect("kept")
        .map(|f| f.expect("read").path())
        .collect();
    assert_eq!(kept.len(), 1);
    use std::os::unix::fs::PermissionsExt;
    let mode = |path: &Path| fs::metadata(path).expect("there").permissions().mode() & 0o777;
    assert_eq!(mode(&kept[0]), 0o600);
    // Reading writes none, rubbish in it says nothing, and a folder in its way is no matter.
    fs::write(&kept[0], "rubbish").expect("written");
    fs::remove_file(&newest).expect("removed");
    assert!(!place.run(&["defects"]).stdout.contains("NOT COUNTED"));
    assert_eq!(fs::read_to_string(&kept[0]).expect("read"), "rubbish");
    fs::remove_file(&kept[0]).expect("removed");
    fs::create_dir(&kept[0]).expect("a folder");
    let run = place.run(&["repair", "drive-belt", "--done", "new belt"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    assert!(run.stderr.is_empty(), "{}", run.stderr);
}

#[test]
fn the_settings_folder_of_a_sealed_place_holds_the_marks() {
    let place = Place::with_boat().of_known_age(&["main"]);
    let settings = place.path().join("settings");
    let mut command = place.command();
    command.args(["repair", "drive-belt", "--done", "new belt"]);
    command.env("HANDLAMP_CONFIG_DIR", &settings);
    let out = command.output().expect("it runs");
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    assert_eq!(
        fs::read_dir(settings.join("seen")).expect("kept").count(),
        1
    );
}

#[test]
fn another_boat_in_the_same_place_is_no_older_copy() {
    let (place, _) = belt_failed();
    fs::rename(place.logbook(), place.path().join("away")).expect("moved");
    let other = place.file("other.json", super::harness::TWINS);
    assert_eq!(place.run(&["boat", "new", &other]).code, Some(0));
    assert!(!place.run(&["defects"]).stdout.contains("NOT COUNTED"));
    assert_eq!(place.run(&["logbook", "check"]).code, Some(0));
}

#[test]
fn a_session_without_its_end_is_a_note_and_a_cut_line_is_not_called_never_saved() {
    let place = Place::with_boat().of_known_age(&["main"]);
    let sheet = full_walk("w1", "2026-05-01T07:40:00+02:00", 1203.6, &[]);
    assert_eq!(
        place.run(&["record", &place.file("w1.json", &sheet)]).code,
        Some(0)
    );
    let newest = files(&place.logbook()).pop().expect("a file");
    cut(&newest, 1);
    let check = place.run(&["logbook", "check"]);
    assert_eq!(check.code, Some(0), "{}", check.stdout);
    assert!(
        flat(&check.stdout).contains("no end mark"),
        "{}",
        check.stdout
    );
    assert!(
        flat(&check.stdout).contains("cannot be told apart"),
        "{}",
        check.stdout
    );
    let text = fs::read_to_string(&newest).expect("read");
    fs::write(&newest, &text[..text.len() - 9]).expect("written");
    let check = place.run(&["logbook", "check"]);
    assert!(
        flat(&check.stdout).contains("unfinished entry"),
        "{}",
        check.stdout
    );
    assert!(
        !check.stdout.contains("never shown as saved"),
        "{}",
        check.stdout
    );
}

#[test]
fn a_walk_recorded_under_a_clock_that_is_behind_is_noted() {
    let place = Place::with_boat();
    let sheet = full_walk("w1", "2026-05-01T07:40:00+02:00", 1203.6, &[]);
    let run = place.run_at(
        "2026-05-03T08:00:00+02:00",
        &["record", &place.file("w1.json", &sheet)],
    );
    assert!(run.stderr.is_empty(), "{}", run.stderr);
    let sheet = full_walk("w2", "2026-05-02T07:40:00+02:00", 1203.9, &[]);
    let run = place.run_at(
        "2026-05-03T07:46:00+02:00",
        &["record", &place.file("w2.json", &sheet)],
    );
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    assert!(
        run.stderr.contains("this computer says 07:46"),
        "{}",
        run.stderr
    );
    assert!(
        run.stderr.contains("the last record was made at 08:00"),
        "{}",
        run.stderr
    );
}
