//! What a person waits for, as percentiles and, where a disk is in it, as a ratio against the bare
//! system calls in the same run. `cargo bench --bench screens` prints the figures kept in
//! README.md beside this; with `-- refresh` only those of taking in what others wrote.

#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, missing_docs)]

use std::fs::OpenOptions;
use std::io::{Read, Write};
use std::rc::Rc;
use std::sync::Arc;
use std::time::{Duration, Instant};

use handlamp::checklist::Library;
use handlamp::demo;
use handlamp::keys::KeyTable;
use handlamp::keys::key::Key;
use handlamp::logbook::book::Book;
use handlamp::logbook::record::Record;
use handlamp::logbook::{Clock, FixedClock, Folder, RealDisk, Session, Stamp, SystemClock};
use handlamp::paint::glyphs::Glyphs;
use handlamp::paint::theme::{Theme, ThemeName};
use handlamp::screen::app::App;
use handlamp::screen::shared::Setup;
use handlamp::terminal::app_loop::App as _;
use handlamp::terminal::input::Incoming;
use portable_pty::{CommandBuilder, PtySize, native_pty_system};
use ratatui::Terminal;
use ratatui::backend::TestBackend;

fn main() {
    if std::env::args().any(|word| word == "refresh") {
        return refreshes();
    }
    let dir = tempfile::tempdir().expect("a folder");
    let library = Arc::new(Library::built_in().clone());
    let clock: Rc<dyn Clock> = Rc::new(SystemClock::new());
    let written = Instant::now();
    demo::write_to(dir.path(), Rc::clone(&clock), &library).expect("the demo boat");
    println!(
        "demo boat written               {:>9.2} ms",
        ms(written.elapsed())
    );
    // Before anything is added to the boat.
    starts(dir.path());
    let opened = Instant::now();
    let mut app = App::open(setup(dir.path(), clock, library)).expect("opens");
    println!(
        "demo boat opened, first screen  {:>9.2} ms",
        ms(opened.elapsed())
    );
    draws(&mut app);
    keys(&mut app);
    appends(dir.path());
    refreshes();
}

/// Ten years of one session a day: the look whether others have written, where nobody has, and the
/// reading anew where one line came in.
fn refreshes() {
    let dir = tempfile::tempdir().expect("a folder");
    let library = Arc::new(Library::built_in().clone());
    let day = |n: u64| {
        let begun = chrono::DateTime::from_timestamp(1_420_070_400, 0).expect("a time");
        FixedClock::new((begun + chrono::Duration::days(n as i64)).fixed_offset())
    };
    let boat = handlamp::boat::Boat::simple("Grey Plover", handlamp::boat::Waters::Inshore, None);
    let first = Rc::new(day(0));
    Book::create(dir.path(), boat, first, Arc::clone(&library), None).expect("begun");
    for n in 1..3650 {
        let folder = Folder::new(dir.path());
        let rng = fastrand::Rng::with_seed(n);
        let disk = Box::new(RealDisk);
        let mut session = Session::new(disk, folder, "bench", Stamp(0, 0), rng);
        let plan = format!("{{\"name\":\"day {}\",\"hours\":1.0}}", n % 40);
        let plans: Vec<_> = (0..42).map(|_| ("plan", plan.clone())).collect();
        session.append(&plans, &day(n)).expect("recorded");
        session.finish(&day(n)).expect("ended");
    }
    let open = |n: u64| {
        let library = Arc::clone(&library);
        Book::open(dir.path(), Rc::new(day(n)), library, None).expect("opens")
    };
    let (mut book, mut other) = (open(3651), open(3651));
    let plan = |n: usize| {
        let plan = format!("{{\"name\":\"new {n}\",\"hours\":1.0}}");
        let record = Record::read("plan", &plan).expect("known").expect("read");
        vec![record]
    };
    book.record(plan(0)).expect("recorded");
    let _ = book.refresh();
    let (mut idle, mut anew) = (Vec::new(), Vec::new());
    for n in 0..1200 {
        let began = Instant::now();
        assert_eq!(book.refresh().expect("read"), None);
        if n >= 200 {
            idle.push(began.elapsed());
        }
    }
    for n in 0..20 {
        other.record(plan(n)).expect("recorded");
        let began = Instant::now();
        assert!(book.refresh().expect("read").is_some());
        anew.push(began.elapsed());
    }
    told("ten years, nothing new", idle);
    told("ten years, read anew", anew);
}

fn setup(root: &std::path::Path, clock: Rc<dyn Clock>, library: Arc<Library>) -> Setup {
    Setup {
        root: root.to_owned(),
        clock,
        library,
        keys: KeyTable::built_in(),
        theme: Theme {
            name: ThemeName::Plain,
            glyphs: Glyphs::Unicode,
        },
        by: None,
        seed: None,
        pictures: root.to_owned(),
        marks: None,
    }
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}

fn told(what: &str, mut times: Vec<Duration>) -> f64 {
    times.sort_unstable();
    let at = |share: f64| ms(times[((times.len() - 1) as f64 * share) as usize]);
    println!(
        "{what:<32}{:>9.3} ms p50 {:>9.3} ms p99  ({} times)",
        at(0.5),
        at(0.99),
        times.len()
    );
    at(0.5)
}

fn press(app: &mut App, key: &str) {
    let key: Key = key.parse().expect("a key");
    let _ = app.on(Incoming::Key(key));
}

/// A whole frame at 140×45, drawn anew and compared with the last.
fn draws(app: &mut App) {
    for (name, keys) in [
        ("boat", "esc"),
        ("defects", "d"),
        ("walk", "esc enter enter"),
    ] {
        for key in keys.split(' ') {
            press(app, key);
        }
        let mut terminal = Terminal::new(TestBackend::new(140, 45)).expect("a terminal");
        let mut times = Vec::new();
        for n in 0..2200 {
            let began = Instant::now();
            terminal.draw(|frame| app.draw(frame)).expect("drawn");
            if n >= 200 {
                times.push(began.elapsed());
            }
        }
        told(&format!("frame 140x45, {name}"), times);
    }
}

/// From a key to the frame it changes, without the disk: moving in the walk, weighing the list.
fn keys(app: &mut App) {
    for (name, screen, keys) in [
        ("walk", "", ["down", "up"]),
        ("defects", "esc d", ["+", "-"]),
        ("due, opened", "esc", ["q", "esc"]),
    ] {
        for key in screen.split(' ').filter(|k| !k.is_empty()) {
            press(app, key);
        }
        let mut terminal = Terminal::new(TestBackend::new(140, 45)).expect("a terminal");
        let mut times = Vec::new();
        for n in 0..2200 {
            let began = Instant::now();
            press(app, keys[n % 2]);
            terminal.draw(|frame| app.draw(frame)).expect("drawn");
            if n >= 200 {
                times.push(began.elapsed());
            }
        }
        told(&format!("key to frame, {name}"), times);
    }
    press(app, "esc");
}

/// An acknowledged grade against a bare write and fdatasync of as many bytes, turn about.
fn appends(root: &std::path::Path) {
    let clock: Rc<dyn Clock> = Rc::new(SystemClock::new());
    let mut app =
        App::open(setup(root, clock, Arc::new(Library::built_in().clone()))).expect("opens");
    // The belt of the demo boat was worn at the last look: worn again asks nothing.
    for key in ["enter", "enter", "/", "b", "e", "l", "t", "enter"] {
        press(&mut app, key);
    }
    let path = root.join("bare");
    let mut bare = OpenOptions::new()
        .create(true)
        .append(true)
        .open(path)
        .expect("a file");
    let line = [b'x'; 330];
    let (mut grades, mut syncs) = (Vec::new(), Vec::new());
    for n in 0..600 {
        let began = Instant::now();
        bare.write_all(&line).expect("written");
        bare.sync_data().expect("synced");
        if n >= 100 {
            syncs.push(began.elapsed());
        }
        let began = Instant::now();
        press(&mut app, "2");
        if n >= 100 {
            grades.push(began.elapsed());
        }
        // Taken back, and in front again.
        press(&mut app, "u");
    }
    let bare = told("bare write and fdatasync", syncs);
    let grade = told("a grade, acknowledged", grades);
    println!("ratio of the medians            {:>9.2}", grade / bare);
}

/// The real binary in a pseudo-terminal: time to the first whole frame, memory, size on disk.
fn starts(root: &std::path::Path) {
    let binary = env!("CARGO_BIN_EXE_handlamp");
    let size = std::fs::metadata(binary).map_or(0, |m| m.len());
    println!(
        "binary                          {:>9.2} MB",
        size as f64 / 1e6
    );
    let mut times = Vec::new();
    let mut memory = 0_u64;
    for _ in 0..40 {
        let pty = native_pty_system()
            .openpty(PtySize {
                rows: 45,
                cols: 140,
                pixel_width: 0,
                pixel_height: 0,
            })
            .expect("a pseudo-terminal");
        let mut command = CommandBuilder::new(binary);
        command.env("TERM", "xterm-256color");
        command.env("HANDLAMP_LOGBOOK", root);
        let mut reader = pty.master.try_clone_reader().expect("a reader");
        let began = Instant::now();
        let mut child = pty.slave.spawn_command(command).expect("spawned");
        drop(pty.slave);
        let mut seen = Vec::new();
        let mut buffer = [0; 65536];
        // The last words of the footer are the last of the frame.
        while !seen.windows(4).any(|w| w == b"quit") {
            let n = reader.read(&mut buffer).expect("read");
            seen.extend_from_slice(&buffer[..n]);
        }
        times.push(began.elapsed());
        if let Some(id) = child.process_id() {
            memory = memory.max(resident(id));
        }
        child.kill().expect("ended");
        let _ = child.wait();
    }
    told("start to first frame", times);
    println!(
        "resident                        {:>9.2} MB",
        memory as f64 / 1024.0
    );
}

/// Peak resident memory in KiB, as the system tells it.
fn resident(id: u32) -> u64 {
    let status = std::fs::read_to_string(format!("/proc/{id}/status")).unwrap_or_default();
    let line = status.lines().find(|l| l.starts_with("VmHWM"));
    line.and_then(|l| l.split_whitespace().nth(1)?.parse().ok())
        .unwrap_or(0)
}
