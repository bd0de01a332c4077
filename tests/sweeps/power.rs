//! The power fails while records are made. `power.py` stops the file system; this test binary,
//! started again, makes the records through the library as the screens do.

use std::io::Write;
use std::path::Path;
use std::process::Command;
use std::rc::Rc;
use std::sync::Arc;

use handlamp::boat::Waters;
use handlamp::checklist::{Grade, Library};
use handlamp::logbook::SystemClock;
use handlamp::logbook::book::Book;
use handlamp::logbook::record::{LookMade, Record, WalkStarted};
use handlamp::walk::Look;
use serde_json::Value;

use crate::scene::BINARY;
use crate::skip::skipped;

const MARK: &str = "HANDLAMP_TEST_FEED";

/// Makes records until it is killed or the disk refuses, and prints the id of each when saved:
/// looks one by one, now and then a batch of its own file, a kept text, a changed profile.
#[test]
fn feed_when_asked() {
    let Some(root) = std::env::var_os(MARK) else {
        return;
    };
    let library = Arc::new(Library::built_in().clone());
    let clock = Rc::new(SystemClock::new());
    let mut book = Book::open(Path::new(&root), clock, library, None).expect("a boat");
    let daily = book.library().checklist("daily").expect("built in").clone();
    for n in 0_u32.. {
        let walk = book.new_walk_id();
        let started = WalkStarted {
            walk: walk.clone(),
            checklist: "daily".into(),
            asked: book.keep_asked(&daily).ok(),
            machine: "main".into(),
            at: book.now(),
            by: None,
            hours: None,
            entered_after: false,
            blind: false,
            left_out: Vec::new(),
            joins: Vec::new(),
            disturbed: Vec::new(),
        };
        told(book.record(vec![Record::WalkStarted(started)]), &book);
        for item in daily.phases[0].rows.iter().flat_map(|row| &row.items) {
            let look = Look::graded(item, Some(&daily.phases[0].id), Grade::Sound);
            let made = Record::Look(LookMade {
                walk: walk.clone(),
                at: book.now(),
                look: look.into(),
            });
            told(book.record(vec![made]), &book);
        }
        let mut boat = book.boat().clone();
        boat.waters = [Waters::Inshore, Waters::Offshore][n as usize % 2];
        let batch = vec![(None, Record::Profile(Box::new(boat.clone().into())))];
        told(book.record_batch(batch), &book);
        if book.set_boat(boat).is_err() {
            std::process::exit(0);
        }
    }
}

fn told(saved: Result<Vec<String>, handlamp::logbook::LogbookError>, book: &Book) {
    let (Ok(ids), None) = (saved, book.trouble()) else {
        std::process::exit(0);
    };
    let mut out = std::io::stdout().lock();
    for id in ids {
        writeln!(out, "ack {id}").expect("told");
    }
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
