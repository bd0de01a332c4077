//! A merge is a union: idempotent, commutative, associative, and the source stays as it was.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::*;
use crate::logbook::faulty::{FaultyDisk, Op, book, clock, read};
use crate::logbook::replace::kept_text;
use crate::logbook::{RealDisk, Session};

const BOAT: &str = r#"{"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric","usual_hours_per_month":15,"machines":[]}"#;

fn any_boat(_: Option<&[u8]>, _: Option<&[u8]>) -> bool {
    true
}

/// A session of a device of its own.
fn session(root: &Path, seed: u64) -> Session {
    let rng = fastrand::Rng::with_seed(seed);
    Session::new(Box::new(RealDisk), Folder::new(root), "0", Stamp(0, 0), rng)
}

fn write(root: &Path, seed: u64, looks: usize) {
    let mut session = session(root, seed);
    for n in 0..looks {
        session
            .append(
                &[("look", format!("{{\"n\":{n},\"of\":{seed}}}"))],
                &clock(),
            )
            .unwrap();
    }
}

fn try_join(into: &Path, from: &Path, same_boat: &SameBoat) -> Result<Merged, LogbookError> {
    let (into, from) = (Folder::new(into), Folder::new(from));
    let mut rng = fastrand::Rng::with_seed(5);
    merge(&RealDisk, &into, &from, same_boat, &mut rng)
}

fn join(into: &Path, from: &Path) -> Merged {
    try_join(into, from, &any_boat).unwrap()
}

fn ids(root: &Path) -> Vec<String> {
    let log = read(root);
    assert!(!log.is_damaged(), "{:?}", log.problems);
    log.entries.iter().map(|e| e.id.to_string()).collect()
}

#[test]
fn a_second_merge_brings_nothing() {
    let (a, b) = (book(), book());
    write(a.path(), 1, 3);
    write(b.path(), 2, 4);
    let first = join(a.path(), b.path());
    assert_eq!((first.files, first.records), (1, 5));
    assert_eq!(join(a.path(), b.path()), Merged::default());
    assert_eq!(ids(a.path()).len(), 9);
    assert_eq!(ids(b.path()).len(), 5);
}

#[test]
fn an_older_copy_of_a_file_changes_nothing_and_a_newer_one_stands_beside() {
    let (a, b) = (book(), book());
    write(a.path(), 1, 5);
    let path = find_files(&RealDisk, a.path(), &mut Vec::new())
        .unwrap()
        .remove(0);
    let text = fs::read(a.path().join(&path)).unwrap();
    fs::create_dir_all(b.path().join(path.parent().unwrap())).unwrap();
    fs::write(b.path().join(&path), &text[..text.len() / 2]).unwrap();
    assert_eq!(join(a.path(), b.path()).files, 0);
    assert_eq!(join(b.path(), a.path()).files, 1);
    assert_eq!(ids(a.path()), ids(b.path()));
    assert_eq!(
        fs::read(b.path().join(&path)).unwrap(),
        &text[..text.len() / 2]
    );
}

#[test]
fn a_folder_is_not_merged_into_itself_or_its_inside() {
    let dir = book();
    write(dir.path(), 1, 1);
    let (root, inside) = (dir.path().to_owned(), dir.path().join("copy"));
    let other_name = dir.path().join("log/..");
    for (into, from) in [(&root, &root), (&root, &other_name), (&inside, &root)] {
        let refused = try_join(into, from, &any_boat);
        assert!(matches!(refused, Err(LogbookError::SameFolder { .. })));
    }
}

#[test]
fn another_boat_is_refused_and_a_missing_profile_brought() {
    let (a, b) = (book(), book());
    write(b.path(), 2, 1);
    fs::write(b.path().join("boat.json"), BOAT).unwrap();
    let refused = try_join(a.path(), b.path(), &|_, _| false);
    assert!(matches!(refused, Err(LogbookError::OtherBoat { .. })));
    assert_eq!(fs::read_dir(a.path()).unwrap().count(), 0);
    assert!(join(a.path(), b.path()).boat);
    let brought = Folder::new(a.path()).boat();
    assert_eq!(fs::read_to_string(brought).unwrap(), BOAT);
}

#[test]
fn boats_are_told_apart_by_the_records_of_their_profiles() {
    // A profile recorded by a device.
    let profile = |root: &Path, seed: u64| {
        session(root, seed)
            .append(&[("boat", "{}".to_owned())], &clock())
            .unwrap();
    };
    let tell = |a: &Path, b: &Path| try_join(a, b, &|_, _| false);
    let (a, b, c) = (book(), book(), book());
    profile(a.path(), 1);
    join(b.path(), a.path());
    profile(b.path(), 2);
    profile(c.path(), 3);
    let brought = tell(a.path(), b.path()).unwrap();
    assert!(
        !brought.by_name && brought.files == 1,
        "whatever the names say"
    );
    let other = tell(a.path(), c.path());
    assert!(matches!(other, Err(LogbookError::OtherBoat { .. })));
    // One side has no record of a profile: the names decide, and that is told.
    let d = book();
    write(d.path(), 4, 1);
    fs::write(d.path().join("boat.json"), BOAT).unwrap();
    assert!(matches!(
        tell(a.path(), d.path()),
        Err(LogbookError::OtherBoat { .. })
    ));
    assert!(join(a.path(), d.path()).by_name);
    assert!(
        !join(book().path(), a.path()).by_name,
        "nothing was there to be told apart"
    );
}

#[test]
fn a_file_that_is_no_profile_is_not_brought_along() {
    let (a, b) = (book(), book());
    write(b.path(), 2, 1);
    fs::write(b.path().join("boat.json"), "{").unwrap();
    assert!(!join(a.path(), b.path()).boat);
    assert!(!Folder::new(a.path()).boat().exists());
}

#[test]
fn texts_travel_and_changed_ones_stay_behind() {
    let (a, b) = (book(), book());
    let from = Folder::new(b.path());
    let mut rng = fastrand::Rng::with_seed(5);
    let name = keep_text(&RealDisk, &from, b"{\"rows\":[]}", &mut rng).unwrap();
    fs::write(from.texts().join(format!("{}.json", "0".repeat(64))), "{}").unwrap();
    let merged = join(a.path(), b.path());
    assert_eq!((merged.texts, merged.problems.len()), (1, 1));
    let text = kept_text(&RealDisk, &Folder::new(a.path()), &name).unwrap();
    assert_eq!(text, b"{\"rows\":[]}");
    assert_eq!(join(a.path(), b.path()).texts, 0);
}

#[test]
fn a_merge_stopped_half_way_leaves_no_session_that_misses_another() {
    let (a, b) = (book(), book());
    // Each had read the one before; by name they come in another order.
    let mut newest = Stamp(0, 0);
    for (seed, name) in [(1, "3"), (2, "1"), (3, "5"), (4, "2"), (5, "4")] {
        let own = book();
        let (rng, folder) = (fastrand::Rng::with_seed(seed), Folder::new(own.path()));
        let mut session = Session::new(Box::new(RealDisk), folder, "0", newest, rng);
        let look = [("look", format!("{{\"of\":{seed}}}"))];
        session.append(&look, &clock()).unwrap();
        let log = read(own.path());
        newest = log.newest;
        let to = b.path().join(format!("log/{name}.jsonl"));
        fs::create_dir_all(b.path().join("log")).unwrap();
        fs::copy(own.path().join(&log.files[0].path), to).unwrap();
    }
    assert_eq!(ids(b.path()).len(), 10);
    for done in 1..5 {
        let disk = FaultyDisk::failing(Op::Rename, done..done + 1);
        let (into, from) = (Folder::new(a.path()), Folder::new(b.path()));
        let mut rng = fastrand::Rng::with_seed(5);
        assert!(merge(&disk, &into, &from, &any_boat, &mut rng).is_err());
        assert!(!ids(a.path()).is_empty());
        fs::remove_dir_all(a.path().join("log")).unwrap();
    }
}

#[test]
fn an_interrupted_merge_goes_on() {
    for op in [Op::Create, Op::Write, Op::SyncAll, Op::Rename, Op::SyncDir] {
        let (a, b) = (book(), book());
        write(b.path(), 2, 2);
        let disk = FaultyDisk::failing(op, 0..1);
        let (into, from) = (Folder::new(a.path()), Folder::new(b.path()));
        let mut rng = fastrand::Rng::with_seed(5);
        assert!(
            merge(&disk, &into, &from, &any_boat, &mut rng).is_err(),
            "{op:?}"
        );
        join(a.path(), b.path());
        assert_eq!(ids(a.path()), ids(b.path()));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn the_order_of_merging_does_not_matter(
        sessions in prop::collection::vec((1..8_u8, 1..4_usize), 1..5)
    ) {
        // Bit `c` of a session's mask: copy `c` has it.
        let copies = || {
            let dirs = [book(), book(), book()];
            for (seed, (mask, looks)) in sessions.iter().enumerate() {
                for (c, dir) in dirs.iter().enumerate().filter(|(c, _)| mask & (1 << c) != 0) {
                    let _ = c;
                    write(dir.path(), seed as u64, *looks);
                }
            }
            for dir in &dirs {
                fs::create_dir_all(dir.path().join("log")).unwrap();
            }
            dirs
        };
        let [a, b, c] = copies();
        join(a.path(), b.path());
        join(a.path(), c.path());
        let left = ids(a.path());
        let [a, b, c] = copies();
        join(c.path(), b.path());
        join(a.path(), c.path());
        prop_assert_eq!(&left, &ids(a.path()));
        join(b.path(), a.path());
        prop_assert_eq!(&left, &ids(b.path()));
        prop_assert_eq!(join(b.path(), a.path()), Merged::default());
    }
}
