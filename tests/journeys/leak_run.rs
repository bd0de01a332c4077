//! A leak run on the real program: a kill during a countdown, and going on in it.

use std::path::Path;
use std::time::Duration;

use rustix::process::Signal;

use crate::harness::{Session, Setup, new_boat};

const BINARY: &str = env!("CARGO_BIN_EXE_handlamp");

fn start(logbook: &Path, args: &[&str]) -> Session {
    Setup::new(BINARY, args)
        .env("HANDLAMP_LOGBOOK", &logbook.to_string_lossy())
        .start()
}

/// Seconds left in the title line.
fn left(session: &Session) -> Option<u64> {
    let text = session.contents();
    let line = text.lines().find(|l| l.contains(" of 5 min"))?;
    let figure = line.split(" of 5 min").next()?.rsplit(' ').next()?;
    let (minutes, seconds) = figure.split_once(':')?;
    Some(minutes.parse::<u64>().ok()? * 60 + seconds.parse::<u64>().ok()?)
}

#[test]
fn a_countdown_survives_a_kill_and_goes_on_where_it_was() {
    let (_dir, book) = new_boat(BINARY);
    let mut session = start(&book, &["walk", "leak-run"]);
    session.wait_for_text("What was touched?");
    session.send("2");
    session.wait_for_text("[x] Engine oil and filter");
    session.send("1");
    session.wait_for_text("Hour meter");
    session.send("<Enter>");
    session.wait_for_text("disturbed: Service side");
    session.send("0");
    session.wait_for_text(" 1/");
    session.send("<PgDn><PgDn><PgDn><PgDn>");
    session.wait_for_text("z begins 5 min");
    session.send("z");
    session.wait_for_text("4:57 of 5 min");
    // Stopped and gone on with: the time has passed meanwhile, and no clock was set.
    let before = left(&session).expect("counting");
    session.signal(Signal::STOP);
    std::thread::sleep(Duration::from_secs(4));
    session.signal(Signal::CONT);
    session.wait_until("what passed is counted", |s| {
        left(s).is_some_and(|l| l <= before - 4)
    });
    assert!(!session.contents().contains("clock was set"));
    let before = left(&session).expect("counting");
    session.kill_9();
    std::thread::sleep(Duration::from_secs(2));
    let mut session = start(&book, &[]);
    session.wait_for_text("go on: leak run");
    session.send("<Enter>");
    session.wait_for_text(" of 5 min");
    let after = left(&session).expect("counting");
    assert!(
        after <= before - 2 && after > before - 60,
        "{before} then {after}"
    );
    session.wait_until("it counts on", |s| left(s).is_some_and(|l| l < after));
    let (from, drawn) = (left(&session).expect("counting"), session.frames());
    session.wait_until("it counts on", |s| left(s).is_some_and(|l| l <= from - 5));
    let (to, drawn) = (left(&session).expect("counting"), session.frames() - drawn);
    let seconds = (from - to) as usize;
    assert!(drawn <= seconds + 2, "{drawn} frames for {seconds} s");
    session.send("<C-c>");
    assert_eq!(session.exit_status().exit_code(), 0);
}
