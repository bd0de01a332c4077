//! A lay-up and a launch on the real program, with a kill in each.

use std::path::Path;

use crate::harness::{Session, Setup, new_boat};

const BINARY: &str = env!("CARGO_BIN_EXE_handlamp");

fn start(logbook: &Path) -> Session {
    Setup::new(BINARY, &[])
        .env("HANDLAMP_LOGBOOK", &logbook.to_string_lossy())
        .start()
}

/// The arrow of the boat screen to the checklist of this name, and into it.
fn begin(session: &mut Session, title: &str) {
    session.wait_for_text(title);
    for _ in 0..9 {
        let text = session.contents();
        let here = text.lines().find(|line| line.contains('▸')).unwrap_or("");
        if here.contains(title) {
            break;
        }
        session.send("<Down>");
        session.wait_until("the arrow moved", |s| {
            s.contents()
                .lines()
                .find(|line| line.contains('▸'))
                .is_some_and(|line| line != here)
        });
    }
    session.send("<Enter>");
}

fn find(session: &mut Session, part: &str) {
    session.send("/");
    session.wait_for_text("a part of its name");
    session.send(part);
    session.send("<Enter>");
    session.wait_for_text("found");
}

/// Ends the walk though most of it was not seen.
fn finish(session: &mut Session) {
    session.send("f");
    session.wait_for_text("2");
    session.send("2");
}

#[test]
fn a_winter_by_keys_outlives_a_kill_in_its_lay_up_and_in_its_launch() {
    let (_dir, book) = new_boat(BINARY);
    let mut session = start(&book);
    begin(&mut session, "Winter lay-up");
    session.wait_for_text("Hour meter");
    session.send("<Enter>");
    session.wait_for_text("Smell on opening");
    session.send("0");
    session.wait_for_text(" 1/");
    find(&mut session, "impeller");
    session.wait_for_text("U left open: impeller out");
    session.send("U");
    session.wait_for_text("impeller out: it forbids to start");
    session.send("<Enter>");
    session.wait_for_text("noted; it forbids to start");
    session.kill_9();

    let mut session = start(&book);
    session.wait_for_text("go on: winter lay-up");
    session.wait_for_text("impeller out");
    session.send("<Enter>");
    session.wait_for_text("going on where it was left");
    find(&mut session, "impeller");
    session.wait_for_text("put back? left open");
    finish(&mut session);
    session.wait_for_text("laid up since");
    session.wait_for_text("do not run");
    session.kill_9();

    let mut session = start(&book);
    session.wait_for_text("laid up since");
    begin(&mut session, "Launch and first start");
    session.wait_for_text("Hour meter");
    session.send("<Enter>");
    // What no row of it asks stands first.
    session.wait_for_text("put back? left open");
    session.send("B");
    session.wait_for_text("seen put back: impeller out");
    session.send("0");
    session.wait_for_text(" 1/");
    session.kill_9();

    let mut session = start(&book);
    session.wait_for_text("go on: launch");
    let shown = session.contents();
    assert!(!shown.contains("impeller out"), "{shown}");
    session.send("<Enter>");
    session.wait_for_text("going on where it was left");
    finish(&mut session);
    session.wait_for_text("leak run at every joint");
    session.kill_9();

    let mut session = start(&book);
    session.wait_for_text("Winter lay-up");
    let shown = session.contents();
    assert!(!shown.contains("laid up since"), "{shown}");
    session.send("<C-c>");
    assert_eq!(session.exit_status().exit_code(), 0);
}
