//! How what a person waits for grows with the years on record, with faults, repairs and looks taken
//! back: `cargo bench --bench growth` tells of one, three and ten years, with `-- 1 30` of others. Last
//! come the exponents between the first and the last: 1 is as the record grows.

#![allow(clippy::expect_used, clippy::panic, missing_docs)]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};
use std::rc::Rc;
use std::sync::Arc;
use std::time::{Duration, Instant};

use handlamp::checklist::Library;
use handlamp::logbook::FixedClock;
use handlamp::logbook::book::Book;
use sha2::{Digest, Sha256};

mod mornings;

use mornings::{LOOKS, Years, day};

/// So often each thing is done; the fastest counts, since a machine is only ever slowed down.
const TIMES: usize = 3;

/// Figures by what was done: years and milliseconds, and kilobytes at most where it is a command.
type Figures = BTreeMap<String, Vec<(f64, f64, u64)>>;

fn main() {
    let years: Vec<f64> = std::env::args().filter_map(|a| a.parse().ok()).collect();
    let years = if years.is_empty() {
        vec![1.0, 3.0, 10.0]
    } else {
        years
    };
    let mut figures = Figures::new();
    for years in &years {
        grown(*years, &mut figures);
    }
    for (what, told) in &figures {
        let (first, last) = (
            told.first().expect("figures"),
            told.last().expect("figures"),
        );
        let exponent = (last.1 / first.1).ln() / (last.0 / first.0).ln();
        println!("{what:<28} exponent {exponent:>6.2}");
    }
}

/// All that is measured, with so many years on record.
fn grown(years: f64, figures: &mut Figures) {
    let dir = tempfile::tempdir().expect("a folder");
    let root = dir.path().join("book");
    let library = Arc::new(Library::built_in().clone());
    let days = (years * 365.0) as i64;
    let book = Years {
        days,
        items: LOOKS,
        fault_every: Some(30),
        taken_back_every: Some(50),
    };
    book.write(&root, &library);
    let mut note = |what: &str, took: Duration, peak: u64| {
        let took = took.as_secs_f64() * 1000.0;
        println!(
            "{what:<28}{years:>5} years {took:>10.1} ms {:>8.1} MB",
            peak as f64 / 1024.0
        );
        figures
            .entry(what.to_owned())
            .or_default()
            .push((years, took, peak));
    };
    let bytes = all_bytes(&root.join("log"));
    note(
        "plain SHA-256 of the log",
        fastest(|| assert_eq!(Sha256::digest(&bytes).len(), 32)),
        0,
    );
    let opened = fastest(|| {
        let clock = Rc::new(FixedClock::new(day(days)));
        let book = Book::open(&root, clock, Arc::clone(&library), None).expect("opens");
        assert!(book.condition().lives.len() > 1);
    });
    note("opened, with its condition", opened, 0);
    let mut command = |what: &str, root: &Path, args: &[&str]| {
        let mut peak = 0;
        let took = fastest(|| peak = peak.max(run(root, days, args)));
        note(what, took, peak);
    };
    for name in ["verdict", "defects", "due", "walks"] {
        command(&format!("command {name}"), &root, &[name]);
    }
    command("command logbook seal", &root, &["logbook", "seal"]);
    let beside = |name: &str| dir.path().join(name).display().to_string();
    let export = ["logbook", "export", &beside("export")];
    command("command logbook export", &root, &export);
    let report = ["report", "now", "--to", &beside("report.html")];
    command("command report", &root, &report);
    let sheets = dir.path().join("sheets.jsonl");
    std::fs::write(&sheets, sheets_of(days, &library)).expect("written");
    let into = dir.path().join("into");
    Years { days: 0, ..book }.write(&into, &library);
    let began = Instant::now();
    let peak = run(&into, days, &["record", &sheets.display().to_string()]);
    note("command record, from a file", began.elapsed(), peak);
}

/// Mornings as documents for `record`.
fn sheets_of(days: i64, library: &Library) -> String {
    let items = library.catalogue.items().iter();
    let items: Vec<&str> = items
        .filter(|i| i.roles.is_none())
        .map(|i| i.id.as_str())
        .collect();
    let mut text = String::new();
    for n in 1..=days {
        let start = n as usize * 7;
        let looks = (start..start + LOOKS).map(|place| {
            let item = items[place % items.len()];
            format!(r#"{{"item":"{item}","grade":"sound"}}"#)
        });
        let (at, hours) = (day(n).to_rfc3339(), 1000.0 + n as f64 / 2.0);
        let looks = looks.collect::<Vec<_>>().join(",");
        let head = format!(r#""type":"walk","id":"m{n}","checklist":"daily","at":"{at}""#);
        writeln!(text, r#"{{{head},"hours":{hours},"looks":[{looks}]}}"#).expect("text");
    }
    text
}

/// The least time something takes.
fn fastest(mut what: impl FnMut()) -> Duration {
    let timed = (0..TIMES).map(|_| {
        let began = Instant::now();
        what();
        began.elapsed()
    });
    timed.min().expect("times")
}

/// Runs a command on a logbook; the most memory it was seen to hold, in kilobytes, asked for every
/// millisecond.
fn run(root: &Path, days: i64, args: &[&str]) -> u64 {
    let mut command = Command::new(env!("CARGO_BIN_EXE_handlamp"));
    command.env("HANDLAMP_LOGBOOK", root).env("HOME", root);
    command.args(["--now", &day(days).to_rfc3339()]).args(args);
    let mut child = command.stdout(Stdio::null()).spawn().expect("it runs");
    let status = format!("/proc/{}/status", child.id());
    let mut peak = 0;
    loop {
        let held = std::fs::read_to_string(&status).unwrap_or_default();
        let line = held.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let held = line.and_then(|line| line.trim().strip_suffix(" kB")?.parse().ok());
        peak = peak.max(held.unwrap_or(0));
        if let Some(status) = child.try_wait().expect("waited for") {
            assert!(status.success(), "{args:?} ends with {status}");
            return peak;
        }
        std::thread::sleep(Duration::from_millis(1));
    }
}

/// Everything in the files below a folder.
fn all_bytes(dir: &Path) -> Vec<u8> {
    let mut all = Vec::new();
    for entry in std::fs::read_dir(dir).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            all.extend(all_bytes(&path));
        } else {
            all.extend(std::fs::read(&path).expect("a file"));
        }
    }
    all
}
