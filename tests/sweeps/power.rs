//! The power fails while records are made. `power.py` stops the file system; this test binary,
//! started again, works the program as a person does, by keys on a terminal and by commands, and
//! passes on what the program acknowledged.

use std::io::Write;
use std::process::{Command, Stdio};
use std::time::SystemTime;

use serde_json::{Value, json};

use crate::harness::Setup;
use crate::scene::BINARY;
use crate::skip::skipped;

const MARK: &str = "HANDLAMP_TEST_FEED";
/// One row each of a checklist of its own, so that the count on the screen says which are saved.
const ITEMS: [&str; 6] = [
    "bilge-water",
    "bilge-oil",
    "drip-tray",
    "engine-seacock",
    "raw-water-pump-seal",
    "drive-belt",
];

/// Works the program until it is killed or the disk refuses, and prints what was acknowledged: a
/// look once the screen counts its row as seen with nothing unsaved, a record of a command once the
/// command has answered with its id. Now and then it changes the profile.
#[test]
fn feed_when_asked() {
    let Some(root) = std::env::var_os(MARK) else {
        return;
    };
    let root = root.to_string_lossy().into_owned();
    let settings = tempfile::tempdir().expect("a folder");
    let lists = settings.path().join("checklists");
    std::fs::create_dir(&lists).expect("made");
    let rows = ITEMS.map(|item| json!({"title": item, "station": "bilge", "items": [item]}));
    let list = json!({"type": "checklist", "id": "feed", "title": "Feed", "purpose": "To be cut off.",
        "closes_with": "daily",
        "phases": [{"id": "cold", "title": "Cold", "state": "cold", "rows": rows}]});
    std::fs::write(lists.join("feed.json"), list.to_string()).expect("written");
    let began = SystemTime::UNIX_EPOCH.elapsed().expect("a time").as_nanos();
    for n in 0_u32.. {
        // Who walks tells the walks apart.
        let by = format!("R. Quay {began}-{n}");
        let config = json!({"by": by}).to_string();
        std::fs::write(settings.path().join("config.json"), config).expect("written");
        let settings = settings.path().to_string_lossy().into_owned();
        walk(&root, &settings, &by);
        let command = |args: &[&str]| {
            let mut command = Command::new(BINARY);
            command
                .args(args)
                .env("HANDLAMP_LOGBOOK", &root)
                .stderr(Stdio::null());
            command.output().expect("it runs")
        };
        let done = command(&["repair", "drive-belt", "--done", "new belt", "--json"]);
        let answer: Value = match serde_json::from_slice(&done.stdout) {
            Ok(answer) if done.status.success() => answer,
            _ => std::process::exit(0),
        };
        for id in answer["ids"].as_array().expect("ids") {
            say(&format!("ack {}", id.as_str().expect("an id")));
        }
        let profile = ["profile.json", "changed.json"][n as usize % 2];
        let home = std::env::var("HOME").expect("a home");
        if !command(&["boat", "set", &format!("{home}/{profile}")])
            .status
            .success()
        {
            std::process::exit(0);
        }
    }
}

/// A walk by keys, every row sound.
fn walk(root: &str, settings: &str, by: &str) {
    let mut session = Setup::new(BINARY, &["walk", "feed"])
        .env("HANDLAMP_LOGBOOK", root)
        .env("HANDLAMP_CONFIG_DIR", settings)
        .start();
    say(&format!("pid {}", session.pid()));
    let goes_on = |came: bool| {
        if !came {
            std::process::exit(0);
        }
    };
    goes_on(session.comes(|s| s.contents().contains("Hour meter")));
    session.wait_until_taken();
    session.send_raw(b"\r");
    goes_on(session.comes(|s| !s.contents().contains("Hour meter")));
    for (n, item) in ITEMS.iter().enumerate() {
        session.send_raw(b"0");
        let count = format!("{}/{}", n + 1, ITEMS.len());
        goes_on(session.comes(|s| s.contents().contains(&count)));
        goes_on(!session.contents().contains("NOT SAVED"));
        say(&format!("ack {by} {item}"));
    }
    session.send_raw(b"\x03");
    session.exit_status();
}

fn say(line: &str) {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{line}").expect("told");
    out.flush().expect("told");
}

/// What the script found; nothing where mounting is forbidden.
fn cuts(count: usize, sabotage: bool) -> Option<Value> {
    let work = tempfile::tempdir().expect("a folder");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/sweeps/power.py");
    let mut command = Command::new("unshare");
    command.args(["-m", "python3", script, BINARY]);
    command.arg(std::env::current_exe().expect("this test binary"));
    command.arg(work.path()).arg(count.to_string());
    if sabotage {
        command.arg("sabotage");
    }
    let out = command.output().ok()?;
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    if matches!(out.status.code(), Some(77 | 127)) || said.contains("unshare failed") {
        return None;
    }
    assert!(out.status.success(), "{said}");
    Some(serde_json::from_slice(&out.stdout).expect("a report"))
}

#[test]
fn a_power_cut_loses_nothing_acknowledged() {
    let asked = std::env::var("HANDLAMP_CUTS").ok();
    let count = asked.and_then(|n| n.parse().ok()).unwrap_or(100);
    let Some(found) = cuts(count, false) else {
        skipped(
            "mount",
            "no file system may be mounted here; no power was cut",
        );
        return;
    };
    eprintln!("power cuts: {found}");
    assert_eq!(found["cuts"], count);
    assert!(found["acknowledged"].as_u64() > Some(count as u64));
    assert_eq!(found["lost"], 0);
    assert_eq!(found["unread"], serde_json::json!([]));
}

/// The harness bites: where every sync is a lie, records are lost.
#[test]
fn without_syncs_a_power_cut_loses_records() {
    if !crate::trace::works() {
        return;
    }
    let Some(found) = cuts(25, true) else {
        skipped(
            "mount",
            "no file system may be mounted here; no power was cut",
        );
        return;
    };
    eprintln!("power cuts with every sync skipped: {found}");
    assert!(found["lost"].as_u64() > Some(0), "{found}");
}
