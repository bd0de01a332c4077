//! An open logbook beside others that write to the same folder.

use std::fs;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;

use chrono::DateTime;

use super::*;
use crate::boat::Waters;
use crate::defects::Repair;
use crate::logbook::clock::FixedClock;

fn clock(at: &str) -> Rc<FixedClock> {
    let at = DateTime::parse_from_rfc3339(at).expect("a time");
    Rc::new(FixedClock::new(at))
}

fn window(root: &Path, seed: u64) -> Book {
    let library = Arc::new(Library::built_in().clone());
    let clock = clock("2026-05-03T08:00:00+02:00");
    Book::open(root, clock, library, Some(seed)).expect("it opens")
}

fn folder() -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    let library = Arc::new(Library::built_in().clone());
    let boat = Boat::simple("Grey Plover", Waters::Inshore, None);
    let clock = clock("2026-05-03T07:00:00+02:00");
    let mut book = Book::create(dir.path(), boat, clock, library, Some(1)).expect("begun");
    book.finish();
    dir
}

fn repair(done: &str) -> Vec<Record> {
    vec![Record::from(Repair {
        item: "drive-belt".into(),
        machine: Some("main".into()),
        at: None,
        hours: None,
        done: done.into(),
        by: None,
        temporary: None,
        cause: None,
        minutes: None,
    })]
}

fn repairs(book: &Book) -> Vec<String> {
    let repairs = book.history().repairs.iter();
    repairs.map(|r| r.rec.done.clone()).collect()
}

fn files(root: &Path) -> Vec<PathBuf> {
    let year = fs::read_dir(root.join("log/2026")).expect("a year");
    year.map(|file| file.expect("read").path()).collect()
}

#[test]
fn what_others_write_comes_in_and_what_one_wrote_oneself_is_no_news() {
    let dir = folder();
    let (mut a, mut b) = (window(dir.path(), 2), window(dir.path(), 3));
    assert_eq!(a.refresh().expect("read"), None);
    for n in 0..3 {
        a.record(repair(&format!("a{n}"))).expect("recorded");
        assert_eq!(a.refresh().expect("read"), None, "its own record {n}");
    }
    let news = b.refresh().expect("read").expect("news");
    assert_eq!((news.came.len(), news.gone, news.profile), (3, 0, false));
    assert_eq!(b.refresh().expect("read"), None);
    // In a file that was read and grows, in a batch, and in both directions.
    b.record(repair("b0")).expect("recorded");
    a.record(repair("a3")).expect("recorded");
    let batch = repair("b1").into_iter().map(|r| (None, r)).collect();
    b.record_batch(batch).expect("recorded");
    assert_eq!(a.refresh().expect("read").expect("news").came.len(), 2);
    assert_eq!(b.refresh().expect("read").expect("news").came.len(), 1);
    let (mut in_a, mut in_b) = (repairs(&a), repairs(&b));
    in_a.sort();
    in_b.sort();
    assert_eq!(in_a, ["a0", "a1", "a2", "a3", "b0", "b1"]);
    assert_eq!(in_a, in_b);
    assert_eq!(a.others(), 1, "the other window, and not this one");
}

#[test]
fn the_next_record_sorts_after_what_was_read_whatever_the_clock_says() {
    let dir = folder();
    let mut a = window(dir.path(), 2);
    let library = Arc::new(Library::built_in().clone());
    let ahead = clock("2026-05-03T20:00:00+02:00");
    let mut b = Book::open(dir.path(), ahead, library, Some(3)).expect("it opens");
    b.record(repair("later by the clock")).expect("recorded");
    a.refresh().expect("read").expect("news");
    a.record(repair("later in truth")).expect("recorded");
    let again = window(dir.path(), 4);
    let last = again.written().last().expect("records");
    assert!(matches!(&last.record, Record::Repair(r) if r.done == "later in truth"));
    assert!(a.clock_behind().is_some());
}

#[test]
fn names_that_are_not_read_and_time_alone_are_no_change() {
    let dir = folder();
    let mut a = window(dir.path(), 2);
    fs::write(dir.path().join("log/2026/.x.tmp"), "x").expect("written");
    assert_eq!(a.refresh().expect("read"), None);
    fs::create_dir(dir.path().join("log/2027")).expect("made");
    a.refresh().expect("read");
    assert_eq!(a.folders().len(), 4);
    assert_eq!(a.refresh().expect("read"), None);
    let file = files(dir.path()).remove(0);
    let text = fs::read(&file).expect("read");
    fs::write(dir.path().join("log/2027/copy.jsonl"), text).expect("written");
    let news = a.refresh().expect("read").expect("another file");
    assert_eq!((news.came.len(), news.gone), (0, 0));
}

#[test]
fn every_way_of_changing_a_file_is_noticed() {
    let dir = folder();
    let mut b = window(dir.path(), 3);
    b.record(repair("b0")).expect("recorded");
    let file = b.session.own_file().expect("its file").0.to_owned();
    let file = dir.path().join(file);
    let text = fs::read_to_string(&file).expect("read");
    let mut a = window(dir.path(), 2);
    // Cut, where the session has not ended.
    fs::write(&file, &text[..text.len() - 20]).expect("written");
    assert_eq!(a.refresh().expect("read").expect("cut").gone, 1);
    // Another file of the same length under its name.
    fs::write(&file, &text).expect("written");
    a.refresh().expect("read").expect("mended");
    let spoilt = text.replace("b0", "c0");
    let beside = file.with_extension("tmp");
    fs::write(&beside, spoilt).expect("written");
    fs::rename(&beside, &file).expect("moved");
    a.refresh().expect("read").expect("replaced");
    assert!(
        repairs(&a).is_empty(),
        "changed outside, it counts for nothing"
    );
    assert_eq!(a.history().doubts.len(), 1);
    // Gone, and back.
    fs::rename(&file, dir.path().join("kept")).expect("moved");
    assert_eq!(a.refresh().expect("read").expect("gone").gone, 1);
    assert!(a.missing()[0].open);
    assert_eq!(a.condition().not_counted().len(), 1);
    fs::rename(dir.path().join("kept"), &file).expect("moved");
    a.refresh().expect("read").expect("back");
    assert!(a.missing().is_empty());
    assert_eq!(
        a.condition().not_counted().len(),
        1,
        "the line that was changed"
    );
}

#[test]
fn what_is_not_saved_stays_with_the_news() {
    let dir = folder();
    let (mut a, mut b) = (window(dir.path(), 2), window(dir.path(), 3));
    a.record(repair("a0")).expect("recorded");
    // Its file is taken away, and no other can be made.
    let log = dir.path().join("log");
    let own = dir.path().join(a.session.own_file().expect("its file").0);
    fs::remove_file(own).expect("removed");
    let away = dir.path().join("away");
    fs::rename(&log, &away).expect("moved");
    fs::write(&log, "in the way").expect("written");
    a.record(repair("a1")).expect("kept in memory");
    assert_eq!(a.unsaved(), 1);
    fs::remove_file(&log).expect("removed");
    fs::rename(&away, &log).expect("moved");
    b.record(repair("b0")).expect("recorded");
    let news = a.refresh().expect("read").expect("news");
    assert_eq!((news.came.len(), news.gone), (1, 0));
    assert_eq!(a.unsaved(), 1);
    let mut all = repairs(&a);
    all.sort();
    assert_eq!(all, ["a0", "a1", "b0"]);
    assert!(a.retry());
    assert_eq!(repairs(&window(dir.path(), 4)).len(), 3);
}

#[test]
fn a_log_that_is_gone_leaves_in_sight_what_was_read() {
    let dir = folder();
    let mut a = window(dir.path(), 2);
    let records = a.written().len();
    fs::rename(dir.path().join("log"), dir.path().join("away")).expect("moved");
    assert!(a.refresh().is_err());
    assert_eq!(a.written().len(), records);
    let told = a.condition().not_counted();
    assert!(
        told[0].why.contains("what others recorded since"),
        "{told:?}"
    );
    fs::rename(dir.path().join("away"), dir.path().join("log")).expect("moved");
    assert_eq!(a.refresh().expect("read"), None);
    assert!(a.condition().not_counted().is_empty());
}

#[test]
fn a_profile_changed_elsewhere_is_taken_over() {
    let dir = folder();
    let (mut a, mut b) = (window(dir.path(), 2), window(dir.path(), 3));
    let boat = Boat {
        name: "Grey Heron".into(),
        ..b.boat().clone()
    };
    b.set_boat(boat).expect("set");
    assert!(a.refresh().expect("read").expect("news").profile);
    assert_eq!(a.boat().name, "Grey Heron");
}

#[test]
fn a_mark_of_another_window_is_not_lost_by_one_that_has_not_looked() {
    let dir = folder();
    let marks = tempfile::tempdir().expect("a folder");
    let (mut a, mut b) = (window(dir.path(), 2), window(dir.path(), 3));
    a.mind(Some(marks.path()));
    b.mind(Some(marks.path()));
    a.record(repair("a0")).expect("recorded");
    let batch = repair("b0").into_iter().map(|r| (None, r)).collect();
    let id = b.record_batch(batch).expect("recorded").remove(0);
    a.keep_mark();
    let kept = |book: &Book| book.kept_mark().expect("a mark").record;
    assert_eq!(kept(&a), id);
    b.finish();
    a.finish();
    let mut c = window(dir.path(), 5);
    c.mind(Some(marks.path()));
    assert!(c.missing().is_empty());
    assert_eq!(kept(&c), *c.written().last().expect("records").id);
}

/// Whatever records name a picture takes it along: of a part and of a place as of a look.
#[test]
fn the_pictures_of_a_session_go_along_to_another_folder() {
    let (dir, other) = (folder(), tempfile::tempdir().expect("a folder"));
    let picture = |name: &str, colour: u8| {
        let path = dir.path().join(name);
        let pixels = image::RgbImage::from_pixel(8, 8, image::Rgb([colour, 9, 9]));
        pixels.save(&path).expect("a picture");
        path
    };
    let (part, place) = (picture("part.png", 1), picture("place.png", 2));
    let mut book = window(dir.path(), 3);
    let mut keep = |path: &Path| Some(book.keep_photo(path, None).expect("kept"));
    let (part, place) = (keep(&part), keep(&place));
    let kept = |photo: &Option<Photo>| photo.clone().and_then(|p| p.kept).expect("kept");
    let names = [kept(&part), kept(&place)];
    let part = crate::defects::PartSaid {
        photo: part,
        ..crate::defects::PartSaid::of("oil-filter", Some("main"))
    };
    let place = crate::defects::PlacePhoto {
        fact: "seacocks_at".to_owned(),
        photo: place,
        ..crate::defects::PlacePhoto::default()
    };
    let records = vec![Record::from(part), Record::from(place)];
    book.record(records).expect("recorded");
    let root = other.path().join("there");
    assert!(matches!(book.move_to(&root), Ok(Moved::Whole)));
    for name in names {
        assert!(root.join("photos").join(&name).exists(), "{name}");
        assert!(book.photo(&name).is_ok());
    }
    assert_eq!(book.photo_problems(), []);
}
