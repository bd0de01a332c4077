//! The write protocol under failures, each judged by reading the folder back.
#![allow(clippy::unwrap_used)]

use std::fs;
use std::io::ErrorKind;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};

use super::*;
use crate::logbook::faulty::{FaultyDisk, Op, book, clock, read, session_on};
use crate::logbook::read::find_files;
use crate::logbook::{Log, ProblemKind, RealDisk};

fn look(n: u32) -> [(&'static str, String); 1] {
    [("look", format!("{{\"n\":{n}}}"))]
}

fn files(root: &Path) -> Vec<PathBuf> {
    find_files(&RealDisk, root, &mut Vec::new()).unwrap()
}

/// The `n` of every look on disk, in order; anything wrong in the folder fails the test.
fn looks(root: &Path) -> Vec<u32> {
    let log = read(root);
    assert!(log.problems.is_empty(), "{:?}", log.problems);
    looks_of(&log)
}

fn looks_of(log: &Log) -> Vec<u32> {
    let looks = log.entries.iter().filter(|e| &*e.ev == "look");
    looks
        .map(|e| {
            e.rec
                .get()
                .trim_matches(|c: char| !c.is_ascii_digit())
                .parse()
                .unwrap()
        })
        .collect()
}

/// A session begun after reading what is there.
fn next_session(disk: Box<dyn Disk>, root: &Path) -> Session {
    let newest = read(root).newest;
    let rng = fastrand::Rng::with_seed(8);
    Session::new(disk, Folder::new(root), "0.1.0", newest, rng)
}

#[test]
fn nothing_is_written_before_the_first_record() {
    let dir = book();
    let mut session = session_on(Box::new(RealDisk), dir.path());
    session.append(&[], &clock()).unwrap();
    session.retry(&clock()).unwrap();
    session.finish(&clock()).unwrap();
    assert!(session.unsaved_lines().is_empty());
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 0);
}

#[test]
fn a_session_is_one_private_file_from_session_to_end() {
    let dir = book();
    let root = dir.path().join("deep/book");
    let mut session = session_on(Box::new(RealDisk), &root);
    let ids = session.append(&look(1), &clock()).unwrap();
    session
        .append(&[look(2), look(3)].concat(), &clock())
        .unwrap();
    session.finish(&clock()).unwrap();
    session.finish(&clock()).unwrap();
    assert!(ids[0].as_str().ends_with("-1"));
    let log = read(&root);
    let names: Vec<&str> = log.entries.iter().map(|e| &*e.ev).collect();
    assert_eq!(names, ["session", "look", "look", "look", "end"]);
    assert_eq!(log.entries[4].rec.get(), "{\"n\":3}");
    assert!(log.files[0].ended && !log.files[0].live);
    assert!(log.files[0].path.starts_with("log/2026"));
    let mode = |path: PathBuf| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(root.join(&log.files[0].path)), 0o600);
    for folder in ["", "log", "log/2026"] {
        assert_eq!(mode(root.join(folder)), 0o700);
    }
    assert!(root.join("README.txt").exists());
}

#[test]
fn the_device_keeps_its_id_and_sessions_differ() {
    let dir = book();
    let mut first = session_on(Box::new(RealDisk), dir.path());
    first.append(&look(1), &clock()).unwrap();
    let mut second = next_session(Box::new(RealDisk), dir.path());
    assert_eq!(second.device(), first.device());
    second.append(&look(2), &clock()).unwrap();
    assert_eq!(looks(dir.path()), [1, 2]);
    assert!(read(dir.path()).files.iter().all(|f| f.live));
}

#[test]
fn the_acknowledgement_comes_after_write_and_sync_in_that_order() {
    let dir = book();
    let disk = FaultyDisk::sound();
    let mut session = session_on(Box::new(disk.clone()), &dir.path().join("new"));
    session.append(&look(1), &clock()).unwrap();
    let calls = disk.calls();
    // Each new folder's name is synced in its parent; then file, content, and all names once more.
    let made = [
        Op::MakeDir,
        Op::MakeDir,
        Op::MakeDir,
        Op::SyncDir,
        Op::MakeDir,
        Op::SyncDir,
        Op::MakeDir,
        Op::SyncDir,
        Op::Create,
        Op::Write,
        Op::SyncAll,
        Op::SyncDir,
        Op::SyncDir,
        Op::SyncDir,
    ];
    assert_eq!(calls[..made.len()], made);
    session.append(&look(2), &clock()).unwrap();
    assert!(disk.calls().ends_with(&[Op::Write, Op::SyncData]));
}

#[test]
fn short_counts_and_interruptions_are_gone_on_from() {
    let dir = book();
    let disk = FaultyDisk::sound().writing_at_most(7);
    let mut session = session_on(Box::new(disk), dir.path());
    session.append(&look(1), &clock()).unwrap();
    let disk = FaultyDisk::failing(Op::Write, 0..3).with_error(ErrorKind::Interrupted);
    let mut session = next_session(Box::new(disk), dir.path());
    session.append(&look(2), &clock()).unwrap();
    assert_eq!(looks(dir.path()), [1, 2]);
}

#[test]
fn a_full_disk_leaves_no_trace_and_the_records_wait() {
    for taken in [0, 1, 100] {
        let dir = book();
        let disk = FaultyDisk::sound().taking(taken);
        let mut session = session_on(Box::new(disk.clone()), dir.path());
        session.append(&look(1), &clock()).unwrap();
        disk.fail(Op::Write, 0..100);
        for n in 2..4 {
            let refused = session.append(&look(n), &clock());
            assert!(
                matches!(refused, Err(LogbookError::NotSaved { unsaved, .. }) if unsaved == n as usize - 1)
            );
        }
        assert_eq!(looks(dir.path()), [1]);
        assert_eq!(session.unsaved(), 2);
        assert_eq!(session.unsaved_lines().len(), 2);
        assert_eq!(session.latest()[0].rec.get(), "{\"n\":3}");
        disk.heal();
        session.retry(&clock()).unwrap();
        assert_eq!((session.unsaved(), files(dir.path()).len()), (0, 1));
        session.finish(&clock()).unwrap();
        assert_eq!(looks(dir.path()), [1, 2, 3]);
    }
}

#[test]
fn a_full_disk_from_the_start_leaves_at_most_one_empty_file() {
    let dir = book();
    let disk = FaultyDisk::failing(Op::Write, 0..100).taking(50);
    let mut session = session_on(Box::new(disk.clone()), dir.path());
    assert!(session.append(&look(1), &clock()).is_err());
    for _ in 0..5 {
        assert!(session.retry(&clock()).is_err());
    }
    assert_eq!(session.unsaved(), 1);
    assert_eq!(files(dir.path()).len(), 1);
    disk.heal();
    session.retry(&clock()).unwrap();
    assert_eq!(looks(dir.path()), [1]);
    assert_eq!(files(dir.path()).len(), 1);
}

#[test]
fn a_file_that_cannot_be_cut_back_is_left_with_its_torn_end() {
    let dir = book();
    let disk = FaultyDisk::sound().taking(40);
    let mut session = session_on(Box::new(disk.clone()), dir.path());
    session.append(&look(1), &clock()).unwrap();
    disk.fail(Op::Write, 0..2);
    // The writer refuses to cut a file that someone else has made longer.
    let path = dir.path().join(&files(dir.path())[0]);
    let mut text = fs::read(&path).unwrap();
    text.extend_from_slice(b"by hand");
    fs::write(&path, text).unwrap();
    session.append(&look(2), &clock()).unwrap();
    assert_eq!(files(dir.path()).len(), 2);
    let log = read(dir.path());
    assert_eq!(log.entries.len(), 3);
    assert!(fs::read(&path).unwrap().windows(7).any(|w| w == b"by hand"));
}

#[test]
fn after_a_failed_sync_everything_goes_to_a_new_file() {
    let dir = book();
    let disk = FaultyDisk::sound().with_error(ErrorKind::Other);
    let mut session = session_on(Box::new(disk.clone()), dir.path());
    session.append(&look(1), &clock()).unwrap();
    let old = files(dir.path());
    disk.fail(Op::SyncData, 0..1);
    session.append(&look(2), &clock()).unwrap();
    session.append(&look(3), &clock()).unwrap();
    assert_eq!(looks(dir.path()), [1, 2, 3]);
    assert_eq!(files(dir.path()).len(), 2);
    // The new file alone holds all of it.
    fs::remove_file(dir.path().join(&old[0])).unwrap();
    assert_eq!(looks(dir.path()), [1, 2, 3]);
}

#[test]
fn while_no_sync_succeeds_nothing_is_acknowledged_and_no_files_pile_up() {
    for op in [Op::SyncAll, Op::SyncDir, Op::Create, Op::MakeDir] {
        let dir = book();
        let disk = FaultyDisk::failing(op, 0..100).with_error(ErrorKind::Other);
        let mut session = session_on(Box::new(disk.clone()), dir.path());
        for n in 1..4 {
            assert!(session.append(&look(n), &clock()).is_err(), "{op:?}");
        }
        assert_eq!((session.unsaved(), looks(dir.path())), (3, vec![]));
        disk.heal();
        session.retry(&clock()).unwrap();
        assert_eq!(looks(dir.path()), [1, 2, 3]);
    }
}

#[test]
fn a_replaced_or_removed_file_is_noticed_before_the_next_acknowledgement() {
    for replace in [true, false] {
        let dir = book();
        let mut session = session_on(Box::new(RealDisk), dir.path());
        session.append(&look(1), &clock()).unwrap();
        let path = dir.path().join(&files(dir.path())[0]);
        if replace {
            let older = dir.path().join("older");
            fs::write(&older, "").unwrap();
            fs::rename(&older, &path).unwrap();
        } else {
            fs::remove_file(&path).unwrap();
        }
        session.append(&look(2), &clock()).unwrap();
        assert_eq!(looks(dir.path()), [1, 2]);
    }
}

#[test]
fn another_folder_can_take_over() {
    let (dir, stick) = (book(), book());
    fs::write(stick.path().join("device.json"), "{\"device\":\"abc123\"}").unwrap();
    let disk = FaultyDisk::sound();
    let mut session = session_on(Box::new(disk.clone()), dir.path());
    session.append(&look(1), &clock()).unwrap();
    disk.fail(Op::Write, 0..100);
    assert!(session.append(&look(2), &clock()).is_err());
    assert!(session.move_to(stick.path(), &clock()).is_err());
    assert_eq!(session.folder().root(), dir.path());
    assert_eq!(files(stick.path()).len(), 0);
    disk.heal();
    session.move_to(stick.path(), &clock()).unwrap();
    session.append(&look(3), &clock()).unwrap();
    assert_eq!(session.unsaved(), 0);
    assert_eq!(looks(stick.path()), [1, 2, 3]);
    let theirs = fs::read_to_string(stick.path().join("device.json")).unwrap();
    assert_eq!(theirs, "{\"device\":\"abc123\"}");
    assert_eq!(looks(dir.path()), [1]);
}

#[test]
fn one_refused_record_leaves_the_session_as_it_was() {
    let dir = book();
    let mut session = session_on(Box::new(RealDisk), dir.path());
    let batch = [look(1)[0].clone(), ("look", "[".to_owned())];
    assert!(matches!(
        session.append(&batch, &clock()),
        Err(LogbookError::BadRecord { .. })
    ));
    assert!(session.latest().is_empty());
    assert_eq!(session.unsaved(), 0);
    session.append(&look(1), &clock()).unwrap();
    session.finish(&clock()).unwrap();
    assert_eq!(looks(dir.path()), [1]);
}

#[test]
fn order_holds_though_the_clock_jumps() {
    let dir = book();
    let clock = clock();
    let start = clock.now();
    let mut session = session_on(Box::new(RealDisk), dir.path());
    for (n, days) in [(1, 0), (2, -1), (3, -20_000), (4, 1), (5, 0)] {
        clock.set(start + chrono::Duration::days(days));
        session.append(&look(n), &clock).unwrap();
    }
    let log = read(dir.path());
    assert_eq!(looks_of(&log), [1, 2, 3, 4, 5]);
    // One record is a day ahead of the clock it is read by, and that is told.
    let told: Vec<_> = log.problems.iter().map(|p| p.kind).collect();
    assert_eq!(told, [ProblemKind::ClockBehind]);
}

#[test]
fn a_long_session_goes_on_as_a_new_one() {
    let dir = book();
    let mut session = session_on(Box::new(RealDisk), dir.path());
    let note = format!("{{\"n\":1,\"note\":\"{}\"}}", "x".repeat(60_000));
    let batch: Vec<_> = (0..150).map(|_| ("note", note.clone())).collect();
    session.append(&batch, &clock()).unwrap();
    session.append(&look(2), &clock()).unwrap();
    session.finish(&clock()).unwrap();
    assert_eq!(looks(dir.path()), [2]);
    let log = read(dir.path());
    assert_eq!((log.files.len(), log.entries.len()), (2, 155));
    assert!(log.files.iter().all(|f| f.ended));
}

/// All the records of years under one reading of the clock, as a file of theirs is recorded: the counter
/// of a mark carries into its milliseconds, so that they keep their order and can be sealed.
#[test]
fn what_is_recorded_in_one_millisecond_keeps_its_order_and_can_be_sealed() {
    let dir = book();
    let mut session = session_on(Box::new(RealDisk), dir.path());
    let given = |n: u32| crate::logbook::whole::Given {
        id: None,
        ev: "look".into(),
        rec: format!("{{\"n\":{n}}}"),
    };
    let all: Vec<_> = (0..70_000).map(given).collect();
    session.append_whole_file(&all, &clock()).unwrap();
    session.append(&look(70_000), &clock()).unwrap();
    session.finish(&clock()).unwrap();
    let mut later = next_session(Box::new(RealDisk), dir.path());
    later.append(&look(70_001), &clock()).unwrap();
    let log = read(dir.path());
    assert!(log.problems.is_empty(), "{:?}", log.problems);
    assert!(looks_of(&log).into_iter().eq(0..=70_001));
    let sealed = crate::logbook::seal::sealed(&log, None).unwrap();
    assert_eq!((sealed.listing.len(), sealed.left_out), (70_002, 0));
    assert_eq!(sealed.code.to_string().len(), 35);
}

#[test]
fn a_record_at_the_turn_of_a_long_session_waits_like_any_other() {
    let dir = book();
    let disk = FaultyDisk::sound();
    let mut session = session_on(Box::new(disk.clone()), dir.path());
    let note = format!("{{\"n\":1,\"note\":\"{}\"}}", "x".repeat(60_000));
    let batch: Vec<_> = (0..150).map(|_| ("note", note.clone())).collect();
    session.append(&batch, &clock()).unwrap();
    disk.fail(Op::Write, 0..100);
    for n in 2..4 {
        assert!(session.append(&look(n), &clock()).is_err());
        assert_eq!(
            (session.unsaved(), session.latest().len()),
            (n as usize - 1, 1)
        );
    }
    disk.heal();
    session.append(&look(4), &clock()).unwrap();
    session.append(&look(5), &clock()).unwrap();
    session.finish(&clock()).unwrap();
    assert_eq!(looks(dir.path()), [2, 3, 4, 5]);
    assert_eq!(files(dir.path()).len(), 2);
}
