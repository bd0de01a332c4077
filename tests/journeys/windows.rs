//! Two programs on one logbook, each in a terminal of its own: what the first shows after the second
//! has written, without a key pressed in it.

use std::io::Write;
use std::path::Path;
use std::process::Stdio;

use handlamp::checklist::Library;
use rustix::process::Signal;
use serde_json::json;

use crate::boat::{new_boat, start};
use crate::harness::{Session, command_on};

/// A morning check in which everything was sound, recorded by the command.
fn all_sound(dir: &Path) {
    let daily = Library::built_in().checklist("daily").expect("built in");
    let asked = daily.phases.iter().flat_map(|phase| {
        let items = phase.rows.iter().flat_map(|row| &row.items);
        items.map(|item| json!({"item": item, "phase": phase.id, "grade": "sound"}))
    });
    let at = (chrono::Local::now() - chrono::Duration::minutes(30)).to_rfc3339();
    let looks: Vec<_> = asked.collect();
    let walk = json!({"type":"walk","checklist":"daily","machine":"main","at":at,"looks":looks});
    let mut recorded = command_on(env!("CARGO_BIN_EXE_handlamp"), dir)
        .args(["record", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .spawn()
        .expect("it runs");
    let mut input = recorded.stdin.take().expect("a pipe");
    input
        .write_all(walk.to_string().as_bytes())
        .expect("written");
    drop(input);
    assert!(recorded.wait().expect("it ends").success());
}

/// The first window shows the verdict of the morning.
fn clear(book: &Path) -> Session {
    let mut first = start(book);
    first.wait_for_text("clear to run");
    first.send("b");
    first.wait_for_text("1 walks");
    first.send("<Enter>");
    first.wait_for_text("Morning check");
    first.wait_for_text("clear to run");
    first
}

/// The second grades the belt failing; acknowledged on its screen.
fn belt_fails(book: &Path) -> Session {
    let mut second = start(book);
    second.send("<Enter>");
    second.wait_for_text("Hour meter");
    second.send("<Enter>");
    second.wait_for_seen(0);
    second.send("/");
    second.wait_for_text("Find");
    second.send("belt<Enter>");
    second.wait_for_text("Drive belt");
    second.send("3");
    second.wait_for_seen(1);
    second
}

#[test]
fn a_verdict_in_sight_changes_when_another_window_grades_and_rests_again() {
    let dir = new_boat();
    let book = dir.path().join("book");
    all_sound(dir.path());
    let first = clear(&book);
    let _second = belt_fails(&book);
    first.wait_for_text("do not run");
    first.wait_for_text("another window");
    first.wait_until_at_rest();
}

#[test]
fn a_window_that_was_stopped_shows_what_came_meanwhile_when_it_goes_on() {
    let dir = new_boat();
    let book = dir.path().join("book");
    all_sound(dir.path());
    let first = clear(&book);
    first.signal(Signal::STOP);
    let second = belt_fails(&book);
    assert!(first.contents().contains("clear to run"));
    drop(second);
    first.signal(Signal::CONT);
    first.wait_for_text("do not run");
}
