//! The real program on the demo boat: whole mornings by keys alone, and what a terminal can do to it.

use std::path::Path;
use std::process::Command;
use std::rc::Rc;
use std::sync::Arc;

use handlamp::checklist::{Cadence, Library};
use handlamp::demo;
use handlamp::logbook::{Clock, SystemClock};
use rustix::process::Signal;
use tempfile::TempDir;

use crate::ages;
use crate::harness::{Session, Setup, logbook_of, logged, rows};
use crate::terminal::{
    Program, asks_the_terminal_nothing, ends_when_its_terminal_goes_away, refuses_a_dumb_terminal,
    refuses_what_is_no_terminal, rests_when_nothing_happens, starts_in_any_window,
    stops_and_goes_on, survives_every_size, usable_after_quitting, usable_after_signal,
};

pub const BINARY: &str = env!("CARGO_BIN_EXE_handlamp");

/// The demo boat in a folder of its own.
fn boat() -> TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    let clock: Rc<dyn Clock> = Rc::new(SystemClock::new());
    let library = Arc::new(Library::built_in().clone());
    demo::write_to(dir.path(), clock, &library).expect("the demo boat");
    dir
}

/// A boat of three answers whose ages are told, nothing looked at yet.
pub fn new_boat() -> TempDir {
    let profile = r#"{"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric",
        "usual_hours_per_month":15,"machines":[{"id":"main","name":"Main engine","hours":1200.0}]}"#;
    let now = chrono::Local::now();
    let yesterday = (now - chrono::Duration::days(1)).to_rfc3339();
    let ages = ages::told(&["main"], &yesterday, &yesterday);
    logbook_of(BINARY, profile, &now.to_rfc3339(), &ages).0
}

pub fn on(logbook: &Path) -> Setup {
    Setup::new(BINARY, &[]).env("HANDLAMP_LOGBOOK", &logbook.to_string_lossy())
}

fn program(dir: &TempDir) -> Program {
    Program {
        setup: on(dir.path()),
        ready: "Grey Plover",
        quit: "<C-c>",
    }
}

/// What a command answers in JSON.
pub fn json(logbook: &Path, args: &[&str]) -> serde_json::Value {
    let out = Command::new(BINARY)
        .args(args)
        .arg("--json")
        .env("HANDLAMP_LOGBOOK", logbook)
        .output()
        .expect("it runs");
    serde_json::from_slice(&out.stdout).unwrap_or_else(|e| {
        panic!("{args:?}: {e}: {}", String::from_utf8_lossy(&out.stderr));
    })
}

pub fn start(logbook: &Path) -> Session {
    let session = on(logbook).start();
    session.wait_for_text("Morning check");
    session.wait_until_taken();
    session
}

/// Looks recorded in the last walk.
fn looks_on_disk(logbook: &Path) -> usize {
    let walks = json(logbook, &["walks"]);
    let last = walks["rows"]
        .as_array()
        .and_then(|rows| rows.last().cloned());
    last.and_then(|w| w["seen"].as_u64()).unwrap_or(0) as usize
}

#[test]
fn a_whole_morning_by_keys_alone_all_sound() {
    let dir = new_boat();
    let book = dir.path().join("book");
    let mut session = start(&book);
    let mut keys = 0;
    let mut press = |session: &mut Session, script: &str, count: usize| {
        session.send(script);
        keys += count;
    };
    press(&mut session, "<Enter>", 1);
    session.wait_for_text("Hour meter");
    press(&mut session, "1200.1<Enter>", 7);
    session.wait_for_seen(0);
    let (_, all) = rows(&session.contents()).expect("in a walk");
    for row in 1..=all {
        press(&mut session, "0", 1);
        session.wait_for_seen(row);
    }
    press(&mut session, "f", 1);
    session.wait_for_text("clear to run");
    press(&mut session, "<Enter>", 1);
    session.wait_for_text("as of now");
    // The first morning asks every row; from the second on the weekly ones stay away.
    assert_eq!(keys, all + 10);
    session.send("<Enter>");
    session.wait_for_text("Hour meter");
    session.send("<Enter>");
    session.wait_for_seen(0);
    let daily = Library::built_in().checklist("daily").expect("built in");
    let asked = daily.phases.iter().flat_map(|p| &p.rows);
    let each_time = asked.filter(|row| row.cadence == Cadence::EveryTime);
    assert_eq!(rows(&session.contents()), Some((0, each_time.count())));
    session.send("<C-c>");
    assert_eq!(session.exit_status().exit_code(), 0);
    let verdict = json(&book, &["verdict"]);
    assert_eq!(verdict["at_walk"], "clear-to-run");
    assert_eq!(verdict["not_seen"], serde_json::json!([]));
}

/// From a grade worse than last time to the line for a note: offered by itself, or a line of the question
/// which of several answers the rung is.
fn to_the_note(session: &mut Session) {
    let shows = |screen: &vt100::Screen, all: [&str; 2]| {
        let text = screen.contents();
        all.iter().any(|words| text.contains(words))
    };
    session.wait_for(|screen| shows(screen, ["what of it?", "leave it open"]));
    if session.contents().contains("leave it open") {
        session.take("something else of it");
        session.wait_for(|screen| shows(screen, ["what else of it?", "A note?"]));
    }
    if !session.contents().contains("A note?") {
        session.send("5");
    }
    session.wait_for_text("A note?");
}

#[test]
fn a_morning_with_three_findings_becomes_a_ranked_list() {
    let dir = new_boat();
    let book = dir.path().join("book");
    let mut session = start(&book);
    session.begin_walk();
    // A worn belt with mark, place and note; a damp weep hole; a bowl with water in it.
    for (find, grade, item) in [
        ("belt", "2", ""),
        ("weep hole", "1", ""),
        ("bowl", "1", "6"),
    ] {
        session.send("/");
        session.wait_for_text("Find");
        session.send(find);
        session.send("<Enter>");
        session.send(grade);
        if !item.is_empty() {
            session.wait_for_text("which one?");
            session.send(item);
        }
        to_the_note(&mut session);
        session.send("seen by lamp<Enter>");
    }
    session.send("f");
    session.wait_for_text("have no look yet");
    session.send("2");
    session.wait_for_text("run with care");
    session.send("d");
    session.wait_for_text("3 of 3 rows");
    session.send("<C-c>");
    session.exit_status();
    let list = json(&book, &["defects"]);
    let rows = list["rows"].as_array().expect("rows");
    let items: Vec<_> = rows
        .iter()
        .map(|r| r["item"].as_str().unwrap_or(""))
        .collect();
    let mut named = items.clone();
    named.sort_unstable();
    assert_eq!(
        named,
        ["drive-belt", "fuel-prefilter-bowl", "raw-water-pump-seal"]
    );
    let worst_first = ["high", "serious", "medium", "low"];
    let risks: Vec<_> = rows
        .iter()
        .map(|r| {
            worst_first
                .iter()
                .position(|w| r["risk"] == *w)
                .expect("a risk")
        })
        .collect();
    assert!(risks.is_sorted(), "{items:?} {risks:?}");
}

#[test]
fn a_kill_after_any_acknowledged_grade_loses_nothing_and_the_walk_goes_on_there() {
    let dir = new_boat();
    let book = dir.path().join("book");
    for round in 0..8_usize {
        let mut session = start(&book);
        session.send("<Enter>");
        if round == 0 {
            session.wait_for_text("Hour meter");
            session.send("<Enter>");
        } else {
            session.wait_for_text("going on where it was left");
        }
        let done = round * 2;
        session.wait_for_seen(done);
        session.send("0");
        session.wait_for_seen(done + 1);
        session.send("0");
        session.wait_for_seen(done + 2);
        let seen = looks_on_disk(&book);
        session.kill_9();
        assert_eq!(looks_on_disk(&book), seen);
        assert!(seen >= done + 2, "{seen} looks after {} rows", done + 2);
    }
}

#[test]
fn a_half_typed_note_survives_a_kill() {
    let dir = new_boat();
    let book = dir.path().join("book");
    let mut session = start(&book);
    session.begin_walk();
    session.send("n");
    session.wait_for_text("note");
    session.send("oily smell near");
    session.wait_until("the draft is kept", |_| {
        logged(&book).contains("oily smell near")
    });
    session.kill_9();
    let mut session = start(&book);
    session.wait_for_text("go on");
    session.send("<Enter>");
    session.wait_for_text("oily smell near");
}

#[test]
fn storms_of_sizes_do_not_disturb_a_walk() {
    let dir = new_boat();
    let book = dir.path().join("book");
    let mut session = start(&book);
    session.begin_walk();
    for n in 0..60_u16 {
        session.resize(20 + (n * 7) % 120, 5 + (n * 3) % 50);
        if n % 6 == 0 {
            session.send("0");
        }
    }
    session.resize(80, 24);
    session.wait_for_seen(10);
    assert!(looks_on_disk(&book) >= 10);
}

#[test]
fn no_color_means_no_colour_and_the_selection_is_still_seen() {
    let dir = boat();
    let mut session = on(dir.path()).env("NO_COLOR", "1").start();
    session.wait_for_text("Grey Plover");
    session.send("d");
    session.wait_for_text("rows");
    session.wait_for(|screen| {
        let (rows, columns) = screen.size();
        let inverse = (0..rows.get()).any(|y| {
            (0..columns.get()).any(|x| screen.cell(y, x).is_some_and(vt100::Cell::inverse))
        });
        let coloured = (0..rows.get()).any(|y| {
            (0..columns.get()).any(|x| {
                screen.cell(y, x).is_some_and(|c| {
                    c.fgcolor() != vt100::Color::Default || c.bgcolor() != vt100::Color::Default
                })
            })
        });
        inverse && !coloured
    });
}

#[test]
fn what_is_pasted_or_recorded_never_reaches_the_terminal_raw() {
    let dir = new_boat();
    let book = dir.path().join("book");
    let mut session = start(&book);
    session.begin_walk();
    session.send("n");
    session.wait_for_text("note");
    session.send_raw(b"\x1b[200~before\x1b]0;owned\x07\x1b[2Jafter\x1b[201~");
    session.wait_for_text("after");
    session.send_raw(b"\x13");
    session.send("00");
    session.wait_for_seen(1);
    session.send("<C-c>");
    session.exit_status();
    let raw = session.raw();
    let hostile: [&[u8]; 2] = [b"\x1b]0;owned", b"\x1b[2Jafter"];
    for bytes in hostile {
        assert!(!raw.windows(bytes.len()).any(|w| w == bytes));
    }
    let export = Command::new(BINARY)
        .args(["walks", "--json"])
        .env("HANDLAMP_LOGBOOK", &book)
        .output()
        .expect("it runs");
    assert!(!export.stdout.contains(&0x1b));
}

#[test]
fn the_terminal_is_given_back_whatever_happens() {
    let dir = boat();
    let program = program(&dir);
    usable_after_quitting(&program);
    for (signal, name) in [
        (Signal::TERM, "Terminated"),
        (Signal::HUP, "Hangup"),
        (Signal::INT, "Interrupt"),
    ] {
        usable_after_signal(&program, signal, name);
    }
    stops_and_goes_on(&program, |session| session.send_raw(b"\x1a"));
    ends_when_its_terminal_goes_away(&program);
}

#[test]
fn the_terminal_is_asked_nothing_and_any_window_will_do() {
    let dir = boat();
    let program = program(&dir);
    asks_the_terminal_nothing(&program);
    survives_every_size(&program);
    starts_in_any_window(&program);
    rests_when_nothing_happens(&program);
}

#[test]
fn what_is_no_terminal_is_refused_in_one_sentence() {
    let dir = boat();
    let program = program(&dir);
    refuses_what_is_no_terminal(Command::new(BINARY).env("HANDLAMP_LOGBOOK", dir.path()));
    refuses_a_dumb_terminal(&program, "dumb");
    refuses_a_dumb_terminal(&program, "");
}

/// Every byte that goes to the terminal, from the first frame to the verdict.
#[test]
fn in_the_plain_locale_nothing_but_ascii_is_sent() {
    let config = tempfile::tempdir().expect("a folder");
    std::fs::write(config.path().join("config.json"), r#"{"ascii": true}"#).expect("written");
    let config = config.path().to_string_lossy().into_owned();
    for own in [("LANG", "C"), ("HANDLAMP_CONFIG_DIR", &*config)] {
        let dir = new_boat();
        let mut session = on(&dir.path().join("book")).env(own.0, own.1).start();
        session.wait_for_text("Morning check");
        session.wait_until_taken();
        session.send("<Enter><Enter>0/belt<Enter>3<Enter><Enter>f2");
        session.wait_for_text("do not run");
        session.send("d<Enter><Esc>?<Esc><Esc>y<Esc>q<Esc><C-c>");
        session.exit_status();
        session.wait_until("all is read", Session::has_ended);
        let raw = String::from_utf8_lossy(&session.raw()).into_owned();
        let strange: String = raw.chars().filter(|c| !c.is_ascii()).collect();
        assert_eq!(strange, "", "{own:?}");
    }
}

#[test]
fn a_picture_has_the_size_of_the_terminal_before_it_ever_changed() {
    let boat = boat();
    let mut session = on(boat.path()).size(100, 30).start();
    session.wait_for_text("Morning check");
    session.send("<F12>");
    session.wait_for_text("picture written");
    let files = std::fs::read_dir(session.home()).expect("read");
    let picture = files
        .map(|file| file.expect("a file").path())
        .find(|path| path.extension().is_some_and(|e| e == "svg"))
        .expect("a picture");
    let text = std::fs::read_to_string(picture).expect("read");
    // 9 by 18 for each cell, and 12 around.
    assert!(
        text.contains(r#"viewBox="0 0 924 564""#),
        "{}",
        &text[..200]
    );
}
