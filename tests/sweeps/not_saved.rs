//! A walk by keys on a disk that refuses: the screen says NOT SAVED with the count, every grade
//! stays in memory, and each way out works: the key, the clock, another folder, print and leave.

use std::path::{Path, PathBuf};
use std::process::Command;

use rustix::process::Signal;

use crate::harness::{Session, Setup, signal_to};
use crate::scene::{BINARY, Home, NOW, read, records};
use crate::skip::skipped;
use crate::trace::{Call, calls, inject, works};

/// What a disk says.
const ERRORS: [&str; 8] = [
    "EIO", "ENOSPC", "EDQUOT", "EROFS", "EACCES", "EMFILE", "EFBIG", "EINTR",
];
/// Records of three grades: the walk, and a look at each item of three rows.
const THREE_ROWS: usize = 6;

fn screens(book: &str, runner: &[String]) -> Setup {
    let runner: Vec<&str> = runner.iter().map(String::as_str).collect();
    // Where a rescue file may go is where the commands look for it.
    let state = Path::new(book).with_file_name(".local/state");
    let setup = Setup::new(BINARY, &["--now", NOW])
        .env("HANDLAMP_LOGBOOK", book)
        .env("XDG_STATE_HOME", &state.to_string_lossy());
    if runner.is_empty() {
        setup
    } else {
        setup.under(&runner)
    }
}

/// Into a walk, with three rows graded sound.
fn grade_three(session: &mut Session) {
    session.begin_walk();
    for row in 1..=3 {
        session.send("0");
        session.wait_for_seen(row);
    }
}

fn traced(options: &[String]) -> Vec<String> {
    let mut runner: Vec<String> = ["strace", "-D", "-I1"].map(str::to_owned).into();
    runner.extend_from_slice(options);
    runner
}

/// Takes the tracer, and with it the fault, away.
fn heal(session: &Session) {
    let status = format!("/proc/{}/status", session.pid());
    let tracer = || -> i32 {
        let text = std::fs::read_to_string(&status).expect("running");
        let line = text.lines().find_map(|l| l.strip_prefix("TracerPid:"));
        line.and_then(|l| l.trim().parse().ok()).unwrap_or(0)
    };
    if tracer() != 0 {
        signal_to(tracer(), Signal::TERM);
    }
    session.wait_until("the tracer is gone", |_| tracer() == 0);
}

/// How the walk goes on after the fault.
#[derive(Clone, Copy, Debug)]
enum WayOut {
    /// The fault clears, and the key for trying again is pressed.
    Key,
    /// The program is left with the fault standing; what is not saved is rescued or printed.
    Leave,
    /// The fault clears, and a signal ends the program.
    Signal,
}

/// Every write-side call of the first records failing for ever, or one of them once.
fn sweep(name: &str, pick: impl Fn(&Call) -> bool, names: &str, errors: &[&str], for_ever: bool) {
    if !works() {
        return;
    }
    let base = Home::with_boat();
    let dry = base.copy();
    let trace = dry.path().join("trace");
    let mut options: Vec<String> = ["-f", "-y", "-s", "0", "-o"].map(str::to_owned).into();
    options.push(trace.display().to_string());
    options.extend(["-e".into(), format!("trace={}", crate::trace::CALLS)]);
    let book = dry.book().display().to_string();
    let mut session = screens(&book, &traced(&options)).start();
    grade_three(&mut session);
    session.send("<C-c>");
    session.exit_status();
    let whole = dry.records().len() - base.records().len();
    assert_eq!(whole, THREE_ROWS, "what three rows record");
    let first = calls(&trace).into_iter().find(|c| pick(c)).expect(name);

    for (n, error) in errors.iter().enumerate() {
        let home = base.copy();
        let book = home.book().display().to_string();
        let trace = home.path().join("trace");
        let mut options = vec!["-o".to_owned(), trace.display().to_string()];
        let when = format!("{}{}", first.nth, if for_ever { "+" } else { "" });
        options.extend(inject(names, &format!("error={error}"), &when));
        // Frames are writes too, and not always as many: count those of the one file.
        if names == "write" {
            let path = first.line.split(['<', '>']).nth(1).expect("a path");
            let path = path.replace(&dry.path().display().to_string(), "");
            let own = format!("{}{path}", home.path().display());
            let when = if for_ever { "1+" } else { "1" };
            options.truncate(2);
            options.extend(inject("write", &format!("error={error}"), when));
            options.extend(["-P".into(), own]);
        }
        let mut session = screens(&book, &traced(&options)).start();
        grade_three(&mut session);
        let told = format!("{name} {error}");
        let fired = std::fs::read_to_string(&trace).is_ok_and(|t| t.contains("(INJECTED)"));
        assert!(fired, "{told}: the fault came");
        let way = [WayOut::Key, WayOut::Leave, WayOut::Signal][n % 3];
        if for_ever {
            leave_by(way, &mut session, &home);
        } else {
            // The next key saves what the one before could not.
            session.wait_for(|s| !s.contents().contains("NOT SAVED"));
            session.send("<C-c>");
            assert_eq!(session.exit_status().exit_code(), 0, "{told}");
        }
        let got = home.records().len() - base.records().len();
        assert_eq!(got, THREE_ROWS, "{told} {way:?}");
        assert_eq!(home.faults(), Vec::<String>::new(), "{told}");
    }
    let kind = if for_ever { "for ever" } else { "once" };
    eprintln!(
        "error sweep by keys, {name} {kind}: {} errors, nothing lost",
        errors.len()
    );
}

fn leave_by(way: WayOut, session: &mut Session, home: &Home) {
    session.wait_for_text(&format!("NOT SAVED ({THREE_ROWS} in memory)"));
    match way {
        WayOut::Key => {
            session.wait_for_text("S saves again");
            session.send("S");
            session.wait_for_text("are NOT SAVED and in memory only");
            session.send("1");
            session.wait_for_text("still not saved");
            heal(session);
            session.send("S");
            session.wait_for_text("all is saved");
            session.send("<C-c>");
            assert_eq!(session.exit_status().exit_code(), 0);
        }
        WayOut::Leave => {
            session.send("<C-c>");
            session.wait_for_text("are NOT SAVED and in memory only");
            session.send("3");
            assert_eq!(session.exit_status().exit_code(), 3);
            session.wait_until_given_back();
            bring_in_what_is_left(session, home);
        }
        WayOut::Signal => {
            heal(session);
            session.signal(Signal::TERM);
            assert_eq!(session.exit_status().signal(), Some("Terminated"));
        }
    }
}

/// Does as the program says: a rescue file is taken in by the next command that records, though
/// there is nothing it can; where none could be written, the lines printed become a file of the log.
fn bring_in_what_is_left(session: &Session, home: &Home) {
    session.wait_until("all is read", Session::has_ended);
    let raw = String::from_utf8(session.raw()).expect("text");
    let after = raw.rsplit("\u{1b}[?1049l").next().expect("an end");
    if after.contains("record(s) are kept in") {
        let out = home.run(&["repair", "nothing-of-that-name", "--done", "x"]);
        assert_eq!(out.status.code(), Some(2));
        return;
    }
    assert!(after.contains("NOT SAVED: keep the lines below"), "{after}");
    let lines: String = after
        .lines()
        .filter(|line| line.starts_with('{'))
        .map(|line| format!("{}\n", line.trim_end()))
        .collect();
    let year = home.book().join("log/2026");
    std::fs::create_dir_all(&year).expect("made");
    std::fs::write(year.join("rescued.jsonl"), lines).expect("written");
}

fn is_log(call: &Call, name: &str) -> bool {
    call.name == name && call.line.contains("/log/2026")
}

#[test]
fn no_file_can_be_opened() {
    let create = |c: &Call| is_log(c, "openat") && c.line.contains("O_CREAT");
    sweep("openat", create, "openat", &ERRORS[..7], true);
    sweep("openat", create, "openat", &ERRORS, false);
}

#[test]
fn no_folder_can_be_made() {
    let make = |c: &Call| is_log(c, "mkdir");
    sweep("mkdir", make, "mkdir", &ERRORS[..7], true);
    sweep("mkdir", make, "mkdir", &ERRORS, false);
}

#[test]
fn a_write_fails_once() {
    sweep("write", |c| is_log(c, "write"), "write", &ERRORS, false);
}

#[test]
fn nothing_can_be_synced() {
    let sync = |c: &Call| is_log(c, "fsync");
    sweep("fsync", sync, "fsync,fdatasync", &ERRORS[..7], true);
    sweep("fsync", sync, "fsync", &ERRORS, false);
}

/// A file whose sync failed is left; the records go to a new one, and are saved.
#[test]
fn later_syncs_fail() {
    let sync = |c: &Call| is_log(c, "fdatasync");
    sweep("fdatasync", sync, "fdatasync", &ERRORS, false);
}

/// The text that was asked cannot be kept: the walk goes on, and is saved.
#[test]
fn a_rename_fails() {
    let rename = |c: &Call| c.name == "rename";
    sweep("rename", rename, "rename", &ERRORS, false);
}

/// A disk of its own for the logbook, in a mount namespace of the program's.
struct SmallDisk {
    home: Home,
    point: PathBuf,
}

impl SmallDisk {
    /// None, and loudly, where nothing may be mounted.
    fn new() -> Option<SmallDisk> {
        let tried = Command::new("unshare")
            .args(["-m", "mount", "-t", "tmpfs", "none", "/mnt"])
            .output();
        if !tried.is_ok_and(|out| out.status.success()) {
            skipped(
                "mount",
                "no file system may be mounted here; no disk was filled",
            );
            return None;
        }
        let home = Home::with_boat();
        let point = home.path().join("disk");
        std::fs::create_dir(&point).expect("made");
        Some(SmallDisk { home, point })
    }

    /// Starts the screens with the logbook on it, with room as `options` say.
    fn start(&self, options: &str) -> Session {
        let script = format!(
            r#"mount -t tmpfs -o {options} none {point} && cp -r {book} {point}/book && exec "$0" "$@""#,
            point = self.point.display(),
            book = self.home.book().display(),
        );
        let runner = ["unshare", "-m", "sh", "-c", &script].map(str::to_owned);
        let book = self.point.join("book").display().to_string();
        screens(&book, &runner).start()
    }

    /// The logbook as the program sees it.
    fn book(&self, session: &Session) -> PathBuf {
        let inside = self.point.strip_prefix("/").expect("a whole path");
        PathBuf::from(format!("/proc/{}/root", session.pid()))
            .join(inside)
            .join("book")
    }

    fn within(&self, session: &Session, command: &str) {
        let done = Command::new("nsenter")
            .args(["-t", &session.pid().to_string(), "-m", "sh", "-c", command])
            .status();
        assert!(done.expect("nsenter").success(), "{command}");
    }

    fn remount(&self, session: &Session, options: &str) {
        let point = self.point.display();
        self.within(session, &format!("mount -o remount,{options} {point}"));
    }

    fn fill(&self, session: &Session) {
        let point = self.point.display();
        let fill = format!("dd if=/dev/zero of={point}/full bs=1k 2>/dev/null || true");
        self.within(session, &fill);
    }
}

#[test]
fn a_full_disk_saves_by_itself_once_there_is_room() {
    let Some(disk) = SmallDisk::new() else { return };
    let mut session = disk.start("size=512k,mode=700");
    session.wait_for_text("Morning check");
    disk.fill(&session);
    grade_three(&mut session);
    session.wait_for_text(&format!(
        "NOT SAVED ({THREE_ROWS} in memory): the disk is full"
    ));
    session.resize(60, 20);
    session.wait_for(|s| s.size().1.get() == 60);
    session.wait_for_text(&format!("({THREE_ROWS} in memory): the disk is full"));
    let before = records(&read(&disk.book(&session))).len();
    disk.remount(&session, "size=2m");
    session.wait_for_text("saved again; nothing was lost");
    session.wait_for(|s| !s.contents().contains("NOT SAVED"));
    let saved = records(&read(&disk.book(&session))).len() - before;
    assert_eq!(saved, THREE_ROWS);
    // Full in the middle of a session: the file is there, and takes no more.
    disk.fill(&session);
    for row in 4..=12 {
        session.send("0");
        session.wait_for_seen(row);
    }
    session.wait_for_text("NOT SAVED");
    disk.remount(&session, "size=4m");
    session.wait_for_text("saved again; nothing was lost");
    let seen = read(&disk.book(&session));
    assert!(seen.problems.is_empty(), "{:?}", seen.problems);
    session.send("<C-c>");
    assert_eq!(session.exit_status().exit_code(), 0);
}

#[test]
fn a_full_disk_gives_way_to_another_folder() {
    let Some(disk) = SmallDisk::new() else { return };
    let mut session = disk.start("size=512k,mode=700");
    session.wait_for_text("Morning check");
    disk.fill(&session);
    grade_three(&mut session);
    session.wait_for_text("NOT SAVED");
    session.send("<C-c>");
    session.wait_for_text("are NOT SAVED and in memory only");
    session.send("2");
    session.wait_for_text("Save to which folder?");
    // A folder that cannot be made is told in its place, and asked again.
    session.send("/proc/nowhere<Enter>");
    session.wait_for_text("cannot be written");
    session.send("<Esc><C-c>");
    session.wait_for_text("are NOT SAVED and in memory only");
    session.send("2");
    session.wait_for_text("Save to which folder?");
    // What was typed before is still there.
    session.send("<C-u>");
    let stick = disk.home.path().join("stick");
    session.send(&stick.display().to_string());
    session.send("<Enter>");
    session.wait_for_text("which opens as her logbook");
    session.wait_for_text("bring it back with");
    assert!(!session.contents().contains("NOT SAVED"));
    session.send("0");
    session.wait_for_seen(4);
    session.send("<C-c>");
    assert_eq!(session.exit_status().exit_code(), 0);
    // There it is the boat's logbook: all of her record, the walk that went on, and what was asked.
    let there = records(&read(&stick));
    assert!(there.is_superset(&disk.home.records()));
    assert!(there.len() - disk.home.records().len() > THREE_ROWS);
    for args in [
        &["logbook", "check"][..],
        &["defects", "--json"],
        &["walks"],
    ] {
        let out = disk.home.run(&[args, &["--logbook", "stick"]].concat());
        let said = String::from_utf8_lossy(&out.stdout).into_owned();
        assert_eq!(out.status.code(), Some(0), "{args:?}: {said}");
    }
    let before = disk.home.records().len();
    let out = disk.home.run(&["logbook", "merge", "stick"]);
    assert!(out.status.success());
    assert!(disk.home.records().len() - before > THREE_ROWS);
    assert_eq!(disk.home.faults(), Vec::<String>::new());
}

#[test]
fn a_disk_without_inodes_or_read_only_is_told_and_waited_for() {
    let Some(disk) = SmallDisk::new() else { return };
    for (start, fault, cure) in [
        ("size=2m,nr_inodes=16,mode=700", "", "nr_inodes=64"),
        ("size=2m,mode=700", "ro", "rw"),
    ] {
        let mut session = disk.start(start);
        session.wait_for_text("Morning check");
        if fault.is_empty() {
            let point = disk.point.display();
            let use_up = format!("i=0; while touch {point}/f$i 2>/dev/null; do i=$((i+1)); done");
            disk.within(&session, &use_up);
        } else {
            disk.remount(&session, fault);
        }
        let before = records(&read(&disk.book(&session))).len();
        grade_three(&mut session);
        session.wait_for_text(&format!("NOT SAVED ({THREE_ROWS} in memory)"));
        disk.remount(&session, cure);
        session.send("0");
        session.wait_for(|s| !s.contents().contains("NOT SAVED"));
        let saved = records(&read(&disk.book(&session))).len() - before;
        assert!(saved > THREE_ROWS, "{start}: {saved}");
        session.send("<C-c>");
        assert_eq!(session.exit_status().exit_code(), 0, "{start}");
    }
}

#[test]
fn a_file_size_limit_is_an_error_and_no_death() {
    let home = Home::with_boat();
    let book = home.book().display().to_string();
    // Room for the kept text, which no walk needs, and for the first records alone.
    let limit = ["prlimit", "--fsize=1500:"].map(str::to_owned);
    let mut session = screens(&book, &limit).start();
    grade_three(&mut session);
    session.wait_for_text("NOT SAVED");
    let before = home.records().len();
    let lift = Command::new("prlimit")
        .args(["--pid", &session.pid().to_string(), "--fsize=1000000:"])
        .status();
    assert!(lift.expect("prlimit").success());
    session.wait_for_text("saved again; nothing was lost");
    session.send("<C-c>");
    assert_eq!(session.exit_status().exit_code(), 0);
    assert!(home.records().len() > before);
    assert_eq!(home.faults(), Vec::<String>::new());
}

/// What is not saved is said above everything, a note that fills the screen too.
#[test]
fn a_long_note_does_not_hide_that_nothing_is_saved() {
    if !works() {
        return;
    }
    let home = Home::with_boat();
    let book = home.book().display().to_string();
    let mut options = vec!["-o".to_owned(), "/dev/null".into()];
    options.extend(inject("fsync,fdatasync", "error=EIO", "1+"));
    let mut session = screens(&book, &traced(&options)).start();
    grade_three(&mut session);
    session.wait_for_text("NOT SAVED (6 in memory)");
    session.send("n");
    session.send_raw(format!("\u{1b}[200~{}\u{1b}[201~", "oily\n".repeat(60)).as_bytes());
    // The draft of the note waits too.
    session.wait_for_text("NOT SAVED (7 in memory)");
    heal(&session);
    session.send("<C-c>");
    assert_eq!(session.exit_status().exit_code(), 0);
    assert_eq!(home.faults(), Vec::<String>::new());
}

/// The first record of a new boat waits like any other, and the clock saves it.
#[test]
fn a_first_start_on_a_disk_that_refuses_is_saved_by_the_clock() {
    if !works() {
        return;
    }
    let home = Home::empty();
    let book = home.book().display().to_string();
    let mut options = vec!["-o".to_owned(), "/dev/null".into()];
    options.extend(inject("fsync", "error=EIO", "4+"));
    let mut session = screens(&book, &traced(&options)).start();
    session.wait_for_text("There is no logbook here yet");
    session.wait_until_taken();
    session.send("1");
    session.wait_for_text("What is she called?");
    session.send("Grey Plover<Enter>");
    session.wait_for_text("Where does she go?");
    session.send("2");
    session.wait_for_text("hour meter show?");
    session.send("1200<Enter>");
    session.wait_for_text("NOT SAVED (1 in memory)");
    heal(&session);
    session.wait_for_text("saved again; nothing was lost");
    session.send("<C-c>");
    assert_eq!(session.exit_status().exit_code(), 0);
    assert_eq!(home.records().len(), 1);
    assert_eq!(home.faults(), Vec::<String>::new());
}
