//! What a person waits for, as percentiles and, where a disk is in it, as a ratio against the bare
//! system calls in the same run. `cargo bench --bench screens` prints the figures kept in
//! README.md beside this; with `-- refresh` only those of taking in what others wrote, with `-- years`
//! only those of ten years on record.

#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, missing_docs)]

use std::fs::OpenOptions;
use std::io::{Read, Write};
use std::path::Path;
use std::process::Command;
use std::rc::Rc;
use std::sync::Arc;
use std::time::{Duration, Instant};

use handlamp::checklist::Library;
use handlamp::demo;
use handlamp::keys::KeyTable;
use handlamp::keys::key::Key;
use handlamp::logbook::book::Book;
use handlamp::logbook::record::Record;
use handlamp::logbook::{Clock, FixedClock, SystemClock};
use handlamp::paint::glyphs::Glyphs;
use handlamp::paint::theme::{Theme, ThemeName};
use handlamp::screen::app::App;
use handlamp::screen::shared::Setup;
use handlamp::terminal::app_loop::App as _;
use handlamp::terminal::input::Incoming;
use portable_pty::{CommandBuilder, PtySize, native_pty_system};
use ratatui::Terminal;
use ratatui::backend::TestBackend;

mod mornings;

use mornings::{LOOKS, WALKS, Years, append, asked, day, rung, session};

/// So often each thing is done with ten years on record.
const TIMES: usize = 5;

fn main() {
    let only = |what: &str| std::env::args().any(|word| word == what);
    if only("refresh") {
        return refreshes();
    }
    if only("years") {
        return years();
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
    years();
}

/// Ten years of one session a day, each a morning of forty looks.
fn ten_years(dir: &Path, library: &Arc<Library>) {
    let years = Years {
        days: WALKS,
        items: LOOKS,
        fault_every: None,
        taken_back_every: None,
    };
    years.write(dir, library);
}

/// The session of a day on which a guest walked.
fn of_a_guest(dir: &Path, library: &Library, machine: &str, n: i64) {
    let items = asked(library.catalogue.items(), n);
    let records = mornings::walk(n, machine, true, items, rung);
    let mut session = session(dir, n);
    append(&mut session, &records, n);
    let clock = FixedClock::new(day(n) + chrono::Duration::hours(1));
    session.finish(&clock).expect("ended");
}

/// The look whether others have written, in ten years on record where nobody has, and the reading anew
/// where one line came in.
fn refreshes() {
    let dir = tempfile::tempdir().expect("a folder");
    let library = Arc::new(Library::built_in().clone());
    ten_years(dir.path(), &library);
    let open = |n: i64| {
        let library = Arc::clone(&library);
        let clock = Rc::new(FixedClock::new(day(n)));
        Book::open(dir.path(), clock, library, None).expect("opens")
    };
    let (mut book, mut other) = (open(WALKS + 1), open(WALKS + 1));
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

/// What a person waits for with ten years on record, each against opening the logbook to its first
/// screen, or against the command `verdict`, in the same run.
fn years() {
    let dir = tempfile::tempdir().expect("a folder");
    let library = Arc::new(Library::built_in().clone());
    ten_years(dir.path(), &library);
    let root = dir.path();
    let open = |n: i64| {
        let clock: Rc<dyn Clock> = Rc::new(FixedClock::new(day(n)));
        App::open(setup(root, clock, Arc::clone(&library))).expect("opens")
    };
    let opened = told("ten years, opened", times(TIMES, |_| frame(&open(WALKS))));
    let mut app = open(WALKS);
    let mut keyed = |what: &str, before: &str, keys: &str, after: &str| {
        let mut all = Vec::new();
        for _ in 0..TIMES {
            before.split(' ').for_each(|key| press(&mut app, key));
            for key in keys.split(' ') {
                let began = Instant::now();
                press(&mut app, key);
                frame(&app);
                all.push(began.elapsed());
            }
            after.split(' ').for_each(|key| press(&mut app, key));
        }
        against(what, all, opened);
    };
    keyed("defects, opened", "esc", "d", "esc");
    keyed("due, opened", "esc", "q", "esc");
    keyed("readings, opened", "esc", "y", "esc");
    keyed("the next reading", "y", "down down down", "esc");
    keyed("a reading read out", "y left", "left left left", "esc esc");
    keyed("closer to it", "y left", ") ) )", "esc esc");
    keyed("back to the boat", "d", "esc", "d esc");
    keyed("all on record, opened", "esc", "J", "esc");
    keyed("a letter looked for there", "J /", "b e l t", "esc esc");
    keyed("an entry taken back, foretold", "J u", "enter", "esc esc");
    keyed("parts, opened", "q", "N", "esc esc");
    keyed("what is behind, opened", "esc", "f7", "esc");
    let command = |what: &str, args: &[&str], base: Option<f64>| {
        let now = day(WALKS).to_rfc3339();
        let run = times(TIMES, |_| {
            let mut command = Command::new(env!("CARGO_BIN_EXE_handlamp"));
            command.env("HANDLAMP_LOGBOOK", root).env("HOME", root);
            let run = command.args(["--now", &now]).args(args).output();
            let run = run.expect("it runs");
            assert!(run.stderr.is_empty() || run.status.success(), "{run:?}");
        });
        match base {
            Some(base) => against(what, run, base),
            None => told(what, run),
        }
    };
    let verdict = command("command verdict", &["verdict"], None);
    let page = |name: &str| root.join(name).display().to_string();
    for name in ["defects", "due", "walks", "entries"] {
        command(&format!("command {name}"), &[name], Some(verdict));
    }
    command("command logbook seal", &["logbook", "seal"], Some(verdict));
    let put = ["parts", "put", "oil-filter", "makers_number=K 100"];
    command("a part put", &put, Some(verdict));
    let parts = ["parts", "--page", &page("parts.html")];
    command("parts, the page", &parts, Some(verdict));
    let hand_over = ["hand-over", &page("her.html")];
    command("hand-over, the page", &hand_over, Some(verdict));
    let machine = Book::open(
        root,
        Rc::new(FixedClock::new(day(WALKS))),
        Arc::clone(&library),
        None,
    )
    .expect("opens")
    .boat()
    .machines[0]
        .id
        .clone();
    of_a_guest(root, &library, &machine, WALKS);
    let after = times(TIMES, |_| frame(&open(WALKS + 1)));
    against("opened after a guest's walk", after, opened);
    let mut app = open(WALKS + 1);
    let saw = times(TIMES, |_| {
        press(&mut app, "enter");
        frame(&app);
        // Out of what guests saw, the hour meter and the walk.
        ["enter", "esc", "esc"]
            .iter()
            .for_each(|key| press(&mut app, key));
    });
    against("what guests saw, then", saw, opened);
}

/// So many times how long something takes.
fn times(n: usize, mut what: impl FnMut(usize)) -> Vec<Duration> {
    let timed = |n| {
        let began = Instant::now();
        what(n);
        began.elapsed()
    };
    (0..n).map(timed).collect()
}

/// A whole frame at 140×45.
fn frame(app: &App) {
    let mut terminal = Terminal::new(TestBackend::new(140, 45)).expect("a terminal");
    terminal.draw(|frame| app.draw(frame)).expect("drawn");
}

/// What something takes, and as a share of something else.
fn against(what: &str, times: Vec<Duration>, base: f64) -> f64 {
    let median = told(what, times);
    println!("{:<32}{:>9.2}", "  ratio of the medians", median / base);
    median
}

fn setup(root: &Path, clock: Rc<dyn Clock>, library: Arc<Library>) -> Setup {
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
        report_language: handlamp::report::words::Language::English,
        seed: None,
        late_bell: false,
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
        ("where things are", "esc K"),
        ("walk", "esc enter enter"),
        ("walk on the drawing", "f4"),
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
        ("walk on the drawing", "", ["right", "left"]),
        ("walk", "f4 f4", ["down", "up"]),
        ("where things are", "esc K", ["right", "left"]),
        ("defects", "esc d", ["+", "-"]),
        ("the next defect", "", ["down", "up"]),
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
fn appends(root: &Path) {
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
fn starts(root: &Path) {
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
