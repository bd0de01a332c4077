//! The real program in a terminal that does what terminals do.
//!
//! Twelve traps are known in the libraries below the screens and in terminals; each has its test.
//! "toy" is a program of a few lines on the same terminal layer, which can misbehave on order.
//!
//! | trap | test |
//! |---|---|
//! | `NO_COLOR` takes the selection away | `journeys::boat::no_color_means_no_colour_and_the_selection_is_still_seen`, toy: `journeys::terminal::without_colour_the_selection_is_still_seen` |
//! | SIGTERM and SIGHUP leave the terminal raw | `journeys::boat::the_terminal_is_given_back_whatever_happens`; [`a_signal_in_a_walk_saves_and_gives_the_terminal_back`] |
//! | `panic = "abort"` leaves the cursor hidden | [`a_panic_unwinds_in_every_profile`]; toy: `journeys::terminal::a_panic_anywhere_gives_the_terminal_back_and_is_readable` |
//! | a panic on a helper thread restores the terminal under running screens | the same toy test, `<F3>` |
//! | a dead terminal spins one core | [`a_closed_window_ends_the_program_and_all_is_saved`], toy: `journeys::terminal::the_end_of_the_terminal_is_the_end_of_the_program` |
//! | half an escape sequence blocks everything | [`an_unterminated_paste_stops_neither_drafts_nor_keys`], toy: `journeys::terminal::half_a_sequence_stops_neither_the_clock_nor_the_keys` |
//! | clearing asks the terminal and waits for an answer | `journeys::boat::the_terminal_is_asked_nothing_and_any_window_will_do`, [`stopped_from_outside_it_comes_back`] |
//! | no terminal means a panic | `journeys::boat::what_is_no_terminal_is_refused_in_one_sentence` |
//! | the usual note editor is tied to older libraries | `Cargo.toml` names its successor; [`a_paste_bomb_into_a_note_is_text_and_bounded`] drives it |
//! | snapshots carry no style | `screens::pictures` draws the styles as SVG |
//! | speed is no problem, a slow sync may be | [`a_slow_disk_is_told_and_loses_nothing`], bench `screens` |
//! | locks need no library | the standard ones; [`a_second_window_on_the_same_walk_saves_too`] |

use std::time::Duration;

use rustix::process::Signal;

use crate::harness::{Session, Setup, signal_to};
use crate::scene::{BINARY, Home};
use crate::trace::{inject, works};

fn setup(home: &Home) -> Setup {
    Setup::new(BINARY, &[]).env("HANDLAMP_LOGBOOK", &home.book().to_string_lossy())
}

/// In a walk, nothing graded yet.
fn walking(setup: Setup) -> Session {
    let mut session = setup.start();
    session.begin_walk();
    session
}

/// Opens the note of the item in front of one and types into it.
fn noting(session: &mut Session) {
    session.send("noily");
    session.wait_for_text("oily");
}

fn says(home: &Home, text: &str) -> bool {
    home.records().iter().any(|(_, rec)| rec.contains(text))
}

#[test]
fn a_signal_in_a_walk_saves_and_gives_the_terminal_back() {
    for (signal, name) in [
        (Signal::TERM, "Terminated"),
        (Signal::HUP, "Hangup"),
        (Signal::INT, "Interrupt"),
    ] {
        let home = Home::with_boat();
        let mut session = walking(setup(&home));
        session.send("0");
        session.wait_for_seen(1);
        noting(&mut session);
        // Half typed, and sooner than the pause after which a draft is kept by itself.
        session.send(" now");
        session.signal(signal);
        assert_eq!(session.exit_status().signal(), Some(name));
        session.wait_until_given_back();
        assert!(says(&home, "oily now"), "{name}");
        assert_eq!(home.faults(), Vec::<String>::new());
    }
}

#[test]
fn stopped_from_outside_it_comes_back() {
    let home = Home::with_boat();
    let mut session = setup(&home).under_shell("").start();
    session.wait_for_text("Morning check");
    session.wait_until_taken();
    let shell = session.pid();
    let children = std::fs::read_to_string(format!("/proc/{shell}/task/{shell}/children"));
    let child = children.expect("children").trim().parse().expect("one");
    signal_to(child, Signal::TSTP);
    session.wait_until_given_back();
    session.wait_for_text("STOPPED");
    session.send_raw(b"\n");
    session.wait_until_taken();
    session.wait_for_text("Morning check");
    session.send("<C-c>");
    session.wait_for_text("BACK 0");
    session.wait_until_given_back();
    assert!(!session.raw().windows(4).any(|w| w == b"\x1b[6n"));
}

#[test]
fn a_closed_window_ends_the_program_and_all_is_saved() {
    let home = Home::with_boat();
    let mut session = walking(setup(&home).uncontrolled());
    session.send("0");
    session.wait_for_seen(1);
    session.hang_up();
    assert_eq!(session.exit_status().signal(), Some("Hangup"));
    assert_eq!(home.faults(), Vec::<String>::new());
}

#[test]
fn an_unterminated_paste_stops_neither_drafts_nor_keys() {
    let home = Home::with_boat();
    let mut session = walking(setup(&home));
    noting(&mut session);
    session.send_raw(b"\x1b[200~ and wet");
    session.wait_for_text("oily and wet");
    session.wait_until("a draft is kept", |_| says(&home, "oily and wet"));
    session.send_raw(b"\x1b[");
    session.send("<C-s>");
    session.wait_until("the note is kept", |s| {
        s.contents().contains("oily and wet")
    });
    session.signal(Signal::TERM);
    assert_eq!(session.exit_status().signal(), Some("Terminated"));
    session.wait_until_given_back();
}

/// Ten megabytes in a hundred thousand lines, each ending the paste and pressing keys: a terminal
/// passes on what is pasted as it is.
fn bomb(marked: bool) -> Vec<u8> {
    let line = b"wet \x1b[201~q\ry\x03 0 1 2 3 4 u f <<<< oil on the starboard bearer, hose, clip, belt and sump again\r\n";
    let (begin, end) = (b"\x1b[200~", b"\x1b[201~");
    let mut all = Vec::with_capacity(line.len() * 100_001);
    all.extend_from_slice(if marked { begin } else { b"" });
    for _ in 0..100_000 {
        all.extend_from_slice(line);
    }
    all.extend_from_slice(if marked { end } else { b"" });
    all
}

/// Types all of it while the program reads as fast as it likes.
#[track_caller]
fn throw(session: &mut Session, bytes: &[u8]) {
    for part in bytes.chunks(64 * 1024) {
        session.send_raw(part);
    }
}

/// Nothing new on the screen for a while.
fn silent(session: &Session) -> bool {
    let shown = session.raw().len();
    std::thread::sleep(Duration::from_millis(300));
    session.raw().len() == shown
}

#[test]
fn a_paste_bomb_into_a_note_is_text_and_bounded() {
    let home = Home::with_boat();
    let mut session = walking(setup(&home));
    noting(&mut session);
    throw(&mut session, &bomb(true));
    session.wait_for(|s| s.contents().contains("sump again") && !s.contents().contains("oily"));
    session.wait_until("silence", silent);
    session.send("<C-s>");
    session.send("<C-c>");
    assert_eq!(session.exit_status().exit_code(), 0);
    assert!(says(&home, "starboard bearer"));
    assert!(home.records().iter().all(|(_, rec)| rec.len() < 64 * 1024));
    assert!(!home.records().iter().any(|(_, rec)| rec.contains("grade")));
    assert_eq!(home.faults(), Vec::<String>::new());
}

#[test]
fn a_paste_bomb_outside_a_field_does_nothing() {
    // The second is from a terminal that does not mark pastes.
    for marked in [true, false] {
        let home = Home::with_boat();
        let mut session = walking(setup(&home));
        let before = home.records();
        throw(&mut session, &bomb(marked));
        session.wait_for_text("keys came faster than typing");
        session.wait_for_seen(0);
        assert_eq!(home.records(), before, "nothing was recorded");
        // A hand comes later.
        session.wait_until("silence", silent);
        session.send("0");
        session.wait_for_seen(1);
        session.send("<C-c>");
        assert_eq!(session.exit_status().exit_code(), 0);
    }
}

#[test]
fn a_panic_unwinds_in_every_profile() {
    let manifest = include_str!("../../Cargo.toml");
    assert!(
        !manifest.contains("panic = \"abort\""),
        "a hook that gives the terminal back needs unwinding"
    );
}

#[test]
fn a_slow_disk_is_told_and_loses_nothing() {
    if !works() {
        return;
    }
    let home = Home::with_boat();
    let mut runner: Vec<String> = ["strace", "-D", "-I1", "-o", "/dev/null"]
        .map(str::to_owned)
        .into();
    runner.extend(inject("fdatasync", "delay_enter=200000", "1+"));
    let runner: Vec<&str> = runner.iter().map(String::as_str).collect();
    let mut session = walking(setup(&home).under(&runner));
    for row in 1..=3 {
        session.send("0");
        session.wait_for_seen(row);
    }
    let before = home.records().len();
    assert!(before >= 6);
    session.kill_9();
    assert_eq!(home.records().len(), before);
}

#[test]
fn a_second_window_on_the_same_walk_saves_too() {
    let home = Home::with_boat();
    let mut first = walking(setup(&home));
    first.send("0");
    first.wait_for_seen(1);
    let mut second = setup(&home).start();
    second.wait_for_text("Morning check");
    second.send("<Enter>");
    second.wait_for_seen(1);
    second.send("0");
    second.wait_for_seen(2);
    first.send("0");
    first.wait_for_seen(2);
    let before = home.records().len();
    first.kill_9();
    second.kill_9();
    assert_eq!(home.records().len(), before);
    assert_eq!(home.faults(), Vec::<String>::new());
}
