//! A boat, what is done to her logbook, and what is in it afterwards.

use std::collections::BTreeSet;
use std::os::unix::process::ExitStatusExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::rc::Rc;
use std::sync::Arc;

use chrono::DateTime;
use handlamp::checklist::Library;
use handlamp::logbook::book::Book;
use handlamp::logbook::{FixedClock, Gravity, Log, read_log};
use serde_json::json;
use tempfile::TempDir;

use crate::trace::{CALLS, Call, calls};

pub const BINARY: &str = env!("CARGO_BIN_EXE_handlamp");
/// When the boat's logbook was begun: another year, so that the first record makes a folder.
const BEGUN: &str = "2025-12-28T09:00:00+00:00";
/// When everything else happens.
pub const NOW: &str = "2026-01-02T09:00:00+00:00";

const PROFILE: &str = r#"{"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric",
 "usual_hours_per_month":15,"machines":[{"id":"main","name":"Main engine","hours":1200.0}]}"#;

/// A home with, mostly, a logbook in it.
pub struct Home(TempDir);

/// What is in a log: the id of each record, and what it says.
pub type Records = BTreeSet<(String, String)>;

impl Home {
    /// Nothing but files to read from.
    pub fn empty() -> Home {
        let home = Home(tempfile::tempdir().expect("a folder"));
        home.put("profile.json", PROFILE);
        home.put("changed.json", &PROFILE.replace("inshore", "offshore"));
        home
    }

    /// A boat of three answers.
    pub fn with_boat() -> Home {
        let home = Home::empty();
        home.must("book", &["boat", "new", "profile.json"], BEGUN);
        home
    }

    /// A boat with two findings.
    pub fn with_findings() -> Home {
        let home = Home::with_boat();
        home.put("w0.json", &walk("w0", "2025-12-30T08:00:00Z"));
        home.must("book", &["record", "w0.json"], NOW);
        home
    }

    /// The same, and a copy in `other` in which two more walks were recorded.
    pub fn with_copy() -> Home {
        let home = Home::with_findings();
        copy_tree(&home.book(), &home.path().join("other"));
        for (id, day) in [("w1", "31"), ("w2", "29")] {
            let file = format!("{id}.json");
            home.put(&file, &walk(id, &format!("2025-12-{day}T08:00:00Z")));
            home.must("other", &["record", &file], NOW);
        }
        home
    }

    /// A boat, and a sheet `walk.json` whose looks name two pictures beside it.
    pub fn with_pictures() -> Home {
        let home = Home::with_boat();
        let mut sheet: serde_json::Value =
            serde_json::from_str(&walk("w9", "2026-01-02T08:00:00Z")).expect("a sheet");
        for (n, name) in ["belt.png", "seal.png"].into_iter().enumerate() {
            let shade = image::Rgb([n as u8 * 90; 3]);
            let picture = image::RgbImage::from_pixel(64, 48, shade);
            picture.save(home.path().join(name)).expect("written");
            sheet["looks"][n]["photos"] = json!([{"path": name, "caption": "as found"}]);
        }
        home.put("walk.json", &sheet.to_string());
        home
    }

    pub fn path(&self) -> &Path {
        self.0.path()
    }

    pub fn book(&self) -> PathBuf {
        self.path().join("book")
    }

    pub fn put(&self, name: &str, text: &str) {
        std::fs::write(self.path().join(name), text).expect("written");
    }

    /// An equal home elsewhere.
    pub fn copy(&self) -> Home {
        let copy = Home(tempfile::tempdir().expect("a folder"));
        copy_tree(self.path(), copy.path());
        copy
    }

    fn command(&self, logbook: &str, runner: &[String], args: &[&str], now: &str) -> Command {
        let mut all: Vec<&str> = runner.iter().map(String::as_str).collect();
        all.push(BINARY);
        all.extend(args);
        all.extend(["--now", now]);
        let mut command = Command::new(all[0]);
        command
            .args(&all[1..])
            .env_clear()
            .env("PATH", "/usr/bin:/bin:/usr/sbin:/sbin")
            .env("HOME", self.path())
            .env("TZ", "UTC")
            .env("HANDLAMP_LOGBOOK", self.path().join(logbook))
            .current_dir(self.path())
            .stdin(Stdio::null());
        command
    }

    fn must(&self, logbook: &str, args: &[&str], now: &str) {
        let out = self
            .command(logbook, &[], args, now)
            .output()
            .expect("it runs");
        let said = String::from_utf8_lossy(&out.stderr).into_owned();
        assert!(out.status.success(), "{args:?}: {said}");
    }

    /// Runs a command on the logbook.
    pub fn run(&self, args: &[&str]) -> Output {
        self.command("book", &[], args, NOW)
            .output()
            .expect("it runs")
    }

    /// Runs a command under another program, such as the tracer.
    pub fn run_under(&self, runner: &[String], args: &[&str]) -> Output {
        self.command("book", runner, args, NOW)
            .output()
            .expect("it runs")
    }

    /// The calls of a command that touch the logbook or say that it is done.
    pub fn trace(&self, args: &[&str]) -> Vec<Call> {
        let file = self.path().join("trace");
        let runner: Vec<String> = ["strace", "-f", "-y", "-s", "0", "-o"]
            .map(str::to_owned)
            .into_iter()
            .chain([
                file.display().to_string(),
                "-e".into(),
                format!("trace={CALLS}"),
            ])
            .collect();
        let out = self.run_under(&runner, args);
        let said = String::from_utf8_lossy(&out.stderr).into_owned();
        assert!(out.status.success(), "{args:?}: {said}");
        let book = self.book().display().to_string();
        let mut found = calls(&file);
        found.retain(|c| c.line.contains(&book) || c.line.starts_with("write(1<"));
        found
    }

    /// The log as a reader finds it.
    pub fn log(&self) -> Log {
        read(&self.book())
    }

    /// The records of the log.
    pub fn records(&self) -> Records {
        records(&self.log())
    }

    /// What the program itself makes of the last walk when it opens the logbook again.
    pub fn walked(&self) -> Kept {
        let library = Arc::new(Library::built_in().clone());
        let daily = library.checklist("daily").expect("built in").clone();
        let now = DateTime::parse_from_rfc3339(NOW).expect("a time");
        let clock = Rc::new(FixedClock::new(now));
        let book = Book::open(&self.book(), clock, library, None).expect("it opens");
        let Some(walk) = book.history().walks.last() else {
            return Kept::default();
        };
        let seen = |phase: &str, item: &String| {
            let mut looks = walk.looks.iter().map(|timed| &timed.look);
            looks.any(|l| l.item == *item && l.phase.as_deref() == Some(phase))
        };
        let rows = daily.phases.iter().flat_map(|p| {
            let all = move |items: &[String]| items.iter().all(|item| seen(&p.id, item));
            p.rows.iter().filter(move |row| all(&row.items))
        });
        Kept {
            rows: rows.count(),
            hours: walk.hours.is_some(),
        }
    }

    /// What anyone may ask of a logbook whatever happened to it: every command can read it, no
    /// record is lost or in doubt, and reading changes nothing.
    pub fn faults(&self) -> Vec<String> {
        let mut faults = Vec::new();
        let log = self.log();
        for problem in &log.problems {
            if problem.gravity() == Gravity::Damage {
                faults.push(problem.to_string());
            }
        }
        let again = self.log();
        if records(&log) != records(&again) {
            faults.push("reading twice differs".into());
        }
        if !self.book().join("boat.json").exists() {
            return faults;
        }
        for args in [&["logbook", "check", "--json"][..], &["walks", "--json"]] {
            let out = self.run(args);
            if out.status.code() != Some(0) {
                let said = String::from_utf8_lossy(&out.stderr).into_owned();
                faults.push(format!("{args:?}: {:?} {said}", out.status));
            }
        }
        faults
    }
}

/// What is in the logbook of the last walk.
#[derive(Clone, Debug, Default)]
pub struct Kept {
    /// Rows all of whose items were looked at.
    pub rows: usize,
    /// The hour meter was read.
    pub hours: bool,
}

/// Reads a log, long after everything in it.
pub fn read(root: &Path) -> Log {
    let later = DateTime::parse_from_rfc3339("2026-02-01T09:00:00Z").expect("a time");
    read_log(root, &FixedClock::new(later)).expect("a log that can be read")
}

/// The records of a log, without the marks of beginning and end.
pub fn records(log: &Log) -> Records {
    let told = log.entries.iter();
    told.filter(|e| !matches!(&*e.ev, "session" | "end"))
        .map(|e| {
            (
                e.id.as_str().to_owned(),
                format!("{} {}", e.ev, e.rec.get()),
            )
        })
        .collect()
}

/// Whether the process was ended by SIGKILL.
pub fn was_killed(out: &Output) -> bool {
    out.status.signal() == Some(9)
}

/// A finished morning check: everything sound but two things.
pub fn walk(id: &str, at: &str) -> String {
    let daily = Library::built_in().checklist("daily").expect("built in");
    let mut looks = Vec::new();
    for phase in &daily.phases {
        for item in phase.rows.iter().flat_map(|row| &row.items) {
            let grade = match item.as_str() {
                "drive-belt" => "worn",
                "raw-water-pump-seal" => "early",
                _ => "sound",
            };
            let mut look = json!({"item": item, "phase": phase.id, "grade": grade});
            if id != "w0" && grade != "sound" {
                look["note"] = json!(format!("as before {id}"));
            }
            looks.push(look);
        }
    }
    json!({"type":"walk","id":id,"checklist":"daily","machine":"main","at":at,"by":"R. Quay","looks":looks})
        .to_string()
}

fn copy_tree(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("made");
    for entry in std::fs::read_dir(from).expect("read") {
        let entry = entry.expect("an entry");
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy_tree(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).expect("copied");
        }
    }
}
