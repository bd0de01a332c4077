//! Exports of several boats in real database engines: DuckDB and SQLite in a Python process, PostgreSQL
//! as a server of its own. The queries of `assets/fleet` have to give the same in each, and what the
//! boats' own commands say.
//!
//! - here: folders of JSON lines, as three queries find them
//! - [`questions`]: scripts of SQL, loaded again and again, asked all that somebody asks who looks after
//!   many boats
//! - [`dates`]: the calendar file, read by another program
//!
//! An engine that is not here is skipped with the word SKIPPED and its name. `.ci/run` installs both.
#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::{Value, json};

#[path = "../cli/harness.rs"]
#[allow(
    dead_code,
    reason = "shared with the tests of the commands, which use all of it"
)]
mod harness;

#[path = "../skip/mod.rs"]
#[allow(dead_code)]
mod skip;

mod dates;
mod questions;

use harness::{PROFILE, Place, TWINS};
use skip::skipped;

const NOW: &str = "2026-05-20T09:00:00+02:00";

/// Three boats, two of one name, and where each was exported to.
struct Fleet {
    boats: Vec<(Place, PathBuf)>,
}

impl Fleet {
    fn exported() -> Fleet {
        // Worn belt, damp seal, an owed look at the belt that is overdue; estimates.
        let plover = Place::with_findings();
        plover.record(&json!({"type":"recheck","item":"drive-belt","due_at":"2026-05-10T09:00:00+02:00","why":"see it once more"}));
        plover.record(&json!({"type":"recheck","item":"raw-water-pump-seal","due_hours":1500,"why":"not before long"}));
        plover.record(&json!({"type":"cost","item":"drive-belt","low":40,"likely":60,"high":200,"currency":"EUR"}));
        // Another boat of that name: nothing but a belt put right.
        let namesake = Place::with(&PROFILE.replace("1200.0", "88.0"));
        namesake.record(&json!({"type":"walk","checklist":"daily","at":"2026-05-03T07:40:00+02:00","looks":[{"item":"drive-belt","grade":"worn"}]}));
        namesake.record(&json!({"type":"repair","item":"drive-belt","at":"2026-05-03T08:00:00+02:00","done":"new belt"}));
        // Two engines, one of them stopped; a look owed by a meter that has passed it.
        let terns = Place::with(TWINS);
        terns.record(&json!({"type":"walk","checklist":"daily","machine":"port","hours":500,"at":"2026-05-03T07:40:00+02:00",
            "looks":[{"item":"drive-belt","grade":"failing"},{"item":"bilge-water","grade":"early","note":"= \"a\"\tb\\ é\u{1}"}]}));
        terns.record(&json!({"type":"recheck","item":"oil-hoses","machine":"port","due_hours":499,"why":"weeping clip"}));
        let boats = [plover, namesake, terns].map(|mut place| {
            place.at(NOW);
            let answer = place.json("logbook-export", &["logbook", "export", "tables"]);
            assert_eq!(answer["rows"][0]["file"], "boats.ndjson");
            let folder = place.path().join("tables");
            (place, folder)
        });
        Fleet {
            boats: boats.into(),
        }
    }

    fn ask(&self, engine: &str) -> Option<Value> {
        ask(engine, self.boats.iter().map(|(_, folder)| folder.clone()))
    }

    fn lines(&self, table: &str) -> Vec<Value> {
        let read = |(_, folder): &(Place, PathBuf)| {
            let text = std::fs::read_to_string(folder.join(format!("{table}.ndjson")));
            let text = text.expect("a table");
            let rows = text.lines().map(|l| serde_json::from_str(l).expect("JSON"));
            rows.collect::<Vec<Value>>()
        };
        self.boats.iter().flat_map(read).collect()
    }
}

/// A program of `tests/fleet`, in the Python that `.ci/run` makes ready.
fn python(script: &str) -> Command {
    let manifest = Path::new(env!("CARGO_MANIFEST_DIR"));
    let own = manifest.join("target/fleet-venv/bin/python3");
    let mut command = Command::new(if own.exists() { own } else { "python3".into() });
    command
        .arg("-B")
        .arg(manifest.join("tests/fleet").join(script));
    command
}

/// What a program answers; none, with a word, where what it needs is not here.
fn answered(what: &str, mut command: Command) -> Option<Value> {
    let out = match command.output() {
        Ok(out) => out,
        Err(e) => {
            skipped(what, &format!("python3 is not here ({e})"));
            return None;
        }
    };
    let said = String::from_utf8_lossy(&out.stdout).into_owned();
    if out.status.code() == Some(77) {
        skipped(what, said.trim());
        return None;
    }
    let wrong = String::from_utf8_lossy(&out.stderr);
    assert!(out.status.success(), "{what}: {wrong}{said}");
    Some(serde_json::from_str(&said).expect("JSON"))
}

/// What an engine answers of some exports.
fn ask(engine: &str, exports: impl IntoIterator<Item = PathBuf>) -> Option<Value> {
    let mut command = python("run.py");
    let queries = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/fleet");
    command.arg(engine).arg(queries).args(exports);
    answered(engine, command)
}

/// The rows of a query as text, without the ids of boats.
fn shown(answer: &Value, query: &str) -> Vec<String> {
    let rows = answer[query].as_array().expect("rows");
    let row = |row: &Value| {
        let cells: BTreeMap<_, _> = row.as_object().expect("a row").iter().collect();
        let cells = cells.into_iter().filter(|(name, _)| *name != "boat");
        let cells = cells.map(|(name, value)| format!("{name}={value}"));
        cells.collect::<Vec<_>>().join(" ")
    };
    rows.iter().map(row).collect()
}

/// A row of `worst-boats` from what `defects` says on the boat.
fn own_list(place: &Place) -> String {
    let list = place.json("defects", &["defects"]);
    let rows = list["rows"].as_array().expect("rows");
    let at = |risk: &str| rows.iter().filter(|row| row["risk"] == risk).count();
    let stops = rows.iter().filter(|row| row["stop"] == true).count();
    let boat = place.json("boat", &["boat", "show"]);
    format!(
        "high={} last_walk=\"2026-05-03 05:40:00+00:00\" low={} medium={} name={} serious={} stops={stops}",
        at("high"),
        at("low"),
        at("medium"),
        boat["boat"]["name"],
        at("serious"),
    )
}

fn check(fleet: &Fleet, answer: &Value) {
    for (table, n) in answer["counts"].as_object().expect("counts") {
        assert_eq!(*n, fleet.lines(table).len(), "{table}");
    }
    assert_eq!(answer["counts"]["boats"], 3);
    assert_eq!(answer["counts"]["costs"], 1);
    // Plover, namesake, terns: worst first, as each boat's own list has it.
    let by_rank = [2, 0, 1].map(|n| own_list(&fleet.boats[n].0));
    assert_eq!(shown(answer, "worst-boats"), by_rank);
    let boats: Vec<_> = answer["worst-boats"]
        .as_array()
        .expect("rows")
        .iter()
        .map(|r| &r["boat"])
        .collect();
    assert!(boats[1] != boats[2], "two boats of one name are two boats");
    assert_eq!(
        shown(answer, "kinds-that-fail"),
        [
            r#"boats=3 came_back=0 defects=3 kind="belt" open_now=2"#,
            r#"boats=1 came_back=0 defects=1 kind="level" open_now=1"#,
            r#"boats=1 came_back=0 defects=1 kind="seal" open_now=1"#,
        ]
    );
    assert_eq!(answer["orphans"], json!([]));
    // Looks owed, and what is to be put right, stand among all that is due.
    let overdue = shown(answer, "overdue");
    for row in [
        r#"due_date="2026-05-10" id="*" item="drive-belt" machine="main" name="Grey Plover" title="Drive belt" what="recheck" why="owed: see it once more""#,
        r#"due_date="2026-05-19" id="drive-belt" item="drive-belt" machine="main" name="Grey Plover" title="Drive belt" what="defect" why="to be put right by 2026-05-19""#,
        r#"id="drive-belt" item="drive-belt" machine="port" name="Two Terns" title="Drive belt" what="defect" why="stops the boat""#,
    ] {
        let fits = |shown: &String| row.split(" id=\"*\"").all(|part| shown.contains(part));
        assert!(overdue.iter().any(fits), "{row}\n{overdue:#?}");
    }
}

#[test]
fn a_fleet_is_asked_in_duckdb() {
    let fleet = Fleet::exported();
    if let Some(answer) = fleet.ask("duckdb") {
        check(&fleet, &answer);
    }
}

#[test]
fn a_fleet_is_asked_in_sqlite() {
    let fleet = Fleet::exported();
    if let Some(answer) = fleet.ask("sqlite") {
        check(&fleet, &answer);
    }
}

#[test]
fn a_fleet_is_asked_in_postgresql() {
    let fleet = Fleet::exported();
    if let Some(answer) = fleet.ask("postgres") {
        check(&fleet, &answer);
    }
}

/// Needs no engine: every row of every table begins with its boat, and the boats differ.
#[test]
fn every_row_names_its_boat() {
    let fleet = Fleet::exported();
    let mut ids = Vec::new();
    for boat in fleet.lines("boats") {
        ids.push(boat["boat"].as_str().expect("an id").to_owned());
    }
    ids.sort();
    ids.dedup();
    assert_eq!(ids.len(), 3);
    for (_, folder) in &fleet.boats {
        for file in std::fs::read_dir(folder).expect("a folder") {
            let path = file.expect("a file").path();
            if path.extension().is_some_and(|e| e == "ndjson") {
                let text = std::fs::read_to_string(&path).expect("text");
                for line in text.lines() {
                    let row: Value = serde_json::from_str(line).expect("JSON");
                    let boat = row["boat"].as_str().expect("a boat").to_owned();
                    assert!(
                        ids.contains(&boat) && line.starts_with("{\"boat\":"),
                        "{line}"
                    );
                }
            }
        }
    }
}
