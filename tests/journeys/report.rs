//! A report with photographs takes its time: it is seen how far it is, it can be given up, and the
//! file that was there before stays as it was.

use std::path::PathBuf;
use std::process::Command;

use rustix::process::Signal;
use serde_json::json;
use tempfile::TempDir;

use crate::boat::{new_boat, on};
use crate::harness::{Session, Setup, command_on};

const BINARY: &str = env!("CARGO_BIN_EXE_handlamp");
/// Photographs of the survey, each of 12 megapixels so that they take a while.
const PHOTOGRAPHS: usize = 12;
const EARLIER: &str = "an earlier report";

/// A boat with a survey, and a folder `out` with an earlier report in it.
fn surveyed() -> TempDir {
    let dir = new_boat();
    let at = |name: &str| dir.path().join(name);
    let mut jpeg = Vec::new();
    let mut encoder = image::codecs::jpeg::JpegEncoder::new(&mut jpeg);
    let plain = image::RgbImage::from_pixel(4000, 3000, image::Rgb([90, 120, 60]));
    encoder.encode_image(&plain).expect("encoded");
    let table = jpeg.windows(2).position(|w| w == [0xFF, 0xDB]);
    let last = table.expect("a quantization table") + 5 + 63;
    let items = [
        "engine-space-smell",
        "bilge-water",
        "bilge-oil",
        "fuel-hoses",
        "drive-belt",
        "oil-pressure",
    ];
    let mut looks: Vec<_> = items
        .iter()
        .map(|item| json!({"item":item,"grade":"worn","photos":[]}))
        .collect();
    for n in 0..PHOTOGRAPHS {
        // The last step of the table is for the finest grain, of which there is none here.
        jpeg[last] = n as u8 + 1;
        std::fs::write(at(&format!("{n}.jpg")), &jpeg).expect("written");
        let photo = json!({"path":format!("{n}.jpg"),"caption":format!("number {n}")});
        let photos = looks[n % items.len()]["photos"].as_array_mut();
        photos.expect("a list").push(photo);
    }
    let sheet = json!({"type":"walk","id":"s1","checklist":"survey",
        "at":"2026-05-03T08:00:00+02:00","by":"R. Quay","looks":looks});
    std::fs::write(at("survey.json"), sheet.to_string()).expect("written");
    let recorded = command_on(BINARY, dir.path())
        .arg("record")
        .arg(at("survey.json"))
        .output()
        .expect("it runs");
    assert!(
        recorded.status.success(),
        "{}",
        String::from_utf8_lossy(&recorded.stderr)
    );
    std::fs::create_dir(at("out")).expect("made");
    std::fs::write(target(&dir), EARLIER).expect("written");
    dir
}

fn target(dir: &TempDir) -> PathBuf {
    dir.path().join("out/report.html")
}

/// The earlier report is there byte for byte, and nothing beside it.
#[track_caller]
fn assert_as_it_was(dir: &TempDir) {
    let kept = std::fs::read_to_string(target(dir)).expect("read");
    assert_eq!(kept, EARLIER);
    let beside = std::fs::read_dir(dir.path().join("out")).expect("a folder");
    let names: Vec<_> = beside.map(|e| e.expect("a name").file_name()).collect();
    assert_eq!(names, ["report.html"]);
}

fn command(dir: &TempDir) -> Setup {
    let to = target(dir).display().to_string();
    let book = dir.path().join("book").display().to_string();
    Setup::new(BINARY, &["report", "s1", "--to", &to]).env("HANDLAMP_LOGBOOK", &book)
}

/// Photographs done, as the screen has it.
fn done(screen: &vt100::Screen) -> Option<usize> {
    let contents = screen.contents();
    let (before, _) = contents.split_once(&format!(" of {PHOTOGRAPHS} photographs"))?;
    before.rsplit(' ').next()?.parse().ok()
}

#[track_caller]
fn wait_until_halfway(session: &Session) {
    session.wait_for(|screen| done(screen).is_some_and(|n| (1..PHOTOGRAPHS).contains(&n)));
}

#[test]
fn the_command_says_how_far_it_is_and_leaves_a_clean_line() {
    let dir = surveyed();
    let mut session = command(&dir).start();
    wait_until_halfway(&session);
    assert_eq!(session.exit_status().exit_code(), 0);
    session.wait_for_text("Written to");
    session.wait_until("it has ended", Session::has_ended);
    let screen = session.contents();
    assert!(screen.starts_with("Written to"), "{screen}");
    assert!(!screen.contains("photographs"), "{screen}");
    assert!(!session.raw().contains(&0x1b), "no more than plain text");
    let page = std::fs::read_to_string(target(&dir)).expect("read");
    assert_eq!(page.matches("<img ").count(), PHOTOGRAPHS);
}

#[test]
fn a_command_that_is_interrupted_leaves_everything_as_it_was() {
    let dir = surveyed();
    for (signal, name) in [
        (None, "Interrupt"),
        (Some(Signal::TERM), "Terminated"),
        (Some(Signal::HUP), "Hangup"),
    ] {
        let mut session = command(&dir).start();
        wait_until_halfway(&session);
        match signal {
            Some(signal) => session.signal(signal),
            None => session.send_raw(b"\x03"),
        }
        assert_eq!(session.exit_status().signal(), Some(name));
        session.wait_until("it has ended", Session::has_ended);
        assert_eq!(session.contents().trim(), "", "{name}");
        assert_as_it_was(&dir);
    }
}

#[test]
fn a_signal_that_was_ignored_before_stays_ignored() {
    let dir = surveyed();
    let runner = ["/bin/sh", "-c", r#"trap "" HUP; exec "$@""#, "sh"];
    let mut session = command(&dir).under(&runner).start();
    wait_until_halfway(&session);
    session.signal(Signal::HUP);
    assert_eq!(session.exit_status().exit_code(), 0);
    let page = std::fs::read_to_string(target(&dir)).expect("read");
    assert!(page.ends_with("</html>\n"));
}

/// The screens with a report of the survey under way, over the earlier one.
fn writing(dir: &TempDir, change: impl FnOnce(Setup) -> Setup) -> Session {
    let mut session = change(on(&dir.path().join("book"))).start();
    session.wait_for_text("Morning check");
    session.wait_until_taken();
    session.send("bX");
    session.wait_for_text("What is made of this survey?");
    session.send("1");
    session.wait_for_text("to which file?");
    session.send(&target(dir).display().to_string());
    session.send("<Enter>");
    session.wait_for_text("is there already");
    session.send("2");
    session
}

#[test]
fn the_screen_stays_awake_while_it_writes_and_esc_gives_up() {
    let dir = surveyed();
    let mut session = writing(&dir, |setup| setup);
    wait_until_halfway(&session);
    session.send("?");
    session.wait_for_text("Keys that work here");
    session.send("<Esc>");
    session.resize(60, 20);
    session.wait_for(|screen| screen.size().1.get() == 60 && done(screen).is_some());
    session.send("<Esc>");
    session.wait_for_text("no report was written");
    assert_as_it_was(&dir);
    // Everything is at hand again, and the next attempt is a whole one.
    session.send("X");
    session.wait_for_text("What is made of this survey?");
    session.send("1");
    session.wait_for_text("to which file?");
    session.send(&target(&dir).display().to_string());
    session.send("<Enter>2");
    session.wait_for_text("report written");
    let page = std::fs::read_to_string(target(&dir)).expect("read");
    assert_eq!(page.matches("<img ").count(), PHOTOGRAPHS);
    session.send("<C-c>");
    assert_eq!(session.exit_status().exit_code(), 0);
}

#[test]
fn leaving_meanwhile_leaves_nothing_half_written() {
    let dir = surveyed();
    for signal in [None, Some(Signal::TERM), Some(Signal::HUP)] {
        let mut session = writing(&dir, |setup| setup);
        wait_until_halfway(&session);
        match signal {
            Some(signal) => session.signal(signal),
            None => session.send("<C-c>"),
        }
        session.exit_status();
        session.wait_until_given_back();
        assert_as_it_was(&dir);
    }
}

#[test]
fn a_full_disk_opens_the_question_again_with_the_reason() {
    let dir = surveyed();
    let limit = ["prlimit", "--fsize=40000:"];
    if Command::new(limit[0]).arg("--version").output().is_err() {
        crate::skip::skipped("prlimit", "no limit can be set; no disk was filled");
        return;
    }
    let session = writing(&dir, |setup| setup.under(&limit));
    session.wait_for_text("cannot be written");
    let screen = session.contents();
    assert!(screen.contains("to which file?"), "{screen}");
    assert_as_it_was(&dir);
}

#[test]
fn pictures_that_vanish_meanwhile_are_told_and_the_rest_is_written() {
    let dir = surveyed();
    let session = writing(&dir, |setup| setup);
    wait_until_halfway(&session);
    std::fs::remove_dir_all(dir.path().join("book/photos")).expect("removed");
    session.wait_for_text("cannot be read and are left out");
    let page = std::fs::read_to_string(target(&dir)).expect("read");
    assert!(page.ends_with("</html>\n"));
    let pictures = page.matches("<img ").count();
    assert!((1..PHOTOGRAPHS).contains(&pictures), "{pictures}");
    assert!(page.contains("number 0"), "captions stay");
    drop(session);
}
