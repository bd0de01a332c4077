//! Lines that are no records, files that others have had their hands on.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use chrono::DateTime;
use handlamp::logbook::{Clock, FixedClock, Folder, RealDisk, Session, Stamp, read_log};
use serde_json::Value;

use super::place::Place;

/// A line around the content given, byte for byte, under a checksum that matches.
fn sealed(n: u32, ev: &str, rec: &[u8]) -> Vec<u8> {
    let mut line = format!(
        r#"{{"v":1,"id":"given-{n}","t":[{},0],"at":"2026-05-03T08:00:00+02:00","ev":"{ev}","rec":"#,
        1_777_788_000_000_u64 + u64::from(n)
    )
    .into_bytes();
    line.extend_from_slice(rec);
    let sum = crc32fast::hash(&line);
    line.extend_from_slice(format!(",\"sum\":\"{sum:08x}\"}}\n").as_bytes());
    line
}

fn rows(place: &Place) -> Vec<(Option<u64>, String)> {
    let answer = place.json("logbook-check", &["logbook", "check"]);
    let rows = answer["rows"].as_array().expect("rows").iter();
    rows.map(|r| {
        (
            r["line"].as_u64(),
            r["message"].as_str().expect("text").to_owned(),
        )
    })
    .collect()
}

#[test]
fn what_is_no_json_or_no_record_is_told_line_by_line_and_the_others_count() {
    let place = Place::with_boat();
    let repair = |more: &str| {
        let rec = format!(
            r#"{{"item":"drive-belt","machine":"main","at":"2026-05-03T08:00:00+02:00"{more}}}"#
        );
        rec.into_bytes()
    };
    let deep = format!(
        r#","done":"x","deep":{}1{}"#,
        "[".repeat(30_000),
        "]".repeat(30_000)
    );
    let cases: Vec<(&str, Vec<u8>)> = vec![
        (
            "not UTF-8",
            [&repair("")[..repair("").len() - 1], b",\"done\":\"\xff\"}"].concat(),
        ),
        ("half a surrogate", repair(r#","done":"\ud800""#)),
        ("a raw control character", repair(",\"done\":\"a\u{1}b\"")),
        ("no number", repair(r#","done":"x","hours":NaN"#)),
        (
            "a number without end",
            repair(r#","done":"x","hours":1e400"#),
        ),
        (
            "hours below nothing",
            repair(r#","done":"x","hours":-1e308"#),
        ),
        ("nothing where a text belongs", repair(r#","done":null"#)),
        ("a field twice", repair(r#","done":"x","done":"y""#)),
        (
            "a word for a number",
            repair(r#","done":"x","hours":"many""#),
        ),
        ("no object", b"[1,2]".to_vec()),
        ("thirty thousand deep", repair(&deep)),
        (
            "a time that is none",
            repair("")
                .iter()
                .map(|b| if *b == b'T' { b'?' } else { *b })
                .collect(),
        ),
    ];
    let mut file = Vec::new();
    for (n, (_, rec)) in (0..).zip(&cases) {
        file.extend(sealed(n, "repair", rec));
    }
    file.extend(sealed(
        90,
        "look",
        br#"{"walk":"w9","item":"drive-belt","grade":null,"at":"2026-05-03T08:00:00+02:00"}"#,
    ));
    file.extend_from_slice(b"# a comment\n");
    file.extend_from_slice(b"\"text\"\nnull\n7\n{}\n");
    let last = file.iter().filter(|b| **b == b'\n').count() as u64;
    // NUL is allowed in JSON: it is taken, and shown.
    file.extend(sealed(91, "repair", &repair(r#","done":"a\u0000b""#)));
    fs::write(place.logbook().join("log/given.jsonl"), file).expect("written");
    let found = rows(&place);
    let lines: Vec<u64> = found.iter().filter_map(|(line, _)| *line).collect();
    let mut told = lines.clone();
    told.sort_unstable();
    told.dedup();
    // A field unknown here may come from a later version: such a record is read without it.
    let deep_line = 11;
    let expected: Vec<u64> = (1..=last).filter(|n| *n != deep_line).collect();
    assert_eq!(told, expected, "{found:#?}");
    for (line, message) in &found {
        assert!(message.len() < 1000, "line {line:?}: {message}");
    }
    let answer = place.json("logbook-check", &["logbook", "check"]);
    assert_eq!(
        (&answer["records"], &answer["damaged"]),
        (&3.into(), &true.into())
    );
    let _ = place.run(&["logbook", "export", "tables"]);
    let repairs = fs::read_to_string(place.path().join("tables/repairs.ndjson")).expect("repairs");
    assert!(repairs.contains(r"a\u0000b"), "{repairs}");
}

#[test]
fn marks_of_editors_are_passed_over_in_every_kind_of_file() {
    let place = Place::with_findings();
    let mut files = vec![place.logbook().join("log")];
    while let Some(path) = files.pop() {
        if path.is_dir() {
            files.extend(
                fs::read_dir(path)
                    .expect("a folder")
                    .map(|e| e.expect("an entry").path()),
            );
            continue;
        }
        let text = fs::read_to_string(&path).expect("text");
        fs::write(
            path,
            format!("\u{feff}{}\r\n \t\r\n", text.replace('\n', "  \r\n\r\n")),
        )
        .expect("written");
    }
    assert_eq!(rows(&place), []);
    let repair =
        "\u{feff}{\"type\":\"repair\",\r\n\"item\":\"drive-belt\",\"done\":\"new belt\"}\r\n\r\n";
    let run = place.run(&["record", &place.file("repair.json", repair)]);
    assert_eq!(run.code, Some(0), "{run}");
    let boat = format!("\u{feff}{}", super::place::PROFILE.replace('\n', "\r\n"));
    let run = place.run(&["boat", "set", &place.file("again.json", &boat)]);
    assert_eq!(run.code, Some(0), "{run}");
    // Somebody's editor put its mark into the profile itself.
    let own = place.logbook().join("boat.json");
    let text = fs::read_to_string(&own).expect("text");
    fs::write(&own, format!("\u{feff}{}", text.replace('\n', "\r\n"))).expect("written");
    let run = place.run(&["boat", "show"]);
    assert_eq!(run.code, Some(0), "{run}");
    place.file(
        "home/.config/handlamp/config.json",
        "\u{feff}{\r\n\"ascii\": true}\r\n",
    );
    place.file("home/.config/handlamp/checklists/own.json", "\u{feff}{\"type\":\"catalogue\",\r\n\"items\":[],\"stations\":[{\"id\":\"shed\",\"title\":\"Shed\",\"after\":\"hatch\"}]}\r\n");
    let run = place.run(&["checklist", "list"]);
    assert_eq!(run.code, Some(0), "{run}");
}

#[test]
fn a_grade_changed_by_hand_counts_as_changed_and_names_its_line() {
    let place = Place::with_findings();
    let log = place.logbook().join("log/2026");
    let file = fs::read_dir(log)
        .expect("files")
        .map(|entry| entry.expect("an entry").path())
        .find(|path| fs::read_to_string(path).is_ok_and(|text| text.contains("\"worn\"")))
        .expect("the walk");
    let text = fs::read_to_string(&file).expect("text");
    let line = 1 + text
        .lines()
        .position(|l| l.contains("\"worn\""))
        .expect("a line") as u64;
    fs::write(&file, text.replacen("\"worn\"", "\"sound\"", 1)).expect("written");
    let found = rows(&place);
    assert!(
        found.len() == 1 && found[0].0 == Some(line) && found[0].1.contains("changed outside"),
        "{found:?}"
    );
    let list = place.run(&["defects"]);
    assert!(list.stderr.contains("in doubt"), "{list}");
}

#[test]
fn a_merge_by_git_loads_with_and_without_the_union_driver() {
    let git = |dir: &Path, args: &[&str]| {
        Command::new("git")
            .args([
                "-c",
                "user.name=x",
                "-c",
                "user.email=x@x",
                "-c",
                "init.defaultBranch=main",
            ])
            .args(args)
            .current_dir(dir)
            .env("GIT_CONFIG_GLOBAL", "/dev/null")
            .output()
    };
    if !git(Path::new("/"), &["--version"]).is_ok_and(|out| out.status.success()) {
        crate::skip::skipped("git", "it is not here");
        return;
    }
    for union in [true, false] {
        let place = Place::with_boat();
        let book = place.logbook();
        let run = |args: &[&str]| git(&book, args).expect("git runs").status.success();
        assert!(run(&["init", "-q"]));
        if union {
            fs::write(book.join(".gitattributes"), "*.jsonl merge=union -text\n").expect("written");
        }
        // Two branches write on in one file: as by hand, or by a tool that joins files.
        let shared = book.join("log/shared.jsonl");
        let repair = |n: u32, done: &str| {
            sealed(n, "repair", format!(r#"{{"item":"drive-belt","machine":"main","at":"2026-05-03T08:00:00+02:00","done":"{done}"}}"#).as_bytes())
        };
        fs::write(&shared, repair(0, "before")).expect("written");
        assert!(
            run(&["add", "-A"])
                && run(&["commit", "-qm", "base"])
                && run(&["checkout", "-qb", "other"])
        );
        fs::write(&shared, [repair(0, "before"), repair(1, "there")].concat()).expect("written");
        assert!(run(&["commit", "-qam", "there"]) && run(&["checkout", "-q", "main"]));
        fs::write(&shared, [repair(0, "before"), repair(2, "here")].concat()).expect("written");
        assert!(run(&["commit", "-qam", "here"]));
        assert_eq!(
            run(&["merge", "-q", "other"]),
            union,
            "without the driver it is a conflict"
        );
        let answer = place.json("logbook-check", &["logbook", "check"]);
        assert_eq!(
            answer["records"], 4,
            "the profile and three repairs: {answer}"
        );
        let mut told = rows(&place);
        // A file written by hand says no end.
        told.retain(|(_, told)| !told.contains("no end mark"));
        assert_eq!(told.len(), if union { 0 } else { 3 }, "{told:?}");
    }
}

#[test]
fn names_in_lower_case_and_times_of_two_seconds_change_nothing() {
    let place = Place::with_findings();
    let answers = || -> Vec<Value> {
        [
            ("walks", &["walks"][..]),
            ("defects", &["defects"]),
            ("boat", &["boat", "show"]),
        ]
        .map(|(schema, args)| place.json(schema, args))
        .to_vec()
    };
    let before = answers();
    let mut folders = vec![place.logbook()];
    let mut renamed = 0;
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            let name = path
                .file_name()
                .expect("a name")
                .to_str()
                .expect("UTF-8")
                .to_owned();
            assert!(
                name.len() <= 80 && !name.contains([':', '*', '?', '"', '<', '>', '|', '\\']),
                "{name}"
            );
            assert!(!name.ends_with(['.', ' ']), "{name}");
            if path.is_dir() {
                folders.push(path);
            } else if name.ends_with(".jsonl") {
                fs::rename(&path, path.with_file_name(name.to_lowercase())).expect("renamed");
                renamed += 1;
            }
        }
    }
    assert!(renamed >= 2);
    assert_eq!(answers(), before);
    // A stick written in capitals, as the oldest of them are.
    let log = place.logbook().join("log");
    for entry in fs::read_dir(log.join("2026")).expect("a year") {
        let path = entry.expect("an entry").path();
        let name = path
            .file_name()
            .expect("a name")
            .to_string_lossy()
            .to_uppercase();
        fs::rename(&path, path.with_file_name(name)).expect("renamed");
    }
    assert_eq!(answers(), before);
}

/// One device: its copy of the folder and the session that writes to it.
struct Device {
    root: PathBuf,
    session: Session,
    /// Ids acknowledged here.
    acknowledged: Vec<String>,
}

impl Device {
    fn new(root: PathBuf, seed: u64) -> Device {
        let folder = Folder::new(&root);
        let session = Session::new(
            Box::new(RealDisk),
            folder,
            "test",
            Stamp::default(),
            fastrand::Rng::with_seed(seed),
        );
        Device {
            root,
            session,
            acknowledged: Vec::new(),
        }
    }

    fn look(&mut self, n: usize, clock: &dyn Clock) {
        let rec = format!(r#"{{"n":{n}}}"#);
        let ids = self.session.append(&[("look", rec)], clock).expect("saved");
        self.acknowledged
            .extend(ids.iter().map(ToString::to_string));
    }

    fn files(&self) -> Vec<PathBuf> {
        let log = read_log(&self.root, &clock()).expect("read");
        log.files.into_iter().map(|f| f.path).collect()
    }

    fn ids(&self) -> Vec<String> {
        let log = read_log(&self.root, &clock()).expect("read");
        log.entries
            .iter()
            .filter(|e| &*e.ev == "look")
            .map(|e| e.id.to_string())
            .collect()
    }
}

fn clock() -> FixedClock {
    FixedClock::new(DateTime::parse_from_rfc3339("2026-05-03T09:00:00+02:00").expect("a time"))
}

/// Files are carried both ways in any order, whole, half, as conflict copies, an older one over a
/// newer one. After a last full exchange both hold everything either has acknowledged.
#[test]
fn copying_both_ways_in_any_order_loses_nothing_acknowledged() {
    for seed in 0..120 {
        let dir = tempfile::tempdir().expect("a folder");
        let mut rng = fastrand::Rng::with_seed(seed);
        let mut devices = [
            Device::new(dir.path().join("a"), seed * 2 + 1),
            Device::new(dir.path().join("b"), seed * 2 + 2),
        ];
        let clock = clock();
        let mut older: Vec<(PathBuf, Vec<u8>)> = Vec::new();
        for n in 0..24 {
            let who = rng.usize(..2);
            if rng.bool() {
                devices[who].look(n, &clock);
                continue;
            }
            let files = devices[who].files();
            let Some(path) = files.get(rng.usize(..files.len().max(1))) else {
                continue;
            };
            let bytes = fs::read(devices[who].root.join(path)).expect("read");
            older.push((path.clone(), bytes.clone()));
            let other = &devices[1 - who].root;
            let put = |path: &Path, bytes: &[u8]| {
                let target = other.join(path);
                fs::create_dir_all(target.parent().expect("a folder")).expect("made");
                let temp = other.join(".copy.tmp");
                fs::write(&temp, bytes).expect("written");
                fs::rename(temp, target).expect("moved");
            };
            match rng.usize(..4) {
                0 => put(path, &bytes),
                1 => put(path, &bytes[..rng.usize(..=bytes.len())]),
                2 => put(
                    &path.with_extension(format!("sync-conflict-{n}.jsonl")),
                    &bytes,
                ),
                _ => {
                    let (path, bytes) = &older[rng.usize(..older.len())];
                    put(path, bytes);
                }
            }
        }
        // Each writes once more, which puts back what was taken from under its open file, then all
        // files go both ways under names of their own.
        for (n, device) in devices.iter_mut().enumerate() {
            device.look(100 + n, &clock);
        }
        for (from, to) in [(0, 1), (1, 0)] {
            for path in devices[from].files() {
                let bytes = fs::read(devices[from].root.join(&path)).expect("read");
                let name = path.with_extension(format!("from-{from}.jsonl"));
                let target = devices[to].root.join(name);
                fs::create_dir_all(target.parent().expect("a folder")).expect("made");
                fs::write(target, bytes).expect("written");
            }
        }
        let (a, b) = (devices[0].ids(), devices[1].ids());
        assert_eq!(a, b, "seed {seed}: one order on both");
        for id in devices.iter().flat_map(|d| &d.acknowledged) {
            assert_eq!(
                a.iter().filter(|known| *known == id).count(),
                1,
                "seed {seed}: {id}"
            );
        }
    }
}
