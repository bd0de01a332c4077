//! Killed at every system call: what was acknowledged is there, nothing is half there, and doing
//! it again ends as if nothing had happened.

use std::thread;

use crate::harness::{Session, Setup, rows};
use crate::keyscript;
use crate::scene::{BINARY, Home, NOW, Records, was_killed};
use crate::trace::{Call, calls, inject, works};

/// Everything about one command: where it runs, and how much of it may be seen after a kill.
struct Scenario {
    name: &'static str,
    home: Home,
    args: &'static [&'static str],
    /// All of its records or none may be there; else each file it copies, whole.
    whole: bool,
    /// Points that must be covered at least, lest a change of the program empty the sweep.
    least: usize,
}

/// Kills the command at each of its calls and judges what is left.
fn sweep(scenario: &Scenario) {
    if !works() {
        return;
    }
    let before = scenario.home.copy();
    let old = before.records();
    let points = before.trace(scenario.args);
    let new = before.records();
    assert!(new.len() > old.len(), "{}: it records", scenario.name);
    assert!(
        points.len() >= scenario.least,
        "{}: {} points",
        scenario.name,
        points.len()
    );
    let faults: Vec<String> = thread::scope(|scope| {
        let halves = points.chunks(points.len().div_ceil(2));
        let work = |half: &[Call]| -> Vec<String> {
            half.iter()
                .flat_map(|p| judge(scenario, p, &old, &new))
                .collect()
        };
        let running: Vec<_> = halves.map(|half| scope.spawn(move || work(half))).collect();
        running
            .into_iter()
            .flat_map(|r| r.join().expect("judged"))
            .collect()
    });
    eprintln!(
        "kill sweep, {}: {} points, {} faults",
        scenario.name,
        points.len(),
        faults.len()
    );
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

fn judge(scenario: &Scenario, point: &Call, old: &Records, new: &Records) -> Vec<String> {
    let home = scenario.home.copy();
    let mut runner = vec!["strace".to_owned(), "-o".into(), "/dev/null".into()];
    runner.extend(inject(&point.name, "signal=KILL", &point.nth.to_string()));
    let out = home.run_under(&runner, scenario.args);
    let mut faults = Vec::new();
    if !was_killed(&out) {
        faults.push(format!("the kill never came: {:?}", out.status));
    }
    let left = home.records();
    if !(left.is_superset(old) && left.is_subset(new)) {
        faults.push(format!("{} records of {}", left.len(), new.len()));
    }
    if scenario.whole && left.len() != old.len() && left.len() != new.len() {
        faults.push(format!("{} of {} records", left.len(), new.len()));
    }
    if !out.stdout.is_empty() && left != *new {
        faults.push("acknowledged and lost".into());
    }
    faults.extend(home.faults());
    // Once more, as anyone would do; what is done already may be refused as done.
    let again = home.run(scenario.args);
    let begun = scenario.args[..2] == ["boat", "new"] && home.book().join("boat.json").exists();
    let done = home.records().is_superset(new);
    let right = match again.status.code() {
        Some(0) => done,
        Some(2) => begun || done,
        _ => false,
    };
    if !right {
        let said = String::from_utf8_lossy(&again.stderr).into_owned();
        faults.push(format!("again: {:?} {said}", again.status));
    }
    faults.extend(home.faults());
    let told = |f: String| format!("{} at {point:?}: {f}", scenario.name);
    faults.into_iter().map(told).collect()
}

macro_rules! scenarios {
    ($($name:ident: $home:expr, $args:expr, whole $whole:expr, at least $least:expr;)*) => {
        $(#[test]
        fn $name() {
            let (name, home, args) = (stringify!($name), $home, &$args);
            sweep(&Scenario { name, home, args, whole: $whole, least: $least });
        })*
    };
}

scenarios! {
    begin_a_logbook: Home::empty(), ["boat", "new", "profile.json"], whole true, at least 30;
    record_a_walk: with_sheet(), ["record", "walk.json"], whole true, at least 45;
    record_a_walk_with_pictures: Home::with_pictures(), ["record", "walk.json"], whole true, at least 60;
    record_a_batch_of_acts: with_acts(), ["record", "acts.jsonl"], whole true, at least 30;
    repair: Home::with_findings(), ["repair", "drive-belt", "--done", "new belt"], whole true, at least 30;
    defer: Home::with_findings(), ["defer", "drive-belt", "--why", "a spare is coming", "--until", "2026-02-01"], whole true, at least 30;
    withdraw: Home::with_findings(), ["withdraw", "drive-belt", "--why", "an old mark"], whole true, at least 30;
    override_a_risk: Home::with_findings(), ["override", "drive-belt", "--severity", "2", "--why", "no spare on board"], whole true, at least 30;
    set_a_walk_aside: Home::with_findings(), ["entries", "set-aside", "w0", "--why", "begun by mistake"], whole true, at least 30;
    change_the_profile: Home::with_findings(), ["boat", "set", "changed.json"], whole true, at least 30;
    merge_two_copies: Home::with_copy(), ["logbook", "merge", "other"], whole false, at least 40;
    merge_into_nothing: no_own_book(), ["logbook", "merge", "other"], whole false, at least 60;
}

fn with_sheet() -> Home {
    let home = Home::with_boat();
    home.put(
        "walk.json",
        &crate::scene::walk("w9", "2026-01-02T08:00:00Z"),
    );
    home
}

fn with_acts() -> Home {
    let home = Home::with_findings();
    home.put(
        "acts.jsonl",
        r#"{"type":"repair","id":"r1","item":"drive-belt","machine":"main","at":"2026-01-02T08:30:00Z","done":"new belt"}
{"type":"withdrawal","id":"x1","item":"raw-water-pump-seal","machine":"main","at":"2026-01-02T08:31:00Z","why":"wet from above"}
"#,
    );
    home
}

fn no_own_book() -> Home {
    let home = Home::with_copy();
    std::fs::remove_dir_all(home.book()).expect("removed");
    home
}

/// A walk by keys: keys, and what the screen shows once they are saved.
const WALK: &[(&str, Comes)] = &[
    ("<Enter>", Comes::Text("Hour meter")),
    ("1200.1<Enter>", Comes::Seen(0)),
    ("0", Comes::Seen(1)),
    ("0", Comes::Seen(2)),
    ("0", Comes::Seen(3)),
    ("u", Comes::Seen(2)),
    ("0", Comes::Seen(3)),
    ("noily", Comes::OnDisk("oily")),
    (" hose<C-s>", Comes::OnDisk("oily hose")),
];

/// When a step is done.
#[derive(Clone, Copy)]
enum Comes {
    /// The screen says so: this is the program's acknowledgement.
    Text(&'static str),
    /// The screen counts so many rows with their look, which is one too.
    Seen(usize),
    /// A draft is acknowledged nowhere; it is in the log.
    OnDisk(&'static str),
    /// The screen shows the look.
    Change,
}

/// What a walk by keys had acknowledged when it ended: what its screen showed then.
struct Walked {
    shown: Shown,
    killed: bool,
}

/// What stands on the screen as saved.
#[derive(Clone, Debug, Default, PartialEq)]
struct Shown {
    /// Rows seen.
    rows: usize,
    /// The hour meter.
    hours: bool,
    /// The key that was on its way takes one back.
    taking_back: bool,
}

impl Shown {
    /// From the screen; what is not saved is no promise.
    fn on(session: &Session) -> Shown {
        let screen = session.contents();
        if screen.contains("NOT SAVED") {
            return Shown::default();
        }
        let head = screen.lines().next().unwrap_or("");
        let rows = rows(&screen).map_or(0, |(seen, _)| seen);
        Shown {
            rows,
            // The walk is begun on record by its first look, and what the meter showed with it.
            hours: rows > 0 && head.contains(" 1200.1 h"),
            taking_back: false,
        }
    }

    /// What of it is not in the logbook, as its own reader finds it.
    fn lost(&self, home: &Home) -> Option<String> {
        let kept = home.walked();
        let least = self.rows - usize::from(self.taking_back && self.rows > 0);
        let hours = !self.hours || kept.hours;
        (kept.rows < least || !hours).then(|| format!("acknowledged and lost: {self:?}, {kept:?}"))
    }
}

/// Walks until the end of the script, and then on, sound by sound, until the kill comes.
fn walk_by_keys(home: &Home, runner: &[String], endless: bool) -> Walked {
    let runner: Vec<&str> = runner.iter().map(String::as_str).collect();
    let mut session = Setup::new(BINARY, &["--now", NOW])
        .env("HANDLAMP_LOGBOOK", &home.book().to_string_lossy())
        .under(&runner)
        .start();
    let mut taking_back = false;
    let mut alive = session.comes(|s| s.contents().contains("Morning check"));
    let on = (0..40).filter(|_| endless).map(|_| ("0", Comes::Change));
    for (keys, comes) in WALK.iter().copied().chain(on) {
        if !alive {
            break;
        }
        taking_back = keys == "u";
        let before = session.contents();
        session.send_raw(&keyscript::keys(keys).concat());
        alive = match comes {
            Comes::Seen(seen) => {
                session.comes(|s| rows(&s.contents()).is_some_and(|(n, _)| n == seen))
            }
            Comes::Text(text) => session.comes(|s| s.contents().contains(text)),
            Comes::Change => session.comes(|s| s.contents() != before),
            Comes::OnDisk(text) => {
                session.wait_until("it is in the log", |s| {
                    s.has_ended() || home.records().iter().any(|(_, rec)| rec.contains(text))
                });
                !session.has_ended()
            }
        };
    }
    if alive {
        session.send_raw(b"\x03");
    }
    let killed = session.exit_status().signal() == Some("Killed");
    session.wait_until("all is read", Session::has_ended);
    let shown = Shown {
        taking_back,
        ..Shown::on(&session)
    };
    Walked { shown, killed }
}

/// Every so many points of a walk by keys; all of them with `HANDLAMP_KILLS=all`.
fn some(points: Vec<Call>, at_most: usize) -> Vec<Call> {
    let all = std::env::var("HANDLAMP_KILLS").is_ok_and(|v| v == "all");
    let step = if all {
        1
    } else {
        points.len().div_ceil(at_most).max(1)
    };
    points.into_iter().step_by(step).collect()
}

fn sweep_walk(names: &[&str], at_most: usize) {
    if !works() {
        return;
    }
    let base = Home::with_boat();
    let dry = base.copy();
    let trace = dry.path().join("trace");
    let runner: Vec<String> = ["strace", "-D", "-I1", "-f", "-y", "-s", "0", "-o"]
        .map(str::to_owned)
        .into_iter()
        .chain([trace.display().to_string(), "-e".into()])
        .chain([format!("trace={}", crate::trace::CALLS)])
        .collect();
    let whole = walk_by_keys(&dry, &runner, false);
    assert!(!whole.killed);
    // The whole of it was on the screen, and is what the judge finds.
    let kept = dry.walked();
    assert_eq!((kept.rows, kept.hours), (3, true));
    let book = dry.book().display().to_string();
    let mut points = calls(&trace);
    points.retain(|c| names.contains(&c.name.as_str()) && c.line.contains(&book));
    let points = some(points, at_most);
    let mut faults = Vec::new();
    let judged = thread::scope(|scope| {
        let work = |half: &[Call]| -> Vec<String> {
            half.iter().flat_map(|p| judge_walk(&base, p)).collect()
        };
        let halves = points.chunks(points.len().div_ceil(2).max(1));
        let running: Vec<_> = halves.map(|half| scope.spawn(move || work(half))).collect();
        running
            .into_iter()
            .flat_map(|r| r.join().expect("judged"))
            .collect::<Vec<_>>()
    });
    faults.extend(judged);
    eprintln!(
        "kill sweep, walk by keys, {}: {} points, {} faults",
        names.join(" "),
        points.len(),
        faults.len()
    );
    assert!(points.len() > 8, "{} points", points.len());
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

fn judge_walk(base: &Home, point: &Call) -> Vec<String> {
    let home = base.copy();
    let mut runner: Vec<String> = ["strace", "-D", "-I1", "-o", "/dev/null"]
        .map(str::to_owned)
        .into();
    runner.extend(inject(&point.name, "signal=KILL", &point.nth.to_string()));
    let walked = walk_by_keys(&home, &runner, true);
    let mut faults = home.faults();
    if !walked.killed {
        faults.push("the kill never came".into());
    }
    faults.extend(walked.shown.lost(&home));
    let told = |f: String| format!("walk by keys at {point:?}: {f}");
    faults.into_iter().map(told).collect()
}

#[test]
fn walk_by_keys_killed_while_writing_and_syncing() {
    sweep_walk(&["write", "fdatasync", "fsync"], 40);
}

#[test]
fn walk_by_keys_killed_while_opening_and_closing() {
    sweep_walk(
        &["openat", "flock", "mkdir", "rename", "renameat2", "close"],
        40,
    );
}
