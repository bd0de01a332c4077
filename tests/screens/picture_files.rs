//! Pictures taken in from the newest of a folder, moved to another item, looked at where parts, places and
//! services are named.

use std::fs::{File, write};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, SystemTime};

use handlamp::logbook::book::Book;
use handlamp::paint::glyphs::Glyphs;
use handlamp::paint::theme::{Theme, ThemeName};
use image::codecs::jpeg::JpegEncoder;
use image::{Rgb, RgbImage};
use ratatui::style::Color;

use crate::stage::Stage;

/// A JPEG of a colour, taken at a time by its camera where that is told: Exif 2.3, 4.6.2, field by field.
fn photograph(colour: [u8; 3], time: Option<&str>) -> Vec<u8> {
    let mut plain = Vec::new();
    let picture = RgbImage::from_pixel(60, 40, Rgb(colour));
    let mut encoder = JpegEncoder::new_with_quality(&mut plain, 90);
    encoder.encode_image(&picture).expect("encoded");
    let Some(time) = time else { return plain };
    let mut told = b"Exif\0\0MM\0*\0\0\0\x08\0\x01".to_vec();
    told.extend_from_slice(&[0x87, 0x69, 0, 4, 0, 0, 0, 1, 0, 0, 0, 26, 0, 0, 0, 0]);
    told.extend_from_slice(&[0, 1, 0x90, 3, 0, 2, 0, 0, 0, 20, 0, 0, 0, 44, 0, 0, 0, 0]);
    told.extend_from_slice(time.as_bytes());
    told.push(0);
    let length = u16::try_from(told.len() + 2).expect("short").to_be_bytes();
    [&plain[..2], &[0xFF, 0xE1], &length[..], &told, &plain[2..]].concat()
}

const RED: [u8; 3] = [255, 0, 0];
const BLUE: [u8; 3] = [0, 0, 255];
const ELBOW: &str = "exhaust-elbow";

/// A folder of four: the newest taken red, the last by its file blue.
fn folder(stage: &Stage) -> PathBuf {
    let folder = stage.dir.path().join("pictures");
    std::fs::create_dir(&folder).expect("made");
    let put = |name: &str, bytes: &[u8]| {
        let path = folder.join(name);
        write(&path, bytes).expect("written");
        // All copied at one moment, a week ago.
        let at = SystemTime::UNIX_EPOCH + Duration::from_secs(1_777_190_400);
        let file = File::options().write(true).open(&path).expect("open");
        file.set_modified(at).expect("dated");
    };
    put(
        "two.jpg",
        &photograph([0, 200, 0], Some("2026:05:03 07:20:00")),
    );
    put("one.jpg", &photograph(RED, Some("2026:05:03 07:30:00")));
    put(
        "three.jpg",
        &photograph([9, 9, 9], Some("2026:05:02 18:00:00")),
    );
    put("scan.jpg", &photograph(BLUE, None));
    folder
}

/// The line with the folder in it, at the drive belt.
fn at_the_belt() -> (Stage, PathBuf) {
    let mut stage = Stage::demo();
    let folder = folder(&stage);
    stage.keys("enter enter / 'drive belt' enter C");
    stage.keys(&format!("'{}/'", folder.display()));
    (stage, folder)
}

/// Names of the pictures of an item in the last walk, those ahead of its look too.
fn pictures(stage: &Stage, item: &str) -> Vec<String> {
    pictures_in(&stage.book(), item)
}

fn pictures_in(book: &Book, item: &str) -> Vec<String> {
    let history = book.history();
    let walk = history.walks.last().expect("a walk");
    let drafts = history.drafts.iter().filter(|d| d.item == item);
    let drafts = drafts.flat_map(|d| d.details.photos.clone());
    let looks = walk.looks.iter().filter(|t| t.look.item == item);
    let looks = looks.flat_map(|t| t.look.photos.clone());
    drafts.chain(looks).map(|photo| photo.path).collect()
}

/// The shot without what the folder is called.
fn shot(stage: &Stage, folder: &Path, (columns, rows): (u16, u16)) -> String {
    let path = format!("{}/", folder.display());
    let text = stage.text(columns, rows);
    let kept = text.replace(&path, &" ".repeat(path.len()));
    let lines = kept.lines().map(str::trim_end);
    crate::counts::without_counts(&(lines.collect::<Vec<_>>().join("\n") + "\n"))
}

fn drawn_in(stage: &Stage, colour: u8) -> usize {
    let buffer = stage.buffer(140, 45);
    let cells = buffer.content.iter();
    cells
        .filter(|cell| cell.symbol() == "▀" && cell.fg == Color::Indexed(colour))
        .count()
}

#[test]
fn three_pictures_of_an_item_take_five_keys() {
    let (mut stage, _) = at_the_belt();
    stage.keys("down down down enter enter");
    assert_eq!(pictures(&stage, "drive-belt"), ["scan.jpg"]);
    // The folder stands there from now on, the newest that was not taken in under the arrow.
    stage.keys("/ 'dipstick' enter");
    let keys = "C enter pgdn pgdn enter";
    assert_eq!(keys.split(' ').count(), 5);
    stage.keys(keys);
    assert_eq!(
        pictures(&stage, "engine-oil-level"),
        ["one.jpg", "two.jpg", "three.jpg"]
    );
    // One stands in the walk again.
    stage.keys("2");
    assert!(!stage.text(80, 24).contains("what does it show"));
}

#[test]
fn the_newest_by_the_camera_stands_first_and_is_shown_small() {
    let (mut stage, folder) = at_the_belt();
    let text = stage.text(140, 45);
    let place = |name: &str| text.find(name).unwrap_or_else(|| panic!("{name}: {text}"));
    assert!(place("one.jpg") < place("two.jpg") && place("two.jpg") < place("three.jpg"));
    assert!(
        place("three.jpg") < place("scan.jpg"),
        "the file is a week old"
    );
    assert!(
        text.contains("today 07:30") && text.contains("file"),
        "{text}"
    );
    assert_eq!(drawn_in(&stage, 196), 0, "opened once no key comes");
    stage.wait_for("▀");
    assert!(drawn_in(&stage, 196) > 100, "red");
    for size in [(140, 45), (80, 24), (60, 20)] {
        insta::assert_snapshot!(
            format!("picture_files_{}", size.0),
            shot(&stage, &folder, size)
        );
    }
    stage.keys("down down down");
    stage.wait_for("▀");
    assert!(drawn_in(&stage, 21) > 100, "blue");
    stage.keys("enter");
    let text = stage.text(80, 24);
    assert!(
        text.contains("scan.jpg") && text.contains("what does it show?"),
        "{text}"
    );
    assert!(
        !text.contains("the next one"),
        "none stands behind the last: {text}"
    );
    stage.keys("'rust below' enter C enter");
    let text = stage.text(80, 24);
    assert!(text.contains("scan.jpg (kept)"), "{text}");
    assert_eq!(pictures(&stage, "drive-belt"), ["scan.jpg"]);
}

#[test]
fn a_path_is_typed_as_ever_and_dropped_behind_the_folder() {
    let (mut stage, folder) = at_the_belt();
    stage.keys("'thr' tab");
    assert!(stage.text(80, 24).contains("three.jpg"));
    stage.keys("enter enter");
    stage.keys("C enter");
    stage.paste(&format!("'{}'", folder.join("two.jpg").display()));
    stage.keys("enter enter");
    assert_eq!(pictures(&stage, "drive-belt"), ["three.jpg", "two.jpg"]);
}

#[test]
fn what_vanishes_or_cannot_be_read_is_said_and_nothing_is_lost() {
    let (mut stage, folder) = at_the_belt();
    std::fs::remove_file(folder.join("one.jpg")).expect("gone");
    stage.keys("enter");
    let text = stage.text(80, 24);
    assert!(text.contains("one.jpg is not there"), "{text}");
    // The list is made anew, and goes on.
    stage.keys("enter enter");
    assert_eq!(pictures(&stage, "drive-belt"), ["two.jpg"]);
    let avif = b"\0\0\0\x14ftypavif\0\0\0\0mif1";
    write(folder.join("zero.jpg"), avif).expect("written");
    stage.keys("C enter");
    stage.wait_for("not shown");
    stage.keys("enter");
    let text = stage.text(80, 24);
    assert!(text.contains("AVIF") && text.contains("as JPEG"), "{text}");
    write(
        folder.join("a\u{1b}[2J.jpg"),
        photograph(RED, Some("2026:05:03 07:39:00")),
    )
    .expect("written");
    stage.keys("esc C enter");
    let text = stage.text(80, 24);
    assert!(!text.contains('\u{1b}'), "{text}");
    stage.keys("down enter");
    assert!(
        stage.text(80, 24).contains("another name first"),
        "{}",
        stage.text(80, 24)
    );
    std::fs::remove_dir_all(&folder).expect("gone");
    stage.keys("esc C enter");
    let text = stage.text(80, 24);
    assert!(text.contains("cannot be read"), "{text}");
    assert_eq!(pictures(&stage, "drive-belt"), ["two.jpg"]);
}

/// At the belt, graded, with two pictures.
fn two_at_the_belt() -> Stage {
    let (mut stage, _) = at_the_belt();
    stage.keys("enter pgdn enter 2 / 'drive belt' enter");
    assert_eq!(pictures(&stage, "drive-belt"), ["one.jpg", "two.jpg"]);
    stage
}

#[test]
fn a_picture_taken_in_at_the_wrong_item_is_moved() {
    let mut stage = two_at_the_belt();
    stage.keys("/ 'mixing elbow' enter 2 / 'drive belt' enter C");
    let text = stage.text(80, 24);
    assert!(text.contains("picture 2 of 2: two.jpg"), "{text}");
    stage.keys("3");
    let text = stage.text(80, 24);
    assert!(text.contains("move it to another item"), "{text}");
    stage.keys("4 'no such thing' enter");
    assert!(
        stage
            .text(80, 24)
            .contains("nothing else in this walk has that")
    );
    stage.keys("ctrl-u 'mixing elbow' enter");
    let text = stage.text(80, 24);
    assert!(
        text.contains("the picture is with Exhaust mixing elbow now"),
        "{text}"
    );
    assert_eq!(pictures(&stage, "drive-belt"), ["one.jpg"]);
    assert_eq!(pictures(&stage, ELBOW), ["two.jpg"]);
    // The report shows it there.
    let report = report(&stage);
    let heading = |photo: &str| {
        let at = report.find(photo).unwrap_or_else(|| panic!("{report}"));
        let heads = report[..at].lines().rev();
        let head = heads.into_iter().find(|line| line.starts_with('#'));
        head.unwrap_or_default().to_owned()
    };
    assert!(
        heading(r"two\.jpg").contains("Exhaust mixing elbow"),
        "{report}"
    );
    assert!(heading(r"one\.jpg").contains("Drive belt"), "{report}");
    // One key takes it all back.
    stage.keys("u");
    assert_eq!(pictures(&stage, "drive-belt"), ["one.jpg", "two.jpg"]);
    assert!(pictures(&stage, ELBOW).is_empty());
}

/// The report of the logbook in Markdown an hour later, by the command.
fn report(stage: &Stage) -> String {
    let to = stage.dir.path().join("report.md");
    let later = "2026-05-03T08:40:00+02:00";
    let out = Command::new(env!("CARGO_BIN_EXE_handlamp"))
        .env_clear()
        .env("HANDLAMP_CONFIG_DIR", stage.dir.path().join("config"))
        .arg("--logbook")
        .arg(stage.dir.path())
        .args(["--now", later, "report", "now", "--to"])
        .arg(&to)
        .output()
        .expect("it runs");
    assert!(out.status.success(), "{out:?}");
    std::fs::read_to_string(to).expect("a report")
}

#[test]
fn a_move_that_breaks_off_leaves_the_picture_somewhere() {
    let mut stage = two_at_the_belt();
    stage.keys("/ 'dipstick' enter 0");
    let lines = |stage: &Stage| -> Vec<(PathBuf, Vec<String>)> {
        let log = stage.dir.path().join("log");
        let mut files = Vec::new();
        let mut folders = vec![log];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).expect("a folder") {
                let path = entry.expect("an entry").path();
                match path.is_dir() {
                    true => folders.push(path),
                    false => {
                        let text = std::fs::read_to_string(&path).expect("read");
                        files.push((path, text.lines().map(str::to_owned).collect()));
                    }
                }
            }
        }
        files.sort();
        files
    };
    let before = lines(&stage);
    stage.keys("/ 'drive belt' enter C 3 4 'dipstick' enter");
    let after = lines(&stage);
    let (path, all) = after
        .iter()
        .find(|file| !before.contains(file))
        .expect("the file of this session");
    let kept = before
        .iter()
        .find(|(known, _)| known == path)
        .map_or(0, |(_, l)| l.len());
    assert_eq!(all.len() - kept, 4, "two looks, and two taken back");
    let told = |stage: &Stage| {
        let book = stage.book();
        let at = |item| pictures_in(&book, item);
        (at("drive-belt"), at("engine-oil-level"))
    };
    for lines in kept..=all.len() {
        let text = all[..lines].join("\n") + "\n";
        write(path, text).expect("written");
        let walk = stage.last_walk();
        for item in ["drive-belt", "engine-oil-level"] {
            let looks = || walk.looks.iter().filter(|t| t.look.item == item);
            assert!(looks().count() > 0, "{lines}: the look at {item}");
        }
        let (belt, oil) = told(&stage);
        assert!(belt.contains(&"one.jpg".to_owned()), "{lines}: {belt:?}");
        let two = "two.jpg".to_owned();
        assert!(
            belt.contains(&two) || oil.contains(&two),
            "{lines}: {belt:?} {oil:?}"
        );
    }
    assert_eq!(
        told(&stage),
        (vec!["one.jpg".to_owned()], vec!["two.jpg".to_owned()])
    );
    // On record as it stands, whatever ends the program.
    let stage = stage.killed();
    assert_eq!(pictures(&stage, "engine-oil-level"), ["two.jpg"]);
}

#[test]
fn a_picture_is_moved_ahead_of_a_look_and_goes_along_with_it() {
    let mut stage = two_at_the_belt();
    stage.keys("C 3 4 'dipstick' enter");
    let text = stage.text(80, 24);
    assert!(text.contains("its grade takes it along"), "{text}");
    assert_eq!(pictures(&stage, "drive-belt"), ["one.jpg"]);
    stage.keys("/ 'dipstick' enter 0");
    assert_eq!(pictures(&stage, "engine-oil-level"), ["two.jpg"]);
}

#[test]
fn pictures_of_parts_places_and_services_are_looked_at_where_they_are_named() {
    let (mut stage, folder) = at_the_belt();
    stage.keys("esc esc esc");
    let red = folder.join("one.jpg");
    // A part, on the screen of what is due.
    stage.keys("q / 'impeller' enter C");
    let text = stage.text(80, 24);
    assert!(text.contains("no picture on record"), "{text}");
    stage.keys(&format!("N C ctrl-u '{}' enter", red.display()));
    stage.keys("up C");
    let text = stage.text(80, 24);
    assert!(
        text.contains("look at it") && text.contains("take it off"),
        "{text}"
    );
    stage.keys("1");
    assert!(drawn_in(&stage, 196) > 100, "{}", stage.text(140, 45));
    stage.keys("esc esc C");
    assert!(drawn_in(&stage, 196) > 100, "{}", stage.text(140, 45));
    // A place, on the screen of what is known of her.
    stage.keys("esc esc f2 / 'seacock' enter");
    stage.keys(&format!(
        "C ctrl-u '{}' enter",
        folder.join("scan.jpg").display()
    ));
    stage.keys("C 1");
    assert!(drawn_in(&stage, 21) > 100, "{}", stage.text(140, 45));
    stage.keys("esc C 3");
    assert!(
        stage.text(80, 24).contains("taken off"),
        "{}",
        stage.text(80, 24)
    );
}

#[test]
fn in_the_dark_and_without_colour_the_small_picture_is_told_otherwise() {
    for (name, glyphs, sign) in [
        (ThemeName::Night, Glyphs::Unicode, "▀"),
        (ThemeName::Mono, Glyphs::Unicode, "+"),
        (ThemeName::Plain, Glyphs::Ascii, "+"),
    ] {
        let mut stage = Stage::demo_in(Theme { name, glyphs });
        let folder = folder(&stage);
        stage.keys("enter enter / 'drive belt' enter C");
        stage.keys(&format!("'{}/'", folder.display()));
        stage.wait_for(&sign.repeat(20));
        let text = stage.text(110, 30);
        assert!(glyphs == Glyphs::Unicode || text.is_ascii(), "{text}");
        if name == ThemeName::Night {
            let buffer = stage.buffer(110, 30);
            let drawn = buffer.content.iter().filter(|cell| cell.symbol() == "▀");
            assert!(drawn.clone().count() > 50);
            for cell in drawn {
                assert!(matches!(cell.fg, Color::Rgb(_, 0, 0)), "{:?}", cell.fg);
            }
        }
    }
}
