//! A logbook written by each version, kept for ever and read by every later one.
//!
//! `corpus/v1/logbook` was written in format 1, `corpus/v2/logbook` in format 2: a profile changed on
//! its base and a machine retired, an item of the boat's own, a session whose clock stood ten years
//! ahead, a damaged line that was accepted. `expected` are the tables they held. None is ever
//! written anew: a later version that reads it differently is wrong. What is judged from the records
//! (risk, verdict) may change with the method and is not kept here.
//!
//! `corpus/passage/logbook` holds a plan, a locker, what was left open and a passage.
//! `corpus/watch/logbook` holds a watch: rounds that claim all as usual, the engine off, one half typed.
//! `corpus/kinds/logbook` holds the kinds of records that came later, so that of every kind there is an
//! example: most were written by commands, one file as screens, other boats and a former owner write.

use std::path::{Path, PathBuf};

use handlamp::logbook::record::Record;
use handlamp::logbook::{FixedClock, read_log};
use serde_json::Value;

use super::place::Place;

/// Tables that hold what was recorded and nothing judged.
const TABLES: [&str; 15] = [
    "machines",
    "walks",
    "looks",
    "readings",
    "wear",
    "photos",
    "repairs",
    "deferrals",
    "overrides",
    "withdrawals",
    "rechecks",
    "fitted",
    "plans",
    "removed",
    "meters",
];

fn corpus(version: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/hostile/corpus")
        .join(version)
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("made");
    for entry in std::fs::read_dir(from).expect("a folder") {
        let entry = entry.expect("an entry");
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), &target).expect("copied");
            let mode = std::os::unix::fs::PermissionsExt::from_mode(0o600);
            std::fs::set_permissions(&target, mode).expect("a mode");
        }
    }
}

fn rows(path: &Path) -> Vec<Value> {
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    text.lines()
        .map(|line| serde_json::from_str(line).expect("JSON"))
        .collect()
}

/// Judged columns of the tables above.
const JUDGED: [&str; 4] = ["verdict", "hours_now", "hours_per_day", "open"];

/// The tables that a logbook gives now say what they said.
fn tables_stay(place: &Place, version: &str, tables: &[&str]) {
    let run = place.run(&["logbook", "export", "tables"]);
    assert_eq!(run.code, Some(0), "{run}");
    for table in tables {
        let name = format!("{table}.ndjson");
        let expected = rows(&corpus(version).join("expected").join(&name));
        let now = rows(&place.path().join("tables").join(&name));
        assert!(!expected.is_empty(), "{table}");
        assert_eq!(now.len(), expected.len(), "{table}");
        for (now, expected) in now.iter().zip(&expected) {
            // Later versions may say more, never other things.
            for (column, value) in expected.as_object().expect("a row") {
                let judged = JUDGED.contains(&column.as_str());
                assert!(
                    judged || now[column] == *value,
                    "{table}, {column}: {} is now {}",
                    value,
                    now[column]
                );
            }
        }
    }
}

fn kept(version: &str) -> Place {
    let mut place = Place::empty();
    place.at("2026-05-16T09:00:00+02:00");
    copy(&corpus(version).join("logbook"), &place.logbook());
    place
}

#[test]
fn the_logbook_of_version_1_says_what_it_said() {
    let place = kept("v1");
    let check = place.json("logbook-check", &["logbook", "check"]);
    assert_eq!(
        (&check["files"], &check["records"]),
        (&12.into(), &20.into()),
        "{check}"
    );
    assert_eq!(
        (&check["rows"], &check["newer"]),
        (&serde_json::json!([]), &0.into())
    );
    tables_stay(&place, "v1", &TABLES);
}

#[test]
fn the_logbook_of_version_2_says_what_it_said() {
    let place = kept("v2");
    let check = place.json("logbook-check", &["logbook", "check"]);
    assert_eq!(
        (&check["files"], &check["records"], &check["newer"]),
        (&9.into(), &17.into(), &0.into()),
        "{check}"
    );
    assert_eq!(check["rows"].as_array().map(Vec::len), Some(2), "{check}");
    tables_stay(&place, "v2", &["machines", "walks", "looks", "repairs"]);
    let walks = place.json("walks", &["walks"]);
    let order: Vec<&str> = walks["rows"]
        .as_array()
        .expect("rows")
        .iter()
        .filter_map(|row| row["id"].as_str())
        .collect();
    assert_eq!(
        order,
        ["w1", "w2", "w3"],
        "by the order of the log, whatever a clock showed"
    );
    let verdict = place.json("verdict", &["verdict", "--machine", "main"]);
    let told = verdict["not_counted"]
        .as_array()
        .expect("the line stays named");
    assert_eq!((told.len(), &told[0]["line"]), (1, &5.into()));
    let reasons = verdict["reasons"].to_string();
    assert!(
        !reasons.contains("not counted"),
        "it was accepted: {reasons}"
    );
    let item = place.json("explain", &["explain", "steering-ram-seal"]);
    assert_eq!(item["grade"], "early", "an item of her own");
}

/// Every line of the corpora: what kind of record, and what it says.
fn examples() -> Vec<(String, Value)> {
    let clock = FixedClock::new(
        chrono::DateTime::parse_from_rfc3339("2026-05-16T09:00:00+02:00").expect("a time"),
    );
    let mut all = Vec::new();
    for version in ["v1", "v2", "kinds", "passage", "jobs", "watch"] {
        let log = read_log(&corpus(version).join("logbook"), &clock).expect("read");
        let frame = |ev: &str| ev == "session" || ev == "end";
        let entries = log.entries.iter().filter(|entry| !frame(&entry.ev));
        all.extend(entries.map(|entry| {
            let rec = serde_json::from_str(&entry.rec.get()).expect("JSON");
            (entry.ev.to_string(), rec)
        }));
    }
    all
}

/// What of `kept` is missing or reads otherwise in `now`; more may stand there.
fn lost(kept: &Value, now: &Value, at: &str) -> Vec<String> {
    match (kept, now) {
        (Value::Object(fields), Value::Object(_)) => fields
            .iter()
            .flat_map(|(name, value)| lost(value, &now[name], &format!("{at}.{name}")))
            .collect(),
        (Value::Array(values), Value::Array(others)) if values.len() == others.len() => values
            .iter()
            .zip(others)
            .flat_map(|(value, other)| lost(value, other, at))
            .collect(),
        (kept, now) if kept == now || kept.as_f64().is_some_and(|k| now.as_f64() == Some(k)) => {
            Vec::new()
        }
        (kept, now) => vec![format!("{at}: {kept} is now {now}")],
    }
}

#[test]
fn of_every_kind_of_record_there_is_an_example_and_nothing_of_it_is_lost() {
    let examples = examples();
    for kind in Record::KINDS {
        let known = examples.iter().any(|(ev, _)| ev == kind.name);
        assert!(known, "no corpus has a record of the kind {}", kind.name);
    }
    for (ev, kept) in &examples {
        let read = Record::read(ev, &kept.to_string()).expect("a kind that is known");
        let now = read.unwrap_or_else(|e| panic!("{ev}: {e}: {kept}"));
        let now = serde_json::from_str(&now.payload().expect("JSON")).expect("JSON");
        assert_eq!(lost(kept, &now, ev), [] as [String; 0]);
    }
}

#[test]
fn a_passage_with_its_locker_says_what_it_said() {
    let place = kept("passage");
    let check = place.json("logbook-check", &["logbook", "check"]);
    assert_eq!(
        (&check["records"], &check["newer"], &check["rows"]),
        (&17.into(), &0.into(), &serde_json::json!([])),
        "{check}"
    );
    let locker = place.json("locker", &["locker"]);
    let rows = locker["rows"].as_array().expect("rows").iter();
    let mut belts = rows.filter(|row| row["spare"] == "drive-belts");
    let belts = belts.next().expect("belts");
    assert_eq!(
        (&belts["count"], &belts["counts"], &belts["lies"]),
        (&1.0.into(), &1.0.into(), &"port locker".into())
    );
    let log = place.json("underway-log", &["underway", "log"]);
    assert_eq!(log["missed"], 1, "{log}");
    let plans = place.json("plans", &["plan", "list"]);
    assert_eq!(plans["rows"][0]["hours_per_day"], 20.0, "{plans}");
    let ready = place.json("ready", &["ready"]);
    let answers = ready["ready"].as_array().expect("three").iter();
    let open = answers.filter(|to| to["answer"] != "nothing-on-record");
    assert_eq!(open.count(), 0, "{ready}");
}

/// How long jobs took and take, and a plan that has her ashore.
#[test]
fn jobs_with_their_minutes_say_what_they_said() {
    let place = kept("jobs");
    let check = place.json("logbook-check", &["logbook", "check"]);
    assert_eq!(
        (&check["records"], &check["newer"], &check["rows"]),
        (&11.into(), &0.into(), &serde_json::json!([])),
        "{check}"
    );
    let services = place.json("services", &["service", "list"]);
    assert_eq!(services["rows"][0]["minutes"], 80, "{services}");
    let plans = place.json("plans", &["plan", "list"]);
    assert_eq!(plans["rows"][0]["ashore_days"], 5.0, "{plans}");
    let leaving = place.json(
        "leaving",
        &["leaving", "--plan", "lift", "--hands", "owner,yard"],
    );
    let must = leaving["must"].as_array().expect("rows").iter();
    let outlet = must.into_iter().find(|row| row["item"] == "exhaust-outlet");
    let outlet = outlet.expect("it stops");
    assert_eq!(
        (&outlet["minutes"], &outlet["minutes_told"]),
        (&180.into(), &true.into())
    );
    let run = place.run(&["logbook", "export", "tables"]);
    assert_eq!(run.code, Some(0), "{run}");
    let of = |table: &str| rows(&place.path().join("tables").join(format!("{table}.ndjson")));
    let said: Vec<Value> = of("job_minutes")
        .iter()
        .map(|row| row["minutes"].clone())
        .collect();
    assert_eq!(said, [Value::from(180), Value::from(45), Value::Null]);
    assert_eq!(of("repairs")[0]["minutes"], 50);
    assert_eq!(of("plans")[0]["ashore_days"], 5.0);
}

#[test]
fn a_watch_says_what_it_said() {
    let mut place = kept("watch");
    let check = place.json("logbook-check", &["logbook", "check"]);
    assert_eq!(
        (&check["records"], &check["newer"], &check["rows"]),
        (&6.into(), &0.into(), &serde_json::json!([])),
        "{check}"
    );
    place.at("2026-05-03T09:00:00+02:00");
    let log = place.json("underway-log", &["underway", "log"]);
    let rows = log["rows"].as_array().expect("rows");
    assert_eq!(rows.len(), 3, "what is half typed is no line: {log}");
    // The words of a claim stay as they were, whatever is asked today.
    let claims = rows[1]["line"]["usual"].as_array().expect("claims");
    assert!(claims.contains(&"drops of the gland as usual by eye".into()));
    assert_eq!(rows[2]["line"]["engine_off"], true);
    // Six hours by her profile, from the last line with the engine running.
    assert_eq!(log["shaft_run_due"], "2026-05-03T13:00:00+02:00");
}

#[test]
fn the_kinds_of_records_that_came_later_say_what_they_said() {
    let place = kept("kinds");
    let check = place.json("logbook-check", &["logbook", "check"]);
    assert_eq!(
        (&check["files"], &check["records"], &check["newer"]),
        (&25.into(), &37.into(), &0.into()),
        "{check}"
    );
    let rows = check["rows"].as_array().expect("rows");
    let only = rows.iter().map(|row| row["damage"] == true);
    assert_eq!(
        only.collect::<Vec<_>>(),
        [false],
        "gone on without records, and said: {check}"
    );
    let issued = place.json("issued", &["issued"]);
    let report = &issued["rows"][0];
    assert_eq!(
        (&report["number"], &report["faults"]),
        (&"2026-01".into(), &serde_json::json!([]))
    );
    let code = report["code"].as_str().expect("a code");
    assert_eq!(code, "H9FS08-MVPDMN-4BNCSB");
    let run = place.run(&["issued", "2026-01", "--to", "again.html"]);
    assert_eq!(run.code, Some(0), "{run}");
    assert_eq!(
        place.json("verify", &["verify", "again.html", code])["state"],
        "whole"
    );
    let front = place.json("front", &["front", "s1"]);
    let entries = front["entries"].as_array().expect("entries").iter();
    let client = entries.clone().find(|entry| entry["entry"] == "client");
    assert_eq!(client.expect("asked")["value"], "A. Finch");
    let learning = place.json("learning", &["learning"]);
    assert_eq!(learning["state"], "frozen");
    assert!(
        learning["not_counted"]
            .to_string()
            .contains("what up to 4 other boats taught")
    );
    let entries = place.json("entries", &["entries"]);
    let rows = entries["rows"].as_array().expect("rows").iter();
    let states: std::collections::BTreeSet<String> =
        rows.map(|row| row["state"].to_string()).collect();
    let struck = ["taken-back", "put-right", "set-aside"];
    for state in struck {
        assert!(
            states.contains(&format!("\"{state}\"")),
            "{state}: {states:?}"
        );
    }
}

#[test]
fn records_of_a_later_version_are_kept_counted_and_told() {
    let mut place = Place::empty();
    place.at("2026-05-16T09:00:00+02:00");
    copy(&corpus("v1").join("logbook"), &place.logbook());
    let sealed = |body: &str| {
        format!(
            "{body},\"sum\":\"{:08x}\"}}\n",
            crc32fast::hash(body.as_bytes())
        )
    };
    let head = r#""id":"later-1","t":[1777788000000,0],"at":"2026-05-03T08:00:00+02:00""#;
    let file = place.logbook().join("log/later.jsonl");
    let text = sealed(&format!(
        r#"{{"v":1,{head},"ev":"tide","rec":{{"height":4}}"#
    )) + &sealed(&format!(
        r#"{{"v":2,{},"ev":"look","rec":{{"walk":"w9"}}"#,
        head.replace("later-1", "later-2")
    )) + &sealed(r#"{"v":3,"key":"later-3","body":[]"#);
    std::fs::write(&file, &text).expect("written");
    let check = place.json("logbook-check", &["logbook", "check"]);
    let told: Vec<&str> = check["rows"]
        .as_array()
        .expect("rows")
        .iter()
        .filter_map(|r| r["message"].as_str())
        .collect();
    assert!(told.iter().any(|m| m.contains("later version")), "{told:?}");
    assert_eq!(
        (&check["newer"], &check["records"]),
        (&1.into(), &20.into()),
        "{told:?}"
    );
    let run = place.run(&["defects"]);
    assert_eq!(run.code, Some(0), "{run}");
    for told in ["later version", "line 2: the record later-2"] {
        assert!(run.stdout.contains(told), "{run}");
    }
    assert_eq!(
        std::fs::read_to_string(file).expect("read"),
        text,
        "nothing was rewritten"
    );
}
