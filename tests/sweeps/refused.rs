//! Every write-side call of a command failing, once and for ever, with every error a disk gives:
//! the command says so in a sentence and ends with 3, or it did its work; nothing is half done.
//!
//! Every error by itself is the full sweep, with `HANDLAMP_ERRORS=all`; else each call meets each
//! error once or for ever in turn.

use std::thread;

use crate::scene::{Home, Records};
use crate::trace::{Call, inject, works};

/// What a disk says. EINTR for ever is no error of a disk: whoever repeats the call waits.
const ERRORS: [&str; 8] = [
    "EIO", "ENOSPC", "EDQUOT", "EROFS", "EACCES", "EMFILE", "EFBIG", "EINTR",
];

fn sweep(name: &str, home: &Home, args: &[&str], whole: bool) {
    if !works() {
        return;
    }
    let dry = home.copy();
    let old = dry.records();
    let mut points = dry.trace(args);
    let new = dry.records();
    points.retain(|c| {
        let opens_to_sync = c.name == "openat" && !c.line.contains("O_NONBLOCK");
        (c.writes() || opens_to_sync) && !c.line.starts_with("write(1<")
    });
    let all = std::env::var("HANDLAMP_ERRORS").is_ok_and(|v| v == "all");
    let mut cases: Vec<(Call, &str, bool)> = Vec::new();
    for (n, point) in points.iter().enumerate() {
        for (m, error) in ERRORS.iter().enumerate() {
            let for_ever = (n + m) % 2 == 1 && *error != "EINTR";
            cases.push((point.clone(), error, for_ever));
            if all && *error != "EINTR" {
                cases.push((point.clone(), error, !for_ever));
            }
        }
    }
    let faults: Vec<String> = thread::scope(|scope| {
        let halves = cases.chunks(cases.len().div_ceil(2).max(1));
        let (old, new) = (&old, &new);
        let running: Vec<_> = halves
            .map(|half| {
                scope.spawn(move || {
                    half.iter()
                        .flat_map(|case| judge(home, args, whole, case, old, new))
                        .collect::<Vec<_>>()
                })
            })
            .collect();
        running
            .into_iter()
            .flat_map(|r| r.join().expect("judged"))
            .collect()
    });
    eprintln!(
        "error sweep, {name}: {} calls, {} cases, {} faults",
        points.len(),
        cases.len(),
        faults.len()
    );
    assert!(points.len() >= 8, "{} points", points.len());
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

fn judge(
    base: &Home,
    args: &[&str],
    whole: bool,
    (point, error, for_ever): &(Call, &str, bool),
    old: &Records,
    new: &Records,
) -> Vec<String> {
    let home = base.copy();
    let trace = home.path().join("trace");
    let mut runner = vec![
        "strace".to_owned(),
        "-o".into(),
        trace.display().to_string(),
    ];
    let when = if *for_ever {
        format!("{}+", point.nth)
    } else {
        point.nth.to_string()
    };
    runner.extend(inject(&point.name, &format!("error={error}"), &when));
    let out = home.run_under(&runner, args);
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    let mut faults = Vec::new();
    if !std::fs::read_to_string(&trace).is_ok_and(|t| t.contains("(INJECTED)")) {
        faults.push("the fault never came".into());
    }
    let left = home.records();
    match out.status.code() {
        Some(0) if left != *new => faults.push("done, and records are missing".into()),
        Some(0) => {}
        Some(3) => {
            if !(left.is_superset(old) && left.is_subset(new)) {
                faults.push("neither the old records nor the new ones".into());
            }
            if whole && left != *old && left != *new {
                faults.push("half recorded".into());
            }
            let sentence = said.starts_with("handlamp: ") && !said.contains("panicked");
            // Where every write fails there is nowhere to say it.
            let mute = point.name == "write" && *for_ever && said.is_empty();
            if !(sentence || mute) || !out.stdout.is_empty() {
                faults.push(format!("said {said:?}"));
            }
        }
        _ => faults.push(format!("{:?} {said}", out.status)),
    }
    faults.extend(home.faults());
    let again = home.run(args);
    let begun = args[..2] == ["boat", "new"] && again.status.code() == Some(2);
    let done = again.status.success() && home.records().is_superset(new);
    if !(begun || done) {
        let said = String::from_utf8_lossy(&again.stderr).into_owned();
        faults.push(format!("again: {:?} {said}", again.status));
    }
    let kind = if *for_ever { "for ever" } else { "once" };
    let told = |f: String| format!("{error} {kind} at {point:?}: {f}");
    faults.into_iter().map(told).collect()
}

#[test]
fn beginning_a_logbook() {
    let args = ["boat", "new", "profile.json"];
    sweep("boat new", &Home::empty(), &args, true);
}

#[test]
fn recording_a_walk() {
    let home = Home::with_boat();
    let sheet = crate::scene::walk("w9", "2026-01-02T08:00:00Z");
    home.put("walk.json", &sheet);
    sweep("record", &home, &["record", "walk.json"], true);
}

#[test]
fn recording_pictures() {
    let home = Home::with_pictures();
    sweep("pictures", &home, &["record", "walk.json"], true);
}

#[test]
fn changing_the_profile() {
    let args = ["boat", "set", "changed.json"];
    sweep("boat set", &Home::with_findings(), &args, true);
}

#[test]
fn recording_a_repair() {
    let args = ["repair", "drive-belt", "--done", "new belt"];
    sweep("repair", &Home::with_findings(), &args, true);
}

#[test]
fn merging() {
    let args = ["logbook", "merge", "other"];
    sweep("merge", &Home::with_copy(), &args, false);
}
