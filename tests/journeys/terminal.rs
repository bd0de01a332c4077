//! The terminal is usable after everything, and the program hears its user through everything.
//!
//! What holds for any program on the terminal layer is a function of a [`Program`]; what needs a
//! misbehaving one runs on the toy alone.

use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use rustix::process::Signal;

use crate::harness::{Session, Setup, signal_to};
use crate::toy;

/// A full-screen program under test.
pub struct Program {
    /// How to start it.
    pub setup: Setup,
    /// Text of its first screen.
    pub ready: &'static str,
    /// Keys that leave it.
    pub quit: &'static str,
}

impl Program {
    #[track_caller]
    fn start(&self) -> Session {
        self.start_with(|setup| setup)
    }

    #[track_caller]
    fn start_with(&self, change: impl FnOnce(Setup) -> Setup) -> Session {
        let session = change(self.setup.clone()).start();
        session.wait_for_text(self.ready);
        session.wait_until_taken();
        session
    }
}

fn toy_program() -> Program {
    Program {
        setup: toy::setup(),
        ready: "toy ready",
        quit: "<C-c>",
    }
}

fn toy() -> Session {
    toy_program().start()
}

fn saved(session: &Session) -> String {
    std::fs::read_to_string(session.home().join("saved")).expect("the app could save")
}

/// Whether the loop of the toy came to its end, and no last resort was needed.
fn ended_by_itself(session: &Session) -> bool {
    session.home().join("ended").exists()
}

/// Brings the toy's main thread to a halt.
#[track_caller]
fn get_stuck(session: &mut Session) {
    session.send("<F4>");
    session.wait_until("it is stuck", |s| s.home().join("stuck").exists());
}

/// The process id the toy shows, which is not the session's when a shell stands between.
fn shown_pid(session: &Session) -> i32 {
    let screen = session.contents();
    let after = screen.split("pid ").nth(1).expect("a pid");
    after
        .split('.')
        .next()
        .and_then(|n| n.parse().ok())
        .expect("a number")
}

pub fn usable_after_quitting(program: &Program) {
    let mut session = program.start();
    session.send(program.quit);
    assert_eq!(session.exit_status().exit_code(), 0);
    session.wait_until_given_back();
}

pub fn usable_after_signal(program: &Program, signal: Signal, name: &str) {
    let mut session = program.start();
    session.signal(signal);
    assert_eq!(session.exit_status().signal(), Some(name));
    session.wait_until_given_back();
}

pub fn asks_the_terminal_nothing(program: &Program) {
    let mut session = program.start();
    session.resize(60, 20);
    session.wait_for_text(program.ready);
    session.send(program.quit);
    session.exit_status();
    session.wait_until_given_back();
    assert_asked_nothing(&session);
}

/// No byte sequence that makes a terminal answer, and every frame begun is ended (leaving ends
/// one more, which may have been cut).
#[track_caller]
fn assert_asked_nothing(session: &Session) {
    let raw = String::from_utf8_lossy(&session.raw()).into_owned();
    for query in [
        "\x1b[6n",
        "\x1b[5n",
        "\x1b[c",
        "\x1b[0c",
        "\x1b[>",
        "\x1b[?u",
        "\x1bP+q",
        "\x1b]10;?",
        "\x1b]11;?",
        "$p",
    ] {
        assert!(!raw.contains(query), "{query:?} in the output");
    }
    let count = |mark| raw.matches(mark).count();
    let left = count("\x1b[?2004l");
    assert_eq!(count("\x1b[?2026h") + left, count("\x1b[?2026l"));
}

pub fn survives_every_size(program: &Program) {
    let mut session = program.start();
    for (columns, rows) in [
        (1, 1),
        (2, 1),
        (1, 40),
        (20, 5),
        (500, 200),
        (7, 3),
        (200, 1),
        (32767, 32767),
        (65535, 65535),
        (0, 0),
    ] {
        session.resize(columns, rows);
        thread::sleep(Duration::from_millis(5));
    }
    for n in 0..300u16 {
        session.resize(1 + n * 7 % 120, 1 + n * 5 % 50);
    }
    session.resize(80, 24);
    session.wait_for_text(program.ready);
    session.send(program.quit);
    assert_eq!(session.exit_status().exit_code(), 0);
}

pub fn starts_in_any_window(program: &Program) {
    let sizes = [(0, 0), (1, 1), (20, 5), (400, 120), (32767, 32767)];
    for (columns, rows) in sizes {
        let mut session = program.setup.clone().size(columns, rows).start();
        session.wait_until_taken();
        // Where there is room, or nobody says how much, the first screen stands.
        if columns == 0 || columns >= 400 {
            session.wait_for_text(program.ready);
        }
        session.send(program.quit);
        assert_eq!(session.exit_status().exit_code(), 0, "{columns}x{rows}");
        session.wait_until_given_back();
    }
}

pub fn rests_when_nothing_happens(program: &Program) {
    program.start().wait_until_at_rest();
}

pub fn refuses_what_is_no_terminal(program: &mut Command) {
    let output = program
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .output()
        .expect("it runs");
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert_eq!(said.lines().count(), 1, "{said}");
    assert!(said.contains("is not a terminal"), "{said}");
    assert!(!output.stdout.contains(&0x1b) && !said.contains('\x1b'));
}

pub fn refuses_a_dumb_terminal(program: &Program, term: &str) {
    let mut session = program.setup.clone().env("TERM", term).start();
    assert_eq!(session.exit_status().exit_code(), 2);
    session.wait_for_text("TERM");
    assert!(session.is_cooked());
    assert!(!session.raw().contains(&0x1b));
}

pub fn ends_when_its_terminal_goes_away(program: &Program) {
    let mut session = program.start_with(Setup::uncontrolled);
    session.hang_up();
    assert_eq!(session.exit_status().signal(), Some("Hangup"));
}

pub fn stops_and_goes_on(program: &Program, stop: impl Fn(&mut Session)) {
    let mut session = program.start_with(|setup| setup.under_shell(""));
    stop(&mut session);
    comes_back(&mut session, program);
}

/// Stopped by now, goes on when the shell is told.
fn comes_back(session: &mut Session, program: &Program) {
    session.wait_until_given_back();
    session.wait_for_text("STOPPED");
    session.send_raw(b"\n");
    session.wait_until_taken();
    session.wait_for_text(program.ready);
    session.send(program.quit);
    session.wait_for_text("BACK 0");
    session.wait_until_given_back();
    assert_asked_nothing(session);
}

#[test]
fn quitting_gives_the_terminal_back() {
    usable_after_quitting(&toy_program());
}

#[test]
fn signals_give_the_terminal_back_after_saving() {
    for (signal, name) in [
        (Signal::TERM, "Terminated"),
        (Signal::HUP, "Hangup"),
        (Signal::INT, "Interrupt"),
    ] {
        usable_after_signal(&toy_program(), signal, name);
        let mut session = toy();
        session.signal(signal);
        session.exit_status();
        assert_eq!(
            saved(&session),
            format!("Signal(Terminate({}))", signal.as_raw())
        );
        assert!(ended_by_itself(&session), "not by the last resort");
    }
}

#[test]
fn a_stuck_program_is_ended_all_the_same() {
    let mut session = toy();
    get_stuck(&mut session);
    session.signal(Signal::TERM);
    let asked = Instant::now();
    assert_eq!(session.exit_status().signal(), Some("Terminated"));
    assert!(
        asked.elapsed() >= Duration::from_millis(1900),
        "the app had its two seconds"
    );
    assert!(!ended_by_itself(&session));
    session.wait_until_given_back();
}

#[test]
fn a_panic_anywhere_gives_the_terminal_back_and_is_readable() {
    for (key, message) in [
        ("<F1>", "main  ]0;x  panicked"),
        ("<F2>", "drawing  [2J failed"),
        ("<F3>", "helper panicked"),
    ] {
        let mut session = toy();
        session.send_raw(&crate::keyscript::keys(key).concat());
        assert_eq!(session.exit_status().exit_code(), 101, "{key}");
        session.wait_until_given_back();
        session.wait_for_text("handlamp stopped on an error of its own");
        assert!(
            session.contents().replace('\n', "").contains(message),
            "{}",
            session.contents()
        );
        assert!(
            !session.contents().contains("ticks"),
            "no frame on the user's own screen"
        );
    }
}

#[test]
fn the_end_of_the_terminal_is_the_end_of_the_program() {
    ends_when_its_terminal_goes_away(&toy_program());
    let mut session = toy_program().start_with(Setup::uncontrolled);
    session.hang_up();
    session.exit_status();
    assert_eq!(saved(&session), "Hangup");
    assert!(ended_by_itself(&session), "not by the last resort");
}

#[test]
fn a_stuck_program_does_not_outlive_its_terminal() {
    let mut session = toy_program().start_with(Setup::uncontrolled);
    get_stuck(&mut session);
    session.hang_up();
    assert_eq!(session.exit_status().signal(), Some("Hangup"));
}

#[test]
fn the_suspend_key_and_signal_return_to_the_shell_and_back() {
    stops_and_goes_on(&toy_program(), |session| session.send_raw(b"\x1a"));
    stops_and_goes_on(&toy_program(), |session| {
        signal_to(shown_pid(session), Signal::TSTP);
    });
}

#[test]
fn a_stop_that_cannot_be_caught_is_mended_when_it_ends() {
    let mut session =
        toy_program().start_with(|s| s.under_shell("stty sane; printf '\\033[?1049l';"));
    signal_to(shown_pid(&session), Signal::STOP);
    session.wait_until("a shell's modes", Session::is_cooked);
    session.send_raw(b"\n");
    session.wait_until_taken();
    session.wait_for_text("said [continued]");
    session.send("<C-c>");
    session.wait_for_text("BACK 0");
    session.wait_until_given_back();
}

#[test]
fn where_nothing_could_continue_it_it_does_not_stop() {
    let mut session = toy();
    session.send("<C-z>");
    session.wait_for_text("said [cannot suspend]");
    session.signal(Signal::TSTP);
    session.send("a");
    session.wait_for_text("typed [a]");
}

/// As in a container entered from outside, whose processes see the leader of their own session,
/// and here their parent, as process 0.
#[test]
fn a_session_led_from_outside_its_namespace_is_no_riddle() {
    let apart = ["unshare", "--pid", "--fork", "--mount-proc"];
    let tried = Command::new(apart[0])
        .args(&apart[1..])
        .arg("true")
        .output();
    if !tried.is_ok_and(|out| out.status.success()) {
        crate::skip::skipped("pid-namespace", "no process namespace may be made here");
        return;
    }
    let mut session = toy_program().start_with(|setup| setup.under(&apart));
    session.send_raw(b"\x1a");
    session.wait_for_text("said [cannot suspend]");
    let program = toy_program();
    let mut session = program.start_with(|setup| setup.under_shell("").under(&apart));
    session.send_raw(b"\x1a");
    comes_back(&mut session, &program);
}

#[test]
fn half_a_sequence_stops_neither_the_clock_nor_the_keys() {
    let mut session = toy();
    session.send("<F5>");
    session.wait_for(|screen| !screen.contents().contains("ticks 0."));
    session.send_raw(b"\x1b[200~ab");
    let shown = session.contents();
    session.wait_for(|screen| screen.contents() != shown);
    session.wait_for_text("paste \"ab\"");
    session.send_raw(b"\x1b[");
    let shown = session.contents();
    session.wait_for(|screen| screen.contents() != shown);
    session.signal(Signal::TERM);
    assert_eq!(session.exit_status().signal(), Some("Terminated"));
}

#[test]
fn without_colour_the_selection_is_still_seen() {
    for setup in [toy::setup(), toy::setup().env("NO_COLOR", "1")] {
        let session = setup.start();
        session.wait_for_text("selected");
        let cell = session.screen().cell(1, 0).expect("a cell").clone();
        assert!(cell.inverse(), "the selected row is reversed");
    }
}

#[test]
fn marked_pastes_arrive_as_text_and_stray_ones_are_dropped() {
    let mut session = toy();
    session.send_raw(b"\x1b[200~q\r\x03y\x1b[201~");
    session.wait_for_text("paste \"q\\r\\u{3}y\"");
    session.send_raw(&[b'x'; 5000]);
    session.wait_for_text("said [dropped 5000]");
    session.send("a");
    session.wait_for_text("typed [a]");
    session.send("<F10>");
    session.wait_for_text("said [text]");
    session.send_raw(&[b'b'; 40]);
    session.wait_for_text(&"b".repeat(40));
}

#[test]
fn hundreds_of_typed_keys_are_no_paste() {
    let mut session = toy();
    session.send(&"01234".repeat(14));
    session.wait_for_text(&format!("typed [{}]", "01234".repeat(14)));
}

#[test]
fn a_file_size_limit_kills_nothing() {
    let mut session = toy();
    session.signal(Signal::XFSZ);
    session.send("a");
    session.wait_for_text("typed [a]");
}

#[test]
fn the_terminal_is_asked_nothing() {
    asks_the_terminal_nothing(&toy_program());
}

#[test]
fn no_window_is_too_small_or_too_large() {
    survives_every_size(&toy_program());
    starts_in_any_window(&toy_program());
}

#[test]
fn waiting_costs_nothing() {
    rests_when_nothing_happens(&toy_program());
}

#[test]
fn it_says_so_when_there_is_no_terminal() {
    let this = std::env::current_exe().expect("this test binary");
    let mut command = Command::new(this);
    command
        .args(["--exact", "toy::run_when_asked", "--nocapture"])
        .env("HANDLAMP_TEST_TOY", "1");
    let output = command.stdin(Stdio::null()).output().expect("it runs");
    assert_eq!(output.status.code(), Some(2));
    refuses_what_is_no_terminal(&mut command);
    for term in ["dumb", ""] {
        refuses_a_dumb_terminal(&toy_program(), term);
    }
}
