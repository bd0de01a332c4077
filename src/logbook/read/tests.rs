//! Damage done to real files. Every bit, byte and line of one is gone through in
//! `tests/durability/damage.rs`.
#![allow(clippy::unwrap_used)]

use std::borrow::Cow;
use std::fs::{self, File};
use std::os::unix::fs::{PermissionsExt, symlink};

use super::*;
use crate::logbook::faulty::{book, clock, read, session_on};
use crate::logbook::line::Checked;
use crate::logbook::problem::copy_aside;
use crate::logbook::{RealDisk, Session};

/// A session of 20 lines as bytes.
fn twenty_lines() -> Vec<u8> {
    let dir = book();
    let mut session = session_on(Box::new(RealDisk), dir.path());
    for n in 0..18 {
        let rec = format!("{{\"item\":\"item-{n}\",\"grade\":\"worn\",\"note\":\"né {n}\"}}");
        session.append(&[("look", rec)], &clock()).unwrap();
    }
    session.finish(&clock()).unwrap();
    fs::read(dir.path().join(&read(dir.path()).files[0].path)).unwrap()
}

fn of_bytes(bytes: &[u8]) -> Log {
    let mut reader = Reader::new(horizon_ms(&clock()));
    reader.file(PathBuf::from("log/a.jsonl"), bytes, || false);
    reader.finish()
}

fn good(log: &Log) -> Vec<(&str, Cow<'_, str>)> {
    let sound = log.entries.iter().filter(|e| e.checked == Checked::Good);
    sound.map(|e| (e.id.as_str(), e.rec.get())).collect()
}

fn kinds(log: &Log) -> Vec<ProblemKind> {
    log.problems.iter().map(|p| p.kind).collect()
}

fn with_log(files: &[(&str, &[u8])]) -> tempfile::TempDir {
    let dir = book();
    for (name, bytes) in files {
        let path = dir.path().join("log").join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    dir
}

#[test]
fn a_lost_line_is_noticed_wherever_it_stood() {
    let bytes = twenty_lines();
    let lines: Vec<&[u8]> = bytes.split_inclusive(|b| *b == b'\n').collect();
    // Without its end mark a file looks like that of an interrupted session: no damage.
    for gone in 0..lines.len() - 1 {
        let mut left = lines.clone();
        left.remove(gone);
        let log = of_bytes(&left.concat());
        assert_eq!(kinds(&log), [ProblemKind::Missing], "line {gone}");
        let mut swapped = lines.clone();
        swapped.swap(gone, gone + 1);
        swapped.push(lines[gone]);
        let log = of_bytes(&swapped.concat());
        assert_eq!((log.entries.len(), log.problems.len()), (20, 0));
    }
}

/// Device b never read what a wrote, so the newest record of b says nothing of it: who read both names
/// both.
#[test]
fn a_file_of_another_device_that_is_gone_is_told_though_the_newest_record_is_here() {
    let dir = book();
    let clock = clock();
    let write = |seed: u64, log: &Log| {
        clock.advance(std::time::Duration::from_secs(1));
        let (rng, folder) = (fastrand::Rng::with_seed(seed), Folder::new(dir.path()));
        let mut session = Session::new(Box::new(RealDisk), folder, "0", log.newest, rng);
        session.knows(log.beside.clone());
        session
            .append(&[("look", "{}".to_owned())], &clock)
            .unwrap();
        session.finish(&clock).unwrap();
    };
    write(1, &read(dir.path()));
    let first = read(dir.path());
    assert_eq!(first.beside, []);
    write(2, &first);
    let path = |log: &Log| dir.path().join(&log.files.last().unwrap().path);
    let of_a = path(&read(dir.path()));
    write(3, &first);
    let both = read(dir.path());
    assert_eq!(both.beside.len(), 1, "the end of a, which b had not read");
    let bytes = fs::read(&of_a).unwrap();
    fs::remove_file(&of_a).unwrap();
    assert_eq!(kinds(&read(dir.path())), [], "nobody here had read it");
    fs::write(&of_a, &bytes).unwrap();
    write(4, &both);
    let all = read(dir.path());
    assert_eq!((kinds(&all), all.beside.len()), (vec![], 0));
    fs::remove_file(&of_a).unwrap();
    assert_eq!(kinds(&read(dir.path())), [ProblemKind::NotHere]);
}

#[test]
fn an_older_copy_over_a_newer_one_is_told_by_a_later_session() {
    let dir = book();
    let write = |seed: u64, newest: Stamp, n: u32| {
        let (rng, folder) = (fastrand::Rng::with_seed(seed), Folder::new(dir.path()));
        let mut session = Session::new(Box::new(RealDisk), folder, "0", newest, rng);
        for n in 0..n {
            let rec = format!("{{\"n\":{n}}}");
            session.append(&[("look", rec)], &clock()).unwrap();
        }
        session.finish(&clock()).unwrap();
    };
    write(1, Stamp(0, 0), 3);
    let first = read(dir.path());
    let path = dir.path().join(&first.files[0].path);
    write(2, first.newest, 1);
    assert_eq!(kinds(&read(dir.path())), []);
    let bytes = fs::read(&path).unwrap();
    let ends = bytes.iter().enumerate().filter(|(_, b)| **b == b'\n');
    for cut in ends.map(|(at, _)| at + 1).filter(|at| *at < bytes.len()) {
        fs::write(&path, &bytes[..cut]).unwrap();
        let log = read(dir.path());
        assert_eq!(kinds(&log), [ProblemKind::NotHere], "cut at {cut}");
        assert!(log.is_damaged());
    }
    // A copy under another name has it; the second session alone misses what it had read.
    fs::write(path.with_extension("old.jsonl"), &bytes).unwrap();
    assert_eq!(kinds(&read(dir.path())), []);
    fs::remove_file(path.with_extension("old.jsonl")).unwrap();
    fs::remove_file(&path).unwrap();
    let log = read(dir.path());
    assert_eq!(
        (kinds(&log), log.entries.len()),
        (vec![ProblemKind::NotHere], 3)
    );
}

#[test]
fn marks_of_editors_are_tolerated_and_marks_of_merges_reported() {
    let bytes = twenty_lines();
    let text = String::from_utf8(bytes).unwrap();
    let edited = format!("\u{feff}{}\r\n  \r\n", text.replace('\n', " \r\n\r\n"));
    assert!(of_bytes(edited.as_bytes()).problems.is_empty());
    let conflict = format!("<<<<<<< here\n{text}=======\n>>>>>>> there\n");
    let log = of_bytes(conflict.as_bytes());
    assert_eq!(log.entries.len(), 20);
    assert_eq!(kinds(&log), [ProblemKind::BadLine; 3]);
    assert_eq!(log.problems[0].bytes, Some(0..13));
}

#[test]
fn a_hand_edit_is_kept_and_marked() {
    let text = String::from_utf8(twenty_lines()).unwrap();
    let edited = text.replacen("worn", "sound", 1);
    let log = of_bytes(edited.as_bytes());
    assert_eq!((log.entries.len(), good(&log).len()), (20, 19));
    assert_eq!(kinds(&log), [ProblemKind::ChangedOutside]);
    assert_eq!(
        log.problems[0].to_string(),
        format!(
            "log/a.jsonl, line 2: record {} was changed outside the program",
            log.entries[1].id
        )
    );
}

#[test]
fn a_tail_of_zeros_or_rubbish_is_skipped() {
    let mut bytes = twenty_lines();
    bytes.extend_from_slice(&[0; 512]);
    let log = of_bytes(&bytes);
    assert_eq!(
        (log.entries.len(), kinds(&log)),
        (20, vec![ProblemKind::Torn])
    );
    assert!(log.problems[0].message.contains("(512 bytes)"));
    let mut reader = Reader::new(horizon_ms(&clock()));
    bytes.truncate(bytes.len() - 600);
    reader.file(PathBuf::from("log/a.jsonl"), &bytes, || true);
    let live = reader.finish();
    assert!(live.problems.is_empty() && live.files[0].live);
}

#[test]
fn names_and_depth_do_not_matter_but_hidden_and_temporary_files_do() {
    let bytes = twenty_lines();
    let dir = with_log(&[
        ("2026/a.sync-conflict-20261125.jsonl", &bytes),
        ("x/y/z/copy (1).JSONL", &bytes),
        (".hidden.jsonl", b"rubbish\n"),
        (".abc.tmp", b"rubbish\n"),
        ("a.jsonl.tmp", b"rubbish\n"),
        ("~a.jsonl", b"rubbish\n"),
        ("notes.txt", b"rubbish\n"),
    ]);
    let log = read(dir.path());
    assert_eq!(
        (log.files.len(), log.entries.len(), log.problems.len()),
        (2, 20, 0)
    );
}

#[test]
fn what_is_no_file_is_reported_and_never_waited_for() {
    let bytes = twenty_lines();
    let dir = with_log(&[("good.jsonl", &bytes)]);
    let log_dir = dir.path().join("log");
    let outside = dir.path().join("outside");
    fs::write(&outside, &bytes).unwrap();
    symlink(&outside, log_dir.join("link.jsonl")).unwrap();
    symlink(&log_dir, log_dir.join("loop")).unwrap();
    fs::create_dir(log_dir.join("folder.jsonl")).unwrap();
    rustix::fs::mkfifoat(rustix::fs::CWD, log_dir.join("pipe.jsonl"), 0o600.into()).unwrap();
    let huge = File::create(log_dir.join("huge.jsonl")).unwrap();
    huge.set_len(MAX_FILE + 1).unwrap();
    let log = read(dir.path());
    assert_eq!(log.entries.len(), 20);
    let mut kinds = kinds(&log);
    kinds.sort();
    assert_eq!(
        kinds,
        [vec![ProblemKind::NotAFile; 4], vec![ProblemKind::TooLarge]].concat()
    );
}

#[test]
fn an_unreadable_file_is_reported_unless_the_user_may_read_all() {
    let bytes = twenty_lines();
    let dir = with_log(&[("a.jsonl", &bytes), ("b.jsonl", &bytes)]);
    let path = dir.path().join("log/b.jsonl");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o000)).unwrap();
    let expected = usize::from(File::open(&path).is_err());
    let log = read(dir.path());
    assert_eq!(kinds(&log), vec![ProblemKind::Unreadable; expected]);
    assert_eq!(log.entries.len(), 20);
}

#[test]
fn a_line_too_long_is_skipped() {
    let mut bytes = twenty_lines();
    bytes.extend(vec![b'x'; 10 * 1024 * 1024]);
    bytes.push(b'\n');
    assert_eq!(kinds(&of_bytes(&bytes)), [ProblemKind::BadLine]);
}

#[test]
fn no_folder_is_an_empty_log_and_a_file_in_its_place_an_error() {
    let dir = book();
    assert!(read(&dir.path().join("none")).entries.is_empty());
    fs::write(dir.path().join("log"), "").unwrap();
    assert!(matches!(
        read_log(dir.path(), &clock()),
        Err(LogbookError::CannotRead { .. })
    ));
}

#[test]
fn damaged_bytes_go_aside_once_and_reading_changes_nothing() {
    let mut bytes = twenty_lines();
    let cut = bytes.len() - 30;
    bytes.truncate(cut);
    bytes[10] = 0;
    let dir = with_log(&[("a.jsonl", &bytes)]);
    let log = read(dir.path());
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    let folder = Folder::new(dir.path());
    let mut rng = fastrand::Rng::with_seed(3);
    assert_eq!(
        copy_aside(&RealDisk, &folder, &log.problems, &mut rng).unwrap(),
        2
    );
    assert_eq!(
        copy_aside(&RealDisk, &folder, &log.problems, &mut rng).unwrap(),
        0
    );
    let copies: Vec<Vec<u8>> = fs::read_dir(folder.aside())
        .unwrap()
        .map(|item| fs::read(item.unwrap().path()).unwrap())
        .collect();
    let first_line = &bytes[..=bytes.iter().position(|b| *b == b'\n').unwrap()];
    assert!(copies.iter().any(|copy| copy.ends_with(first_line)));
    assert!(
        copies
            .iter()
            .all(|copy| copy.starts_with(b"From log/a.jsonl, line "))
    );
    assert_eq!(fs::read(dir.path().join("log/a.jsonl")).unwrap(), bytes);
}

#[test]
fn damaged_lines_in_a_row_are_told_one_by_one_only_while_they_are_few() {
    let session = String::from_utf8(twenty_lines()).unwrap();
    let good = session.split_inclusive('\n').next().unwrap();
    let told = |text: String| of_bytes(text.as_bytes()).problems;
    let lines =
        |problems: &[Problem]| -> Vec<u32> { problems.iter().filter_map(|p| p.line).collect() };
    assert_eq!(lines(&told("{\n".repeat(33))), (1..=33).collect::<Vec<_>>());
    let many = told("{\n".repeat(200_000));
    assert_eq!(lines(&many), (1..=33).collect::<Vec<_>>());
    assert_eq!(
        many[32].to_string(),
        "log/a.jsonl, line 33: 199968 lines from line 33 to line 200000 are damaged and do not count"
    );
    assert_eq!(
        many[32].bytes,
        Some(64..400_000),
        "all of them can be copied aside"
    );
    // A record between ends the row, and no problem swallows it.
    let halves = told("{\n".repeat(40) + good + &"{\n".repeat(40) + "{");
    assert_eq!(halves.len(), 33 + 33 + 1);
    let spans: Vec<_> = halves.iter().map(|p| p.bytes.clone().unwrap()).collect();
    let record = 80..80 + good.len() as u64;
    assert!(
        spans
            .iter()
            .all(|s| s.end <= record.start || s.start >= record.end)
    );
    assert_eq!(halves[66].kind, ProblemKind::Torn);
}
