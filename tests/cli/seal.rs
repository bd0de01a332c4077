//! `logbook seal` and `logbook verify-seal`.

use std::fs;

use super::harness::{Place, full_walk, record_files, session};
use serde_json::{Value, json};

fn seal(place: &Place, args: &[&str]) -> String {
    let args = [&["logbook", "seal"], args].concat();
    let answer = place.json("logbook-seal", &args);
    answer["code"].as_str().expect("a code").to_owned()
}

fn verify(place: &Place, code: &str, args: &[&str]) -> Value {
    let args = [&["logbook", "verify-seal", code], args].concat();
    let answer = place.json("logbook-verify-seal", &args);
    let code = if answer["unchanged"] == true { 0 } else { 1 };
    assert_eq!(place.run(&args).code, Some(code));
    answer
}

/// The record file that holds a text, and the line of it, from 1.
fn place_of(place: &Place, text: &str) -> (std::path::PathBuf, u64) {
    for file in record_files(&place.logbook()) {
        let lines = fs::read_to_string(&file).expect("text");
        if let Some(n) = lines.lines().position(|line| line.contains(text)) {
            return (file, n as u64 + 1);
        }
    }
    unreachable!("{text} is in no record")
}

fn rows(answer: &Value) -> Vec<(&str, Option<&str>, Option<u64>)> {
    let rows = answer["rows"].as_array().expect("rows").iter();
    rows.map(|row| {
        let change = row["change"].as_str().expect("a word");
        (change, row["id"].as_str(), row["line"].as_u64())
    })
    .collect()
}

#[test]
fn a_seal_holds_while_records_are_added_and_merged() {
    let mut place = Place::with_findings();
    let code = seal(&place, &[]);
    assert_eq!(code.len(), 35);
    assert_eq!(seal(&place, &[]), code, "the same records, the same seal");
    assert_eq!(verify(&place, &code, &[])["since"], 0);
    let copy = place.path().join("copy");
    let copied = std::process::Command::new("cp")
        .arg("-r")
        .args([&place.logbook(), &copy])
        .status();
    assert!(copied.expect("cp").success());
    place.at("2026-05-04T09:00:00+02:00");
    let copy = copy.to_str().expect("UTF-8").to_owned();
    let there = place.run(&["repair", "oil-hoses", "--done", "clip", "--logbook", &copy]);
    assert_eq!(there.code, Some(0), "{}", there.stderr);
    let here = place.run(&["repair", "drive-belt", "--done", "new belt"]);
    assert_eq!(here.code, Some(0));
    assert_eq!(place.run(&["logbook", "merge", &copy]).code, Some(0));
    let answer = verify(&place, &code, &[]);
    assert_eq!(
        (&answer["unchanged"], &answer["since"]),
        (&json!(true), &json!(2))
    );
    let both = seal(&place, &[]);
    assert_ne!(both, code);
    let other_way = place.run(&[
        "logbook",
        "merge",
        place.logbook().to_str().expect("UTF-8"),
        "--logbook",
        &copy,
    ]);
    assert_eq!(other_way.code, Some(0), "{}", other_way.stderr);
    assert_eq!(
        seal(&place, &["--logbook", &copy]),
        both,
        "whichever was merged into which"
    );
}

#[test]
fn a_grade_changed_by_hand_breaks_the_seal_and_its_line_is_named() {
    let place = Place::with_findings();
    let code = seal(&place, &["--to", "listing.txt"]);
    let (file, line) = place_of(&place, "\"worn\"");
    let text = fs::read_to_string(&file).expect("text");
    fs::write(&file, text.replacen("\"worn\"", "\"sound\"", 1)).expect("written");
    let answer = verify(&place, &code, &[]);
    assert_eq!(answer["unchanged"], false);
    let found = rows(&answer);
    assert_eq!(
        (found.len(), found[0].0, found[0].2),
        (1, "changed", Some(line))
    );
    let listed = verify(&place, &code, &["--list", "listing.txt"]);
    assert_eq!(rows(&listed), found);
    fs::write(&file, text).expect("written");
    assert_eq!(verify(&place, &code, &[])["unchanged"], true, "put back");
}

/// Whoever changes a record can make its checksum anew. The code then still tells that something
/// changed, and the listing tells what.
#[test]
fn a_change_with_a_checksum_made_anew_is_found_by_the_listing() {
    let place = Place::with_findings();
    let code = seal(&place, &["--to", "listing.txt"]);
    let (file, line) = place_of(&place, "\"worn\"");
    let text = fs::read_to_string(&file).expect("text");
    let old = text.lines().nth(line as usize - 1).expect("the line");
    let (body, _) = old.split_once(",\"sum\":\"").expect("a checksum");
    let body = body.replacen("\"worn\"", "\"sound\"", 1);
    let forged = format!(
        "{body},\"sum\":\"{:08x}\"}}",
        crc32fast::hash(body.as_bytes())
    );
    fs::write(&file, text.replacen(old, &forged, 1)).expect("written");
    assert_eq!(
        place.run(&["logbook", "check"]).code,
        Some(0),
        "it shows no trace"
    );
    let blind = verify(&place, &code, &[]);
    assert_eq!(
        (&blind["unchanged"], rows(&blind).len()),
        (&json!(false), 0)
    );
    let listed = verify(&place, &code, &["--list", "listing.txt"]);
    let found = rows(&listed);
    assert_eq!(
        (found.len(), found[0].0, found[0].2),
        (1, "changed", Some(line))
    );
    let told = session(&[
        place.run(&["logbook", "seal"]),
        place.run(&["logbook", "verify-seal", &code]),
        place.run(&["logbook", "verify-seal", &code, "--list", "listing.txt"]),
    ]);
    let name = file.file_name().expect("a name").to_string_lossy();
    let told = told.replace(&*name, "[FILE]").replace(&code, "[CODE]");
    insta::assert_snapshot!(told.replace(&seal(&place, &[]), "[CODE NOW]"));
}

#[test]
fn lost_and_foreign_records_are_named() {
    let place = Place::with_findings();
    let code = seal(&place, &["--to", "listing.txt"]);
    let (file, line) = place_of(&place, "\"item\":\"bilge-alarm\"");
    let text = fs::read_to_string(&file).expect("text");
    let lost = text
        .lines()
        .nth(line as usize - 1)
        .expect("the line")
        .to_owned();
    fs::write(&file, text.replacen(&format!("{lost}\n"), "", 1)).expect("written");
    let id = serde_json::from_str::<Value>(&lost).expect("JSON")["id"].clone();
    let listed = verify(&place, &code, &["--list", "listing.txt"]);
    assert_eq!(rows(&listed), [("missing", id.as_str(), None)]);
    assert_eq!(
        listed["sealed"].as_u64(),
        listed["records"].as_u64().map(|n| n + 1)
    );
    let blind = verify(&place, &code, &[]);
    assert!(rows(&blind).iter().all(|row| row.0 == "missing"), "{blind}");
    fs::write(&file, &text).expect("written");
    // A record of before the seal that comes in afterwards.
    let early = place.run_at(
        "2026-05-02T09:00:00+02:00",
        &[
            "repair",
            "oil-hoses",
            "--done",
            "clip",
            "--logbook",
            "elsewhere",
        ],
    );
    assert_eq!(early.code, Some(3), "no logbook there yet");
    let body = r#"{"v":1,"id":"other-1","t":[1777700000000,0],"at":"2026-05-02T07:33:20+02:00","ev":"repair","rec":{"item":"oil-hoses","machine":"main","done":"clip"}"#;
    let foreign = format!(
        "{body},\"sum\":\"{:08x}\"}}\n",
        crc32fast::hash(body.as_bytes())
    );
    fs::write(place.logbook().join("log/2026/other.jsonl"), foreign).expect("written");
    let listed = verify(&place, &code, &["--list", "listing.txt"]);
    assert_eq!(rows(&listed), [("added", Some("other-1"), Some(1))]);
}

#[test]
fn a_walk_is_sealed_to_its_end() {
    let mut place = Place::with_findings();
    let code = seal(&place, &["--walk", "w1"]);
    place.at("2026-05-10T09:00:00+02:00");
    let looks = [
        json!({"item":"drive-belt","grade":"worn"}),
        json!({"item":"raw-water-pump-seal","grade":"worn"}),
    ];
    let sheet = full_walk("w2", "2026-05-10T08:00:00+02:00", 1210.0, &looks);
    assert_eq!(
        place.run(&["record", &place.file("w2.json", &sheet)]).code,
        Some(0)
    );
    assert_eq!(seal(&place, &["--walk", "w1"]), code);
    assert!(verify(&place, &code, &[])["since"].as_u64() > Some(80));
    let none = place.run(&["logbook", "seal", "--walk", "w3"]);
    assert_eq!(none.code, Some(2));
}

#[test]
fn what_is_no_seal_of_this_logbook_is_told() {
    let place = Place::with_findings();
    let code = seal(&place, &["--to", "listing.txt"]);
    let first = if code.starts_with('0') { "1" } else { "0" };
    let mistyped = format!("{first}{}", &code[1..]);
    place.file("notes.txt", "buy milk\n");
    let listing = fs::read_to_string(place.path().join("listing.txt")).expect("a listing");
    let (head, rest) = listing.split_once('\n').expect("lines");
    place.file(
        "short.txt",
        &format!("{head}\n{}", rest.split_once('\n').expect("lines").1),
    );
    for (code, args) in [
        (mistyped.as_str(), &[][..]),
        ("hello", &[]),
        ("", &[]),
        (&code, &["--list", "notes.txt"]),
        (&code, &["--list", "short.txt"]),
        (&code, &["--list", "nowhere.txt"]),
    ] {
        let run = place.run(&[&["logbook", "verify-seal", code], args].concat());
        assert_eq!((run.code, run.stdout.as_str()), (Some(2), ""), "{run}");
    }
    assert_eq!(
        place.run(&["logbook", "seal", "--to", "notes.txt"]).code,
        Some(2)
    );
    let kept = fs::read_to_string(place.path().join("notes.txt")).expect("kept");
    assert_eq!(kept, "buy milk\n");
    let other = Place::with_boat();
    assert_eq!(verify(&other, &code, &[])["unchanged"], false);
}

/// Under a limit of what a file may hold, as on a disk that fills up.
#[test]
fn a_listing_is_there_whole_or_not_at_all() {
    use std::os::unix::fs::PermissionsExt;
    let place = Place::with_findings();
    let before = names(&place);
    let listing = ["logbook", "seal", "--to", "listing.txt"];
    let Some(run) = place.run_limited(1000, &listing) else {
        crate::skip::skipped("prlimit", "no limit can be set; no listing was cut off");
        return;
    };
    assert_eq!(run.code, Some(3), "{run}");
    assert!(run.stderr.contains("cannot be written"), "{run}");
    assert_eq!(names(&place), before, "nothing of it is left");
    seal(&place, &["--to", "listing.txt"]);
    let found = fs::metadata(place.path().join("listing.txt")).expect("a listing");
    assert!(found.len() > 1000, "{}", found.len());
    assert_eq!(found.permissions().mode() & 0o777, 0o600);
}

fn names(place: &Place) -> Vec<String> {
    let found = fs::read_dir(place.path()).expect("a folder");
    let mut names: Vec<_> = found
        .map(|f| {
            f.expect("a name")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .filter(|name| !name.starts_with("listing"))
        .collect();
    names.sort();
    names
}

/// What a command writes under a name given to it: never through a link, never into a pipe.
#[test]
fn no_command_writes_through_a_planted_link_or_into_a_pipe() {
    let place = Place::with_findings();
    let done = place.run(&["service", "done", "oil-and-filter", "--hours", "1203.6"]);
    assert_eq!(done.code, Some(0), "{done}");
    let victim = place.file("victim", "<!DOCTYPE html>precious");
    let (link, pipe) = (
        place.path().join("link.html"),
        place.path().join("pipe.html"),
    );
    std::os::unix::fs::symlink(&victim, &link).expect("a link");
    rustix::fs::mkfifoat(rustix::fs::CWD, &pipe, 0o600.into()).expect("a pipe");
    for name in ["link.html", "pipe.html"] {
        for args in [
            &["logbook", "seal", "--to", name][..],
            &["label", "oil-and-filter", "--html", name],
            &["due", "--ics", name],
            &["checklist", "sheet", "daily", "--html", name],
            &["report", "now", "--to", name],
        ] {
            let run = place.run(args);
            assert_eq!(run.code, Some(2), "{args:?}: {run}");
            assert!(run.stderr.contains("name a plain file"), "{run}");
        }
    }
    let tables = place.path().join("tables");
    fs::create_dir(&tables).expect("made");
    let readme = tables.join("README.txt");
    rustix::fs::mkfifoat(rustix::fs::CWD, &readme, 0o600.into()).expect("a pipe");
    let run = place.run(&["logbook", "export", "tables"]);
    assert_eq!(run.code, Some(2), "{run}");
    let kept = fs::read_to_string(&victim).expect("read");
    assert_eq!(kept, "<!DOCTYPE html>precious");
    assert!(fs::symlink_metadata(&link).expect("there").is_symlink());
}
