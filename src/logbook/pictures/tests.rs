use std::os::unix::fs::{PermissionsExt, symlink};
use std::time::{Duration, SystemTime};

use super::*;
use crate::photo::tests::{at_time, jpeg};

struct Place(tempfile::TempDir);

impl Place {
    fn new() -> Place {
        Place(tempfile::tempdir().expect("a folder"))
    }

    /// A file written so many minutes after a Sunday morning, 8:00 in UTC.
    fn file(&self, name: &str, bytes: &[u8], minutes: u64) -> PathBuf {
        let path = self.0.path().join(name);
        fs::write(&path, bytes).expect("written");
        let at = SystemTime::UNIX_EPOCH + Duration::from_secs(1_777_795_200 + 60 * minutes);
        let file = fs::OpenOptions::new().write(true).open(&path);
        file.and_then(|file| file.set_modified(at)).expect("dated");
        path
    }

    fn listed(&self) -> Listed {
        let zone = FixedOffset::east_opt(7200).expect("a zone");
        pictures_in(self.0.path(), zone).expect("a list")
    }

    fn names(&self) -> Vec<String> {
        let pictures = self.listed().pictures.into_iter();
        pictures.map(|found| found.name).collect()
    }
}

#[test]
fn the_newest_stand_first_by_the_time_they_were_taken() {
    let place = Place::new();
    let plain = jpeg(8, 8);
    // Copied in another order than they were taken in.
    place.file("b.jpg", &at_time("2026:05:03 09:10:00"), 5);
    place.file("a.jpg", &at_time("2026:05:03 09:20:00"), 1);
    place.file("c.JPG", &at_time("2026:05:02 23:59:59"), 9);
    // 8:15 in UTC is 10:15 here.
    place.file("plain.jpeg", &plain, 15);
    place.file("blank.jpg", &at_time("    :  :     :  :  "), 0);
    assert_eq!(
        place.names(),
        ["plain.jpeg", "blank.jpg", "a.jpg", "b.jpg", "c.JPG"]
    );
    let listed = place.listed().pictures;
    let told: Vec<_> = listed
        .iter()
        .map(|found| (found.at.format("%H:%M").to_string(), found.tells))
        .collect();
    let expected = [("10:15", false), ("10:00", false), ("09:20", true)];
    for (told, (at, tells)) in told.iter().zip(expected) {
        assert_eq!((told.0.as_str(), told.1), (at, tells));
    }
    // Of one time the last name comes first.
    place.file("d.jpg", &at_time("2026:05:03 09:20:00"), 1);
    assert_eq!(place.names()[2..4], ["d.jpg", "a.jpg"]);
}

#[test]
fn what_only_pretends_to_be_a_picture_is_not_listed() {
    let place = Place::new();
    let good = place.file("good.jpg", &jpeg(8, 8), 0);
    place.file("words.jpg", b"words", 1);
    place.file("empty.png", b"", 1);
    place.file("notes.txt", &jpeg(8, 8), 1);
    place.file(".hidden.jpg", &jpeg(8, 8), 1);
    let locked = place.file("locked.jpg", &jpeg(8, 8), 1);
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o000)).expect("locked");
    symlink(&good, place.0.path().join("link.jpg")).expect("linked");
    symlink(place.0.path(), place.0.path().join("round.jpg")).expect("linked");
    let pipe = place.0.path().join("pipe.jpg");
    rustix::fs::mkfifoat(rustix::fs::CWD, &pipe, 0o600.into()).expect("a pipe");
    fs::create_dir(place.0.path().join("folder.jpg")).expect("made");
    let mut names = place.names();
    // Whoever is root may read all.
    names.retain(|name| name != "locked.jpg");
    assert_eq!(names, ["good.jpg"]);
    assert!(
        pictures_in(
            &place.0.path().join("none"),
            FixedOffset::east_opt(0).expect("a zone")
        )
        .is_err()
    );
}

#[test]
fn a_name_that_would_act_is_shown_by_marks_and_keeps_its_file() {
    let place = Place::new();
    let path = place.file("a\u{1b}[2J\u{202e}gpj.jpg", &jpeg(8, 8), 0);
    let listed = place.listed().pictures;
    assert_eq!(listed[0].path, path);
    assert!(
        !listed[0].name.contains(['\u{1b}', '\u{202e}']),
        "{:?}",
        listed[0].name
    );
    assert_ne!(
        Some(listed[0].name.as_str()),
        path.file_name().and_then(|n| n.to_str())
    );
}

#[test]
fn of_many_only_the_newest_are_opened_and_the_rest_is_counted() {
    let place = Place::new();
    let one = jpeg(8, 8);
    for n in 0..LISTED as u64 + 7 {
        place.file(&format!("{n:03}.jpg"), &one, n);
    }
    let listed = place.listed();
    assert_eq!(
        (listed.pictures.len(), listed.older, listed.is_cut),
        (LISTED, 7, false)
    );
    assert_eq!(listed.pictures[0].name, format!("{:03}.jpg", LISTED + 6));
}

#[test]
fn of_a_huge_folder_the_rest_is_not_looked_at_and_that_is_said() {
    let place = Place::new();
    for n in 0..=MOST {
        fs::File::create(place.0.path().join(format!("{n}.txt"))).expect("made");
    }
    assert!(place.listed().is_cut);
}

#[test]
fn what_is_shown_before_it_is_taken_has_a_limit_and_may_be_gone() {
    let place = Place::new();
    let good = place.file("good.jpg", &jpeg(400, 200), 0);
    let shown = small(&good, 100).expect("shown");
    assert_eq!((shown.width, shown.height), (100, 50));
    fs::remove_file(&good).expect("gone");
    assert_eq!(
        small(&good, 100),
        Err("it is not there any more".to_owned())
    );
    let great = place.file("great.jpg", &jpeg(8, 8), 0);
    let file = fs::OpenOptions::new().write(true).open(&great);
    file.and_then(|f| f.set_len(MOST_SHOWN + 1)).expect("grown");
    let why = small(&great, 100).expect_err("too large");
    assert!(why.contains("too large"), "{why}");
    let mut vast = jpeg(8, 8);
    let at = vast
        .windows(2)
        .position(|w| w == [0xFF, 0xC0])
        .expect("a frame");
    vast[at + 5..at + 9].copy_from_slice(&[0x20, 0, 0x20, 0]);
    let why = small(&place.file("vast.jpg", &vast, 0), 100).expect_err("too many");
    assert!(why.contains("too many pixels"), "{why}");
    let half = jpeg(400, 200);
    let half = place.file("half.jpg", &half[..40], 0);
    assert!(small(&half, 100).is_err());
}

#[test]
fn the_folder_last_used_is_known_at_the_next_start() {
    let place = Place::new();
    let kept = place.0.path().join("seen");
    assert_eq!(last_folder(&kept), None);
    keep_folder(&kept, &place.0.path().join("boat/a.jpg"));
    let folder = format!("{}/boat/", place.0.path().display());
    assert_eq!(last_folder(&kept), Some(folder));
    for spoilt in ["boat/", "/a\u{1b}[2J/", "/a/b", ""] {
        fs::write(kept.join(LAST), spoilt).expect("written");
        assert_eq!(last_folder(&kept), None, "{spoilt:?}");
    }
}
